//! The days of the story: two camps back from their bouts, sparring, tests and sessions.

use cornerwork_core::session::bout::Bout;
use jiff::Timestamp;
use jiff::civil::{Date, Weekday, date};
use jiff::tz::{Offset, offset};

use super::people::PEOPLE;

/// The story's now: Wednesday 23 September 2026, 17:40 in London, before the evening's first set.
pub(crate) const STORY_NOW: Timestamp = Timestamp::constant(1_790_181_600, 0);
/// Its date at the gym.
pub(super) const TONIGHT: Date = date(2026, 9, 23);
/// First day on record: bars weighed, plates counted.
pub(super) const FIRST_DAY: Date = date(2026, 2, 16);
/// The blue bar stands on a scale at last.
pub(super) const BLUE_BAR_WEIGHED: Date = date(2026, 9, 12);
/// Weekly jumps on record before the first test of a camp.
const WEEKS_KNOWN_BEFORE: i64 = 24;

/// One of the two camps that run side by side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Camp {
    /// Amateurs, a tournament.
    HarbourOpen,
    /// Professionals, one night.
    Lanternlight,
}

impl Camp {
    /// First test.
    pub(super) const fn first_test(self) -> Date {
        match self {
            Self::HarbourOpen => date(2026, 8, 10),
            Self::Lanternlight => date(2026, 8, 31),
        }
    }
    /// Second test.
    pub(super) const fn second_test(self) -> Date {
        match self {
            Self::HarbourOpen => date(2026, 9, 14),
            Self::Lanternlight => date(2026, 10, 5),
        }
    }
    /// Third test, the small one.
    pub(super) const fn third_test(self) -> Date {
        match self {
            Self::HarbourOpen => date(2026, 10, 5),
            Self::Lanternlight => date(2026, 11, 9),
        }
    }
    /// First bout.
    pub(super) const fn bout(self) -> Date {
        match self {
            Self::HarbourOpen => date(2026, 10, 17),
            Self::Lanternlight => date(2026, 11, 21),
        }
    }
    /// First day of the power block: light, fast loads from here on.
    pub(super) const fn power_from(self) -> Date {
        match self {
            Self::HarbourOpen => date(2026, 9, 14),
            Self::Lanternlight => date(2026, 10, 19),
        }
    }
    /// Open sparring on this day.
    pub(super) fn spars(self, day: Date) -> bool {
        let late = match self {
            Self::HarbourOpen => Weekday::Friday,
            Self::Lanternlight => Weekday::Thursday,
        };
        day >= self.first_test() && [Weekday::Tuesday, late].contains(&day.weekday())
    }
    /// Whether this is a test day of the camp.
    pub(super) fn tests(self, day: Date) -> bool {
        [self.first_test(), self.second_test(), self.third_test()].contains(&day)
    }
    /// The bout as it is agreed.
    pub(super) fn agreed(self) -> Bout {
        let (id, name) = match self {
            Self::HarbourOpen => ("harbour-open", "Harbour Open"),
            Self::Lanternlight => ("lanternlight-fight-night", "Lanternlight Fight Night"),
        };
        let boxers = PEOPLE.iter().filter(|person| person.camp == Some(self));
        Bout {
            id: id.to_owned(),
            name: name.to_owned(),
            date: self.bout(),
            athletes: boxers.map(super::people::Person::id).collect(),
        }
    }
}

/// What a session is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Session {
    /// Monday: depth jumps and loaded jumps.
    Jumps,
    /// Wednesday: throws and jerks.
    Landmine,
    /// Every other Saturday: loaded jumps and throws.
    Mixed,
}

/// The session of a day, if there is one: two or three a week from the first test on.
pub(super) fn session_on(day: Date) -> Option<Session> {
    let days = (day - Camp::HarbourOpen.first_test()).get_days();
    if days < 0 || day >= TONIGHT {
        return None;
    }
    match day.weekday() {
        Weekday::Monday => Some(Session::Jumps),
        Weekday::Wednesday => Some(Session::Landmine),
        Weekday::Saturday if (days / 7) % 2 == 1 => Some(Session::Mixed),
        _ => None,
    }
}

/// First of the weekly jumps that were kept before a camp.
pub(super) fn known_from(camp: Camp) -> Date {
    camp.first_test().saturating_sub(jiff::Span::new().weeks(WEEKS_KNOWN_BEFORE))
}

/// Every day from the first on record to the day before tonight.
pub(super) fn days_before_tonight() -> impl Iterator<Item = Date> {
    FIRST_DAY.series(jiff::Span::new().days(1)).take_while(|day| *day < TONIGHT)
}

/// A clock time in London as a moment. The story never reaches the end of summer time, so one
/// change of the clocks is enough: forward on 29 March 2026.
pub(super) fn at(day: Date, hour: i8, minute: i8) -> Timestamp {
    let summer = day >= date(2026, 3, 29);
    let offset = if summer { offset(1) } else { Offset::UTC };
    offset.to_timestamp(day.at(hour, minute, 0, 0)).expect("the story lies in the year 2026")
}
