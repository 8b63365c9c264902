//! The curve through an athlete's own reps, read forwards and backwards.

use super::notes;
use crate::estimate::{Estimate, Interval, Level};
use crate::note::Noted;
use crate::stats::bent_line::{BeforeTheFirst, BentLine, Goal, NotReached};
use crate::stats::line::{Line, LineError};
use crate::stats::posterior::Posterior;
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

/// What a velocity of a profile means: every rep counts, none is picked out for being fast. The
/// fastest of several is faster than an average rep by so much the more, the more there were (the
/// expected largest of two, three and five normal values lies 0.56, 0.85 and 1.16 standard
/// deviations up), so a line through the fastest at each load leans to the loads done most often.
pub const MEANING: &str = "an average rep";

/// Usual bend of load and velocity: the middle of the bench press lies 0.036 m/s under the chord
/// from 20 to 80 % of the maximum and that of the squat 0.022 m/s over it (quadratic equations of
/// González-Badillo and Sánchez-Medina 2010, Int J Sports Med 31:347, and Sánchez-Medina and others
/// 2017, Sports Med Int Open 1:E80; both equations from memory).
const USUAL_BEND: f64 = 0.055;
/// Degrees of freedom the typical error beforehand is worth: so little that four reps outweigh it.
const TYPICAL_ERROR_WORTH: f64 = 2.0;
/// How far a load is looked for, in heaviest tested loads.
const FURTHEST: f64 = 3.0;

/// How a profile is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadVelocitySettings {
    /// Level of every interval.
    pub level: Level,
    /// Typical error of one rep before the reps themselves speak: 0.03 m/s by default, of 0.03 to
    /// 0.05 for mean velocity (from memory).
    pub typical_error: Velocity,
}

impl Default for LoadVelocitySettings {
    fn default() -> Self {
        Self { level: Level::USUAL, typical_error: Velocity::metres_per_second(0.03) }
    }
}

/// Why no load can be given for a velocity.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LoadUnknown {
    /// The fall is too slight or too uncertain for an interval with two ends.
    #[error(
        "How fast velocity falls with load is not established, so no load can be given for \
         {velocity_m_s:.2} m/s. Test loads further apart."
    )]
    FallNotEstablished {
        /// Velocity asked for.
        velocity_m_s: f64,
    },
    /// Even without load the athlete is slower.
    #[error(
        "Even without load these reps point to less than {velocity_m_s:.2} m/s. Take a lower \
         velocity or a lighter implement."
    )]
    FasterThanWithoutLoad {
        /// Velocity asked for.
        velocity_m_s: f64,
    },
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

/// An athlete's own load-velocity curve for one lift: a straight line unless the reps bend.
#[derive(Clone, Debug)]
pub struct LoadVelocityProfile {
    pub(super) points: Vec<VelocityRep>,
    pub(super) line: Line,
    pub(super) curve: BentLine,
    pub(super) settings: LoadVelocitySettings,
}

impl LoadVelocityProfile {
    /// From all reps of one lift; a velocity is that of an average rep ([`MEANING`]).
    ///
    /// # Errors
    /// [`LoadVelocityError`]: an impossible rep, fewer than two loads, velocity that rises.
    pub fn from_reps(
        reps: &[VelocityRep],
        settings: LoadVelocitySettings,
    ) -> Result<Noted<Self>, LoadVelocityError> {
        reps.iter().enumerate().try_for_each(|(at, rep)| possible(at + 1, rep))?;
        let points = in_order(reps);
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
        let before = BeforeTheFirst {
            bend: USUAL_BEND,
            noise_sd: settings.typical_error.si(),
            noise_degrees_of_freedom: TYPICAL_ERROR_WORTH,
        };
        let curve = BentLine::through(&coordinates, line, before)
            .ok_or(LoadVelocityError::NotFalling { slope_m_s_per_kg: line.slope })?;
        let profile = Self { points, line, curve, settings };
        let notes = notes::about(&profile);
        Ok(Noted { value: profile, notes })
    }

