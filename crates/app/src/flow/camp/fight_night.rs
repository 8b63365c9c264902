//! When to begin the warm-up, at the venue's clock and the gym's, as the order of bouts changes.

use crate::flow::clock::Clock;
use cornerwork_core::camp::bout_facts::{BoutFacts, Rounds};
use cornerwork_core::camp::fight_night::{begin_warm_up_in, minutes_to_ring_walk};
use cornerwork_core::camp::venue::{days_by_calendar, moment_at_venue};
use cornerwork_core::session::bout::Bout;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// Where a bout is in the running, as typed.
#[derive(Clone, Debug, Default)]
pub struct Order {
    /// Its place: 6 for the sixth bout.
    pub place: String,
    /// The bout in the ring now; empty before the first.
    pub in_ring: String,
    /// Minutes the warm-up takes.
    pub warm_up: String,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct WarmUp {
    /// One sentence.
    pub sentence: String,
    /// What it rests on.
    pub ground: String,
}

/// Rounds taken for the bouts before, where nobody knows: three of three minutes.
const USUAL: Rounds = Rounds { count: 3, minutes: 3 };

/// When the warm-up begins on a day of the bout.
///
/// # Errors
/// A sentence: what was wrong and what to do.
pub fn warm_up(
    clock: &Clock,
    bout: &Bout,
    facts: &BoutFacts,
    day: Date,
    order: &Order,
) -> Result<WarmUp, String> {
    let number = |text: &str, what: &str, most: u16| {
        let read = text.trim().parse::<u16>().ok().filter(|number| (1..=most).contains(number));
        read.ok_or_else(|| format!("Type {what} as a whole number from 1 to {most}."))
    };
    let place = number(&order.place, "the place in the running", 40)?;
    let in_ring = match order.in_ring.trim() {
        "" => None,
        text => Some(number(text, "the bout in the ring", 40)?),
    };
    let minutes = match order.warm_up.trim() {
        "" => 30,
        text => number(text, "the minutes of warm-up", 120)?,
    };
    if in_ring.is_some_and(|now| now >= place) {
        return Ok(WarmUp {
            sentence: format!("{} is up: walk now.", bout.name),
            ground: String::new(),
        });
    }
    let venue = venue(clock, facts)?;
    let begins = begins(clock, facts, day, in_ring.is_some(), &venue)?;
    let before = vec![facts.rounds.unwrap_or(USUAL); usize::from(place - in_ring.unwrap_or(1))];
    let walk = minutes_to_ring_walk(&before);
    let after = |minutes: f64| begins + SignedDuration::from_secs_f64(minutes * 60.0);
    let warm_up = after(begin_warm_up_in(&before, f64::from(minutes)));
    let at = |moment: Timestamp| venue.to_datetime(moment).strftime("%H:%M").to_string();
    let gym = if clock.zone() == &venue {
        String::new()
    } else {
        format!(" ({} at the gym)", clock.time_of(warm_up))
    };
    Ok(WarmUp {
        sentence: format!(
            "Begin the warm-up at {}{gym}: ring walk between {} and {}, at the venue.",
            at(warm_up),
            at(after(walk.low)),
            at(after(walk.high))
        ),
        ground: format!(
            "{} to go before it, each between one minute and {:.0} from bell to bell, 8 minutes \
             around each (common practice, no source); {minutes} minutes of warm-up, in time for \
             the earliest walk.",
            bouts(before.len()),
            facts.rounds.unwrap_or(USUAL).whole_distance_min()
        ),
    })
}

/// Days to the bout where the venue's calendar and the gym's do not agree.
pub fn calendars_apart(clock: &Clock, bout: &Bout, facts: &BoutFacts) -> Option<String> {
    let venue = venue(clock, facts).ok()?;
    let bell = moment_at_venue(bout.date, facts.first_bell?, &venue)?;
    let now = clock.now();
    let there = days_by_calendar(now, bell, &venue);
    let here = days_by_calendar(now, bell, clock.zone());
    (there != here).then(|| {
        format!(
            "By the venue's calendar {there} days, by the gym's {here}: the first bell is {} here.",
            clock.zone().to_datetime(bell).strftime("%a %-d %b %H:%M")
        )
    })
}

/// The time zone of a venue.
///
/// # Errors
/// A sentence for a zone this computer does not know.
pub(super) fn venue(clock: &Clock, facts: &BoutFacts) -> Result<TimeZone, String> {
    match &facts.zone {
        None => Ok(clock.zone().clone()),
        Some(name) => TimeZone::get(name)
            .map_err(|_| format!("This computer does not know the time zone {name}.")),
    }
}

/// From when the running is counted: now once bouts have begun, else the first bell.
fn begins(
    clock: &Clock,
    facts: &BoutFacts,
    day: Date,
    running: bool,
    venue: &TimeZone,
) -> Result<Timestamp, String> {
    let now = clock.now();
    if running {
        return Ok(now);
    }
    let bell = facts.first_bell.and_then(|bell| moment_at_venue(day, bell, venue));
    let unknown = "Nothing is in the ring yet: enter the first bell of the night below, or type \
                   which bout is in the ring.";
    bell.map(|bell| bell.max(now)).ok_or_else(|| unknown.to_owned())
}

fn bouts(count: usize) -> String {
    match count {
        0 => "No bout".to_owned(),
        1 => "1 bout".to_owned(),
        count => format!("{count} bouts"),
    }
}
