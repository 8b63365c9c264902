//! From a profile, a goal and the kit at hand to what to do next.

pub mod depth_jump_box;
pub mod load_to_use;
pub mod next_load;
pub mod next_set;
pub mod next_test;
pub mod ramp;
pub mod rotation;
pub mod target_velocity;
