//! Nothing accepted is lost, nothing is kept twice, and what cannot be read is named.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

mod any_operation;
mod any_paper;
mod any_program;
mod any_trace;
mod damage;
mod forgetting;
mod keeping;
mod kill;
mod plain_numbers;
mod recordings;
mod released;
mod version_1;
