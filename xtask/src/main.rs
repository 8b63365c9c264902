//! Chores of the workspace: `cargo xtask check` sets up what the tests need and passes all of
//! them; `cargo xtask check NAME` runs one step.

mod tools;

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::time::Instant;

/// One step of the check.
struct Step {
    name: &'static str,
    run: fn() -> Result<(), String>,
}

const STEPS: &[Step] = &[
    Step { name: "format", run: format },
    Step { name: "lint", run: lint },
    Step { name: "dependencies", run: dependencies },
    Step { name: "tests", run: tests },
    Step { name: "browser", run: browser },
];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["check"] => check(STEPS),
        ["check", name] => match STEPS.iter().find(|step| step.name == *name) {
            Some(step) => check(std::slice::from_ref(step)),
            None => Err(format!("There is no step {name}. {}", usage())),
        },
        _ => Err(usage()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("xtask: {sentence}");
            ExitCode::FAILURE
        }
    }
}

fn usage() -> String {
    let names: Vec<&str> = STEPS.iter().map(|step| step.name).collect();
    format!("Use: cargo xtask check [{}]", names.join(" | "))
}

fn check(steps: &[Step]) -> Result<(), String> {
    for step in steps {
        let begun = Instant::now();
        eprintln!("== {}", step.name);
        (step.run)().map_err(|error| format!("{}: {error}", step.name))?;
        eprintln!("== {} done in {:.0} s", step.name, begun.elapsed().as_secs_f64());
    }
    Ok(())
}

fn format() -> Result<(), String> {
    cargo(&["fmt", "--all", "--check"])
}

fn lint() -> Result<(), String> {
    cargo(&["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"])
}

/// Licences, sources and bans of every dependency. Known vulnerabilities are not looked up: their
/// list comes from the open internet, which a gym's machine and the check may not have.
fn dependencies() -> Result<(), String> {
    tools::cargo_tool("cargo-deny")?;
    cargo(&["deny", "check", "--hide-inclusion-graph", "bans", "licenses", "sources"])
}

fn tests() -> Result<(), String> {
    tools::cargo_tool("cargo-nextest")?;
    cargo(&["nextest", "run", "--workspace", "--locked", "--no-fail-fast"])?;
    // Examples in documentation, which nextest does not run.
    cargo(&["test", "--workspace", "--doc", "--locked", "--quiet"])
}

/// A whole session in a real browser, against the program as built.
fn browser() -> Result<(), String> {
    tools::chromium()?;
    let folder = root().join("tests/browser");
    run(Command::new("npm").args(["ci", "--no-audit", "--no-fund"]).current_dir(&folder))?;
    cargo(&["build", "--package", "cornerwork", "--locked"])?;
    run(Command::new("npm").args(["test", "--silent"]).current_dir(&folder))
}

fn cargo(arguments: &[&str]) -> Result<(), String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    run(Command::new(cargo).args(arguments).current_dir(root()))
}

/// Runs a command to its end; anything but success is an error with the command's words.
fn run(command: &mut Command) -> Result<(), String> {
    let shown = format!("{command:?}").replace('"', "");
    let status = command.status().map_err(|error| format!("cannot run {shown}: {error}"))?;
    if status.success() { Ok(()) } else { Err(format!("{shown} ended with {status}")) }
}

fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}
