//! Use cases: what the pages and commands ask for, in the gym's words. Clock and store are passed
//! in; nothing here knows HTML or arguments.

pub mod act;
pub mod advice;
pub mod clock;
pub mod desk;
pub mod earlier_camps;
pub mod expected;
pub mod floor;
pub mod hand;
pub mod house;
pub mod jump_days;
pub mod keeper;
pub mod kept;
pub mod kit;
pub mod next_tests;
pub mod odd_rep;
pub mod peers;
pub mod picture;
pub mod plan;
pub mod predict;
pub mod profiles;
pub mod program;
pub mod progress;
pub mod record;
pub mod sensor;
pub mod sides;
pub mod squad;
pub mod squad_curve;
pub mod trace;
pub mod weeks;
pub mod whose;
