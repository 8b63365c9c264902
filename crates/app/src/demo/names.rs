//! The exercises and the fault of the story, by their names in the library.

use cornerwork_core::exercise::{ExerciseId, FaultTag};
use cornerwork_core::session::rep::SeenFault;

pub(super) const PUNCH_PUSH: &str = "isometric-punch-push";
pub(super) const SQUAT_JUMP: &str = "squat-jump";
pub(super) const JUMP: &str = "countermovement-jump";
pub(super) const DEPTH_JUMP: &str = "depth-jump";
pub(super) const DROP_JUMP: &str = "drop-jump";
pub(super) const LOADED_JUMP: &str = "trap-bar-jump";
pub(super) const THROW: &str = "landmine-punch-throw";
pub(super) const JERK: &str = "landmine-split-jerk";
pub(super) const PULL: &str = "isometric-mid-thigh-pull";
pub(super) const HANG_CLEAN: &str = "hang-power-clean";

pub(super) fn exercise(name: &str) -> ExerciseId {
    ExerciseId::new(name).expect("names of the story are kebab-case")
}

/// Landed with bent legs: the mat counts a longer flight than there was.
pub(super) fn bent_landing() -> SeenFault {
    let tag = FaultTag::new("bent-landing").expect("kebab-case");
    SeenFault { tag, spoils_number: true }
}
