//! Use cases: what the pages and commands ask for, in the gym's words. Clock and store are passed
//! in; nothing here knows HTML or arguments.

pub mod act;
pub mod advice;
pub mod body_mass;
pub mod camp;
pub mod clock;
pub mod close;
mod dated;
pub mod desk;
pub mod doors;
pub mod filing;
pub mod floor;
pub mod hand;
pub mod house;
mod jumps_by_method;
pub mod keeper;
pub mod kit;
pub mod paper;
pub mod person;
pub mod picture;
pub mod plan;
pub mod plate_series;
pub mod predict;
pub mod profiles;
pub mod program;
pub mod progress;
pub mod record;
mod reps_by_method;
pub mod safety;
pub mod takeaway;
pub mod trace;
pub mod trace_story;
pub mod traces;
pub mod trials;
