//! `cornerwork import` over a folder: rows in order, reasons for what failed, the same with any
//! number of workers.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_testkit::synthetic::countermovement::SmoothJump;
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn folder_of(jumps: usize) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for index in 0..jumps {
        let jump = SmoothJump { mass_kg: 60.0 + index as f64, ..SmoothJump::default() };
        let force = jump.force_n(1000.0);
        let rows: String = force.iter().enumerate().map(|(i, f)| format!("{i},{f:?}\n")).collect();
        let path = folder.path().join(format!("jump{index:03}.csv"));
        std::fs::write(path, format!("time_ms,force_n\n{rows}")).unwrap();
    }
    folder
}

fn import(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cornerwork"))
        .arg("import")
        .arg(folder)
        .args(["--kind", "countermovement-jump"])
        .args(arguments)
        .output()
        .unwrap()
}

#[test]
fn rows_come_in_the_order_of_names_whatever_the_workers() {
    let folder = folder_of(9);
    let one = import(folder.path(), &["--workers", "1"]);
    let four = import(folder.path(), &["--workers", "4"]);
    assert_eq!(one.status.code(), Some(0));
    assert_eq!(one.stdout, four.stdout);
    let text = String::from_utf8(one.stdout).unwrap();
    let mut lines = text.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let mass = header.iter().position(|name| *name == "body_mass_kg").unwrap();
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    assert_eq!(rows.len(), 9);
    for (index, row) in rows.iter().enumerate() {
        assert_eq!(row.len(), header.len());
        assert_eq!(row[0], format!("jump{index:03}.csv"));
        let found: f64 = row[mass].parse().unwrap();
        assert!((found - (60.0 + index as f64)).abs() < 0.001, "{found}");
    }
    assert_eq!(String::from_utf8(one.stderr).unwrap(), "9 of 9 files read.\n");
}

#[test]
fn what_failed_is_told_with_its_reason() {
    let folder = folder_of(2);
    std::fs::write(folder.path().join("broken.csv"), "time_ms,force_n\n0,1\n1,x\n2,3\n3,4\n")
        .unwrap();
    std::fs::write(folder.path().join("empty.csv"), "").unwrap();
    let output = import(folder.path(), &["--json"]);
    assert_eq!(output.status.code(), Some(0));
    let errors = String::from_utf8(output.stderr).unwrap();
    assert!(errors.starts_with("2 of 4 files read.\n"), "{errors}");
    assert!(errors.contains("broken.csv: Line 3"), "{errors}");
    assert!(errors.contains("empty.csv: The file is empty."), "{errors}");
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["files"].as_array().unwrap().len(), 2);
    assert_eq!(document["failures"].as_array().unwrap().len(), 2);
    assert!(document["files"][0]["trials"][0]["height_from_impulse_m"].as_f64().unwrap() > 0.2);
}

#[test]
fn nothing_read_is_a_failure() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(import(folder.path(), &[]).status.code(), Some(1));
    std::fs::write(folder.path().join("empty.csv"), "").unwrap();
    let output = import(folder.path(), &["--json"]);
    assert_eq!(output.status.code(), Some(1));
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["failures"].as_array().unwrap().len(), 1);
    assert_eq!(import(&folder.path().join("nowhere"), &[]).status.code(), Some(1));
}
