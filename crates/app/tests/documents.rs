//! The documents against the program: commands exist, and examples print what is shown.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().unwrap()
}

fn cornerwork(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cornerwork"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

fn documents() -> Vec<(PathBuf, String)> {
    let named = ["README.md", "CONTRIBUTING.md", "ARCHITECTURE.md"].map(|name| root().join(name));
    let docs = fs::read_dir(root().join("docs")).unwrap().map(|entry| entry.unwrap().path());
    let is_document = |path: &PathBuf| path.extension().is_some_and(|end| end == "md");
    let paths = named.into_iter().chain(docs.filter(is_document));
    paths.map(|path| (path.clone(), fs::read_to_string(path).unwrap())).collect()
}

/// The lower-case words after "cornerwork " up to the first file, flag or end of the code.
fn command_of(code: &str) -> Vec<&str> {
    let word = |word: &&str| {
        word.starts_with(|c: char| c.is_ascii_lowercase())
            && word.chars().all(|c| c.is_ascii_lowercase() || c == '-')
    };
    code.split_whitespace().take_while(word).collect()
}

#[test]
fn commands_in_the_documents_exist() {
    for (path, text) in documents() {
        for code in text.split("`cornerwork ").skip(1) {
            let command = command_of(code.split('`').next().unwrap());
            let mut arguments = command.clone();
            arguments.push("--help");
            let help = cornerwork(&arguments);
            assert!(help.status.success(), "{}: no command {command:?}", path.display());
        }
    }
}

/// Examples stand in fenced blocks of kind `console`: a line "$ cornerwork ...", then what it
/// prints.
#[test]
fn examples_print_what_is_shown() {
    let mut tried = 0;
    for (path, text) in documents() {
        for block in text.split("```console\n").skip(1) {
            let block = block.split("```").next().unwrap();
            for example in block.split("$ cornerwork ").skip(1) {
                let (command, shown) = example.split_once('\n').unwrap();
                let output = cornerwork(&command.split_whitespace().collect::<Vec<_>>());
                let printed = String::from_utf8(output.stdout).unwrap();
                assert_eq!(printed.trim_end(), shown.trim_end(), "{}: {command}", path.display());
                tried += 1;
            }
        }
    }
    assert!(tried > 0, "the README shows at least one example");
}
