//! The usual evening and the few conventions of this gym that are not in the exercise library.

use crate::flow::house::House;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::kit::BarKind;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::{EveningPlan, Station};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::units::{Duration, Mass};

/// Unloaded jumps with the hands on the hips stand for zero load in every jump profile.
pub const UNLOADED_JUMP: &str = "countermovement-jump";
/// The loaded jump of the usual evening.
pub const LOADED_JUMP: &str = "trap-bar-jump";

/// Largest step above the heaviest loaded jump of the evening (common practice, no source).
pub const LARGEST_STEP: Mass = Mass::kilograms(40.0);

/// Stations of the usual evening: exercise, kind of bar, sets, reps, rest in seconds.
const STATIONS: [(&str, Option<BarKind>, u32, u32, f64); 4] = [
    ("depth-jump", None, 4, 3, 120.0),
    ("landmine-punch-throw", Some(BarKind::Landmine), 3, 3, 120.0),
    (LOADED_JUMP, Some(BarKind::Hex), 5, 2, 120.0),
    ("landmine-split-jerk", Some(BarKind::Landmine), 4, 2, 120.0),
];

/// The usual evening for those present: four stations, groups of two or three in the order given.
///
/// # Errors
/// A sentence when nobody is present or an exercise is missing from the library.
pub fn evening(house: &House, gym: &Gym, present: &[AthleteId]) -> Result<EveningPlan, String> {
    if present.is_empty() {
        return Err("Tick who trains tonight first.".to_owned());
    }
    let stations = STATIONS
        .iter()
        .zip(1..)
        .map(|(&(id, bar, sets, reps, rest), number)| {
            Ok(Station {
                number,
                exercise: exercise(house, id)?.id.clone(),
                bars: bars(gym, bar),
                sets,
                reps,
                rest: Duration::seconds(rest),
            })
        })
        .collect::<Result<Vec<_>, String>>()?;
    let size = present.len().div_ceil(stations.len());
    let groups = present.chunks(size).map(<[AthleteId]>::to_vec).collect();
    Ok(EveningPlan { date: house.clock().today(), stations, groups })
}

/// An exercise of the library.
///
/// # Errors
/// A sentence when it is not there.
pub fn exercise<'a>(house: &'a House, id: &str) -> Result<&'a Exercise, String> {
    house.exercises.named(id).ok_or_else(|| format!("The exercise library has no {id}."))
}

/// Ids of the gym's bars of a kind, lightest first.
fn bars(gym: &Gym, kind: Option<BarKind>) -> Vec<String> {
    let mut bars: Vec<_> = gym.bars.values().filter(|bar| Some(bar.kind) == kind).collect();
    bars.sort_by(|one, other| one.mass().in_kilograms().total_cmp(&other.mass().in_kilograms()));
    bars.into_iter().map(|bar| bar.id.clone()).collect()
}
