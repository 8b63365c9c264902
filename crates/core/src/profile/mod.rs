//! What many trials of one athlete say together, as curves with their doubt.

pub mod load_momentum;
pub mod load_velocity;
