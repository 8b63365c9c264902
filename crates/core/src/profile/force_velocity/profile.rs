//! From heights to the line of force on velocity, and its balance.

use super::best_slope::BestSlope;
use super::{notes, spread};
use crate::estimate::{Estimate, Level};
use crate::note::Noted;
use crate::stats::line::{Line, LineError};
use crate::units::{Acceleration, Force, Length, Mass, Power, Velocity};

/// A valid jump with its load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightAtLoad {
    /// The whole implement; zero without.
    pub load: Mass,
    /// Rise of the centre of mass after take-off.
    pub height: Length,
}

/// What the profile is made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceVelocityInput<'a> {
    /// The athlete's mass.
    pub body_mass: Mass,
    /// How far the centre of mass rises from the lowest point to take-off: leg length with the
    /// feet stretched, less the height of the hip at the start.
    pub push_off: Length,
    /// Standard deviation of [`Self::push_off`]: 1.5 cm for a tape, when unknown.
    pub push_off_sd: Length,
    /// Every valid jump, in any order.
    pub jumps: &'a [HeightAtLoad],
    /// Local gravity.
    pub gravity: Acceleration,
    /// Level of every interval.
    pub level: Level,
}

/// Why heights make no force-velocity profile. The heights themselves stand.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ForceVelocityError {
    /// A body mass that cannot be.
    #[error("A body mass of {kilograms} kg cannot be: enter 30 to 250 kg.")]
    BodyMass {
        /// Mass in kg.
        kilograms: f64,
    },
    /// A push-off distance that cannot be.
    #[error(
        "A push-off distance of {metres} m (give or take {sd_m} m) cannot be: measure it in \
         metres, about 0.25 to 0.60."
    )]
    PushOff {
        /// Distance in m.
        metres: f64,
        /// Its standard deviation in m.
        sd_m: f64,
    },
    /// A jump that cannot be.
    #[error("Jump {number} reads {height_m} m with {load_kg} kg: check units and commas.")]
    ImpossibleJump {
        /// Which jump, counted from one.
        number: usize,
        /// Its load in kg.
        load_kg: f64,
        /// Its height in m.
        height_m: f64,
    },
    /// One load or none.
    #[error("A line needs jumps at two different loads; there are {loads}.")]
    FewerThanTwoLoads {
        /// How many different loads there are.
        loads: usize,
    },
    /// Force does not fall with velocity, or would not even carry the body.
    #[error(
        "These heights make no physical line: force {force_n:.0} N at no velocity, slope \
         {slope_n_s_m:+.0} N s/m. Use the heights alone."
    )]
    NotPhysical {
        /// Force at no velocity in N.
        force_n: f64,
        /// Slope in N s/m.
        slope_n_s_m: f64,
    },
}

/// Mean force and velocity of the push-offs at one load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceVelocityPoint {
    /// The load.
    pub load: Mass,
    /// Mean height there.
    pub height: Length,
    /// How many jumps.
    pub jumps: usize,
    /// Mean velocity of the push-off.
    pub velocity: Velocity,
    /// Mean force of the push-off.
    pub force: Force,
}

/// The slope against the theoretical best one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance {
    /// 100 x slope / best slope: under 100 the force side is low, over 100 the velocity side.
    pub percent: Estimate<f64>,
    /// Whether the interval excludes 100 %; only then is an imbalance to be shown.
    pub shown: bool,
    /// The theoretical optimum at this power.
    pub best: BestSlope,
}

