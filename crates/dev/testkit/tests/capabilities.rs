//! docs/capabilities.md: every row has a verdict, and every test it names exists.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..").canonicalize().unwrap()
}

/// Rows of the tables: number, capability, verdict, tests.
fn rows() -> Vec<Vec<String>> {
    let text = fs::read_to_string(root().join("docs/capabilities.md")).unwrap();
    text.lines()
        .filter(|line| line.starts_with("| ") && line.as_bytes()[2].is_ascii_alphanumeric())
        .map(|line| line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect())
        .filter(|row: &Vec<String>| row[0] != "nr")
        .collect()
}

#[test]
fn every_capability_has_a_verdict() {
    let rows = rows();
    let of = |letter: char| rows.iter().filter(move |row| row[0].starts_with(letter)).count();
    assert_eq!((of('C'), of('E')), (44, 20), "capabilities and planted errors");
    for row in &rows {
        assert_eq!(row.len(), 4, "{row:?}");
        assert!(["works", "partly", "not"].contains(&row[2].as_str()), "{row:?}");
        assert!(row[2] == "not" || row[3].contains('`'), "held by no test: {row:?}");
    }
}

/// A test is named by file and function, or for the browser by file and title.
#[test]
fn every_test_named_exists() {
    for row in rows() {
        for name in row[3].split('`').skip(1).step_by(2) {
            let (file, test) = name.split_once(": ").unwrap_or_else(|| panic!("{name}"));
            let text =
                fs::read_to_string(root().join(file)).unwrap_or_else(|_| panic!("no {file}"));
            let there =
                text.contains(&format!("fn {test}(")) || text.contains(&format!("test(\"{test}\""));
            assert!(there, "{}: no test {test} in {file}", row[0]);
        }
    }
}
