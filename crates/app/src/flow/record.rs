//! A rep typed at the rack: read, asked about if it looks like a slip, recorded if it stands.

use crate::flow::act::{Answer, Slip};
use crate::flow::drawn_for::DrawnFor;
use crate::flow::house::House;
use crate::flow::keeper::{NotKept, Submission};
use crate::flow::predict;
use cornerwork_core::entry::{self, About, Entry, Expected};
use cornerwork_core::exercise::{Exercise, Measure, MeasureKind};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Author, Change, OperationId};
use cornerwork_core::session::rep::{Method, RepEntry, Seen, Side};
use cornerwork_core::units::Duration;
use jiff::{SignedDuration, Timestamp};

/// A rep as a device sends it.
#[derive(Clone, Debug)]
pub struct TypedRep {
    /// Made by the device.
    pub id: OperationId,
    /// Who typed it.
    pub author: Author,
    /// At which station.
    pub station: u8,
    /// Whom the device showed as up.
    pub athlete: AthleteId,
    /// What its form was drawn for, where it says so.
    pub drawn: Option<DrawnFor>,
    /// Whether a person said that the number is of what the form was drawn for.
    pub settled: bool,
    /// Which side, where there are sides.
    pub side: Option<Side>,
    /// What was typed; empty for a rep done without a number.
    pub text: Option<String>,
    /// What was typed for the time on the ground.
    pub contact: Option<String>,
    /// How it looked, where it was rated by eye.
    pub seen: Option<Seen>,
    /// The reading a person chose after being asked, in SI units.
    pub chosen: Option<f64>,
    /// The same for the time on the ground.
    pub contact_chosen: Option<f64>,
    /// How long ago it was typed: a tablet that lost the network sends late.
    pub age: SignedDuration,
}

/// A copy of the last value within this time is asked about: a second tap, not a second rep.
const SECOND_TAP: SignedDuration = SignedDuration::from_secs(4);

/// Most reps taken as done with one tap: no set is longer.
const MOST_AT_ONCE: u32 = 20;

/// Takes several reps of a set that were done and not measured, or nothing at all: ids follow the
/// first one's, so that the same submission sent twice is the same reps.
pub async fn reps_done(house: &House, first: TypedRep, count: u32) -> Answer {
    let mut told = Answer::Kept;
    for place in 0..count.clamp(1, MOST_AT_ONCE) {
        let id = OperationId(first.id.0.wrapping_add(u128::from(place)));
        told = typed_rep(house, TypedRep { id, ..first.clone() }).await;
        if told != Answer::Kept {
            break;
        }
    }
    told
}

/// Takes a typed rep.
pub async fn typed_rep(house: &House, typed: TypedRep) -> Answer {
    let at = house.clock().now() - typed.age;
    let prepared = {
        let ledger = house.keeper.ledger();
        // The same submission again must be answered like the first, not asked about as a copy.
        if ledger.knows(typed.id) {
            return Answer::Kept;
        }
        prepare(house, &ledger, &typed, at)
    };
    let entry = match prepared {
        Ok(entry) => entry,
        Err(answer) => return answer,
    };
    let change = Change::RepRecorded(entry);
    let submission = Submission { id: typed.id, author: typed.author, change };
    match house.keeper.submit(submission).await {
        Ok(_) => Answer::Kept,
        Err(NotKept::Refused(refusal)) => Answer::Refused(refusal.to_string()),
        Err(other) => Answer::Refused(other.to_string()),
    }
}

fn prepare(
    house: &House,
    ledger: &Ledger,
    typed: &TypedRep,
    at: Timestamp,
) -> Result<RepEntry, Answer> {
    let gym = ledger.gym();
    let refused = |sentence: &str| Answer::Refused(sentence.to_owned());
    let evening = gym
        .open_evening()
        .ok_or_else(|| refused("No evening is open. Open the evening at the desk first."))?;
    let station = evening
        .plan
        .station(typed.station)
        .ok_or_else(|| refused("There is no such station tonight. Reload the page."))?;
    let exercise = house
        .exercise(gym, gym.exercise_at(station, &typed.athlete).0)
        .ok_or_else(|| refused("This station's exercise is not in the library."))?;
    let settled = typed.drawn.as_ref().filter(|_| typed.settled);
    if settled.is_none() {
        still_stands(house, gym, typed)?;
    }
    let mut entry = RepEntry {
        athlete: typed.athlete.clone(),
        exercise: exercise.id.clone(),
        station: Some(typed.station),
        load: match settled {
            Some(drawn) => drawn.load(gym).ok_or_else(|| refused("That bar is no longer here."))?,
            None => gym.load_at(station, &typed.athlete),
        },
        box_height: match settled {
            Some(drawn) => drawn.box_height(),
            None => evening.box_at(typed.station, &typed.athlete),
        },
        side: typed.side,
        value: None,
        contact_time: None,
        method: typed.seen.map_or_else(|| house.method_of(exercise), Method::ByEye),
        at,
    };
    // A stop is said before a number is asked about.
    gym.rep_stops(&entry, house.moment(), &house.exercises)
        .map_err(|stop| Answer::Refused(stop.to_string()))?;
    entry.value = value(house, ledger, exercise, typed, &entry)?;
    entry.contact_time = contact_time(gym, exercise, typed, &entry)?;
    Ok(entry)
}

