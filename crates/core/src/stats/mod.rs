//! Arithmetic on numbers and their doubt; knows no sport.

pub mod distributions;
pub mod fieller;
pub mod line;
