//! Planning a session: from a template to what each athlete does, who stands where when, and the
//! evening it becomes.

mod act;
pub mod done;
pub mod kept;
pub mod library;
pub mod objection;
pub mod open;
pub mod presence;
pub mod resolve;
pub mod rotate;
pub mod rounds;
pub mod turns;
pub mod typed;

pub use act::ProgramAct;

use crate::flow::house::House;
use cornerwork_core::camp::phase::PhaseKind;
use cornerwork_core::exercise::{Exercise, Sides};
use cornerwork_core::kit::{Bar, BarKind};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{Planned, Purpose, SessionId, SessionPlan};
use cornerwork_io::catalogue::templates;
use jiff::civil::Date;

/// The template of the usual evening.
pub const USUAL: &str = "power";

/// The templates: the coach's own first, then those the program carries.
pub fn templates(house: &House, gym: &Gym) -> Vec<SessionPlan> {
    let own = gym.program.sessions().filter(|plan| plan.is_template()).cloned();
    // A test holds that the built-in file reads.
    let built_in = templates::built_in(&house.exercises).unwrap_or_default();
    let mut all: Vec<SessionPlan> = own.collect();
    let new = |plan: &SessionPlan| all.iter().all(|known| known.id != plan.id);
    let built_in: Vec<SessionPlan> = built_in.into_iter().filter(new).collect();
    all.extend(built_in);
    all
}

/// A session or template of this id, the coach's own before a built-in one.
pub fn session(house: &House, gym: &Gym, id: &SessionId) -> Option<SessionPlan> {
    let own = gym.program.session(id).cloned();
    own.or_else(|| templates(house, gym).into_iter().find(|plan| plan.id == *id))
}

/// What a session of a day is for, by the phase most athletes are in, with the words for it; `None`
/// where nobody's camp says.
pub fn suggested(gym: &Gym, day: Date) -> Option<(Purpose, String)> {
    let phases: Vec<PhaseKind> = gym
        .athletes
        .keys()
        .filter_map(|id| gym.camp_day(id, day)?.phase.map(|(kind, ..)| kind))
        .collect();
    let count = |kind: &PhaseKind| phases.iter().filter(|one| *one == kind).count();
    let kind = phases.iter().copied().max_by_key(|kind| (count(kind), *kind))?;
    let purpose = match kind {
        PhaseKind::General | PhaseKind::Strength => Purpose::Strength,
        PhaseKind::StrengthSpeed => Purpose::StrengthSpeed,
        PhaseKind::Power => Purpose::Power,
        PhaseKind::Taper => Purpose::Taper,
        PhaseKind::Recovery => return None,
    };
    let words = format!("{} of {} in a camp are in their {kind} phase", count(&kind), phases.len());
    Some((purpose, words))
}

/// Sessions of a day, by id.
pub fn of_day(gym: &Gym, day: Date) -> impl Iterator<Item = &SessionPlan> {
    gym.program.sessions().filter(move |plan| plan.date == Some(day))
}

/// The kind of bar an exercise is done with.
pub fn bar_kind(exercise: &Exercise) -> Option<BarKind> {
    exercise.bar_kind()
}

/// Bars of a kind, lightest first.
pub fn bars(gym: &Gym, kind: Option<BarKind>) -> Vec<&Bar> {
    gym.bars_of(kind)
}

/// "4 × 2", with "each side" where a set is done on both.
pub fn dose(house: &House, gym: &Gym, planned: &Planned) -> String {
    let exercise = house.exercise(gym, &planned.exercise);
    let both = exercise.filter(|exercise| sides(exercise, planned.only.is_some()) > 1);
    let each = match both.map(|exercise| exercise.sides) {
        Some(Sides::LeadRear) => " each hand",
        Some(_) => " each side",
        None => "",
    };
    format!("{} × {}{each}", planned.sets, planned.reps)
}

/// How many sides a set is done on.
fn sides(exercise: &Exercise, limited: bool) -> u32 {
    if exercise.sides == Sides::None || limited { 1 } else { 2 }
}
