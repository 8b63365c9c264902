//! The journey to a bout: when it leaves by the gym's clock, when it arrives by the venue's, and by
//! how much the clock the body lives by is shifted.

use super::venue::moment_at_venue;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Span, Timestamp, ToSpan};
use std::fmt;

/// From this shift on a body is out of step for days (Roach and Sargent 2019, Front Physiol
/// 10:927: jet lag comes after three or more time zones).
const FELT_FROM_MIN: i32 = 180;
/// Days until a body is in step, for each hour (common practice, no source).
const DAYS_AN_HOUR: i32 = 1;
/// Longer journeys are taken for a slip.
const LONGEST: SignedDuration = SignedDuration::from_hours(72);
const DAY_MIN: i32 = 24 * 60;

/// A journey as it is agreed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Journey {
    /// When it leaves, by the clock of the gym.
    pub leaves: DateTime,
    /// When it arrives, by the clock of the venue.
    pub arrives: DateTime,
}

/// A journey in true time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Timed {
    /// When it leaves.
    pub leaves: Timestamp,
    /// When it arrives.
    pub arrives: Timestamp,
    /// The venue's clock against the gym's, at the arrival.
    pub shift: ClockShift,
}

impl Timed {
    /// How long it takes.
    pub fn lasts(&self) -> SignedDuration {
        self.arrives.duration_since(self.leaves)
    }
}

/// Why a journey cannot be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoJourney {
    /// It arrives before it leaves.
    #[error(
        "That arrives before it leaves, by true time. The departure is by the gym's clock, the arrival by the venue's: is the venue's time zone right?"
    )]
    Backwards,
    /// Too long to be believed.
    #[error("That takes {} hours. Check both days: a journey takes 72 hours at most.", .hours)]
    TooLong {
        /// How long.
        hours: i64,
    },
}

impl Journey {
    /// The same, as many days later or earlier.
    #[must_use]
    pub fn moved(&self, shift: Span) -> Self {
        let later = |at: DateTime| at.saturating_add(shift);
        Self { leaves: later(self.leaves), arrives: later(self.arrives) }
    }

    /// The days it takes up, by the calendars of its two ends: over the date line the later one
    /// may come first.
    pub fn days(&self) -> impl Iterator<Item = Date> + use<> {
        let (one, other) = (self.leaves.date(), self.arrives.date());
        let last = one.max(other);
        one.min(other).series(1.day()).take_while(move |day| *day <= last)
    }

    /// The journey in true time.
    ///
    /// # Errors
    /// [`NoJourney`] for one that runs backwards or takes more than three days.
    pub fn timed(&self, home: &TimeZone, venue: &TimeZone) -> Result<Timed, NoJourney> {
        let at = |at: DateTime, zone| {
            moment_at_venue(at.date(), at.time(), zone).ok_or(NoJourney::Backwards)
        };
        let (leaves, arrives) = (at(self.leaves, home)?, at(self.arrives, venue)?);
        let lasts = arrives.duration_since(leaves);
        if lasts <= SignedDuration::ZERO {
            return Err(NoJourney::Backwards);
        }
        if lasts > LONGEST {
            return Err(NoJourney::TooLong { hours: lasts.as_hours() });
        }
        Ok(Timed { leaves, arrives, shift: ClockShift::between(home, venue, arrives) })
    }
}

/// Which way a body has to shift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// To an earlier day: to bed sooner.
    East,
    /// To a later day: to bed later.
    West,
}

impl Direction {
    /// As said.
    pub const fn word(self) -> &'static str {
        match self {
            Self::East => "eastward",
            Self::West => "westward",
        }
    }
}

/// How far the clock of one place is ahead of another's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ClockShift {
    /// Minutes; negative where it is behind.
    pub minutes: i32,
}

impl ClockShift {
    /// The clock of `there` against that of `here` at a moment: by the rules of both zones on that
    /// day, so that summer time counts.
    pub fn between(here: &TimeZone, there: &TimeZone, at: Timestamp) -> Self {
        Self { minutes: (there.to_offset(at).seconds() - here.to_offset(at).seconds()) / 60 }
    }

    /// The shift as a body takes it, at most half a day either way: 17 hours ahead, over the date
    /// line, are 7 back.
    pub fn of_the_body(self) -> Self {
        let minutes = self.minutes.rem_euclid(DAY_MIN);
        Self { minutes: if minutes > DAY_MIN / 2 { minutes - DAY_MIN } else { minutes } }
    }

    /// Which way the body shifts; `None` where it does not.
    pub fn direction(self) -> Option<Direction> {
        match self.of_the_body().minutes {
            0 => None,
            minutes if minutes > 0 => Some(Direction::East),
            _ => Some(Direction::West),
        }
    }

    /// Days after the arrival until a body is in step again; zero for a shift that is hardly felt.
    pub fn unsettled_days(self) -> i32 {
        let minutes = self.of_the_body().minutes.abs();
        if minutes < FELT_FROM_MIN { 0 } else { (minutes * DAYS_AN_HOUR + 59) / 60 }
    }
}