/// Whether the form was drawn for what stands at the station now.
fn still_stands(house: &House, gym: &Gym, typed: &TypedRep) -> Result<(), Answer> {
    let Some(drawn) = &typed.drawn else { return Ok(()) };
    let now = DrawnFor::standing(house, gym, typed.station);
    if now.as_ref().is_some_and(|now| drawn.still_stands(now, typed.side)) {
        return Ok(());
    }
    Err(drawn.question(now.as_ref(), typed.text.as_deref(), house, gym))
}

fn value(
    house: &House,
    ledger: &Ledger,
    exercise: &Exercise,
    typed: &TypedRep,
    entry: &RepEntry,
) -> Result<Option<f64>, Answer> {
    let Some(text) = &typed.text else { return Ok(None) };
    let expected = Expected {
        last_typed_si: just_typed(ledger.gym(), typed.station, entry),
        ..predict::rep(house, ledger.gym(), entry)
    };
    let about = about(ledger.gym(), typed);
    let field = Field { text, measure: &exercise.measure, chosen: typed.chosen, name: "chosen" };
    field.read(&expected, &about).map(Some)
}

fn contact_time(
    gym: &Gym,
    exercise: &Exercise,
    typed: &TypedRep,
    entry: &RepEntry,
) -> Result<Option<Duration>, Answer> {
    let (Some(text), Some(measure)) =
        (&typed.contact, exercise.measure_of(MeasureKind::ContactTime))
    else {
        return Ok(None);
    };
    if text.trim().is_empty() {
        return Ok(None);
    }
    let About { whose, .. } = about(gym, typed);
    let about = About { whose: format!("{whose}, on the ground"), ..About::default() };
    let chosen = typed.contact_chosen;
    let field = Field { text, measure, chosen, name: "contact_chosen" };
    let seconds = field.read(&predict::contact(gym, entry), &about)?;
    Ok(Some(Duration::seconds(seconds)))
}

/// "Jorvic, station 3".
fn about(gym: &Gym, typed: &TypedRep) -> About {
    let whose = format!("{}, station {}", gym.given_name(&typed.athlete), typed.station);
    About { whose, ..About::default() }
}

/// One field of the entry form.
struct Field<'a> {
    text: &'a str,
    measure: &'a Measure,
    /// The reading a person chose, in SI units.
    chosen: Option<f64>,
    /// The name under which the answer comes back.
    name: &'static str,
}

impl Field<'_> {
    fn read(&self, expected: &Expected<'_>, about: &About) -> Result<f64, Answer> {
        if let Some(chosen) = self.chosen {
            // A person looked at it and chose: only the hard limits still stand.
            let possible = self.measure.hard_si.contains(chosen);
            let sentence = "That value cannot be. Type it again.";
            return possible.then_some(chosen).ok_or_else(|| Answer::Refused(sentence.into()));
        }
        match entry::read(self.text, self.measure, expected) {
            Entry::Accepted(value) => Ok(value),
            Entry::Ask { doubt, readings } => {
                let (typed, measure) = (self.text, self.measure);
                let slip = Slip { typed, measure, doubt, readings: &readings };
                Err(Answer::asking(about, &slip, self.name))
            }
            Entry::Refused(refusal) => Err(Answer::Refused(refusal.to_string())),
        }
    }
}

/// The last value typed here for the same athlete, while a second tap of the same rep is possible.
fn just_typed(gym: &Gym, station: u8, entry: &RepEntry) -> Option<f64> {
    let last = gym.reps_at(station).next_back();
    let last = last.filter(|last| last.entry.athlete == entry.athlete)?;
    let age = entry.at.duration_since(last.entry.at);
    (age < SECOND_TAP).then_some(last.entry.value?)
}
