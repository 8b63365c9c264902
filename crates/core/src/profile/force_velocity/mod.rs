//! Force-velocity profile of jumping, from heights at several loads.
//!
//! Mean force and mean velocity of each push-off follow from body mass, load, jump height and
//! push-off distance (Samozino et al. 2008, J Biomech 41:2940); a line through them gives a
//! theoretical force at no velocity, a velocity at no force and a maximal power, and theory says
//! which slope would jump highest at that power (Samozino et al. 2012, Med Sci Sports Exerc
//! 44:313). The heights are measured, the rest is extrapolation: this profile is a hypothesis and
//! no load is ever prescribed from it.

mod best_slope;
mod notes;
mod profile;
mod spread;
mod working;

pub use best_slope::BestSlope;
pub use profile::{
    Balance, ForceVelocityError, ForceVelocityInput, ForceVelocityPoint, ForceVelocityProfile,
    HeightAtLoad,
};
