//! The command line: one file a command. Numbers go to standard output, messages to standard
//! error; the exit code is 0 for done, 1 for failed, 2 for wrong use.

mod invented;
mod serve;

use clap::{Parser, Subcommand};
use std::process::ExitCode;

/// Brings a boxer to the first bell stronger and faster: profiles, next loads, the session.
#[derive(Parser)]
#[command(name = "cornerwork", version, arg_required_else_help = true)]
pub struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Make the invented demo gym, if the folder is empty, and serve it.
    Demo(serve::DemoArguments),
    /// Serve a gym.
    Serve(serve::ServeArguments),
}

/// Runs a command and turns what went wrong into one plain sentence.
pub fn run(arguments: Arguments) -> ExitCode {
    let done = match arguments.command {
        Command::Demo(arguments) => serve::demo(&arguments),
        Command::Serve(arguments) => serve::serve(&arguments),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("{sentence}");
            ExitCode::FAILURE
        }
    }
}
