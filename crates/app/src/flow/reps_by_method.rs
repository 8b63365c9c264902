//! Reps of a lift, those typed from a sensor and those of recorded bars kept apart: where a
//! repetition begins and ends differs from sensor to sensor, and with it its mean velocity.
//!
//! The rule: recorded bars, as soon as those of the last weeks cover two loads and are as recent
//! as the typed ones; until then the typed ones.

use crate::flow::dated::{Dated, last_day, latest, loads};
use crate::flow::house::House;
use crate::flow::trace::Kind;
use cornerwork_core::exercise::{Exercise, MeasureKind};
use cornerwork_core::metrics::bar_velocity;
use cornerwork_core::metrics::power;
use cornerwork_core::note::Note;
use cornerwork_core::profile::load_velocity::VelocityRep;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::units::{Mass, Velocity};

/// Loads a line needs.
const FEWEST_LOADS: usize = 2;

/// The reps of the last days by the way of measuring the rule chooses, and what to say about the
/// others.
pub(super) fn chosen(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    side: Option<Side>,
    days: i32,
) -> (Vec<VelocityRep>, Option<Note>) {
    let typed = latest(typed(house, gym, athlete, exercise, side), days);
    let recorded = latest(recorded(house, gym, athlete, exercise, side), days);
    let recent = last_day(&recorded) >= last_day(&typed);
    let take_recorded =
        typed.is_empty() || (recent && loads(&recorded, |rep| rep.load) >= FEWEST_LOADS);
    let (taken, what, left, others) = if take_recorded {
        (recorded, "recorded bars", typed, "typed from a sensor")
    } else {
        (typed, "typed numbers", recorded, "from recorded bars")
    };
    let note = (!left.is_empty()).then(|| {
        let text = format!(
            "Stands on {what}, {} reps. {} {others} of the same weeks are left out: sensors \
             differ in where a repetition begins and ends.",
            taken.len(),
            left.len()
        );
        Note::new("methods-kept-apart", text)
    });
    (taken.into_iter().map(|(_, rep)| rep).collect(), note)
}

fn typed(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    side: Option<Side>,
) -> Vec<Dated<VelocityRep>> {
    gym.reps_of(athlete)
        .filter(|rep| rep.entry.exercise == exercise.id && rep.counts() && rep.entry.side == side)
        .filter_map(|rep| {
            let velocity = Velocity::metres_per_second(rep.number()?);
            let rep_of = VelocityRep { load: rep.entry.load.total, velocity };
            Some((house.clock().date_of(rep.entry.at), rep_of))
        })
        .collect()
}

fn recorded(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    side: Option<Side>,
) -> Vec<Dated<VelocityRep>> {
    gym.traces
        .usable(athlete, Kind::Bar, Some(&exercise.id))
        .filter(|trace| trace.filing.side == side && trace.filing.load > Mass::ZERO)
        .flat_map(|trace| reps_of(house, gym, trace, exercise.measure.kind))
        .collect()
}

/// The repetitions of one recorded set, by the velocity the exercise is judged by.
fn reps_of(
    house: &House,
    gym: &Gym,
    trace: &FiledRecording,
    kind: MeasureKind,
) -> Vec<Dated<VelocityRep>> {
    let definition = match kind {
        MeasureKind::PeakVelocity => &power::PEAK_VELOCITY,
        _ => &bar_velocity::MEAN,
    };
    let Some(found) = house.profiles.trials.known(gym, house.clock(), trace) else {
        return Vec::new();
    };
    let Ok(numbers) = found.as_ref() else { return Vec::new() };
    numbers
        .sets
        .iter()
        .filter_map(|set| set.value(definition))
        .map(|velocity| {
            let velocity = Velocity::metres_per_second(velocity);
            (trace.filing.day, VelocityRep { load: trace.filing.load, velocity })
        })
        .collect()
}
