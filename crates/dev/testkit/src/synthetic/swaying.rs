//! Countermovement jumps of athletes who sway while they stand, with exact truths.
//!
//! Sway is a sum of oscillations of the centre of mass, of any model. Before the jump it ends where
//! the dip begins, and the velocity it has there is carried through the jump; after the landing it
//! begins with the velocity it has then. So the closed forms of the jump hold but for that velocity.

use super::countermovement::RandomJump;
use super::{GRAVITY, noisy};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::f64::consts::{PI, TAU};
use std::ops::Range;

/// A model of sway that is not the program's own.
#[derive(Clone, Debug, PartialEq)]
pub enum Sway {
    /// None.
    None,
    /// One oscillation of 0.3 to 0.6 Hz and one of 1 to 2 Hz, each of an amplitude out of a range,
    /// as a fraction of weight.
    TwoTones(Range<f64>),
    /// The slow one alone.
    OneTone(Range<f64>),
    /// Forty oscillations spread over 0.2 to 2 Hz, of a standard deviation together out of a range.
    Band(Range<f64>),
}

/// A jump with sway before and after, and noise.
#[derive(Clone, Debug, PartialEq)]
pub struct SwayingJump {
    /// The jump without sway.
    pub still: RandomJump,
    before: Vec<Oscillation>,
    after: Vec<Oscillation>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Oscillation {
    fraction: f64,
    hz: f64,
    phase: f64,
}

impl Oscillation {
    fn force(&self, time_s: f64) -> f64 {
        self.fraction * (TAU * self.hz * time_s + self.phase).cos()
    }
    fn velocity_m_s(&self, time_s: f64) -> f64 {
        let turn = TAU * self.hz;
        GRAVITY * self.fraction / turn * (turn * time_s + self.phase).sin()
    }
}

fn velocity_m_s(sway: &[Oscillation], time_s: f64) -> f64 {
    sway.iter().map(|one| one.velocity_m_s(time_s)).sum()
}

impl Sway {
    fn draw(&self, random: &mut ChaCha8Rng) -> Vec<Oscillation> {
        let mut tone = |hz: Range<f64>, fraction: &Range<f64>| Oscillation {
            fraction: random.random_range(fraction.clone()),
            hz: random.random_range(hz),
            phase: random.random_range(0.0..TAU),
        };
        match self {
            Self::None => Vec::new(),
            Self::TwoTones(fraction) => vec![tone(0.3..0.6, fraction), tone(1.0..2.0, fraction)],
            Self::OneTone(fraction) => vec![tone(0.3..0.6, fraction)],
            Self::Band(deviation) => {
                let mut tones: Vec<_> = (0..40).map(|_| tone(0.2..2.0, &(0.0..1.0))).collect();
                let power: f64 = tones.iter().map(|one| one.fraction.powi(2) / 2.0).sum();
                let scale = random.random_range(deviation.clone()) / power.sqrt();
                tones.iter_mut().for_each(|one| one.fraction *= scale);
                tones
            }
        }
    }
}

impl SwayingJump {
    /// The jump of a seed, stood for some time before and after, in seconds.
    pub fn of(seed: u64, sway: &Sway, before_s: Range<f64>, after_s: f64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        random.set_stream(100);
        let mut still = RandomJump::of(seed);
        still.jump.standing_s = random.random_range(before_s);
        still.jump.after_s = after_s;
        Self { still, before: sway.draw(&mut random), after: sway.draw(&mut random) }
    }

    /// Velocity at take-off: that of the jump and what the body had when it began, m/s.
    pub fn take_off_velocity_m_s(&self) -> f64 {
        let truth = self.still.jump.truth();
        truth.take_off_velocity_m_s + velocity_m_s(&self.before, truth.onset_s)
    }

    /// Height after take-off, m.
    pub fn height_m(&self) -> f64 {
        self.take_off_velocity_m_s().powi(2) / (2.0 * GRAVITY)
    }

    /// The force at a rate, noise included, N.
    pub fn force_n(&self, rate_hz: f64) -> Vec<f64> {
        let jump = &self.still.jump;
        let (truth, weight_n) = (jump.truth(), jump.mass_kg * GRAVITY);
        let take_off = self.take_off_velocity_m_s();
        let still_s = truth.take_off_s + 2.0 * take_off / GRAVITY + jump.landing_s;
        let momentum = jump.mass_kg * (take_off + velocity_m_s(&self.after, still_s));
        let mut force_n = jump.shape_of(take_off, momentum).sample(rate_hz);
        for (sample, force) in force_n.iter_mut().enumerate() {
            let time_s = sample as f64 / rate_hz;
            let sway = match time_s {
                t if t < truth.onset_s => &self.before,
                t if t > still_s => &self.after,
                _ => continue,
            };
            *force += weight_n * sway.iter().map(|one| one.force(time_s)).sum::<f64>();
        }
        noisy(&force_n, self.still.noise_n, self.still.seed)
    }
}

/// Standard deviation of the height of the centre of mass in one slow oscillation, m: how large a
/// fraction of weight is as a movement.
pub fn movement_m(fraction: f64, hz: f64) -> f64 {
    GRAVITY * fraction / (2.0 * PI * hz).powi(2) / 2.0_f64.sqrt()
}
