//! Load-momentum profile: with which load does this athlete leave the ground with most momentum?
//!
//! Net impulse equals the momentum of athlete and bar at take-off, so momentum is what the push
//! has achieved. It peaks at a load of the athlete's own and the peak is flat: the honest answer
//! is a band of loads and how sure it is.

mod design;
mod fall;
mod falls;
mod jump;
mod mixture;
mod notes;
mod posterior;
mod priors;
mod profile;
pub mod shape;
mod working;

pub use jump::{HeightMethod, JumpMeasure, LoadMomentumError, LoadedJump};
pub use priors::LoadMomentumPriors;
pub use profile::{
    CurvePoint, LoadBand, LoadMomentumProfile, LoadMomentumSettings, MomentumPeak, ProfilePoint,
    RuleOfThumb,
};
