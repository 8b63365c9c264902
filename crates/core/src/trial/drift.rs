//! Velocity left over when the athlete stands still again: what it says, and taking it off.

use super::jump::Rules;
use super::landing::StandingAgain;
use super::recording::Recording;
use super::standing_start::StandingStart;
use crate::note::Note;
use crate::signal::Moment;

/// Says how much velocity is left over and what height from impulse would be without it; takes it
/// off when the rules ask for that and there is not too much of it.
///
/// A straight line of velocity is a constant force: as if the weighing had been off.
pub(super) fn judge(
    start: &mut StandingStart,
    again: StandingAgain,
    recording: &Recording,
    take_off: Moment,
    rules: &Rules,
) -> Note {
    let [_, too_much] = rules.landing.drift_m_s;
    let left = again.velocity_m_s;
    let seen = format!(
        "Standing still after landing, the integrated velocity is {left:+.2} m/s instead of zero"
    );
    if left.abs() > too_much {
        return Note::new(
            "integration-drift",
            format!(
                "{seen}: too much to be taken off. Displacements are withheld; height from impulse \
                 is doubtful."
            ),
        );
    }
    let trace = &recording.total;
    let until = Moment::at(again.until);
    let share = trace.between_s(start.onset.at, take_off) / trace.between_s(start.onset.at, until);
    let (before, after) = {
        let velocity = start.motion.velocity_at(take_off);
        (velocity, velocity - left * share)
    };
    let gravity = start.weighing.weight_n / start.system_mass_kg;
    let height_cm = |velocity: f64| 100.0 * velocity * velocity / (2.0 * gravity);
    let (as_measured, closed) = (height_cm(before), height_cm(after));
    if !rules.close_velocity {
        return Note::new(
            "integration-drift",
            format!(
                "{seen}; height from impulse is doubtful. With that taken off as a straight line \
                 it would be {closed:.1} cm rather than {as_measured:.1} cm."
            ),
        );
    }
    start.motion.close(start.onset.at, until, left, &trace.sampling);
    Note::new(
        "drift-taken-off",
        format!(
            "{seen}; that was taken off as a straight line from the onset. Height from impulse is \
             {closed:.1} cm, {as_measured:.1} cm as measured."
        ),
    )
}
