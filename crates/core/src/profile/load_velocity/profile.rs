//! The line through an athlete's own reps, read forwards and backwards.

use super::notes;
use crate::estimate::{Estimate, Interval, Level};
use crate::note::Noted;
use crate::stats::fieller::{SlopeNotEstablished, Target, inverse_prediction};
use crate::stats::line::{Line, LineError, Noise};
use crate::units::{Mass, Quantity, Velocity};

/// Fastest velocity taken for a rep: beyond any bar or throw.
const FASTEST_REP: Velocity = Velocity::metres_per_second(10.0);
/// Heaviest load taken for a rep.
const HEAVIEST_LOAD: Mass = Mass::kilograms(600.0);
/// Residuals below this are no scatter at all: real velocities are written to a hundredth, whose
/// rounding alone leaves 0.003 m/s.
const NO_SCATTER: Velocity = Velocity::metres_per_second(0.000_5);

/// One rep with a load and the velocity that was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VelocityRep {
    /// The whole implement: bar, plates and collars.
    pub load: Mass,
    /// Mean or peak velocity, the same for every rep of a profile.
    pub velocity: Velocity,
}

/// Which reps the line goes through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RepChoice {
    /// The fastest rep at each load: what the athlete can do there.
    #[default]
    FastestAtEachLoad,
    /// Every rep: what a rep there is usually like.
    All,
}

/// How a profile is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadVelocitySettings {
    /// Which reps the line goes through.
    pub choice: RepChoice,
    /// Level of every interval.
    pub level: Level,
    /// Typical error of one rep, used when the points themselves show none: with two loads only.
    /// 0.04 m/s by default, the middle of 0.03 to 0.05 for mean velocity (from memory).
    pub typical_error: Velocity,
}

impl Default for LoadVelocitySettings {
    fn default() -> Self {
        Self {
            choice: RepChoice::default(),
            level: Level::USUAL,
            typical_error: Velocity::metres_per_second(0.04),
        }
    }
}

/// Why reps make no profile.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LoadVelocityError {
    /// A load or velocity that cannot be.
    #[error(
        "Rep {number} reads {velocity_m_s} m/s with {load_kg} kg. A load is 0 to 600 kg and a \
         velocity above 0 and up to 10 m/s: check units and commas."
    )]
    ImpossibleRep {
        /// Which rep, counted from one.
        number: usize,
        /// Its load in kg.
        load_kg: f64,
        /// Its velocity in m/s.
        velocity_m_s: f64,
    },
    /// One load or none.
    #[error("A line needs reps at two different loads; there are {loads}.")]
    FewerThanTwoLoads {
        /// How many different loads there are.
        loads: usize,
    },
    /// The heavier, the faster.
    #[error(
        "Velocity does not fall with load ({slope_m_s_per_kg:+.4} m/s for each kg). Check that \
         loads and velocities stand in the right order, then test loads further apart."
    )]
    NotFalling {
        /// Slope of the line in m/s for each kg.
        slope_m_s_per_kg: f64,
    },
}

/// An athlete's own load-velocity line for one lift.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadVelocityProfile {
    pub(super) points: Vec<VelocityRep>,
    pub(super) line: Line,
    pub(super) noise: Noise,
    pub(super) settings: LoadVelocitySettings,
}

impl LoadVelocityProfile {
    /// The least-squares line through reps of one lift.
    ///
    /// Its noise is the residual standard deviation; where the points cannot show one (two of
    /// them, or all exactly on the line) it is the settings' typical error.
    ///
    /// # Errors
    /// [`LoadVelocityError`]: an impossible rep, fewer than two loads, velocity that rises.
    pub fn from_reps(
        reps: &[VelocityRep],
        settings: LoadVelocitySettings,
    ) -> Result<Noted<Self>, LoadVelocityError> {
        reps.iter().enumerate().try_for_each(|(at, rep)| possible(at + 1, rep))?;
        let points = chosen(reps, settings.choice);
        let coordinates: Vec<(f64, f64)> =
            points.iter().map(|rep| (rep.load.si(), rep.velocity.si())).collect();
        let line = Line::through(&coordinates).map_err(|error| match error {
            LineError::TooFewPoints { count } => {
                LoadVelocityError::FewerThanTwoLoads { loads: count }
            }
            LineError::OnePlace { .. } | LineError::NotFinite { .. } => {
                LoadVelocityError::FewerThanTwoLoads { loads: 1 }
            }
        })?;
        if line.slope >= 0.0 {
            return Err(LoadVelocityError::NotFalling { slope_m_s_per_kg: line.slope });
        }
        let noise = line
            .noise()
            .filter(|noise| noise.sd > NO_SCATTER.si())
            .unwrap_or(Noise::known(settings.typical_error.si()));
        let profile = Self { points, line, noise, settings };
        let notes = notes::about(&profile);
        Ok(Noted { value: profile, notes })
    }

    /// The reps the line goes through, lightest first; never fewer than two.
    pub fn points(&self) -> &[VelocityRep] {
        &self.points
    }

