//! The bout as a moment: the clock and the calendar of the venue beside those of the gym.

use super::phase::days_between;
use jiff::Timestamp;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;

/// When a clock at the venue shows a time on a date. A time that the clocks skip is taken as much
/// later as they jump, one they show twice as the first (RFC 5545, section 3.3.5); `None` only
/// beyond the years a calendar has.
pub fn moment_at_venue(date: Date, time: Time, venue: &TimeZone) -> Option<Timestamp> {
    venue.to_ambiguous_timestamp(date.to_datetime(time)).compatible().ok()
}

/// Whole days from now to a moment by the calendar of one place: how many midnights lie between.
pub fn days_by_calendar(now: Timestamp, then: Timestamp, place: &TimeZone) -> i32 {
    days_between(place.to_datetime(now).date(), place.to_datetime(then).date())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time};

    // The rules of the zones as POSIX writes them, so that no file is read.
    fn london() -> TimeZone {
        TimeZone::posix("GMT0BST,M3.5.0/1,M10.5.0").unwrap()
    }
    fn new_york() -> TimeZone {
        TimeZone::posix("EST5EDT,M3.2.0,M11.1.0").unwrap()
    }

    #[test]
    fn a_bell_late_in_new_york_is_the_next_day_in_london() {
        let bell = moment_at_venue(date(2026, 11, 21), time(22, 30, 0, 0), &new_york()).unwrap();
        // Five hours behind in winter.
        assert_eq!(bell.to_string(), "2026-11-22T03:30:00Z");
        let now: Timestamp = "2026-09-23T16:40:00Z".parse().unwrap();
        assert_eq!(days_by_calendar(now, bell, &new_york()), 59);
        assert_eq!(days_by_calendar(now, bell, &london()), 60);
    }

    #[test]
    fn a_day_of_25_hours_is_one_day() {
        // The clocks of London go back on 25 October 2026 at 01:00 UTC.
        let london = london();
        let eve = moment_at_venue(date(2026, 10, 24), time(20, 0, 0, 0), &london).unwrap();
        let bell = moment_at_venue(date(2026, 10, 25), time(20, 0, 0, 0), &london).unwrap();
        assert_eq!(bell.duration_since(eve).as_hours(), 25);
        assert_eq!(days_by_calendar(eve, bell, &london), 1);
    }

    #[test]
    fn a_leap_day_counts() {
        let london = london();
        let at = |day| moment_at_venue(day, time(12, 0, 0, 0), &london).unwrap();
        assert_eq!(days_by_calendar(at(date(2028, 2, 28)), at(date(2028, 3, 1)), &london), 2);
        assert_eq!(days_by_calendar(at(date(2027, 2, 28)), at(date(2027, 3, 1)), &london), 1);
    }

    #[test]
    fn a_time_that_clocks_skip_is_an_hour_later() {
        // 29 March 2026, 01:30 does not exist in London.
        let skipped = moment_at_venue(date(2026, 3, 29), time(1, 30, 0, 0), &london()).unwrap();
        assert_eq!(skipped.to_string(), "2026-03-29T01:30:00Z", "half past two in summer time");
    }
}
