//! From a capture to a trial: what happened and when, by stated rules.
//!
//! One file a kind of trial, and below them the steps they share in the order they are taken:
//! [`recording`] checks what was received, [`flight`] finds when the plate was empty,
//! [`weighing`] when the athlete stood still, [`onset`] when the movement began, [`stance`] what the
//! whole of the standing says of weight and velocity ([`sway`]), [`motion`] integrates from there,
//! [`release`] says what is left of the push, [`landing`] follows to the end. Every step has a `Rules` struct with
//! its constants, and a trial keeps the rules it was read by.

pub mod bar_reps;
pub mod countermovement_jump;
mod drift;
pub mod drop_jump;
mod error;
pub mod flight;
pub mod gravity;
pub mod isometric;
pub mod jump;
mod kind;
pub mod landing;
pub mod motion;
mod moved;
pub mod onset;
pub mod quality;
pub mod recording;
pub mod release;
pub mod repeated_jumps;
pub mod spikes;
pub mod squat_jump;
pub mod stance;
pub mod standing_start;
pub mod sway;
pub mod weighing;
mod zero_drift;

pub use error::TrialError;
pub use kind::Kind;
pub use moved::{MovedEvents, TrialEvent};

use crate::signal::Moment;
use crate::units::{Acceleration, Length, Mass, STANDARD_GRAVITY};

/// What is known about a trial besides its trace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Gravity where the plate stands; [`gravity::at`] computes it for a place.
    pub gravity: Acceleration,
    /// Body mass as logged, to check the weighing against. Not used in its place.
    pub body_mass: Option<Mass>,
    /// Load carried: bar, vest. It is part of the system that is weighed and moved.
    pub load: Mass,
    /// Nominal height of the box dropped from.
    pub box_height: Option<Length>,
    /// Events that a person put right.
    pub moved: MovedEvents,
}

impl Default for Conditions {
    /// Unloaded, under standard gravity, nothing else known.
    fn default() -> Self {
        Self {
            gravity: STANDARD_GRAVITY,
            body_mass: None,
            load: Mass::ZERO,
            box_height: None,
            moved: MovedEvents::default(),
        }
    }
}

impl Conditions {
    /// What the plate should read in newtons if the logged body mass is right.
    pub(crate) fn expected_weight_n(&self) -> Option<f64> {
        self.body_mass.map(|body| ((body + self.load) * self.gravity).in_newtons())
    }
    /// Gravity in m/s².
    pub(crate) const fn gravity_m_s2(&self) -> f64 {
        self.gravity.in_metres_per_second_squared()
    }
}

/// A named stretch of a trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase {
    /// `weighing`, `unweighting`, `braking`, `propulsion`, `flight`, `landing`, `contact`.
    pub name: &'static str,
    /// Where it begins.
    pub from: Moment,
    /// Where it ends.
    pub to: Moment,
}

/// Whether a value lies outside what is believed.
fn outside(value: f64, [low, high]: [f64; 2]) -> bool {
    !(low..=high).contains(&value)
}
