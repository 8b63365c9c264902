//! Velocity left over when the athlete stands still again: what it says of the weight.
//!
//! It is nothing in truth. What is left is shared out between the weight, the sway on either side
//! and the plate ([`stance::together`](super::stance)), unless a person asks for a straight line.

use super::jump::Rules;
use super::landing::{Landing, StandingAgain};
use super::recording::Recording;
use super::standing_start::StandingStart;
use super::{Conditions, flight::Flight};
use crate::note::Note;
use crate::signal::Moment;

/// What a jump was read from.
pub(super) struct Reading<'a> {
    pub(super) recording: &'a Recording,
    pub(super) flight: &'a Flight,
    pub(super) conditions: &'a Conditions,
    pub(super) rules: &'a Rules,
}

/// A start that agrees with standing again after the landing, where that was `whole` on the plate
/// and no person put weighing or onset; and what must be said of the two.
pub(super) fn judge(
    alone: StandingStart,
    landing: &Landing,
    whole: bool,
    reading: &Reading<'_>,
) -> (StandingStart, Option<Note>) {
    let Some(again) = &landing.standing_again else { return (alone, None) };
    let drifted = landing.drifted(&reading.rules.landing).is_some();
    if reading.rules.close_velocity {
        return if drifted { close(alone, again, reading) } else { (alone, None) };
    }
    let moved = &reading.conditions.moved;
    if !whole || moved.weighing_s.or(moved.onset_s).is_some() {
        let note = drifted.then(|| reading.left(again, "; height from impulse is doubtful."));
        return (alone, note);
    }
    let before_cm = reading.height_cm(&alone);
    let gravity_m_s2 = reading.conditions.gravity_m_s2();
    let rules = &reading.rules.start.stance;
    let trace = &reading.recording.total;
    let together = alone.together_with(again, trace, gravity_m_s2, rules);
    let after_cm = reading.height_cm(&together);
    let note = drifted.then(|| {
        let brought = format!(
            " when weighed before the jump alone. With both stances brought together height from \
             impulse is {after_cm:.1} cm rather than {before_cm:.1} cm."
        );
        reading.left(again, &brought)
    });
    (together, note)
}

/// Takes what is left off as a straight line from the onset: as if a constant force had been
/// missed. Too much of it is left alone.
fn close(
    mut start: StandingStart,
    again: &StandingAgain,
    reading: &Reading<'_>,
) -> (StandingStart, Option<Note>) {
    let [_, too_much] = reading.rules.landing.drift_m_s;
    let left = again.velocity_m_s;
    if left.abs() > too_much {
        let note = reading.left(
            again,
            ": too much to be taken off. Displacements are withheld; height from impulse is doubtful.",
        );
        return (start, Some(note));
    }
    let before_cm = reading.height_cm(&start);
    let until = Moment::at(again.until);
    start.motion.close(start.onset.at, until, left, &reading.recording.total.sampling);
    let after_cm = reading.height_cm(&start);
    let note = Note::new(
        "drift-taken-off",
        format!(
            "{}; that was taken off as a straight line from the onset. Height from impulse is \
             {after_cm:.1} cm, {before_cm:.1} cm as measured.",
            seen(again)
        ),
    );
    (start, Some(note))
}

fn seen(again: &StandingAgain) -> String {
    let left = again.velocity_m_s;
    format!(
        "Standing still after landing, the integrated velocity is {left:+.2} m/s instead of zero"
    )
}

impl Reading<'_> {
    fn left(&self, again: &StandingAgain, then: &str) -> Note {
        Note::new("integration-drift", format!("{}{then}", seen(again)))
    }

    fn height_cm(&self, start: &StandingStart) -> f64 {
        let gravity_m_s2 = self.conditions.gravity_m_s2();
        let (velocity, _) = start.take_off_velocity(self.recording, self.flight, gravity_m_s2);
        100.0 * velocity * velocity / (2.0 * gravity_m_s2)
    }
}
