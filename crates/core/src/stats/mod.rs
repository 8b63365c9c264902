//! Arithmetic on numbers and their doubt; knows no sport.

pub mod analysis_of_variance;
pub mod distributions;
pub mod fieller;
pub mod line;
mod minimise;
pub mod mixed_line;
pub mod posterior;
pub mod reliability;
