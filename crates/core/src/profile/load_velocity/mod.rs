//! Load-velocity profile: how fast this athlete moves which load in one lift.
//!
//! Within one athlete, lift, measure (mean or peak velocity), range of motion and device, velocity
//! falls nearly in a straight line with load; over a squad a curve has been neither more accurate
//! nor more reliable (Pestaña-Melero et al. 2018, J Appl Biomech 34:184). An athlete's own reps may
//! still bend, so a bend is held possible and weighed by the reps. Reps that differ in any of these
//! belong in different profiles; keeping them apart is the caller's part.

mod notes;
mod one_rep_max;
mod profile;
mod working;

pub(crate) use notes::beyond_tested;
pub use one_rep_max::{Confidence, OneRepMaxError, Threshold, ThresholdRow};
pub use profile::{
    LoadUnknown, LoadVelocityError, LoadVelocityProfile, LoadVelocitySettings, MEANING, VelocityRep,
};
