//! A rep typed at the rack: read, asked about if it looks like a slip, recorded if it stands.

use crate::flow::act::Answer;
use crate::flow::camp::nearness;
use crate::flow::house::House;
use crate::flow::keeper::{NotKept, Submission};
use crate::flow::predict;
use cornerwork_core::entry::{self, Entry, Expected};
use cornerwork_core::exercise::{Exercise, MeasureKind};
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
    if let Some(near) = nearness::at_station(gym, evening, typed.station, &typed.athlete, exercise)
    {
        return Err(Answer::Refused(near));
    }
    let mut entry = RepEntry {
        athlete: typed.athlete.clone(),
        exercise: exercise.id.clone(),
        station: Some(typed.station),
        load: gym.load_at(station, &typed.athlete),
        box_height: evening.box_at(typed.station, &typed.athlete),
        side: typed.side,
        value: None,
        contact_time: contact_time(exercise, typed.contact.as_deref())?,
        method: typed.seen.map_or_else(|| house.method_of(exercise), Method::ByEye),
        at,
    };
    entry.value = value(house, ledger, exercise, typed, &entry)?;
    Ok(entry)
}

fn value(
    house: &House,
    ledger: &Ledger,
    exercise: &Exercise,
    typed: &TypedRep,
    entry: &RepEntry,
) -> Result<Option<f64>, Answer> {
    let Some(text) = &typed.text else { return Ok(None) };
    if let Some(chosen) = typed.chosen {
        // A person looked at it and chose: only the hard limits still stand.
        let possible = exercise.measure.hard_si.contains(chosen);
        let sentence = "That value cannot be. Type it again.";
        return possible.then_some(Some(chosen)).ok_or_else(|| Answer::Refused(sentence.into()));
    }
    let expected = Expected {
        prediction: predict::rep(house, ledger.gym(), entry),
        choices_si: &[],
        last_typed_si: just_typed(ledger.gym(), typed.station, entry),
    };
    match entry::read(text, &exercise.measure, &expected) {
        Entry::Accepted(value) => Ok(Some(value)),
        Entry::Ask { doubt, readings } => Err(Answer::asking(doubt, readings)),
        Entry::Refused(refusal) => Err(Answer::Refused(refusal.to_string())),
    }
}

/// The last value typed here, while a second tap of the same rep is possible.
fn just_typed(gym: &Gym, station: u8, entry: &RepEntry) -> Option<f64> {
    let last = gym.reps_at(station).next_back()?;
    let age = entry.at.duration_since(last.entry.at);
    (age < SECOND_TAP).then_some(last.entry.value?)
}

fn contact_time(exercise: &Exercise, typed: Option<&str>) -> Result<Option<Duration>, Answer> {
    let (Some(text), Some(measure)) = (typed, exercise.measure_of(MeasureKind::ContactTime)) else {
        return Ok(None);
    };
    if text.trim().is_empty() {
        return Ok(None);
    }
    match entry::read(text, measure, &Expected::default()) {
        Entry::Accepted(seconds) => Ok(Some(Duration::seconds(seconds))),
        Entry::Ask { readings, doubt } => {
            let offers: Vec<&str> =
                readings.iter().map(|reading| reading.sentence.as_str()).collect();
            let sentence = format!("Contact time {text}? {doubt} Perhaps {}", offers.join(" or "));
            Err(Answer::Refused(sentence))
        }
        Entry::Refused(refusal) => Err(Answer::Refused(refusal.to_string())),
    }
}