/// A force-velocity profile: numbers to be read with the notes they come with.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceVelocityProfile {
    /// One point a load, lightest first.
    pub points: Vec<ForceVelocityPoint>,
    /// Theoretical force at no velocity, F0.
    pub force: Estimate<Force>,
    /// Theoretical velocity at no force, V0.
    pub velocity: Estimate<Velocity>,
    /// Maximal power, F0 V0 / 4.
    pub power: Estimate<Power>,
    /// Slope of force on velocity for each kg of body mass, N s/m/kg; below zero.
    pub slope_n_s_m_kg: Estimate<f64>,
    /// Slope against the theoretical best one.
    pub balance: Balance,
    /// Share of the variance of force that the line explains.
    pub r_squared: f64,
    /// Standard deviation of one jump that the intervals were made with.
    pub height_sd: Length,
    pub(super) body_mass: Mass,
    pub(super) push_off: Length,
    pub(super) push_off_sd: Length,
    pub(super) gravity: Acceleration,
}

/// What the line says, as plain numbers: the answers whose doubt is to be found.
#[derive(Clone, Copy, Debug)]
pub(super) struct Answers {
    pub(super) force_n: f64,
    pub(super) velocity_m_s: f64,
    pub(super) power_w: f64,
    pub(super) slope_n_s_m_kg: f64,
    pub(super) balance_percent: f64,
}

/// Mean heights by load with the constants of the athlete, in SI units.
#[derive(Clone, Debug)]
pub(super) struct Heights {
    pub(super) loads_kg: Vec<f64>,
    pub(super) heights_m: Vec<f64>,
    pub(super) counts: Vec<usize>,
    pub(super) body_mass_kg: f64,
    pub(super) push_off_m: f64,
    pub(super) gravity: f64,
}

impl Heights {
    /// Mean velocity and force of the push-off at each load.
    pub(super) fn velocity_and_force(&self) -> Vec<(f64, f64)> {
        let push = |(load, height): (&f64, &f64)| {
            let weight = (self.body_mass_kg + load) * self.gravity;
            ((self.gravity * height / 2.0).sqrt(), weight * (height / self.push_off_m + 1.0))
        };
        self.loads_kg.iter().zip(&self.heights_m).map(push).collect()
    }

    /// The line of force on velocity and what follows from it.
    pub(super) fn answers(&self) -> Result<(Line, Answers), ForceVelocityError> {
        let line = Line::through(&self.velocity_and_force()).map_err(|error| match error {
            LineError::TooFewPoints { count } => {
                ForceVelocityError::FewerThanTwoLoads { loads: count }
            }
            // Equal heights at all loads: force grows at one velocity.
            LineError::OnePlace { .. } | LineError::NotFinite { .. } => {
                ForceVelocityError::NotPhysical {
                    force_n: f64::INFINITY,
                    slope_n_s_m: f64::INFINITY,
                }
            }
        })?;
        let (force_n, slope) = (line.intercept, line.slope);
        if slope >= 0.0 || force_n <= self.body_mass_kg * self.gravity {
            return Err(ForceVelocityError::NotPhysical { force_n, slope_n_s_m: slope });
        }
        let velocity_m_s = -force_n / slope;
        let power_w = force_n * velocity_m_s / 4.0;
        let slope_n_s_m_kg = slope / self.body_mass_kg;
        let best = self.best(power_w);
        let balance_percent = 100.0 * slope_n_s_m_kg / best.slope_n_s_m_kg;
        Ok((line, Answers { force_n, velocity_m_s, power_w, slope_n_s_m_kg, balance_percent }))
    }

    pub(super) fn best(&self, power_w: f64) -> BestSlope {
        BestSlope::for_power(power_w / self.body_mass_kg, self.push_off_m, self.gravity)
    }
}

