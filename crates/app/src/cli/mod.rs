//! The command line: one file a command. Numbers go to standard output, messages to standard
//! error; the exit code is 0 for done, 1 for failed, 2 for wrong use.

mod answer;
mod decision;
mod explain;
mod input;
mod invented;
mod jumps;
mod kit;
mod next_load;
mod profile_momentum;
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
    /// What an athlete's jumps or reps say.
    #[command(subcommand)]
    Profile(Profile),
    /// Which load to test next, or to stop.
    NextLoad(next_load::NextLoadArguments),
}

#[derive(Subcommand)]
enum Profile {
    /// Momentum against load: the loads to jump with.
    Momentum(profile_momentum::MomentumArguments),
}

/// Runs a command and turns what went wrong into one plain sentence.
pub fn run(arguments: Arguments) -> ExitCode {
    let done = match arguments.command {
        Command::Demo(arguments) => serve::demo(&arguments),
        Command::Serve(arguments) => serve::serve(&arguments),
        Command::Profile(Profile::Momentum(arguments)) => profile_momentum::run(&arguments),
        Command::NextLoad(arguments) => next_load::run(&arguments),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("{}", finished(&sentence));
            ExitCode::FAILURE
        }
    }
}

/// A sentence begins with a capital letter and ends with a full stop, wherever it comes from.
fn finished(sentence: &str) -> String {
    let sentence = sentence.trim();
    let mut letters = sentence.chars();
    let first: String = letters.next().map(char::to_uppercase).into_iter().flatten().collect();
    let stop = if sentence.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{first}{}{stop}", letters.as_str())
}
