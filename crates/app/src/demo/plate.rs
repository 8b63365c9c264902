//! What an invented pair of force plates writes down: a jump made of half-sines, a pull that rises
//! and holds, with the sway and the noise of real ones.

use super::performance::Chance;
use std::f64::consts::PI;
use std::fmt::Write;

pub(super) const GRAVITY: f64 = 9.806_65;
pub(super) const RATE_HZ: f64 = 1000.0;
/// Columns of the files.
pub(super) const HEADING: [&str; 3] = ["Time (s)", "Fz left (N)", "Fz right (N)"];

/// A jump for the plates.
#[derive(Clone, Copy, Debug)]
pub(super) struct Jump {
    /// Body and bar, kg.
    pub mass_kg: f64,
    /// Velocity at take-off, m/s.
    pub take_off_m_s: f64,
    /// How far the athlete sways while weighed, N.
    pub sway_n: f64,
    /// Whether a shift of weight comes before the movement.
    pub shifts_first: bool,
    /// Whether it starts from a held squat, without a dip.
    pub held: bool,
}

/// Quiet standing before a jump, seconds.
pub(super) const STANDING_S: f64 = 1.8;
/// Dip and drive: durations, and the depth of the dip as a share of weight.
const DIP_S: f64 = 0.34;
const DIP_SHARE: f64 = 0.65;
const DRIVE_S: f64 = 0.42;
/// Drive out of a held squat: half the way of one after a dip.
const HELD_DRIVE_S: f64 = 0.26;
const RELEASE_S: f64 = 0.04;
const LANDING_S: f64 = 0.28;
const AFTER_S: f64 = 1.2;
/// A shift of weight before the movement: when, how long, how much.
const SHIFT: (f64, f64, f64) = (1.25, 0.12, 55.0);

impl Jump {
    /// Vertical force in newtons, one a sample.
    fn force_n(&self) -> Vec<f64> {
        let weight_n = self.mass_kg * GRAVITY;
        // Impulse and momentum: half a sine of height h over T adds 2 h T / π.
        let (dip_s, drive_s) = if self.held { (0.0, HELD_DRIVE_S) } else { (DIP_S, DRIVE_S) };
        let descent_m_s = 2.0 * GRAVITY * DIP_SHARE * dip_s / PI;
        let gained_m_s = self.take_off_m_s + descent_m_s + GRAVITY * RELEASE_S / 2.0;
        let drive_share = gained_m_s * PI / (2.0 * GRAVITY * drive_s);
        let landing_share = self.take_off_m_s * PI / (2.0 * GRAVITY * LANDING_S);
        let flight_s = 2.0 * self.take_off_m_s / GRAVITY;
        let sine = |share: f64, over_s: f64| move |u: f64| 1.0 + share * (PI * u / over_s).sin();
        let mut force = Vec::new();
        let mut then = |over_s: f64, weights: &dyn Fn(f64) -> f64| {
            let samples = (over_s * RATE_HZ).round() as usize;
            force.extend((0..samples).map(|i| weight_n * weights(i as f64 / RATE_HZ)));
        };
        then(STANDING_S, &|_| 1.0);
        then(dip_s, &sine(-DIP_SHARE, dip_s));
        then(drive_s, &sine(drive_share, drive_s));
        then(RELEASE_S, &|u| 1.0 - u / RELEASE_S);
        then(flight_s, &|_| 0.0);
        then(LANDING_S, &sine(landing_share, LANDING_S));
        then(AFTER_S, &|_| 1.0);
        self.unsteady(&mut force);
        force
    }

    /// Sway while standing, and the shift of weight before the movement.
    fn unsteady(&self, force: &mut [f64]) {
        let (from_s, over_s, size_n) = SHIFT;
        for (index, value) in force.iter_mut().enumerate().take((STANDING_S * RATE_HZ) as usize) {
            let time_s = index as f64 / RATE_HZ;
            *value += self.sway_n * (2.0 * PI * 1.3 * time_s).sin();
            let into = (time_s - from_s) / over_s;
            if self.shifts_first && (0.0..1.0).contains(&into) {
                *value += size_n * (PI * into).sin();
            }
        }
    }

    /// The file.
    pub(super) fn file(&self, chance: &mut Chance) -> Vec<u8> {
        written(&self.force_n(), chance)
    }
}

/// An isometric pull: body weight, then a rise to the peak and a hold.
pub(super) fn pull(mass_kg: f64, peak_n: f64, chance: &mut Chance) -> Vec<u8> {
    let weight_n = mass_kg * GRAVITY;
    let rise = |time_s: f64| match time_s - 1.6 {
        before if before < 0.0 => weight_n,
        since => weight_n + (peak_n - weight_n) * (1.0 - (-since / 0.16).exp()),
    };
    let force: Vec<f64> = (0..4600).map(|i| rise(f64::from(i) / RATE_HZ)).collect();
    written(&force, chance)
}

/// A table of text as plates write it: left and right, a tenth of a newton, with noise.
pub(super) fn written(force_n: &[f64], chance: &mut Chance) -> Vec<u8> {
    const NOISE_N: f64 = 1.2;
    const LEFT_SHARE: f64 = 0.52;
    let mut text = HEADING.join(",");
    text.push('\n');
    for (index, force) in force_n.iter().enumerate() {
        let left = force * LEFT_SHARE + chance.normal(NOISE_N);
        let right = force * (1.0 - LEFT_SHARE) + chance.normal(NOISE_N);
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{:.3},{left:.1},{right:.1}", index as f64 / RATE_HZ);
    }
    text.into_bytes()
}
