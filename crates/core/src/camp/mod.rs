//! The camp: back from the bout to the day.

pub mod camps;
pub mod day;
pub mod difference;
pub mod fight_night;
pub mod phase;
