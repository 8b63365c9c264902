//! The few conventions of this gym that are not in the exercise library.

use crate::flow::house::House;
use cornerwork_core::exercise::{Exercise, ExerciseId};
use cornerwork_core::session::gym::Gym;

/// Unloaded jumps with the hands on the hips stand for zero load in every jump profile.
pub const UNLOADED_JUMP: &str = "countermovement-jump";
/// The loaded jump of the usual evening.
pub const LOADED_JUMP: &str = "trap-bar-jump";

/// An exercise of the library.
///
/// # Errors
/// A sentence when it is not there.
pub fn exercise<'a>(house: &'a House, gym: &'a Gym, id: &str) -> Result<&'a Exercise, String> {
    let found = ExerciseId::new(id).and_then(|id| house.exercise(gym, &id));
    found.ok_or_else(|| format!("The exercise library has no {id}."))
}
