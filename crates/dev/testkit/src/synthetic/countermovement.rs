//! Countermovement jumps: one of straight levels, one of smooth sines.

use super::{GRAVITY, Shape};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::f64::consts::PI;

/// A jump made of half-sines: standing, a dip below the weight, a drive above it, a straight fall
/// to zero, flight, and a landing that comes to rest exactly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmoothJump {
    /// Mass of the system, kg.
    pub mass_kg: f64,
    /// Quiet standing before, s.
    pub standing_s: f64,
    /// Dip below the weight, as a fraction of it, and its duration, s.
    pub dip: (f64, f64),
    /// Drive above the weight, as a fraction of it, and its duration, s.
    pub drive: (f64, f64),
    /// From weight to nothing, s.
    pub release_s: f64,
    /// Touch-down to standstill, s.
    pub landing_s: f64,
    /// Quiet standing after, s.
    pub after_s: f64,
}

impl Default for SmoothJump {
    fn default() -> Self {
        Self {
            mass_kg: 75.0,
            standing_s: 2.0,
            dip: (0.65, 0.34),
            drive: (1.45, 0.42),
            release_s: 0.04,
            landing_s: 0.30,
            after_s: 2.0,
        }
    }
}

/// What is true of a smooth jump, from its formulas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmoothJumpTruth {
    /// Weight, N.
    pub weight_n: f64,
    /// Start of the dip, s.
    pub onset_s: f64,
    /// Fastest descent: when, s, and how fast, m/s (negative).
    pub fastest_descent: (f64, f64),
    /// Bottom: when, s, and displacement, m (negative).
    pub bottom: (f64, f64),
    /// Take-off, s.
    pub take_off_s: f64,
    /// Velocity at take-off, m/s.
    pub take_off_velocity_m_s: f64,
    /// Displacement at take-off, m.
    pub take_off_rise_m: f64,
    /// Height after take-off, m.
    pub height_m: f64,
    /// Touch-down, s.
    pub landing_s: f64,
    /// Net impulse of the drive after the bottom: momentum, N s.
    pub momentum_n_s: f64,
    /// Force at the bottom, N.
    pub bottom_force_n: f64,
    /// Largest force of the drive, N.
    pub peak_force_n: f64,
}

impl SmoothJump {
    /// The truth by integrating the half-sines.
    pub fn truth(&self) -> SmoothJumpTruth {
        let weight_n = self.mass_kg * GRAVITY;
        let ((dip, dip_s), (drive, drive_s)) = (self.dip, self.drive);
        let descent_m_s = -2.0 * GRAVITY * dip * dip_s / PI;
        let descent_m = -GRAVITY * dip * dip_s * dip_s / PI;
        let gain = GRAVITY * drive * drive_s / PI;
        // descent + gain (1 - cos(pi u / drive_s)) = 0 at the bottom.
        let to_bottom_s = drive_s / PI * (1.0 + descent_m_s / gain).acos();
        let displacement_m = |u: f64| {
            descent_m + descent_m_s * u + gain * (u - drive_s / PI * (PI * u / drive_s).sin())
        };
        let drive_end_m_s = descent_m_s + 2.0 * gain;
        let take_off_velocity_m_s = drive_end_m_s - GRAVITY * self.release_s / 2.0;
        let onset_s = self.standing_s;
        let take_off_s = onset_s + dip_s + drive_s + self.release_s;
        SmoothJumpTruth {
            weight_n,
            onset_s,
            fastest_descent: (onset_s + dip_s, descent_m_s),
            bottom: (onset_s + dip_s + to_bottom_s, displacement_m(to_bottom_s)),
            take_off_s,
            take_off_velocity_m_s,
            take_off_rise_m: displacement_m(drive_s) + drive_end_m_s * self.release_s
                - GRAVITY * self.release_s * self.release_s / 6.0,
            height_m: take_off_velocity_m_s.powi(2) / (2.0 * GRAVITY),
            landing_s: take_off_s + 2.0 * take_off_velocity_m_s / GRAVITY,
            momentum_n_s: self.mass_kg * take_off_velocity_m_s,
            bottom_force_n: weight_n * (1.0 + drive * (PI * to_bottom_s / drive_s).sin()),
            peak_force_n: weight_n * (1.0 + drive),
        }
    }

    /// The force as a formula.
    pub fn shape(&self) -> Shape {
        let SmoothJumpTruth { momentum_n_s, take_off_velocity_m_s, .. } = self.truth();
        self.shape_of(take_off_velocity_m_s, momentum_n_s)
    }

