//! The journey to a bout as typed, and what the plan says of it: both clocks, the shift, the days
//! until it is slept off.

use super::fight_night::venue;
use super::typed::{self, written};
use crate::flow::day;
use crate::flow::house::House;
use cornerwork_core::camp::bout_facts::BoutFacts;
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::travel::{ClockShift, Journey, Timed};
use cornerwork_core::camp::venue::moment_at_venue;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::{self, counted};
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp, ToSpan};

/// A journey as typed: days and times, by the gym's clock and by the venue's.
#[derive(Clone, Debug, Default)]
pub struct TypedJourney {
    /// Day it leaves.
    pub leaves_on: String,
    /// At what time.
    pub leaves_at: String,
    /// Day it arrives.
    pub arrives_on: String,
    /// At what time.
    pub arrives_at: String,
}

/// The change that agrees a journey; one with nothing typed takes it away.
///
/// # Errors
/// A sentence: what was wrong and what to do.
pub fn change(
    house: &House,
    gym: &Gym,
    bout: String,
    typed: &TypedJourney,
) -> Result<CampChange, String> {
    let TypedJourney { leaves_on, leaves_at, arrives_on, arrives_at } = typed;
    let all = [leaves_on, leaves_at, arrives_on, arrives_at];
    if all.iter().all(|text| text.trim().is_empty()) {
        return Ok(CampChange::TravelAgreed { bout, journey: None });
    }
    if all.iter().any(|text| text.trim().is_empty()) {
        let sentence = "Type day and time of both ends, or empty all four to take the journey out.";
        return Err(sentence.to_owned());
    }
    let known = gym.bouts.get(&bout).ok_or("That bout is gone. Go back to the plan.")?;
    let facts = gym.camps.facts(&bout).cloned().unwrap_or_default();
    let at =
        |day: &str, time: &str| Ok::<_, String>(typed::day(day)?.to_datetime(day::time(time)?));
    let journey =
        Journey { leaves: at(leaves_on, leaves_at)?, arrives: at(arrives_on, arrives_at)? };
    let venue = venue(house.clock(), &facts)?;
    journey.timed(house.clock().zone(), &venue).map_err(|slip| slip.to_string())?;
    if journey.arrives.date() > known.date {
        let (there, bout) = (written(journey.arrives.date()), written(known.date));
        return Err(format!("That arrives on {there}, after the first day, {bout}."));
    }
    Ok(CampChange::TravelAgreed { bout, journey: Some(journey) })
}

/// What is said of a journey, each a sentence, with what to mind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TravelView {
    /// Departure, arrival, the shift.
    pub said: Vec<String>,
    /// What to mind; empty where the clock hardly shifts.
    pub mind: Vec<String>,
}

/// What the plan says of the journey to a bout; `None` where none is agreed.
pub fn view(house: &House, gym: &Gym, bout: &Bout) -> Option<TravelView> {
    let journey = gym.camps.journey(&bout.id)?;
    let facts = gym.camps.facts(&bout.id).cloned().unwrap_or_default();
    let home = house.clock().zone();
    let Ok(venue) = venue(house.clock(), &facts) else { return None };
    let timed = match journey.timed(home, &venue) {
        Ok(timed) => timed,
        // The venue's zone was changed since.
        Err(slip) => return Some(TravelView { said: vec![slip.to_string()], mind: Vec::new() }),
    };
    let mut said = vec![
        format!("Leaves {}.", in_both(timed.leaves, home, "the gym", &venue, "the venue")),
        format!(
            "Arrives {}, after {}.",
            in_both(timed.arrives, &venue, "the venue", home, "the gym"),
            hours(timed.lasts())
        ),
        shift_in_words(timed.shift),
    ];
    said.extend(clocks_change(&timed, bout, &facts, home, &venue));
    Some(TravelView { said, mind: mind(&timed, &venue, bout) })
}

/// "Tue 17 Nov 09:30 at the gym (04:30 at the venue)"; one clock where both show the same.
fn in_both(at: Timestamp, here: &TimeZone, where_: &str, there: &TimeZone, other: &str) -> String {
    let (own, else_) = (here.to_datetime(at), there.to_datetime(at));
    let first = format!("{} at {where_}", own.strftime("%a %-d %b %H:%M"));
    let form = if own.date() == else_.date() { "%H:%M" } else { "%a %-d %b %H:%M" };
    if own == else_ { first } else { format!("{first} ({} at {other})", else_.strftime(form)) }
}

