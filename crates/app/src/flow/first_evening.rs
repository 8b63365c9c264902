//! What a station still needs before it can work for the athlete who is up: a body mass, a jump
//! without a load, a bar of the kind, a box. Each is something to do, never a dead end.

use crate::flow::advice;
use crate::flow::house::House;
use crate::flow::kit;
use crate::flow::plan::UNLOADED_JUMP;
use crate::flow::profiles::PROFILE_DAYS;
use crate::flow::program::bar_kind;
use cornerwork_core::exercise::{Exercise, LoadModel, MeasureKind};
use cornerwork_core::kit::{Bar, BarKind};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::Station;
use cornerwork_core::session::gym::Gym;
use jiff::ToSpan;

/// What is missing at a station for one athlete.
#[derive(Debug)]
pub struct Missing<'a> {
    /// What is planned there for the athlete.
    pub exercise: &'a Exercise,
    /// Whether the athlete does a jump without a load there now.
    pub jumps_unloaded: bool,
    /// Whether a jump without a load is asked for: its loads or its box rest on one, and there is
    /// none lately.
    pub unloaded_jump: bool,
    /// Whether they rest on a body mass and there is none.
    pub body_mass: bool,
    /// The kind of bar that is needed and not here.
    pub bar: Option<BarKind>,
    /// Whether there is no box at all where one is stepped off.
    pub boxes: bool,
}

/// What is missing at a station for an athlete; `None` for an exercise that is not known here.
pub fn missing<'a>(
    house: &'a House,
    gym: &'a Gym,
    station: &'a Station,
    athlete: &AthleteId,
) -> Option<Missing<'a>> {
    let exercise = house.exercise(gym, gym.planned_at(station, athlete).0)?;
    let from_a_box = steps_off_a_box(exercise);
    let rests_on_a_jump = from_a_box || exercise.load_model == LoadModel::SystemMass;
    let kind = bar_kind(exercise);
    let evening = gym.evening.as_ref();
    let meanwhile = evening.and_then(|evening| evening.meanwhile_at(station.number, athlete));
    Some(Missing {
        exercise,
        jumps_unloaded: meanwhile.is_some(),
        unloaded_jump: rests_on_a_jump && !jumped_unloaded(house, gym, athlete),
        body_mass: rests_on_a_jump && gym.body_mass(athlete).is_none(),
        bar: kind.filter(|_| advice::loads_at(house, gym, station).is_empty()),
        boxes: from_a_box && gym.boxes.is_empty(),
    })
}

/// Whether an exercise begins on a box.
pub fn steps_off_a_box(exercise: &Exercise) -> bool {
    exercise.measure_of(MeasureKind::BoxHeight).is_some() && bar_kind(exercise).is_none()
}

/// Whether there is a jump without a load as recent as what a profile rests on.
fn jumped_unloaded(house: &House, gym: &Gym, athlete: &AthleteId) -> bool {
    let clock = house.clock();
    let since = clock.today().checked_sub(PROFILE_DAYS.days()).ok();
    gym.reps_of(athlete)
        .rev()
        .filter(|rep| rep.entry.exercise.as_str() == UNLOADED_JUMP && rep.counts())
        .any(|rep| since.is_some_and(|since| clock.date_of(rep.entry.at) >= since))
}

/// Bars of another kind that could be held as this one: a straight bar in the pivot of a landmine
/// and a landmine's bar taken out of it. A hex bar is neither.
pub fn bars_to_use_as(gym: &Gym, kind: BarKind) -> Vec<&Bar> {
    let other = match kind {
        BarKind::Straight => BarKind::Landmine,
        BarKind::Landmine => BarKind::Straight,
        BarKind::Hex => return Vec::new(),
    };
    kit::owned(gym).filter(|bar| bar.kind == other && !bar.also.contains(&kind)).collect()
}
