//! Running the program.

use serde_json::Value;
use std::io::Write;
use std::process::{Command, Output, Stdio};

/// What a run left behind.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program with arguments parted by spaces and a table on standard input.
pub(crate) fn run(arguments: &str, input: &str) -> Ran {
    run_with(&arguments.split_whitespace().collect::<Vec<_>>(), input)
}

/// The same with the arguments as they are.
pub(crate) fn run_with(arguments: &[&str], input: &str) -> Ran {
    let mut child = Command::new(env!("CARGO_BIN_EXE_cornerwork"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that refuses its arguments may be gone before it has read anything.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    Ran::from(child.wait_with_output().unwrap())
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// The one JSON document of a run that is done.
#[track_caller]
pub(crate) fn json(arguments: &str, input: &str) -> Value {
    let ran = run(&format!("{arguments} --json"), input);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{arguments}");
    serde_json::from_str(&ran.out).unwrap()
}

/// The one sentence of a run that failed.
#[track_caller]
pub(crate) fn refused(arguments: &str, input: &str) -> String {
    let ran = run(arguments, input);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{arguments}: {}", ran.err);
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    let sentence = ran.err.trim_end().to_owned();
    assert!(!sentence.starts_with(char::is_lowercase), "{sentence}");
    assert!(sentence.ends_with(['.', '?']), "{sentence}");
    sentence
}

/// Usage that is wrong, and what is said of it.
#[track_caller]
pub(crate) fn misused(arguments: &str) -> String {
    let ran = run(arguments, "");
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{arguments}");
    ran.err
}

/// A number of a document by its path, parted by dots.
#[track_caller]
pub(crate) fn number(document: &Value, path: &str) -> f64 {
    let pointer = format!("/{}", path.replace('.', "/"));
    let found = document.pointer(&pointer).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("no number {path} in {document:#}"))
}

#[track_caller]
pub(crate) fn near(document: &Value, path: &str, expected: f64, within: f64) {
    let found = number(document, path);
    assert!((found - expected).abs() <= within, "{path}: {found}, expected {expected} ± {within}");
}

/// Names of the keys of an object, in order of the alphabet.
pub(crate) fn keys(object: &Value) -> Vec<&str> {
    object.as_object().unwrap().keys().map(String::as_str).collect()
}

/// Ids of the notes of a document.
pub(crate) fn note_ids(document: &Value) -> Vec<&str> {
    let notes = document["notes"].as_array().unwrap();
    notes.iter().map(|note| note["id"].as_str().unwrap()).collect()
}
