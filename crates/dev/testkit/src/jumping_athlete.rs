//! Invented athletes who jump with loads: the truth is known, the jumps are noisy.

use cornerwork_core::profile::load_momentum::shape::{
    FallFamily, ForceVelocityFall, HeightFall, height_from_velocity, take_off_velocity,
};
use cornerwork_core::profile::load_momentum::{HeightMethod, LoadMomentumPriors, LoadedJump};
use cornerwork_core::units::{Length, Mass, Momentum, STANDARD_GRAVITY, Velocity};
use rand::{Rng, RngExt};
use rand_distr::{Distribution, Normal};

/// Kinds of truth that athletes are drawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    /// The estimator's own starting knowledge.
    OwnPriors,
    /// A straight force-velocity line (Samozino et al. 2008), which is not among the
    /// estimator's falls: h0 0.38 ± 0.06 m, V0 3.2 ± 0.4 m/s, push-off 0.40 ± 0.03 m.
    ForceVelocityPhysics,
    /// Height in a straight line to nothing at 1.30 ± 0.15 body masses.
    StraightLine,
    /// Take-off velocity nearly in a straight line: v0 2.75 ± 0.25 m/s, loss of 0.48 ± 0.08 of
    /// it at body mass, a slight bend (± 0.05), and noise in proportion (2.5 % of velocity).
    NearlyStraightVelocity,
}

impl Truth {
    /// All kinds.
    pub const ALL: [Self; 4] = [
        Self::OwnPriors,
        Self::ForceVelocityPhysics,
        Self::StraightLine,
        Self::NearlyStraightVelocity,
    ];

    /// Its letter in tables.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::OwnPriors => "A",
            Self::ForceVelocityPhysics => "B",
            Self::StraightLine => "C",
            Self::NearlyStraightVelocity => "D",
        }
    }
}

#[derive(Clone, Copy, Debug)]
enum Law {
    Fall { unloaded_height: Length, fall: HeightFall },
    ForceVelocity(ForceVelocityFall),
    Velocity { unloaded: Velocity, loss_at_body_mass: f64, bend: f64 },
}

/// How far one jump strays from the athlete's own mean.
#[derive(Clone, Copy, Debug)]
pub enum JumpNoise {
    /// SD of height, in m, whatever the height.
    Height(f64),
    /// SD of take-off velocity, as a fraction of it.
    VelocityFraction(f64),
}

/// An athlete who jumps higher or lower by chance, about a known mean.
#[derive(Clone, Copy, Debug)]
pub struct JumpingAthlete {
    /// Body mass.
    pub body_mass: Mass,
    law: Law,
    noise: JumpNoise,
}

/// A jump lower than this would not be called a jump.
const LOWEST_JUMP_M: f64 = 0.02;

impl JumpingAthlete {
    /// One athlete of a kind.
    pub fn draw(truth: Truth, random: &mut impl Rng) -> Self {
        let mut about = |mean: f64, sd: f64| draw_within_3_sd(mean, sd, random);
        let body_mass = match truth {
            Truth::NearlyStraightVelocity => Mass::kilograms(about(70.0, 8.0)),
            _ => Mass::kilograms(about(75.0, 12.0)),
        };
        let law = match truth {
            Truth::OwnPriors => {
                let priors = LoadMomentumPriors::STRAIGHT_BAR;
                let share = about(priors.share_at_half_body_mass, priors.share_sd);
                let height_sd = priors.unloaded_height_sd.in_metres();
                let height_m = about(priors.unloaded_height.in_metres(), height_sd);
                let falls = any_family(&priors, random).falls_through(share, body_mass);
                let fall = falls[random.random_range(0..falls.len())];
                Law::Fall { unloaded_height: Length::metres(height_m), fall }
            }
            Truth::ForceVelocityPhysics => {
                Law::ForceVelocity(ForceVelocityFall::through_unloaded_height(
                    body_mass,
                    Length::metres(about(0.38, 0.06)),
                    Velocity::metres_per_second(about(3.2, 0.4)),
                    Length::metres(about(0.40, 0.03)),
                    STANDARD_GRAVITY,
                ))
            }
            Truth::StraightLine => {
                let zero_height_load = body_mass * about(1.30, 0.15);
                let fall = HeightFall::Power { exponent: 1, zero_height_load };
                Law::Fall { unloaded_height: Length::metres(about(0.38, 0.06)), fall }
            }
            Truth::NearlyStraightVelocity => Law::Velocity {
                unloaded: Velocity::metres_per_second(about(2.75, 0.25)),
                loss_at_body_mass: about(0.48, 0.08),
                bend: about(0.0, 0.05),
            },
        };
        let noise = match truth {
            Truth::NearlyStraightVelocity => JumpNoise::VelocityFraction(0.025),
            _ => JumpNoise::Height(0.012),
        };
        Self { body_mass, law, noise }
    }

