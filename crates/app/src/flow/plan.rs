//! The few conventions of this gym that are not in the exercise library.

use crate::flow::house::House;
use cornerwork_core::exercise::{Exercise, ExerciseId, LoadModel};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::units::Mass;

/// Unloaded jumps with the hands on the hips stand for zero load in every jump profile.
pub const UNLOADED_JUMP: &str = "countermovement-jump";
/// The loaded jump of the usual evening.
pub const LOADED_JUMP: &str = "trap-bar-jump";

/// Largest step above the heaviest loaded jump of the evening (common practice, no source).
pub const LARGEST_STEP: Mass = Mass::kilograms(40.0);

/// How far a load lies above the heaviest so far, where a jump may not go up that far at once;
/// loads that are not carried through a jump may.
pub fn step_too_large(exercise: &Exercise, load: Mass, heaviest: Mass) -> Option<Mass> {
    let step = load - heaviest;
    (exercise.load_model == LoadModel::SystemMass && step > LARGEST_STEP).then_some(step)
}

/// An exercise of the library.
///
/// # Errors
/// A sentence when it is not there.
pub fn exercise<'a>(house: &'a House, gym: &'a Gym, id: &str) -> Result<&'a Exercise, String> {
    let found = ExerciseId::new(id).and_then(|id| house.exercise(gym, &id));
    found.ok_or_else(|| format!("The exercise library has no {id}."))
}