fn hours(lasts: SignedDuration) -> String {
    match (lasts.as_hours(), lasts.as_mins() % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

fn shift_in_words(shift: ClockShift) -> String {
    let Some(direction) = shift.direction() else {
        return "The venue's clock is the gym's: no time zone is crossed.".to_owned();
    };
    let body = shift.of_the_body();
    let short_way = if body == shift {
        String::new()
    } else {
        format!("; a body goes the short way, {} h {}", body.minutes.abs() / 60, direction.word())
    };
    format!("The venue's clock is {shift} then: {}{short_way}.", direction.word())
}

/// Where a change of clocks on the way or at the venue makes the shift another by the bout.
fn clocks_change(
    timed: &Timed,
    bout: &Bout,
    facts: &BoutFacts,
    home: &TimeZone,
    venue: &TimeZone,
) -> Option<String> {
    let bell = facts.first_bell.unwrap_or(Time::constant(12, 0, 0, 0));
    let bell = moment_at_venue(bout.date, bell, venue)?;
    let then = ClockShift::between(home, venue, bell);
    (then != timed.shift)
        .then(|| format!("Clocks change before the bout: on its day the venue's is {then}."))
}

fn mind(timed: &Timed, venue: &TimeZone, bout: &Bout) -> Vec<String> {
    let days = timed.shift.unsettled_days();
    if days == 0 {
        return Vec::new();
    }
    let arrives = venue.to_datetime(timed.arrives).date();
    let in_step = arrives.saturating_add(days.days());
    let late = (in_step - bout.date).get_days();
    let arrival = if late > 0 {
        format!(
            "The bout comes {} before that: leave earlier where it can be done.",
            counted(late, "day")
        )
    } else {
        "The bout comes after that.".to_owned()
    };
    vec![
        format!("Allow about a day of jet lag for each hour of time difference, here until {}. {arrival}", written(in_step)),
        "Keep the first sessions light and short. Jumps of these days are not compared with those at home.".to_owned(),
        "Anything to take for sleep is a doctor's to say.".to_owned(),
    ]
}

/// What the warnings of a journey rest on.
pub const GROUND: &str = "Out of step from three hours of the clock on: Roach and Sargent 2019, \
    Front Physiol 10:927. A day an hour, first sessions light: common practice, no source; people \
    differ. Zones and changes of clocks are those in force on the day.";

/// Why a day's jumps are not compared, in words that follow "because": the athlete had just
/// crossed time zones.
pub fn out_of_step(house: &House, gym: &Gym, athlete: &AthleteId, date: Date) -> Option<String> {
    let theirs = gym.bouts.values().filter(|bout| bout.athletes.contains(athlete));
    theirs.into_iter().find_map(|bout| {
        let journey = gym.camps.journey(&bout.id)?;
        let facts = gym.camps.facts(&bout.id).cloned().unwrap_or_default();
        let venue = venue(house.clock(), &facts).ok()?;
        let timed = journey.timed(house.clock().zone(), &venue).ok()?;
        let arrives = journey.arrives.date();
        let last = arrives.saturating_add(timed.shift.unsettled_days().days());
        (timed.shift.unsettled_days() > 0 && (arrives..=last).contains(&date)).then(|| {
            format!(
                "it was made {} after the journey to {}, whose clock is {}",
                counted((date - arrives).get_days(), "day"),
                bout.name,
                timed.shift
            )
        })
    })
}

/// "13:00 at the venue (18:00 at the gym)" for a time there on a day; one clock where both agree.
pub fn time_in_both(house: &House, facts: &BoutFacts, day: Date, time: Time) -> Option<String> {
    let venue = venue(house.clock(), facts).ok()?;
    let at = moment_at_venue(day, time, &venue)?;
    let here = house.clock().zone().to_datetime(at);
    let there = time.strftime("%H:%M");
    let form = if here.date() == day { "%H:%M" } else { "%a %-d %b %H:%M" };
    Some(if here == day.to_datetime(time) {
        there.to_string()
    } else {
        format!("{there} at the venue ({} at the gym)", here.strftime(form))
    })
}

/// What a move of a bout does to its journey, in a sentence.
pub fn difference(gym: &Gym, bout: &Bout, to: Date) -> Option<String> {
    let journey = gym.camps.journey(&bout.id)?;
    let moved = journey.moved(to - bout.date);
    Some(format!(
        "The journey leaves on {} instead of {}: check what is booked.",
        words::short_day(moved.leaves.date()),
        words::short_day(journey.leaves.date())
    ))
}