    /// Change of velocity for one more kilogram, m/s; below zero.
    pub const fn slope_m_s_per_kg(&self) -> f64 {
        self.line.slope
    }

    /// Standard error of the slope, m/s for each kg.
    pub fn slope_standard_error_m_s_per_kg(&self) -> f64 {
        self.line.slope_standard_error(self.noise)
    }

    /// Velocity of the line without load.
    pub const fn intercept(&self) -> Velocity {
        Velocity::metres_per_second(self.line.intercept)
    }

    /// Standard deviation of a single rep about the line, measured or assumed.
    pub const fn rep_sd(&self) -> Velocity {
        Velocity::metres_per_second(self.noise.sd)
    }

    /// Whether [`Self::rep_sd`] came from the points and not from the settings.
    pub const fn scatter_was_measured(&self) -> bool {
        self.noise.degrees_of_freedom.is_some()
    }

    /// Share of the variance of velocity that the line explains.
    pub fn r_squared(&self) -> f64 {
        self.line.r_squared()
    }

    /// Level of the intervals.
    pub const fn level(&self) -> Level {
        self.settings.level
    }

    /// Lightest and heaviest load tested.
    pub fn tested_loads(&self) -> Interval<Mass> {
        Interval::between(self.points[0].load, self.points[self.points.len() - 1].load)
    }

    /// Slowest and fastest velocity tested.
    pub fn tested_velocities(&self) -> Interval<Velocity> {
        let velocities = || self.points.iter().map(|rep| rep.velocity);
        let first = self.points[0].velocity;
        Interval {
            low: velocities().fold(first, Velocity::min),
            high: velocities().fold(first, Velocity::max),
        }
    }

    /// How many different loads were tested.
    pub fn load_count(&self) -> usize {
        1 + self.points.windows(2).filter(|pair| pair[0].load != pair[1].load).count()
    }

    /// The line at a load with the interval of the line itself: the band to draw.
    pub fn line_at(&self, load: Mass) -> Estimate<Velocity> {
        self.estimate_at(load, self.line.interval_at(load.si(), self.noise, self.settings.level))
    }

    /// Where the mean of the next reps at a load will lie.
    pub fn expected_at(&self, load: Mass, reps: u32) -> Estimate<Velocity> {
        let interval = self.line.prediction_at(load.si(), reps, self.noise, self.settings.level);
        self.estimate_at(load, interval)
    }

    /// The load at which the line reaches a velocity, with Fieller's interval.
    ///
    /// # Errors
    /// [`SlopeNotEstablished`] when the fall cannot be told from none at this level.
    pub fn load_at(&self, velocity: Velocity) -> Result<Estimate<Mass>, SlopeNotEstablished> {
        self.inverse(Target::line_at(velocity.si()))
    }

    /// The load at which the mean of the next reps is to reach a velocity.
    ///
    /// # Errors
    /// As [`Self::load_at`].
    pub fn load_for_next_reps(
        &self,
        velocity: Velocity,
        reps: u32,
    ) -> Result<Estimate<Mass>, SlopeNotEstablished> {
        self.inverse(Target::next_at(velocity.si(), reps))
    }

    /// The load at which the line reaches no velocity at all.
    ///
    /// # Errors
    /// As [`Self::load_at`].
    pub fn zero_velocity_load(&self) -> Result<Estimate<Mass>, SlopeNotEstablished> {
        self.load_at(Velocity::ZERO)
    }

    pub(super) fn inverse(&self, target: Target) -> Result<Estimate<Mass>, SlopeNotEstablished> {
        inverse_prediction(&self.line, self.noise, target, self.settings.level)
            .map(|found| found.map(Mass::kilograms))
    }

    fn estimate_at(&self, load: Mass, interval: Interval<f64>) -> Estimate<Velocity> {
        Estimate {
            value: Velocity::metres_per_second(self.line.at(load.si())),
            interval: interval.map(Velocity::metres_per_second),
            level: self.settings.level,
        }
    }
}

fn possible(number: usize, rep: &VelocityRep) -> Result<(), LoadVelocityError> {
    let load = (Mass::ZERO..=HEAVIEST_LOAD).contains(&rep.load);
    let velocity = rep.velocity > Velocity::ZERO && rep.velocity <= FASTEST_REP;
    if load && velocity {
        Ok(())
    } else {
        Err(LoadVelocityError::ImpossibleRep {
            number,
            load_kg: rep.load.si(),
            velocity_m_s: rep.velocity.si(),
        })
    }
}

/// The reps to fit, by load and then by velocity.
fn chosen(reps: &[VelocityRep], choice: RepChoice) -> Vec<VelocityRep> {
    let mut reps = reps.to_vec();
    reps.sort_by(|one, other| {
        let by_load = one.load.si().total_cmp(&other.load.si());
        by_load.then(one.velocity.si().total_cmp(&other.velocity.si()))
    });
    match choice {
        RepChoice::All => reps,
        RepChoice::FastestAtEachLoad => reps
            .chunk_by(|one, other| one.load == other.load)
            .filter_map(|at_load| at_load.last().copied())
            .collect(),
    }
}