    /// The force of a flight and a landing other than those of a start from rest.
    pub(super) fn shape_of(&self, take_off_velocity_m_s: f64, momentum_n_s: f64) -> Shape {
        let weight_n = self.mass_kg * GRAVITY;
        let flight_s = 2.0 * take_off_velocity_m_s / GRAVITY;
        let ((dip, dip_s), (drive, drive_s)) = (self.dip, self.drive);
        let release_s = self.release_s;
        let start = Shape::new()
            .hold(self.standing_s, weight_n)
            .then(dip_s, move |u| weight_n * (1.0 - dip * (PI * u / dip_s).sin()))
            .then(drive_s, move |u| weight_n * (1.0 + drive * (PI * u / drive_s).sin()))
            .then(release_s, move |u| weight_n * (1.0 - u / release_s))
            .hold(flight_s, 0.0);
        landing(start, weight_n, momentum_n_s, self.landing_s).hold(self.after_s, weight_n)
    }

    /// The force at a rate, N.
    pub fn force_n(&self, rate_hz: f64) -> Vec<f64> {
        self.shape().sample(rate_hz)
    }

    /// Force and clock of the left plate's share of a jump on two plates: half until the fastest
    /// descent, then a share while braking and another from the bottom on.
    pub fn sides_n(&self, rate_hz: f64, braking: f64, propulsion: f64) -> (Vec<f64>, Vec<f64>) {
        let truth = self.truth();
        let share = |time_s: f64| {
            if time_s < truth.fastest_descent.0 {
                0.5
            } else if time_s < truth.bottom.0 {
                braking
            } else {
                propulsion
            }
        };
        let total = self.force_n(rate_hz);
        total
            .iter()
            .enumerate()
            .map(|(i, f)| (f * share(i as f64 / rate_hz), f))
            .map(|(left, total)| (left, total - left))
            .unzip()
    }
}

/// A landing that takes up a momentum in a time: a ramp to the weight under a half-sine. Its
/// net impulse is the momentum exactly.
pub(super) fn landing(before: Shape, weight_n: f64, momentum_n_s: f64, duration_s: f64) -> Shape {
    let crest_n = PI * (momentum_n_s + weight_n * duration_s / 2.0) / (2.0 * duration_s);
    before.then(duration_s, move |u| {
        weight_n * u / duration_s + crest_n * (PI * u / duration_s).sin()
    })
}

/// A jump of straight levels: 75 kg; weight 1.5 s, half of it 0.30 s, twice it 0.15 s and 0.27 s,
/// nothing 0.54 s, three times it 0.135 s, weight. By the impulse-momentum theorem the velocity is
/// -1.4709975 m/s after the dip, zero 0.15 s later, 2.6477955 m/s at take-off.
pub fn rectangular() -> Shape {
    let weight_n = 75.0 * GRAVITY;
    Shape::new()
        .hold(1.5, weight_n)
        .hold(0.30, 0.5 * weight_n)
        .hold(0.42, 2.0 * weight_n)
        .hold(0.54, 0.0)
        .hold(0.135, 3.0 * weight_n)
        .hold(1.365, weight_n)
}

/// A jump drawn at random, and its force with noise.
#[derive(Clone, Debug, PartialEq)]
pub struct RandomJump {
    /// The jump without noise.
    pub jump: SmoothJump,
    /// Standard deviation of the noise, N.
    pub noise_n: f64,
    /// Seed it was drawn from.
    pub seed: u64,
}

impl RandomJump {
    /// The jump of a seed: 45 to 120 kg, take-off at 1.6 to 3.4 m/s, noise of 0.5 to 4 N.
    pub fn of(seed: u64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        loop {
            let jump = SmoothJump {
                mass_kg: random.random_range(45.0..120.0),
                standing_s: random.random_range(1.5..2.5),
                dip: (random.random_range(0.4..0.8), random.random_range(0.25..0.45)),
                drive: (random.random_range(1.1..1.8), random.random_range(0.35..0.50)),
                release_s: random.random_range(0.03..0.06),
                landing_s: random.random_range(0.2..0.4),
                after_s: 1.5,
            };
            if (1.6..3.4).contains(&jump.truth().take_off_velocity_m_s) {
                return Self { jump, noise_n: random.random_range(0.5..4.0), seed };
            }
        }
    }

    /// Its force at a rate, noise included, N.
    pub fn force_n(&self, rate_hz: f64) -> Vec<f64> {
        super::noisy(&self.jump.force_n(rate_hz), self.noise_n, self.seed)
    }
}
