//! One rep that was counted twice: two entries closer in time than two reps can be.

use crate::session::gym::Gym;
use crate::session::rep::Rep;
use jiff::SignedDuration;

/// No two jumps, throws or lifts of one athlete begin closer than this (common practice, no
/// source); a sensor that bounces or a finger that slips does.
pub const LEAST_GAP: SignedDuration = SignedDuration::from_millis(500);

/// The later of the last two reps at a station, where both cannot have been done.
pub fn counted_twice(gym: &Gym, station: u8) -> Option<&Rep> {
    let mut last = gym.reps_at(station).rev();
    let (later, earlier) = (last.next()?, last.next()?);
    let (one, other) = (&later.entry, &earlier.entry);
    let alike = one.athlete == other.athlete
        && one.exercise == other.exercise
        && one.side == other.side
        && later.set_aside.is_none()
        && earlier.set_aside.is_none();
    let gap = one.at.duration_since(other.at).abs();
    (alike && gap < LEAST_GAP).then_some(later)
}
