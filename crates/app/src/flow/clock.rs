//! What time it is in the gym. Passed in, so that a test or the demo can live in its own time.

use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// A clock with the gym's time zone.
#[derive(Clone, Debug)]
pub struct Clock {
    zone: TimeZone,
    /// Added to the machine's clock: zero for a real gym, the distance to the story for the demo.
    offset: SignedDuration,
}

impl Clock {
    /// The machine's own time.
    pub fn machine(zone: TimeZone) -> Self {
        Self { zone, offset: SignedDuration::ZERO }
    }

    /// A clock that showed `story` at the machine's `moment` and runs on from there.
    pub fn telling(story: Timestamp, moment: Timestamp, zone: TimeZone) -> Self {
        Self { zone, offset: story.duration_since(moment) }
    }

    /// Now.
    pub fn now(&self) -> Timestamp {
        let now = Timestamp::now().checked_add(self.offset).unwrap_or(Timestamp::MAX);
        // The store keeps whole microseconds; so does everything before it.
        Timestamp::from_microsecond(now.as_microsecond()).unwrap_or(now)
    }

    /// The gym's time zone.
    pub const fn zone(&self) -> &TimeZone {
        &self.zone
    }

    /// Today's date in the gym.
    pub fn today(&self) -> Date {
        self.date_of(self.now())
    }

    /// The date in the gym at a moment.
    pub fn date_of(&self, at: Timestamp) -> Date {
        self.zone.to_datetime(at).date()
    }

    /// The moment of a date and a clock time in the gym. An hour that the clocks skip is the one
    /// after it; of an hour that comes twice it is the first.
    pub fn moment(&self, date: Date, time: Time) -> Timestamp {
        let there = self.zone.to_ambiguous_timestamp(date.to_datetime(time));
        there.compatible().unwrap_or(Timestamp::MAX)
    }

    /// The clock time in the gym at a moment: "18:20".
    pub fn time_of(&self, at: Timestamp) -> String {
        self.zone.to_datetime(at).strftime("%H:%M").to_string()
    }
}