impl fmt::Display for ClockShift {
    /// "5 h behind", "5 h 30 min ahead", "the same".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hours, minutes) = (self.minutes.abs() / 60, self.minutes.abs() % 60);
        let way = if self.minutes < 0 { "behind" } else { "ahead" };
        match (hours, minutes) {
            (0, 0) => f.write_str("the same"),
            (0, minutes) => write!(f, "{minutes} min {way}"),
            (hours, 0) => write!(f, "{hours} h {way}"),
            (hours, minutes) => write!(f, "{hours} h {minutes} min {way}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    // The rules of the zones as POSIX writes them, so that no file is read.
    fn zone(posix: &str) -> TimeZone {
        TimeZone::posix(posix).unwrap()
    }
    fn london() -> TimeZone {
        zone("GMT0BST,M3.5.0/1,M10.5.0")
    }
    fn new_york() -> TimeZone {
        zone("EST5EDT,M3.2.0,M11.1.0")
    }

    fn journey(leaves: DateTime, arrives: DateTime) -> Journey {
        Journey { leaves, arrives }
    }

    #[test]
    fn five_hours_west_and_in_the_week_between_two_changes_of_clocks_four() {
        // London 09:30 to New York 12:40: 17:40 in London, 8 h 10 min.
        let winter =
            journey(date(2026, 11, 17).at(9, 30, 0, 0), date(2026, 11, 17).at(12, 40, 0, 0));
        let timed = winter.timed(&london(), &new_york()).unwrap();
        assert_eq!(timed.lasts(), SignedDuration::from_mins(490));
        assert_eq!(
            (timed.shift.to_string().as_str(), timed.shift.unsettled_days()),
            ("5 h behind", 5)
        );
        assert_eq!(timed.shift.direction(), Some(Direction::West));
        // London is back on winter time on 25 October 2026, New York on 1 November.
        let between =
            journey(date(2026, 10, 28).at(9, 30, 0, 0), date(2026, 10, 28).at(13, 40, 0, 0));
        assert_eq!(between.timed(&london(), &new_york()).unwrap().shift.to_string(), "4 h behind");
    }

    #[test]
    fn a_flight_through_the_night_the_clocks_go_back_is_an_hour_longer() {
        // 24 October 23:00 to 25 October 06:00, both in London.
        let night = journey(date(2026, 10, 24).at(23, 0, 0, 0), date(2026, 10, 25).at(6, 0, 0, 0));
        let timed = night.timed(&london(), &london()).unwrap();
        assert_eq!(timed.lasts(), SignedDuration::from_hours(8));
        assert_eq!((timed.shift.minutes, timed.shift.direction()), (0, None));
    }

    #[test]
    fn over_the_date_line_a_day_is_won_and_the_body_goes_the_short_way() {
        // Los Angeles (8 h behind UTC in winter) to Tokyo (9 h ahead): 17 h ahead, 7 h back.
        let (los_angeles, tokyo) = (zone("PST8PDT,M3.2.0,M11.1.0"), zone("JST-9"));
        let there = journey(date(2027, 1, 10).at(11, 0, 0, 0), date(2027, 1, 11).at(15, 30, 0, 0));
        let timed = there.timed(&los_angeles, &tokyo).unwrap();
        assert_eq!(timed.lasts(), SignedDuration::from_mins(11 * 60 + 30));
        assert_eq!(timed.shift.to_string(), "17 h ahead");
        assert_eq!(timed.shift.of_the_body().to_string(), "7 h behind");
        assert_eq!(
            (timed.shift.direction(), timed.shift.unsettled_days()),
            (Some(Direction::West), 7)
        );
        // Back again: there before it left, by the calendars, and both days are taken up.
        let back = journey(date(2027, 1, 20).at(0, 30, 0, 0), date(2027, 1, 19).at(17, 15, 0, 0));
        let timed = back.timed(&tokyo, &los_angeles).unwrap();
        assert_eq!(timed.lasts(), SignedDuration::from_mins(9 * 60 + 45));
        assert_eq!(back.days().collect::<Vec<_>>(), [date(2027, 1, 19), date(2027, 1, 20)]);
    }

    #[test]
    fn a_leap_day_is_a_day_on_the_way() {
        let there = journey(date(2028, 2, 28).at(22, 0, 0, 0), date(2028, 3, 1).at(6, 0, 0, 0));
        let days: Vec<Date> = there.days().collect();
        assert_eq!(days, [date(2028, 2, 28), date(2028, 2, 29), date(2028, 3, 1)]);
        let lasts = there.timed(&london(), &london()).unwrap().lasts();
        assert_eq!(lasts, SignedDuration::from_hours(32));
        assert_eq!(there.moved(7.days()).arrives.date(), date(2028, 3, 8));
    }

    #[test]
    fn half_hours_count_and_two_hours_are_hardly_felt() {
        // Kolkata is 5 h 30 min ahead of UTC; Athens 2 h.
        let at: Timestamp = "2026-12-01T12:00:00Z".parse().unwrap();
        let shift = |posix| ClockShift::between(&london(), &zone(posix), at);
        assert_eq!(shift("IST-5:30").to_string(), "5 h 30 min ahead");
        assert_eq!(shift("IST-5:30").unsettled_days(), 6);
        assert_eq!(shift("EET-2EEST,M3.5.0/3,M10.5.0/4").unsettled_days(), 0);
    }

    #[test]
    fn a_slip_is_no_journey() {
        let backwards =
            journey(date(2026, 11, 17).at(9, 30, 0, 0), date(2026, 11, 17).at(4, 0, 0, 0));
        assert_eq!(backwards.timed(&london(), &new_york()), Err(NoJourney::Backwards));
        let slow = journey(date(2026, 11, 1).at(9, 0, 0, 0), date(2026, 11, 11).at(9, 0, 0, 0));
        assert_eq!(slow.timed(&london(), &london()), Err(NoJourney::TooLong { hours: 240 }));
    }
}
