//! Invented athletes whose height falls with load in ways that the estimator does not know
//! beforehand: straight, bent, sigmoid, with a knee. Loads here are in body masses, heights in m.

use cornerwork_core::profile::load_momentum::{HeightMethod, LoadedJump};
use cornerwork_core::units::{Length, Mass};
use rand::Rng;
use rand_distr::{Distribution, StandardNormal, StudentT};

use crate::jumping_athlete::draw_within_3_sd;

/// Standard gravity, in m/s².
const GRAVITY: f64 = 9.806_65;
/// Heaviest load at which the peak is looked for, in body masses.
const SEARCH_LIMIT: f64 = 1.25;
/// A jump lower than this, in m, is not called one.
const LOWEST_JUMP: f64 = 0.02;

/// Kinds of falls that athletes are drawn from; parameters as mean ± SD, in body masses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FallTruth {
    /// Height straight to nothing at 1.30 ± 0.15.
    Straight,
    /// Take-off velocity straight to nothing at 2.1 ± 0.25.
    StraightVelocity,
    /// `exp(-x/λ)`, λ 0.80 ± 0.10.
    Exponential,
    /// A straight force-velocity line: V0 3.3 ± 0.4 m/s, push-off 0.40 ± 0.03 m.
    ForceVelocity,
    /// A logistic drop about 0.70 ± 0.10, 0.14 ± 0.02 wide.
    Sigmoid,
    /// `exp(-x²/2w²)`, w 0.62 ± 0.07.
    Bell,
    /// Flat (0.5 ± 0.08 of the height a body mass), from 0.35 ± 0.06 on steep (1.5 ± 0.2).
    KneeEarly,
    /// 0.55 ± 0.08, from 0.65 ± 0.07 on 1.9 ± 0.2.
    KneeLate,
    /// 0.30 ± 0.05 to a knee at 0.50 ± 0.05, then to nothing at one body mass.
    KneeHarsh,
    /// Steep (1.0 ± 0.1), from 0.30 ± 0.05 on flatter (0.55 ± 0.06).
    SteepThenFlat,
}

impl FallTruth {
    /// All kinds.
    pub const ALL: [Self; 10] = [
        Self::Straight,
        Self::StraightVelocity,
        Self::Exponential,
        Self::ForceVelocity,
        Self::Sigmoid,
        Self::Bell,
        Self::KneeEarly,
        Self::KneeLate,
        Self::KneeHarsh,
        Self::SteepThenFlat,
    ];

    /// Its name in tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Straight => "straight in height",
            Self::StraightVelocity => "straight in velocity",
            Self::Exponential => "exponential",
            Self::ForceVelocity => "force-velocity line",
            Self::Sigmoid => "sigmoid",
            Self::Bell => "bell",
            Self::KneeEarly => "knee, early",
            Self::KneeLate => "knee, late",
            Self::KneeHarsh => "knee, harsh",
            Self::SteepThenFlat => "steep, then flat",
        }
    }

    /// Whether it falls faster from one load on.
    pub const fn has_knee(self) -> bool {
        matches!(self, Self::KneeEarly | Self::KneeLate | Self::KneeHarsh)
    }
}

/// How jumps stray from the athlete's own mean: SD as a fraction of height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FallNoise {
    /// Not at all.
    None,
    /// Normal.
    Normal(f64),
    /// Student's t of three degrees, scaled to this SD.
    HeavyTailed(f64),
}

#[derive(Clone, Copy, Debug)]
enum Law {
    Power { vanishes: f64, power: i32 },
    Exponential { decay: f64 },
    ForceVelocity { force: f64, velocity: f64, push_off: f64 },
    Sigmoid { middle: f64, width: f64 },
    Bell { width: f64 },
    Knee { knee: f64, before: f64, after: f64 },
}

/// One of them.
#[derive(Clone, Copy, Debug)]
pub struct FallingAthlete {
    /// Body mass.
    pub body_mass: Mass,
    unloaded: f64,
    law: Law,
    noise: FallNoise,
    peak: f64,
}

