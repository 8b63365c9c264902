//! Chores of the workspace: `cargo xtask check` sets up what the tests need and passes all of
//! them; `cargo xtask check NAME` runs one step; `cargo xtask laws ROUNDS` holds the laws against
//! other draws.

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
        ["laws", rounds] => match rounds.parse() {
            Ok(rounds) => laws(rounds),
            Err(_) => Err(format!("{rounds} is no number of rounds. {}", usage())),
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
    format!("Use: cargo xtask check [{}], or cargo xtask laws ROUNDS", names.join(" | "))
}

/// Runs every step, whatever came of those before, so that one round tells all that is wrong.
fn check(steps: &[Step]) -> Result<(), String> {
    let mut failures = Vec::new();
    for step in steps {
        let begun = Instant::now();
        eprintln!("== {}", step.name);
        let outcome = (step.run)();
        let word = if outcome.is_ok() { "done" } else { "FAILED" };
        eprintln!("== {} {word} in {:.0} s", step.name, begun.elapsed().as_secs_f64());
        failures.extend(outcome.err().map(|error| format!("{}: {error}", step.name)));
    }
    if failures.is_empty() { Ok(()) } else { Err(failures.join("\nxtask: ")) }
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

/// The draw of random cases the check is made with, so that the same tree gives the same verdict
/// twice. Other draws are the business of [`laws`].
const DRAW: u64 = 1;

fn tests() -> Result<(), String> {
    tools::cargo_tool("cargo-nextest")?;
    tests_of_draw(DRAW, &["--workspace"])?;
    // Examples in documentation, which nextest does not run.
    cargo(&["test", "--workspace", "--doc", "--locked", "--quiet"])
}

/// The tests of the packages that have laws, each round with another draw of random cases. What it
/// finds is mended and kept as a test of its own.
fn laws(rounds: u64) -> Result<(), String> {
    tools::cargo_tool("cargo-nextest")?;
    let packages = ["--package", "cornerwork-core", "--package", "cornerwork-io"];
    let fails = |draw: &u64| {
        let outcome = tests_of_draw(*draw, &packages);
        outcome.inspect_err(|error| eprintln!("xtask: draw {draw}: {error}")).is_err()
    };
    let failed: Vec<u64> = (DRAW + 1..=DRAW + rounds).filter(fails).collect();
    if failed.is_empty() { Ok(()) } else { Err(format!("laws broken by the draws {failed:?}")) }
}

fn tests_of_draw(draw: u64, packages: &[&str]) -> Result<(), String> {
    let nextest = ["nextest", "run", "--locked", "--no-fail-fast", "--status-level", "fail"];
    let arguments: Vec<&str> = nextest.iter().chain(packages).copied().collect();
    run(cargo_command(&arguments).env("PROPTEST_RNG_SEED", draw.to_string()))
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
    run(&mut cargo_command(arguments))
}

fn cargo_command(arguments: &[&str]) -> Command {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut command = Command::new(cargo);
    command.args(arguments).current_dir(root());
    command
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
