//! The command line: one file a command. Numbers go to standard output, messages to standard
//! error; the exit code is 0 for done, 1 for failed, 2 for wrong use.

mod answer;
mod change;
mod decision;
mod explain;
mod export;
mod export_traces;
mod import;
mod import_into_gym;
mod input;
mod invented;
mod jumps;
mod kit;
mod landmine;
mod next_load;
mod noise;
mod profile_force_velocity;
mod profile_momentum;
mod profile_velocity;
mod reading_options;
mod record;
mod reliability;
mod repeats;
mod serve;
mod test_days;
mod trace;
mod trace_output;
mod values;

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
    /// Whether a later test is a real change or noise.
    Change(change::ChangeArguments),
    /// How far a test strays when nothing has changed.
    Reliability(reliability::ReliabilityArguments),
    /// What the hand meets on a landmine.
    Landmine(landmine::LandmineArguments),
    /// Read a folder of recordings of one kind: one row of numbers each.
    Import(import::ImportArguments),
    /// Read a recording of a jump, an isometric effort or a bar: events, numbers, picture.
    Trace(trace::TraceArguments),
    /// Write the gym as plain tables.
    Export(export::ExportArguments),
    /// Copy the gym to a file.
    Backup(record::BackupArguments),
    /// Make a gym from a backup.
    Restore(record::RestoreArguments),
    /// Check the gym's record for damage.
    Check(record::CheckArguments),
}

#[derive(Subcommand)]
enum Profile {
    /// Momentum against load: the loads to jump with.
    Momentum(profile_momentum::MomentumArguments),
    /// Velocity against load in one lift: the load for a target velocity.
    Velocity(profile_velocity::VelocityArguments),
    /// Force against velocity of jumps: a hypothesis.
    ForceVelocity(profile_force_velocity::ForceVelocityArguments),
}

/// Runs a command and turns what went wrong into one plain sentence.
pub fn run(arguments: Arguments) -> ExitCode {
    let done = match arguments.command {
        Command::Demo(arguments) => serve::demo(&arguments),
        Command::Serve(arguments) => serve::serve(&arguments),
        Command::Profile(profile) => match profile {
            Profile::Momentum(arguments) => profile_momentum::run(&arguments),
            Profile::Velocity(arguments) => profile_velocity::run(&arguments),
            Profile::ForceVelocity(arguments) => profile_force_velocity::run(&arguments),
        },
        Command::Change(arguments) => change::run(&arguments),
        Command::Reliability(arguments) => reliability::run(&arguments),
        Command::Landmine(arguments) => landmine::run(&arguments),
        Command::Export(arguments) => export::run(&arguments),
        Command::Backup(arguments) => record::backup(&arguments),
        Command::Restore(arguments) => record::restore(&arguments),
        Command::Check(arguments) => record::check(&arguments),
        Command::NextLoad(arguments) => next_load::run(&arguments),
        Command::Import(arguments) => import::run(&arguments),
        Command::Trace(arguments) => trace::run(&arguments),
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
