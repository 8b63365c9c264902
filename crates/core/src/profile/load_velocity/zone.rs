//! The bands of mean velocity coaches name.

use super::one_rep_max::Confidence;
use crate::units::Velocity;

/// A band of mean velocity: a coaching convention for squats and presses, not physiology.
#[derive(Clone, Debug, PartialEq)]
pub struct VelocityZone {
    /// What it is called.
    pub name: String,
    /// Slowest velocity that belongs to it.
    pub from: Velocity,
    /// Slowest velocity that no longer does; `None` for the fastest band.
    pub below: Option<Velocity>,
    /// Where the bounds come from.
    pub source: String,
    /// Whether the source was read.
    pub confidence: Confidence,
}

impl VelocityZone {
    /// Whether a velocity belongs to the band: its lower end does, its upper end does not.
    pub fn contains(&self, velocity: Velocity) -> bool {
        velocity >= self.from && self.below.is_none_or(|end| velocity < end)
    }
}
