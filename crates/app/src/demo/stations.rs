//! The four stations of the floor, the same on every evening.

use super::journal::{ASSISTANT, COACH};
use super::kit;
use super::names::{self, exercise};
use cornerwork_core::session::evening::Station;
use cornerwork_core::units::Duration;

pub(super) const DEPTH_JUMP: u8 = 1;
pub(super) const THROW: u8 = 2;
pub(super) const LOADED_JUMP: u8 = 3;
pub(super) const JERK: u8 = 4;

/// The station of a number, with the evening's usual dose.
pub(super) fn station(number: u8) -> Station {
    let (name, bars, sets, reps, rest_s): (_, &[&str], _, _, _) = match number {
        DEPTH_JUMP => (names::DEPTH_JUMP, &[], 3, 3, 120.0),
        THROW => (names::THROW, &[kit::LANDMINE_LIGHT, kit::LANDMINE_HEAVY], 3, 3, 90.0),
        LOADED_JUMP => (names::LOADED_JUMP, &[kit::HEX_LIGHT, kit::HEX_BLUE], 4, 3, 120.0),
        _ => (names::JERK, &[kit::LANDMINE_LIGHT, kit::LANDMINE_HEAVY], 3, 2, 120.0),
    };
    Station {
        number,
        exercise: exercise(name),
        bars: bars.iter().map(|&bar| bar.to_owned()).collect(),
        sets,
        reps,
        rest: Duration::seconds(rest_s),
    }
}

/// Who stands at a station with the tablet.
pub(super) const fn author_at(number: u8) -> &'static str {
    match number {
        LOADED_JUMP | JERK => ASSISTANT,
        _ => COACH,
    }
}
