//! Laws of how jump height falls with load, with where momentum then peaks in closed form.
//!
//! The falls that the estimator weighs against each other are in `fall`; those here are laws that
//! it does not know, for readings of other kinds and for tests.

use crate::units::{Acceleration, Force, Length, Mass, Momentum, Velocity};

pub use super::fall::{FallFamily, HeightFall};

/// Take-off velocity that carries the centre of mass this high: `sqrt(2 g h)`.
pub fn take_off_velocity(height: Length, gravity: Acceleration) -> Velocity {
    let squared = 2.0 * gravity.in_metres_per_second_squared() * height.in_metres();
    Velocity::metres_per_second(squared.max(0.0).sqrt())
}

/// Height the centre of mass rises from this take-off velocity: `v² / 2g`.
pub fn height_from_velocity(velocity: Velocity, gravity: Acceleration) -> Length {
    let v = velocity.in_metres_per_second();
    Length::metres(v * v / (2.0 * gravity.in_metres_per_second_squared()))
}

/// A quadratic fall, `1 - aL + bL²` with a positive `b`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuadraticFall {
    /// `a`, per kilogram.
    pub linear_per_kg: f64,
    /// `b`, per kilogram squared; positive.
    pub square_per_kg2: f64,
}

impl QuadraticFall {
    /// Load where momentum peaks, or `None` when it rises as far as the fall makes sense.
    pub fn peak_load(self, body_mass: Mass) -> Option<Mass> {
        let (a, b, m) = (self.linear_per_kg, self.square_per_kg2, body_mass.in_kilograms());
        let middle = 3.0 * a - 2.0 * b * m;
        let under_root = middle * middle - 16.0 * b * (2.0 - a * m);
        if under_root < 0.0 {
            return None;
        }
        let load = (middle - under_root.sqrt()) / (8.0 * b);
        (load <= a / (2.0 * b)).then(|| Mass::kilograms(load.max(0.0)))
    }
}

/// The mean-force, mean-velocity line of a push-off (Samozino et al. 2008, J Biomech 41:2940):
/// mean force `m g (h/d + 1)` falls in a straight line with mean velocity `v/2`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceVelocityFall {
    /// Mean force at no velocity, `F0`.
    pub maximum_force: Force,
    /// Mean velocity at no force, `V0`.
    pub maximum_velocity: Velocity,
    /// Distance of the push-off, `d`.
    pub push_off: Length,
    /// Gravity.
    pub gravity: Acceleration,
}

impl ForceVelocityFall {
    /// The line of an athlete known by an unloaded height.
    pub fn through_unloaded_height(
        body_mass: Mass,
        unloaded_height: Length,
        maximum_velocity: Velocity,
        push_off: Length,
        gravity: Acceleration,
    ) -> Self {
        let mean_force = body_mass * gravity * (unloaded_height / push_off + 1.0);
        let mean_velocity = take_off_velocity(unloaded_height, gravity) / 2.0;
        let maximum_force = mean_force / (1.0 - mean_velocity / maximum_velocity);
        Self { maximum_force, maximum_velocity, push_off, gravity }
    }

    /// Take-off velocity with a system mass; zero when the mass cannot be lifted.
    pub fn take_off_velocity(self, system_mass: Mass) -> Velocity {
        let (f0, v0, d, g) = self.numbers();
        let m = system_mass.in_kilograms();
        if f0 <= m * g {
            return Velocity::ZERO;
        }
        let half_slope = f0 / (2.0 * v0);
        let root = (half_slope * half_slope + 2.0 * m / d * (f0 - m * g)).sqrt();
        Velocity::metres_per_second(d / m * (root - half_slope))
    }

    /// Height with a system mass.
    pub fn height(self, system_mass: Mass) -> Length {
        height_from_velocity(self.take_off_velocity(system_mass), self.gravity)
    }

    /// Take-off velocity where momentum peaks: free of strength and of body mass.
    pub fn peak_take_off_velocity(self) -> Velocity {
        let (_, v0, d, g) = self.numbers();
        let gd = g * d;
        Velocity::metres_per_second(gd / v0 * ((1.0 + 2.0 * v0 * v0 / gd).sqrt() - 1.0))
    }

    /// System mass where momentum peaks.
    pub fn peak_system_mass(self) -> Mass {
        let (f0, v0, d, g) = self.numbers();
        let v = self.peak_take_off_velocity().in_metres_per_second();
        Mass::kilograms(f0 * (1.0 - v / (2.0 * v0)) / (g + v * v / (2.0 * d)))
    }

    /// Momentum at take-off with a system mass.
    pub fn momentum(self, system_mass: Mass) -> Momentum {
        system_mass * self.take_off_velocity(system_mass)
    }

    fn numbers(self) -> (f64, f64, f64, f64) {
        (
            self.maximum_force.in_newtons(),
            self.maximum_velocity.in_metres_per_second(),
            self.push_off.in_metres(),
            self.gravity.in_metres_per_second_squared(),
        )
    }
}
