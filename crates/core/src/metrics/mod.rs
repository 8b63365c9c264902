//! From a trial to its numbers.
//!
//! One file a family of metrics: its definitions and how they are computed stand together.
//! [`registry`] lists them all. A metric that cannot be had is absent from its [`MetricSet`], and
//! a note says why; it is never zero.

pub mod asymmetry;
pub mod bar_velocity;
mod definition;
pub mod estimates;
pub mod force;
mod formula;
pub mod height;
pub mod impulse;
pub mod isometric;
pub mod landing;
pub mod power;
pub mod reactive_strength;
pub mod registry;
mod set;
pub mod stiffness;
pub mod timing;
pub mod trials;

pub use asymmetry::Asymmetry;
pub use definition::{Better, Definition};
pub use formula::{Derivation, derivation, significant};
pub use set::{Metric, MetricSet};
