//! Squat jump: standing still in the squat, one half-sine above the weight, flight, landing.

use super::countermovement::landing;
use super::{GRAVITY, Shape};
use std::f64::consts::PI;

/// A squat jump, and how much it dips first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SquatJump {
    /// Mass of the system, kg.
    pub mass_kg: f64,
    /// Drive above the weight, as a fraction of it, and its duration, s.
    pub drive: (f64, f64),
    /// Dip below the weight just before, as a fraction of it, and its duration, s; zero for none.
    pub dip: (f64, f64),
}

impl Default for SquatJump {
    fn default() -> Self {
        Self { mass_kg: 80.0, drive: (1.6, 0.26), dip: (0.0, 0.0) }
    }
}

const RELEASE_S: f64 = 0.04;

impl SquatJump {
    /// Velocity at take-off, m/s: two half-sines and the fall of force to nothing.
    pub fn take_off_velocity_m_s(&self) -> f64 {
        let half_sine = |(fraction, duration_s)| GRAVITY * 2.0 * fraction * duration_s / PI;
        half_sine(self.drive) - half_sine(self.dip) - GRAVITY * RELEASE_S / 2.0
    }

    /// The force, N.
    pub fn force_n(&self, rate_hz: f64) -> Vec<f64> {
        let weight_n = self.mass_kg * GRAVITY;
        let velocity = self.take_off_velocity_m_s();
        let ((drive, drive_s), (dip, dip_s)) = (self.drive, self.dip);
        let start = Shape::new()
            .hold(2.0, weight_n)
            .then(dip_s, move |u| weight_n * (1.0 - dip * (PI * u / dip_s.max(1e-9)).sin()))
            .then(drive_s, move |u| weight_n * (1.0 + drive * (PI * u / drive_s).sin()))
            .then(RELEASE_S, move |u| weight_n * (1.0 - u / RELEASE_S))
            .hold(2.0 * velocity / GRAVITY, 0.0);
        landing(start, weight_n, self.mass_kg * velocity, 0.30).hold(1.5, weight_n).sample(rate_hz)
    }
}