    /// The reps the curve goes through, lightest first; never fewer than two.
    pub fn points(&self) -> &[VelocityRep] {
        &self.points
    }

    /// Change of velocity for one more kilogram along the straight line of least squares, m/s;
    /// below zero.
    pub const fn slope_m_s_per_kg(&self) -> f64 {
        self.line.slope
    }

    /// Velocity without load along the straight line of least squares.
    pub const fn intercept(&self) -> Velocity {
        Velocity::metres_per_second(self.line.intercept)
    }

    /// Standard deviation of a single rep about the curve.
    pub fn rep_sd(&self) -> Velocity {
        Velocity::metres_per_second(self.curve.noise_sd())
    }

    /// Whether the points show a scatter of their own, which two or points exactly on a line do
    /// not; without it [`Self::rep_sd`] is mostly the settings' typical error.
    pub fn scatter_was_measured(&self) -> bool {
        self.line.noise().is_some_and(|noise| noise.sd > NO_SCATTER.si())
    }

    /// Whether the reps bend more than their noise explains: twenty to one on a bend.
    pub fn bends(&self) -> bool {
        self.bend_probability() > 0.95
    }

    /// How believable it is that the reps do not lie along a straight line, 0 to 1.
    pub fn bend_probability(&self) -> f64 {
        self.curve.bend_probability()
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

    /// Velocity of an average rep at a load with the interval of the curve: the band to draw.
    pub fn average_at(&self, load: Mass) -> Estimate<Velocity> {
        self.velocity(&self.curve.at(load.si()))
    }

    /// Where the mean of the next reps at a load will lie.
    pub fn expected_at(&self, load: Mass, reps: u32) -> Estimate<Velocity> {
        self.velocity(&self.curve.next_at(load.si(), reps))
    }

    /// The load at which an average rep moves at a velocity.
    ///
    /// # Errors
    /// [`LoadUnknown`]: faster than without load, or the fall is not established.
    pub fn load_at(&self, velocity: Velocity) -> Result<Estimate<Mass>, LoadUnknown> {
        self.load_near(velocity, Velocity::ZERO)
    }

    /// The same for a velocity that is itself known to a standard deviation.
    pub(super) fn load_near(
        &self,
        velocity: Velocity,
        sd: Velocity,
    ) -> Result<Estimate<Mass>, LoadUnknown> {
        let velocity_m_s = velocity.in_metres_per_second();
        let goal = Goal { y: velocity.si(), sd: sd.si() };
        let found = self.curve.falls_to(goal, self.furthest(), self.settings.level);
        found.map(|load| load.map(Mass::kilograms)).map_err(|why| match why {
            NotReached::Below => LoadUnknown::FasterThanWithoutLoad { velocity_m_s },
            NotReached::FallNotEstablished => LoadUnknown::FallNotEstablished { velocity_m_s },
        })
    }

    /// Whether a load can be given at least for the velocity in the middle of the tested loads.
    pub(super) fn falls(&self) -> bool {
        let middle = self.line.at(self.line.mean_x);
        self.curve.has_fallen_to(middle, self.furthest(), self.settings.level)
    }

    /// How far a load is looked for, kg.
    fn furthest(&self) -> f64 {
        FURTHEST * self.tested_loads().high.si()
    }

    fn velocity(&self, belief: &Posterior) -> Estimate<Velocity> {
        belief.estimate(self.settings.level).map(Velocity::metres_per_second)
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

/// The reps by load and then by velocity.
fn in_order(reps: &[VelocityRep]) -> Vec<VelocityRep> {
    let mut reps = reps.to_vec();
    reps.sort_by(|one, other| {
        let by_load = one.load.si().total_cmp(&other.load.si());
        by_load.then(one.velocity.si().total_cmp(&other.velocity.si()))
    });
    reps
}
