//! The documentation's tables of notes name every note a trial can carry, and no other.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use std::collections::BTreeSet;
use std::path::Path;

fn source() -> String {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    ["trial", "metrics"]
        .into_iter()
        .flat_map(|folder| std::fs::read_dir(src.join(folder)).unwrap())
        .map(|entry| std::fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect()
}

/// First string literal after every occurrence of `call`.
fn literals_after(source: &str, call: &str) -> BTreeSet<String> {
    source
        .split(call)
        .skip(1)
        .map(str::trim_start)
        .filter_map(|rest| rest.strip_prefix('"')?.split('"').next())
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_tables_of_notes_are_complete() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/trace-notes.md");
    let page = std::fs::read_to_string(page).unwrap();
    let listed: BTreeSet<String> = page
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .map(str::to_owned)
        .collect();
    let source = source();
    let mut made = literals_after(&source, "Note::new(");
    made.extend(literals_after(&source, "doubt("));
    let missing: Vec<_> = made.difference(&listed).collect();
    assert!(missing.is_empty(), "docs/trace-notes.md lacks {missing:?}");
    let unknown: Vec<_> =
        listed.iter().filter(|id| !source.contains(&format!("\"{id}\""))).collect();
    assert!(unknown.is_empty(), "docs/trace-notes.md names {unknown:?}, which no code gives");
}
