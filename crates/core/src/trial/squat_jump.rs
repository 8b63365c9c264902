//! Squat jump: hold the squat, jump without a dip, land.
//!
//! The weighing is the quietest second, which as a rule lies in the held squat. Depth is unknown
//! to a plate; the rise of the centre of mass up to take-off is the push-off distance.

use super::jump::{self, Jump};
use super::{Conditions, Phase, TrialError};
use crate::capture::ForceCapture;
use crate::note::{Note, Noted};

/// The constants a squat jump is read by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// What all jumps share.
    pub jump: jump::Rules,
    /// Descent faster than this before the rise is a small countermovement (engineering choice).
    pub dip_m_s: f64,
    /// A dip with more than this fraction of the momentum at take-off spoils the squat jump
    /// (engineering choice).
    pub spoiling_fraction: f64,
    /// Push-off distances that are believed, metres (engineering choice).
    pub push_off_m: [f64; 2],
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            jump: jump::Rules::default(),
            dip_m_s: 0.05,
            spoiling_fraction: 0.02,
            push_off_m: [0.10, 0.70],
        }
    }
}

/// A squat jump with its events.
#[derive(Clone, Debug, PartialEq)]
pub struct SquatJump {
    /// The rules it was read by.
    pub rules: Rules,
    /// The jump.
    pub jump: Jump,
    /// Fastest descent before the rise, m/s, zero or negative; `None` when force could not be
    /// integrated.
    pub fastest_descent_m_s: Option<f64>,
}

/// Reads a squat jump. Fails when there is no flight to measure; whatever else cannot be trusted
/// is withheld with a note.
pub fn read(
    capture: &ForceCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<SquatJump>, TrialError> {
    let Noted { value: jump, mut notes } = jump::read(capture, conditions, &rules.jump)?;
    let fastest_descent_m_s = jump.start.as_ref().and_then(|start| {
        let sample = start.motion.fastest_descent(start.onset.at, jump.flight.take_off)?;
        Some(start.motion.velocity(sample).min(0.0))
    });
    let jump = SquatJump { rules: *rules, jump, fastest_descent_m_s };
    notes.extend(jump.dipped());
    notes.extend(jump.jump.doubtful_rise(rules.push_off_m));
    Ok(Noted { value: jump, notes })
}

impl SquatJump {
    /// The phases in order; all of the push is propulsion.
    pub fn phases(&self) -> Vec<Phase> {
        let mut phases: Vec<Phase> = self.jump.weighing_phase().into_iter().collect();
        if let Some(start) = &self.jump.start {
            let (from, to) = (start.onset.at, self.jump.flight.take_off);
            phases.push(Phase { name: "propulsion", from, to });
        }
        phases.extend(self.jump.phases_after_take_off());
        phases
    }

    fn dipped(&self) -> Option<Note> {
        let start = self.jump.start.as_ref()?;
        let descent = self.fastest_descent_m_s?;
        let share = -descent / start.motion.velocity_at(self.jump.flight.take_off);
        if start.onset.upward && descent > -self.rules.dip_m_s {
            return None;
        }
        let percent = 100.0 * share;
        Some(if share > self.rules.spoiling_fraction {
            Note::new(
                "invalid-squat-jump",
                format!(
                    "The athlete dips first: the dip is {percent:.1} % of the momentum at \
                     take-off. Repeat the jump from a held squat."
                ),
            )
        } else {
            Note::new(
                "small-countermovement",
                format!("A small dip precedes the jump ({percent:.1} % of the momentum)."),
            )
        })
    }
}
