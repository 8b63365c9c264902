//! Bouts and camps: what is agreed, how it is laid out, what a day allows.

pub mod act;
pub mod contest;
pub mod fight_night;
pub mod limits;
pub mod planned;
pub mod proposal;
pub mod travel;
pub mod typed;
pub mod view;
