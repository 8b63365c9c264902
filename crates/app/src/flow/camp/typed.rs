//! Days, times, rounds and bouts as they are typed; every slip is one sentence.

use crate::flow::day;
use cornerwork_core::camp::bout_facts::{BoutFacts, Rounds, Standing};
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words;
pub use cornerwork_core::words::weekday_day_and_year as written;
use jiff::civil::{Date, Time, Weekday};
use jiff::tz::TimeZone;

/// Longest tournament, in days from its first to its last.
const LONGEST_TOURNAMENT_DAYS: i32 = 60;
/// Furthest bout that is planned for, in days.
const FURTHEST_BOUT_DAYS: i32 = 730;

/// A bout as typed.
#[derive(Clone, Debug, Default)]
pub struct TypedBout {
    /// Id, when it is on record already.
    pub id: Option<String>,
    /// Name.
    pub name: String,
    /// First day.
    pub day: String,
    /// Further days of a tournament, between commas or spaces.
    pub more_days: String,
    /// Time zone of the venue, IANA name; empty for the gym's.
    pub zone: String,
    /// First bell at the venue's clock.
    pub bell: String,
    /// Weigh-in at the venue's clock.
    pub weigh_in: String,
    /// "8 x 3".
    pub rounds: String,
    /// "offered" or "confirmed".
    pub standing: String,
    /// Anything else.
    pub remark: String,
    /// Who boxes.
    pub athletes: Vec<AthleteId>,
}

/// The change that enters a bout as typed.
///
/// # Errors
/// A sentence: what was wrong and what to do.
pub fn bout(gym: &Gym, today: Date, typed: &TypedBout) -> Result<CampChange, String> {
    let name: String = typed.name.trim().chars().take(80).collect();
    if name.is_empty() {
        return Err("Give the bout a name, like Harbour Open.".to_owned());
    }
    let date = day(&typed.day)?;
    let known = typed.id.as_ref().and_then(|id| gym.bouts.get(id));
    if let Some(known) = known.filter(|known| known.date != date) {
        let on = words::day_and_year(known.date);
        return Err(format!("{name} is on {on}. Move it below: what changes is shown first."));
    }
    let days = (date - today).get_days();
    if known.is_none() && days < 0 {
        return Err(format!("{} is past. Give a day to come.", written(date)));
    }
    if days > FURTHEST_BOUT_DAYS {
        return Err(format!("{} is more than two years off. Is the year right?", written(date)));
    }
    let more_days = further_days(&typed.more_days, date)?;
    if typed.athletes.is_empty() {
        return Err("Tick who boxes.".to_owned());
    }
    if let Some(stranger) = typed.athletes.iter().find(|id| gym.athlete(id).is_none()) {
        return Err(format!("There is no athlete {stranger} here. Enter the athlete first."));
    }
    let facts = BoutFacts {
        standing: match typed.standing.as_str() {
            "offered" => Standing::Offered,
            _ => Standing::Confirmed,
        },
        more_days,
        zone: zone(&typed.zone)?,
        first_bell: some_time(&typed.bell)?,
        weigh_in_at: some_time(&typed.weigh_in)?,
        rounds: rounds(&typed.rounds)?,
        remark: typed.remark.trim().chars().take(400).collect(),
    };
    let id = match &typed.id {
        Some(id) if known.is_some() => id.clone(),
        Some(_) => return Err("That bout is gone. Go back to the plan.".to_owned()),
        None => fresh_id(gym, &name),
    };
    let bout = Bout { id, name, date, athletes: typed.athletes.clone() };
    Ok(CampChange::BoutEntered { bout, facts })
}

/// A short name nobody has yet, for the address of the page.
pub fn fresh_id(gym: &Gym, name: &str) -> String {
    let letters = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let slug: String = name.chars().map(letters).collect();
    let slug: Vec<&str> = slug.split('-').filter(|part| !part.is_empty()).collect();
    let slug = if slug.is_empty() { "bout".to_owned() } else { slug.join("-") };
    let used = |id: &str| {
        gym.bouts.contains_key(id)
            || gym.camps.history().iter().any(|told| told.change.is_about(id))
    };
    let numbered = (2..).map(|number| format!("{slug}-{number}"));
    std::iter::once(slug.clone()).chain(numbered).find(|id| !used(id)).unwrap_or(slug)
}

/// A day.
///
/// # Errors
/// A sentence for anything else.
pub fn day(text: &str) -> Result<Date, String> {
    let text = text.trim();
    text.parse().map_err(|_| format!("\"{text}\" is no day. Type it like 2026-11-21."))
}

fn further_days(text: &str, first: Date) -> Result<Vec<Date>, String> {
    let parts = text.split([',', ' ', ';']).map(str::trim).filter(|part| !part.is_empty());
    let mut days: Vec<Date> = parts.map(day).collect::<Result<_, _>>()?;
    days.sort_unstable();
    days.dedup();
    for day in &days {
        let after = (*day - first).get_days();
        if after <= 0 {
            return Err(format!("{} is not after the first day, {first}.", written(*day)));
        }
        if after > LONGEST_TOURNAMENT_DAYS {
            let sentence = "is more than two months after the first day. Enter it as its own bout.";
            return Err(format!("{} {sentence}", written(*day)));
        }
    }
    Ok(days)
}

fn zone(text: &str) -> Result<Option<String>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let known = TimeZone::get(text);
    let unknown = |_| match zone_of_city(text) {
        Some(zone) => format!("\"{text}\" is no time zone. Is it {zone}? Then type that."),
        None => format!("\"{text}\" is no time zone. Type it like America/New_York."),
    };
    known.map(|zone| Some(zone.iana_name().unwrap_or(text).to_owned())).map_err(unknown)
}

/// The zone that is named after a city, written as people write it: "new york".
fn zone_of_city(city: &str) -> Option<String> {
    let of_city = |zone: &str| {
        let named = zone.rsplit_once('/').map(|(_, named)| named.replace('_', " "));
        named.is_some_and(|named| named.eq_ignore_ascii_case(city))
    };
    jiff::tz::db().available().map(|zone| zone.to_string()).find(|zone| of_city(zone))
}

fn some_time(text: &str) -> Result<Option<Time>, String> {
    if text.trim().is_empty() { Ok(None) } else { day::time(text).map(Some) }
}

/// "8 x 3": rounds and minutes.
fn rounds(text: &str) -> Result<Option<Rounds>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let slip = || format!("\"{text}\" are no rounds. Type rounds and minutes like 8 x 3.");
    let (count, minutes) = text.split_once(['x', 'X', '×']).ok_or_else(slip)?;
    let number = |text: &str| text.trim().parse::<u8>().ok();
    let (count, minutes) = number(count).zip(number(minutes)).ok_or_else(slip)?;
    let fits = (1..=15).contains(&count) && (1..=5).contains(&minutes);
    fits.then_some(Some(Rounds { count, minutes })).ok_or_else(slip)
}

/// A weekday of a form.
pub fn weekday(text: &str) -> Option<Weekday> {
    WEEKDAYS.into_iter().find(|(_, word)| *word == text).map(|(day, _)| day)
}

/// The days of a week as forms name them.
pub const WEEKDAYS: [(Weekday, &str); 7] = [
    (Weekday::Monday, "Mon"),
    (Weekday::Tuesday, "Tue"),
    (Weekday::Wednesday, "Wed"),
    (Weekday::Thursday, "Thu"),
    (Weekday::Friday, "Fri"),
    (Weekday::Saturday, "Sat"),
    (Weekday::Sunday, "Sun"),
];
