//! Nothing accepted is lost, nothing is kept twice, and what cannot be read is named.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

mod keeping;
mod version_1;
