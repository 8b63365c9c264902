//! From files to numbers: small tables as columns, recordings as captures, one folder a format.
//!
//! A reader checks lengths and spelling and converts units to SI; whether the numbers make sense
//! is judged by the trial or profile that takes them.

pub mod delimited;
pub mod table;