impl ForceVelocityProfile {
    /// The least-squares line of mean force on mean velocity, one point a load.
    ///
    /// Intervals carry the scatter of the heights (pooled within loads, at least 1 cm) and of the
    /// push-off distance to first order, on the scale of logarithms; doubt between days, which is
    /// larger, is not in them and is said in a note.
    ///
    /// # Errors
    /// [`ForceVelocityError`].
    pub fn from_jumps(input: ForceVelocityInput<'_>) -> Result<Noted<Self>, ForceVelocityError> {
        check(&input)?;
        let heights = mean_heights(&input);
        let (line, answers) = heights.answers()?;
        let noise = spread::height_noise(input.jumps, heights.loads_kg.len());
        let doubt =
            spread::Spread::of(&heights, noise, input.push_off_sd.in_metres(), input.level)?;
        let percent = doubt.around(answers.balance_percent, |a| a.balance_percent);
        let profile = Self {
            points: points(&heights),
            force: doubt.around(answers.force_n, |a| a.force_n).map(Force::newtons),
            velocity: doubt
                .around(answers.velocity_m_s, |a| a.velocity_m_s)
                .map(Velocity::metres_per_second),
            power: doubt.around(answers.power_w, |a| a.power_w).map(Power::watts),
            slope_n_s_m_kg: doubt.around(answers.slope_n_s_m_kg, |a| a.slope_n_s_m_kg),
            balance: Balance {
                percent,
                shown: !percent.interval.contains(100.0),
                best: heights.best(answers.power_w),
            },
            r_squared: line.r_squared(),
            height_sd: Length::metres(noise.sd),
            body_mass: input.body_mass,
            push_off: input.push_off,
            push_off_sd: input.push_off_sd,
            gravity: input.gravity,
        };
        let notes = notes::about(&profile);
        Ok(Noted { value: profile, notes })
    }
}

fn check(input: &ForceVelocityInput<'_>) -> Result<(), ForceVelocityError> {
    let kilograms = input.body_mass.in_kilograms();
    if !(30.0..=250.0).contains(&kilograms) {
        return Err(ForceVelocityError::BodyMass { kilograms });
    }
    let (metres, sd_m) = (input.push_off.in_metres(), input.push_off_sd.in_metres());
    if !((0.1..=1.0).contains(&metres) && (0.0..=0.1).contains(&sd_m)) {
        return Err(ForceVelocityError::PushOff { metres, sd_m });
    }
    let impossible = |jump: &HeightAtLoad| {
        let load = (0.0..=400.0).contains(&jump.load.in_kilograms());
        let height = jump.height > Length::ZERO && jump.height <= Length::metres(0.9);
        !(load && height)
    };
    match input.jumps.iter().position(impossible) {
        None => Ok(()),
        Some(at) => Err(ForceVelocityError::ImpossibleJump {
            number: at + 1,
            load_kg: input.jumps[at].load.in_kilograms(),
            height_m: input.jumps[at].height.in_metres(),
        }),
    }
}

fn mean_heights(input: &ForceVelocityInput<'_>) -> Heights {
    let mut jumps = input.jumps.to_vec();
    jumps.sort_by(|one, other| {
        let key = |jump: &HeightAtLoad| (jump.load.in_kilograms(), jump.height.in_metres());
        let ((load, height), (other_load, other_height)) = (key(one), key(other));
        load.total_cmp(&other_load).then(height.total_cmp(&other_height))
    });
    let by_load = || jumps.chunk_by(|one, other| one.load == other.load);
    let mean = |at: &[HeightAtLoad]| {
        at.iter().map(|jump| jump.height.in_metres()).sum::<f64>() / at.len() as f64
    };
    Heights {
        loads_kg: by_load().map(|at| at[0].load.in_kilograms()).collect(),
        heights_m: by_load().map(mean).collect(),
        counts: by_load().map(<[HeightAtLoad]>::len).collect(),
        body_mass_kg: input.body_mass.in_kilograms(),
        push_off_m: input.push_off.in_metres(),
        gravity: input.gravity.in_metres_per_second_squared(),
    }
}

fn points(heights: &Heights) -> Vec<ForceVelocityPoint> {
    let pushes = heights.velocity_and_force();
    (0..heights.loads_kg.len())
        .map(|at| ForceVelocityPoint {
            load: Mass::kilograms(heights.loads_kg[at]),
            height: Length::metres(heights.heights_m[at]),
            jumps: heights.counts[at],
            velocity: Velocity::metres_per_second(pushes[at].0),
            force: Force::newtons(pushes[at].1),
        })
        .collect()
}
