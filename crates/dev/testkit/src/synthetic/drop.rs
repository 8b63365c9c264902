//! Drop jump: an empty plate, one half-sine of contact, flight, landing, standing still.

use super::countermovement::landing;
use super::{GRAVITY, Shape};
use std::f64::consts::PI;

/// A drop jump from a true height to a true height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DropJump {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Height fallen, m.
    pub drop_m: f64,
    /// Height of the rebound, m.
    pub height_m: f64,
    /// Time on the ground, s.
    pub contact_s: f64,
}

impl Default for DropJump {
    fn default() -> Self {
        Self { mass_kg: 72.0, drop_m: 0.30, height_m: 0.36, contact_s: 0.24 }
    }
}

/// Standing on the box before the drop, s.
const ON_BOX_S: f64 = 1.6;
/// Stepping off: from the weight to nothing, s. It sets the body moving, so the fall is shorter
/// than the height would take from rest.
const STEPPING_OFF_S: f64 = 0.10;

impl DropJump {
    /// Velocity at touch-down, m/s (negative).
    pub fn touch_down_velocity_m_s(&self) -> f64 {
        -(2.0 * GRAVITY * self.drop_m).sqrt()
    }

    /// Velocity at take-off, m/s.
    pub fn take_off_velocity_m_s(&self) -> f64 {
        (2.0 * GRAVITY * self.height_m).sqrt()
    }

    /// Flight after the rebound, s.
    pub fn flight_s(&self) -> f64 {
        2.0 * self.take_off_velocity_m_s() / GRAVITY
    }

    /// Largest force of the contact, N: a half-sine whose net impulse turns the fall into the
    /// rise.
    pub fn contact_peak_n(&self) -> f64 {
        let change = self.take_off_velocity_m_s() - self.touch_down_velocity_m_s();
        let area = self.mass_kg * (change + GRAVITY * self.contact_s);
        area * PI / (2.0 * self.contact_s)
    }

    /// The force on the floor, N, the plate empty for `empty_s` first.
    pub fn force_n(&self, rate_hz: f64, empty_s: f64) -> Vec<f64> {
        self.floor(empty_s).sample(rate_hz)
    }

    fn floor(&self, empty_s: f64) -> Shape {
        let (peak_n, contact_s) = (self.contact_peak_n(), self.contact_s);
        let weight_n = self.mass_kg * GRAVITY;
        let start = Shape::new()
            .hold(empty_s, 0.0)
            .then(contact_s, move |u| peak_n * (PI * u / contact_s).sin())
            .hold(self.flight_s(), 0.0);
        landing(start, weight_n, self.mass_kg * self.take_off_velocity_m_s(), 0.30)
            .hold(2.0, weight_n)
    }

    /// The forces on a box that is a plate and on the floor, N. The weight leaves the box along a
    /// straight line in 0.1 s; the body is falling from then on.
    pub fn box_and_floor_n(&self, rate_hz: f64) -> (Vec<f64>, Vec<f64>) {
        let weight_n = self.mass_kg * GRAVITY;
        let already = GRAVITY * STEPPING_OFF_S / 2.0;
        let fall_s = (-self.touch_down_velocity_m_s() - already) / GRAVITY;
        let floor = self.floor(ON_BOX_S + STEPPING_OFF_S + fall_s);
        let after_s = floor.duration_s() - ON_BOX_S - STEPPING_OFF_S;
        let above = Shape::new()
            .hold(ON_BOX_S, weight_n)
            .then(STEPPING_OFF_S, move |u| weight_n * (1.0 - u / STEPPING_OFF_S))
            .hold(after_s, 0.0);
        (above.sample(rate_hz), floor.sample(rate_hz))
    }
}
