//! The one-repetition maximum a line points to, by the velocity of a maximal rep.

use super::notes::beyond_tested;
use super::profile::LoadVelocityProfile;
use crate::estimate::Estimate;
use crate::exercise::{ExerciseId, MeasureKind};
use crate::note::{Note, Noted};
use crate::stats::fieller::{SlopeNotEstablished, Target};
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

/// Why no one-repetition maximum can be read off the line.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum OneRepMaxError {
    /// The slope is not established.
    #[error(transparent)]
    Slope(#[from] SlopeNotEstablished),
    /// The line does not reach the threshold at any load.
    #[error(
        "The line starts at {intercept_m_s:.2} m/s without load and a maximal rep is taken to \
         move at {threshold_m_s:.2} m/s: the threshold belongs to another lift or measure."
    )]
    ThresholdAboveLine {
        /// Velocity of the line without load.
        intercept_m_s: f64,
        /// Velocity asked for.
        threshold_m_s: f64,
    },
}

impl LoadVelocityProfile {
    /// The load at which this athlete's line reaches the velocity of a maximal rep.
    ///
    /// The threshold's own standard deviation widens the interval. Between days this method varied
    /// by 3.6 to 5.0 % (Hughes et al. 2019, J Strength Cond Res), and in youth it missed the tested
    /// maximum by far more, so this is a prediction and never a test result.
    ///
    /// # Errors
    /// [`OneRepMaxError`]: the slope is not established, or the line never reaches the threshold.
    pub fn one_rep_max(
        &self,
        threshold: &Threshold,
    ) -> Result<Noted<Estimate<Mass>>, OneRepMaxError> {
        let velocity = threshold.velocity.in_metres_per_second();
        if self.intercept() <= threshold.velocity {
            return Err(OneRepMaxError::ThresholdAboveLine {
                intercept_m_s: self.intercept().in_metres_per_second(),
                threshold_m_s: velocity,
            });
        }
        let sd = threshold.sd.unwrap_or(USUAL_SPREAD).in_metres_per_second();
        let value = self.inverse(Target::line_near(velocity, sd))?;
        let predicted = Note::new(
            "predicted-not-tested",
            "A maximum read off a line is a prediction, not a test result: use the interval.",
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
