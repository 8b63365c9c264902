//! Traces made from formulas, so that every number read from them has an exact answer.
//!
//! Each kind is a struct of its free constants with `truth()`, computed from the formulas and
//! never from samples, and a capture at any rate. Noise is seeded.

pub mod bar_stroke;
pub mod countermovement;
pub mod drop;
pub mod hops;
pub mod isometric;
mod noise;
pub mod random;
mod shape;
pub mod squat;
pub mod swaying;

pub use noise::noisy;
pub use shape::Shape;

/// Standard gravity in m/s² (3rd CGPM, 1901), by which all truths are computed.
pub const GRAVITY: f64 = 9.806_65;
