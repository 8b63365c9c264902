//! Data files of the trade, read and checked: what the program carries and what a gym adds.

pub mod exercises;
pub mod safety_rules;
pub mod templates;
pub mod thresholds;
