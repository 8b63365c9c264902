//! The pure heart of Cornerwork: from a capture to a prescription, by arithmetic alone.
//!
//! Nothing here opens a file, reads a clock, draws a random number of its own, starts a thread,
//! or knows JSON or SQL. What it needs is passed in; what it finds out is returned with its doubt.
//! The modules stand in the order of the data's way.

pub mod camp;
pub mod capture;
pub mod entry;
pub mod estimate;
pub mod exercise;
pub mod kit;
pub mod metrics;
pub mod note;
pub mod prescription;
pub mod profile;
pub mod report;
pub mod session;
pub mod signal;
pub mod stats;
pub mod trial;
pub mod units;
pub mod words;
pub mod working;