    /// The same fall of height in another body.
    pub const fn with_body_mass(self, body_mass: Mass) -> Self {
        Self { body_mass, ..self }
    }

    /// The same athlete with other noise.
    pub const fn with_noise(self, noise: JumpNoise) -> Self {
        Self { noise, ..self }
    }

    /// Mean height with a load.
    pub fn height(&self, load: Mass) -> Length {
        match self.law {
            Law::Fall { unloaded_height, fall } => unloaded_height * fall.share(load),
            Law::ForceVelocity(line) => line.height(self.body_mass + load),
            Law::Velocity { unloaded, loss_at_body_mass, bend } => {
                let relative = load / self.body_mass;
                let share = 1.0 - loss_at_body_mass * relative + bend * relative * (1.0 - relative);
                height_from_velocity(unloaded * share.max(0.0), STANDARD_GRAVITY)
            }
        }
    }

    /// Mean momentum with a load.
    pub fn momentum(&self, load: Mass) -> Momentum {
        (self.body_mass + load) * take_off_velocity(self.height(load), STANDARD_GRAVITY)
    }

    /// Load where momentum peaks, by search in steps of 0.1 kg to 1.25 body masses.
    pub fn peak_load(&self) -> Mass {
        let steps = (self.body_mass.in_kilograms() * 12.5) as u32;
        let loads = (0..=steps).map(|step| Mass::kilograms(f64::from(step) / 10.0));
        let heavier =
            |best: Mass, next| if self.momentum(next) > self.momentum(best) { next } else { best };
        loads.fold(Mass::ZERO, heavier)
    }

    /// Share of the peak momentum lost with a load.
    pub fn loss(&self, load: Mass) -> f64 {
        1.0 - self.momentum(load) / self.momentum(self.peak_load())
    }

    /// One jump; `None` when it is too low to be one.
    pub fn jump(&self, load: Mass, random: &mut impl Rng) -> Option<LoadedJump> {
        let mean = self.height(load);
        let standard_normal: f64 = rand_distr::StandardNormal.sample(random);
        let height = match self.noise {
            JumpNoise::Height(sd_m) => mean + Length::metres(sd_m * standard_normal),
            JumpNoise::VelocityFraction(sd) => mean * (1.0 + sd * standard_normal).powi(2),
        };
        let jumped = height.in_metres() >= LOWEST_JUMP_M;
        jumped.then(|| LoadedJump::of_height(load, height, HeightMethod::FlightTime))
    }
}

fn any_family(priors: &LoadMomentumPriors, random: &mut impl Rng) -> FallFamily {
    let mut left: f64 = random.random();
    for (family, weight) in priors.families {
        left -= weight;
        if left < 0.0 {
            return family;
        }
    }
    FallFamily::ForceVelocityLike
}

/// Normal, drawn again when further than 3 SD out: no impossible athlete.
pub(crate) fn draw_within_3_sd(mean: f64, sd: f64, random: &mut impl Rng) -> f64 {
    let Ok(normal) = Normal::new(mean, sd) else { return mean };
    loop {
        let value = normal.sample(random);
        if (value - mean).abs() <= 3.0 * sd {
            return value;
        }
    }
}