impl FallingAthlete {
    /// One athlete of a kind; unloaded height 0.38 ± 0.06 m.
    pub fn draw(
        truth: FallTruth,
        body_mass: Mass,
        noise: FallNoise,
        random: &mut impl Rng,
    ) -> Self {
        let mut about = |mean: f64, sd: f64| draw_within_3_sd(mean, sd, random);
        let unloaded = about(0.38, 0.06);
        let law = match truth {
            FallTruth::Straight => Law::Power { vanishes: about(1.30, 0.15), power: 1 },
            FallTruth::StraightVelocity => Law::Power { vanishes: about(2.1, 0.25), power: 2 },
            FallTruth::Exponential => Law::Exponential { decay: about(0.80, 0.10) },
            FallTruth::ForceVelocity => {
                let (velocity, push_off) = (about(3.3, 0.4), about(0.40, 0.03));
                // Samozino et al. 2008: mean force m g (h/d + 1), mean velocity half of take-off.
                let mean_velocity = (2.0 * GRAVITY * unloaded).sqrt() / 2.0;
                let mean_force = GRAVITY * (unloaded / push_off + 1.0);
                let force = mean_force / (1.0 - mean_velocity / velocity);
                Law::ForceVelocity { force, velocity, push_off }
            }
            FallTruth::Sigmoid => {
                Law::Sigmoid { middle: about(0.70, 0.10), width: about(0.14, 0.02) }
            }
            FallTruth::Bell => Law::Bell { width: about(0.62, 0.07) },
            FallTruth::KneeEarly => Law::Knee {
                knee: about(0.35, 0.06),
                before: about(0.5, 0.08),
                after: about(1.5, 0.2),
            },
            FallTruth::KneeLate => Law::Knee {
                knee: about(0.65, 0.07),
                before: about(0.55, 0.08),
                after: about(1.9, 0.2),
            },
            FallTruth::KneeHarsh => {
                let (knee, before) = (about(0.50, 0.05), about(0.30, 0.05));
                Law::Knee { knee, before, after: (1.0 - before * knee) / (1.0 - knee) }
            }
            FallTruth::SteepThenFlat => Law::Knee {
                knee: about(0.30, 0.05),
                before: about(1.0, 0.1),
                after: about(0.55, 0.06),
            },
        };
        let athlete = Self { body_mass, unloaded, law, noise, peak: 0.0 };
        Self { peak: athlete.searched_peak(), ..athlete }
    }

    /// Mean height with a load in body masses.
    pub fn height(&self, load: f64) -> f64 {
        let share = match self.law {
            Law::Power { vanishes, power } => (1.0 - load / vanishes).max(0.0).powi(power),
            Law::Exponential { decay } => (-load / decay).exp(),
            Law::ForceVelocity { force, velocity, push_off } => {
                return force_velocity_height(1.0 + load, force, velocity, push_off);
            }
            Law::Sigmoid { middle, width } => {
                (1.0 + (-middle / width).exp()) / (1.0 + ((load - middle) / width).exp())
            }
            Law::Bell { width } => (-0.5 * (load / width).powi(2)).exp(),
            Law::Knee { knee, before, after } => {
                (1.0 - before * load.min(knee) - after * (load - knee).max(0.0)).max(0.0)
            }
        };
        self.unloaded * share
    }

    /// Mean momentum with a load in body masses, in m/s times body mass.
    pub fn momentum(&self, load: f64) -> f64 {
        (1.0 + load) * (2.0 * GRAVITY * self.height(load)).sqrt()
    }

    /// Load of the peak, in body masses.
    pub const fn peak(&self) -> f64 {
        self.peak
    }

    fn searched_peak(&self) -> f64 {
        let loads = (0..=2500).map(|step| SEARCH_LIMIT * f64::from(step) / 2500.0);
        let heavier = |best: f64, next| {
            if self.momentum(next) > self.momentum(best) { next } else { best }
        };
        loads.fold(0.0, heavier)
    }

    /// Share of the peak momentum lost with a load in body masses.
    pub fn loss(&self, load: f64) -> f64 {
        1.0 - self.momentum(load) / self.momentum(self.peak)
    }

    /// One jump with a load in body masses; `None` when it is too low to be one.
    pub fn jump(&self, load: f64, random: &mut impl Rng) -> Option<LoadedJump> {
        let strays = match self.noise {
            FallNoise::None => 0.0,
            FallNoise::Normal(sd) => {
                let standard: f64 = StandardNormal.sample(random);
                sd * standard
            }
            FallNoise::HeavyTailed(sd) => {
                let heavy: f64 = StudentT::new(3.0).map_or(0.0, |t| t.sample(random));
                sd * heavy / 3.0_f64.sqrt()
            }
        };
        let height = self.height(load) * (1.0 + strays);
        (height >= LOWEST_JUMP).then(|| {
            let (load, height) = (self.body_mass * load, Length::metres(height));
            LoadedJump::of_height(load, height, HeightMethod::FlightTime)
        })
    }
}

/// Height of a straight force-velocity line, all per kilogram of body mass.
fn force_velocity_height(mass: f64, force: f64, velocity: f64, push_off: f64) -> f64 {
    if force <= mass * GRAVITY {
        return 0.0;
    }
    let half_slope = force / (2.0 * velocity);
    let root = (half_slope * half_slope + 2.0 * mass / push_off * (force - mass * GRAVITY)).sqrt();
    (push_off / mass * (root - half_slope)).powi(2) / (2.0 * GRAVITY)
}
