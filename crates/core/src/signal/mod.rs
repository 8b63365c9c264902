//! Samples in time, and what can be done with any of them. Knows no sport.
//!
//! A [`Trace`] is a signal; a [`Moment`] is a place between two of its samples; everything else
//! is a function on plain slices, so that a hot loop sees nothing but numbers.

pub mod butterworth;
pub mod crossing;
pub mod ensemble;
pub mod integral;
mod moment;
mod sampling;
pub mod sums;
mod trace;
pub mod window;

pub use moment::Moment;
pub use sampling::{Sampling, Stamps};
pub use trace::Trace;
