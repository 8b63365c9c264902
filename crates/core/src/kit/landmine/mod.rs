//! Landmine: what the hand really meets when one end of the bar turns about a pivot on the floor.
//!
//! The number on the plates is not the load. Statics and rotation of a rigid body about a fixed
//! axis (any mechanics text, for example Meriam and Kraige, Engineering Mechanics) give three
//! different masses at the hand: what it holds up, what it pushes across the bar, and what it
//! accelerates. The pivot is taken as free of friction and the push as applied at one point.

mod lever;
mod sensor;
mod throw;

pub use lever::{Disc, HungPlate, Landmine, LandmineBar, LandmineError, LandmineLoad, Rod, Stance};
pub use sensor::{Cable, CableError};
pub use throw::{Apex, Throw};
