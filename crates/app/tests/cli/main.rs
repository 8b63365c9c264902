//! The commands as a coach or a program meets them: the built binary, its output and its exit
//! codes.

#![allow(clippy::unwrap_used, reason = "a test that cannot run the program has failed")]

mod change;
mod force_velocity;
mod landmine;
mod momentum;
mod record;
mod reliability;
mod run;
mod velocity;
