//! What is shown, before anyone decides how: plain rows, curves and sentences.

pub mod document;
pub mod figure;
