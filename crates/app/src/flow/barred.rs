//! A restriction in words: what is barred, until when, and what to do instead. One place says it
//! for every page and paper.

use crate::flow::house::House;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::restriction::{Barred, Restriction, end_in_words};
use cornerwork_core::words;

/// In words fit for everyone on the floor, with the rule or person behind it.
pub(super) fn with_ground(house: &House, gym: &Gym, one: &Restriction) -> String {
    sentence(house, gym, one, &format!(": {}", one.ground))
}

/// The same without its ground, for papers: they go where their maker is not.
pub(super) fn without_ground(house: &House, gym: &Gym, one: &Restriction) -> String {
    sentence(house, gym, one, "")
}

fn sentence(house: &House, gym: &Gym, one: &Restriction, ground: &str) -> String {
    let what = what(house, gym, one);
    let instead = one.instead.as_ref().map_or_else(String::new, |it| format!(" Instead: {it}."));
    let end = match (one.earliest_end, gym.clearance_needed(one)) {
        (Some(day), None) => format!("before {}", words::day_and_year(day)),
        (earliest, who) => end_in_words(earliest, who),
    };
    format!("No {what} {end}{ground}.{instead}")
}

/// "training", or the exercises by name.
pub(super) fn what(house: &House, gym: &Gym, one: &Restriction) -> String {
    let named = |id: &ExerciseId| house.exercise_name(gym, id).to_lowercase();
    let list = |ids: &[ExerciseId]| ids.iter().map(named).collect::<Vec<_>>().join(", ");
    match &one.barred {
        Barred::Everything => "training".to_owned(),
        Barred::Exercises(ids) => list(ids),
        Barred::OneSide { exercises, side } => {
            format!("{} with the {}", list(exercises), side.word())
        }
    }
}
