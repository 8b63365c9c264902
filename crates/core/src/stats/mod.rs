//! Arithmetic on numbers and their doubt; knows no sport.

pub mod analysis_of_variance;
pub mod bent_line;
pub mod control_chart;
pub mod distributions;
pub mod line;
pub mod mean;
pub mod median;
mod minimise;
pub mod mixed_line;
pub mod outlier;
pub mod posterior;
pub mod reliability;
pub mod shrinkage;
pub mod single_case;
