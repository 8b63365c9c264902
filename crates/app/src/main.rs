//! Cornerwork: profiles, next loads and the session on the floor, from one program.

use clap::Parser;
use cornerwork::cli;
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run(cli::Arguments::parse())
}
