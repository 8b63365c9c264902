//! `cornerwork import` over a folder: rows in order, reasons for what failed, the same with any
//! number of workers.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_io::store::SqliteStore;
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

/// A gym of one athlete in a folder.
fn gym_of_one() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    tokio::runtime::Runtime::new().unwrap().block_on(async {
        let store = SqliteStore::open(folder.path()).await.unwrap();
        let athlete = Athlete {
            id: AthleteId::new("B01").unwrap(),
            name: "Ottilie Marrowby".into(),
            sex: Sex::Female,
            born: Born::On(jiff::civil::date(2003, 1, 9)),
            stance: Stance::Orthodox,
            level: "amateur".into(),
        };
        let entered = Operation {
            id: OperationId(1),
            at: jiff::Timestamp::UNIX_EPOCH,
            author: "coach".into(),
            change: Change::AthleteEntered(athlete),
        };
        store.append(&[entered]).await.unwrap();
        store.close().await;
    });
    folder
}

fn states(output: &Output) -> Vec<String> {
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    let files = document["files"].as_array().unwrap().iter();
    files.map(|file| file["state"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_folder_is_filed_in_a_gym_once_and_the_gym_stays_whole() {
    let (gym, folder) = (gym_of_one(), folder_of(3));
    std::fs::write(folder.path().join("broken.csv"), "time_ms,force_n\n0,1\n1,x\n2,3\n3,4\n")
        .unwrap();
    std::fs::write(folder.path().join("still.csv"), {
        let rows: String = (0..3000).map(|i| format!("{i},{}\n", 700 + i % 3)).collect();
        format!("time_ms,force_n\n{rows}")
    })
    .unwrap();
    let data = gym.path().to_str().unwrap().to_owned();
    let into = ["--data", &data, "--athlete", "Ottilie", "--json", "--day", "2026-09-20"];

    let waiting = import(folder.path(), &into);
    assert_eq!(states(&waiting), ["columns-to-confirm"; 5]);
    assert!(String::from_utf8(waiting.stderr).unwrap().contains("--take-guess"));

    let (gym, folder_again) = (gym_of_one(), &folder);
    let data = gym.path().to_str().unwrap().to_owned();
    let mut into = into.to_vec();
    into[1] = &data;
    into.push("--take-guess");
    let filed = import(folder_again.path(), &into);
    let expected = ["not-taken", "filed", "filed", "filed", "filed-without-numbers"];
    assert_eq!(states(&filed), expected, "{filed:?}");
    let said = String::from_utf8(filed.stderr).unwrap();
    assert!(said.contains("3 of 5 files filed with numbers, 1 without"), "{said}");
    assert!(said.contains("broken.csv: Line 3"), "{said}");
    let drift = import(folder_again.path(), &[&into[..], &["--level-zero"]].concat());
    assert!(String::from_utf8(drift.stderr).unwrap().contains("takes no drift off"));
    let again = import(folder_again.path(), &into);
    let expected = ["not-taken", "here-already", "here-already", "here-already", "here-already"];
    assert_eq!(states(&again), expected);

    let program = |arguments: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_cornerwork")).args(arguments).output().unwrap()
    };
    let check = program(&["check", "--data", &data]);
    assert!(check.status.success(), "{check:?}");
    let out = tempfile::tempdir().unwrap();
    let to = out.path().join("plain");
    let export = program(&["export", "--data", &data, "--out", to.to_str().unwrap()]);
    assert!(export.status.success(), "{export:?}");
    let table = std::fs::read_to_string(to.join("traces.csv")).unwrap();
    assert_eq!(table.lines().count(), 5);
    let received: Vec<Vec<u8>> = std::fs::read_dir(to.join("recordings"))
        .unwrap()
        .map(|entry| std::fs::read(entry.unwrap().path()).unwrap())
        .collect();
    assert_eq!(received.len(), 4);
    assert!(received.contains(&std::fs::read(folder.path().join("jump001.csv")).unwrap()));
}

/// Read several at once, the rows still come in the order of names, and of two files with the same
/// bytes one is filed.
#[test]
fn files_read_at_once_are_filed_in_order_and_once() {
    let (gym, folder) = (gym_of_one(), folder_of(6));
    std::fs::copy(folder.path().join("jump002.csv"), folder.path().join("jump002b.csv")).unwrap();
    let data = gym.path().to_str().unwrap();
    let into = ["--data", data, "--athlete", "B01", "--take-guess", "--workers", "4"];
    let table = String::from_utf8(import(folder.path(), &into).stdout).unwrap();
    let rows: Vec<Vec<&str>> = table.lines().skip(1).map(|row| row.split(',').collect()).collect();
    let files: Vec<&str> = rows.iter().map(|row| row[0]).collect();
    assert!(files.is_sorted() && files.len() == 7, "{table}");
    let of = |state: &str| rows.iter().filter(|row| row[1] == state).count();
    assert_eq!((of("filed"), of("here-already")), (6, 1), "{table}");
    // A set stands in the order its files were named.
    let mut filed: Vec<(&str, &str)> =
        rows.iter().filter(|row| row[1] == "filed").map(|row| (row[2], row[0])).collect();
    filed.sort_unstable();
    assert!(filed.iter().map(|one| one.1).is_sorted(), "{table}");
}

#[test]
fn a_gym_that_is_open_elsewhere_and_an_unknown_athlete_are_said_plainly() {
    let (gym, folder) = (gym_of_one(), folder_of(1));
    let data = gym.path().to_str().unwrap();
    let unknown = import(folder.path(), &["--data", data, "--athlete", "Zed"]);
    assert_eq!(unknown.status.code(), Some(1));
    let said = String::from_utf8(unknown.stderr).unwrap();
    assert!(said.contains("There is no athlete \"Zed\" here"), "{said}");

    let unnamed =
        import(folder.path(), &["--data", data, "--athlete", "B01", "--columns", "corner"]);
    let said = String::from_utf8(unnamed.stderr).unwrap();
    assert!(said.contains("No way of reading is remembered as \"corner\""), "{said}");

    let runtime = tokio::runtime::Runtime::new().unwrap();
    let held = runtime.block_on(SqliteStore::open(gym.path())).unwrap();
    let refused = import(folder.path(), &["--data", data, "--athlete", "B01"]);
    assert_eq!(refused.status.code(), Some(1));
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(said.contains("on its page Traces"), "{said}");
    runtime.block_on(held.close());
}
