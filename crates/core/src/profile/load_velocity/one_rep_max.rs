//! The one-repetition maximum a profile points to, by the velocity of a maximal rep.

use super::notes::beyond_tested;
use super::profile::{LoadUnknown, LoadVelocityProfile};
use crate::estimate::Estimate;
use crate::exercise::{ExerciseId, MeasureKind};
use crate::note::{Note, Noted};
use crate::units::{Mass, Velocity};

/// Spread of the velocity of a maximal rep taken where a source gives none: the middle of the
/// published 0.03 to 0.05 m/s.
const USUAL_SPREAD: Velocity = Velocity::metres_per_second(0.04);

/// How far a published number can be trusted to be what the source prints.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Confidence {
    /// Read in the source.
    Confirmed,
    /// Remembered; to be checked before much hangs on it.
    FromMemory,
}

/// The velocity at which a maximal rep moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Threshold {
    /// Its value.
    pub velocity: Velocity,
    /// Standard deviation between athletes, or between an athlete's own attempts; `None` where the
    /// source gives none.
    pub sd: Option<Velocity>,
    /// Paper, or the athlete's own attempts.
    pub source: String,
    /// Whether the source was read.
    pub confidence: Confidence,
}

/// A published threshold and what it holds for.
#[derive(Clone, Debug, PartialEq)]
pub struct ThresholdRow {
    /// The lift.
    pub exercise: ExerciseId,
    /// Who was measured: "powerlifters"; empty for strength-trained people in general.
    pub people: String,
    /// Mean or peak velocity.
    pub measure: MeasureKind,
    /// The velocity and its source.
    pub threshold: Threshold,
}

/// Why no one-repetition maximum can be read off the curve.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum OneRepMaxError {
    /// The fall is not established.
    #[error(transparent)]
    Fall(LoadUnknown),
    /// Even without load the athlete is slower than the threshold.
    #[error(
        "Without load the reps point to {without_load_m_s:.2} m/s and a maximal rep is taken to \
         move at {threshold_m_s:.2} m/s: the threshold belongs to another lift or measure."
    )]
    ThresholdAboveLine {
        /// Velocity without load.
        without_load_m_s: f64,
        /// Velocity asked for.
        threshold_m_s: f64,
    },
}

impl LoadVelocityProfile {
    /// The load at which this athlete's curve reaches the velocity of a maximal rep.
    ///
    /// The threshold's own standard deviation widens the interval. Between days this method varied
    /// by 3.6 to 5.0 % (Hughes et al. 2019, J Strength Cond Res 33:2409), and in youth it missed the tested
    /// maximum by far more, so this is a prediction and never a test result.
    ///
    /// # Errors
    /// [`OneRepMaxError`]: the fall is not established, or the curve never reaches the threshold.
    pub fn one_rep_max(
        &self,
        threshold: &Threshold,
    ) -> Result<Noted<Estimate<Mass>>, OneRepMaxError> {
        let sd = threshold.sd.unwrap_or(USUAL_SPREAD);
        let value = self.load_near(threshold.velocity, sd).map_err(|why| match why {
            LoadUnknown::FasterThanWithoutLoad { velocity_m_s } => {
                OneRepMaxError::ThresholdAboveLine {
                    without_load_m_s: self.average_at(Mass::ZERO).value.in_metres_per_second(),
                    threshold_m_s: velocity_m_s,
                }
            }
            LoadUnknown::FallNotEstablished { .. } => OneRepMaxError::Fall(why),
        })?;
        let sd = sd.in_metres_per_second();
        let predicted = Note::new(
            "predicted-not-tested",
            "A maximum read off a curve is a prediction, not a test result: use the interval.",
        );
        let spread = threshold.sd.is_none().then(|| {
            Note::new(
                "threshold-spread-assumed",
                format!("The source gives no spread for its velocity; {sd:.2} m/s is assumed."),
            )
        });
        let memory = (threshold.confidence == Confidence::FromMemory).then(|| {
            Note::new(
                "threshold-from-memory",
                "The velocity of a maximal rep used here has not been checked in its source.",
            )
        });
        let notes = [beyond_tested(self, value.value), Some(predicted), spread, memory];
        Ok(Noted { value, notes: notes.into_iter().flatten().collect() })
    }
}
