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

/// The exercises an athlete has lifted and which are judged by velocity, each with the sides seen,
/// whether the reps were typed or recorded.
pub fn lifted<'a>(
    house: &'a House,
    gym: &'a Gym,
    athlete: &AthleteId,
) -> Vec<(&'a Exercise, Vec<Option<Side>>)> {
    let typed_so = |id| house.exercise(gym, id).is_some_and(is_typed_as_velocity);
    let typed = gym
        .reps_of(athlete)
        .filter(|rep| rep.entry.load.total > Mass::ZERO && typed_so(&rep.entry.exercise))
        .map(|rep| (&rep.entry.exercise, rep.entry.side));
    let recorded = gym
        .traces
        .usable(athlete, Kind::Bar, None)
        .filter(|trace| trace.filing.load > Mass::ZERO)
        .filter_map(|trace| Some((trace.filing.exercise.as_ref()?, trace.filing.side)));
    let mut found: Vec<(&Exercise, Vec<Option<Side>>)> = Vec::new();
    for (id, side) in typed.chain(recorded) {
        match found.iter_mut().find(|(exercise, _)| exercise.id == *id) {
            Some((_, sides)) => sides.push(side),
            None => {
                let fits = |one: &&Exercise| velocity_of(one).is_some();
                found.extend(house.exercise(gym, id).filter(fits).map(|one| (one, vec![side])));
            }
        }
    }
    for (_, sides) in &mut found {
        sides.sort_unstable();
        sides.dedup();
    }
    found
}

/// The velocity a lift is judged by: its own measure, or the one it has beside the load.
pub fn velocity_of(exercise: &Exercise) -> Option<MeasureKind> {
    let velocity = |kind| matches!(kind, MeasureKind::MeanVelocity | MeasureKind::PeakVelocity);
    exercise.measures().map(|measure| measure.kind).find(|kind| velocity(*kind))
}

/// Whether what is typed for it is that velocity; of a squat it is the load that is typed.
fn is_typed_as_velocity(exercise: &Exercise) -> bool {
    velocity_of(exercise) == Some(exercise.measure.kind)
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
        .filter(|_| is_typed_as_velocity(exercise))
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
        .flat_map(|trace| reps_of(house, gym, trace, velocity_of(exercise)))
        .collect()
}

/// The repetitions of one recorded set, by the velocity the exercise is judged by.
fn reps_of(
    house: &House,
    gym: &Gym,
    trace: &FiledRecording,
    kind: Option<MeasureKind>,
) -> Vec<Dated<VelocityRep>> {
    let definition = match kind {
        Some(MeasureKind::PeakVelocity) => &power::PEAK_VELOCITY,
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
