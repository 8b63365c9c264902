//! Was this set someone else's? Asked when a set closes; nothing is changed without a yes.

use crate::flow::expected::{self, Expectation};
use crate::flow::house::House;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::profile::wrong_athlete::{Candidate, of_set};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, OperationId};
use cornerwork_core::session::rep::{DoneWith, Rep, RepEntry};
use cornerwork_core::working::Working;

/// A set that reads like someone else's.
#[derive(Debug)]
pub struct Question<'a> {
    /// Where it was done.
    pub station: u8,
    /// To whom it was credited.
    pub credited: &'a Athlete,
    /// Whose it may have been, the likeliest first; two where one alone is not likely enough.
    pub perhaps: Vec<Perhaps<'a>>,
    /// Its reps, oldest first.
    pub reps: Vec<OperationId>,
    /// What is asked, with the numbers it rests on.
    pub sentence: String,
    /// How it came about.
    pub working: Working,
}

/// Someone whose set it may have been.
#[derive(Debug)]
pub struct Perhaps<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// What hangs and stands there for this athlete, where it is not what was recorded.
    pub done_with: Option<DoneWith>,
}

/// Closed sets of the open evening that read like someone else's and were not settled yet, the
/// latest first.
pub fn questions<'a>(house: &House, ledger: &'a Ledger) -> Vec<Question<'a>> {
    closed_sets(ledger).into_iter().filter_map(|set| question(house, ledger, &set)).collect()
}

/// The same for the set closed last at one station.
pub fn at_station<'a>(house: &House, ledger: &'a Ledger, station: u8) -> Option<Question<'a>> {
    let last = closed_sets(ledger).into_iter().find(|set| set.station == station)?;
    question(house, ledger, &last)
}

/// The change that answers the question: the whole set is `athlete`'s. When it stays with whom it
/// was credited to, that is written down too, and it is not asked again.
///
/// # Errors
/// A sentence when the set is no longer asked about.
pub fn repair(
    house: &House,
    ledger: &Ledger,
    station: u8,
    first: OperationId,
    athlete: AthleteId,
) -> Result<Change, String> {
    let asked = questions(house, ledger)
        .into_iter()
        .find(|asked| asked.station == station && asked.reps.first() == Some(&first));
    let gone = "That set is settled already: its story is on the page of each rep.";
    let asked = asked.ok_or(gone)?;
    let reps = asked.reps;
    if athlete == asked.credited.id {
        let reason = "confirmed: the right athlete".to_owned();
        return Ok(Change::RepsMoved { reps, athlete, done_with: None, reason });
    }
    let elsewhere = "Move the reps one by one to anyone else: Correct the last rep.";
    let mut perhaps = asked.perhaps.into_iter();
    let theirs = perhaps.find(|one| one.athlete.id == athlete).ok_or(elsewhere)?;
    let reason = "set credited to the wrong athlete".to_owned();
    Ok(Change::RepsMoved { reps, athlete, done_with: theirs.done_with, reason })
}

struct ClosedSet<'a> {
    station: u8,
    athlete: &'a AthleteId,
    reps: Vec<&'a Rep>,
}

/// Closed sets of the open evening, the latest first.
fn closed_sets(ledger: &Ledger) -> Vec<ClosedSet<'_>> {
    let gym = ledger.gym();
    let Some(evening) = gym.open_evening() else {
        return Vec::new();
    };
    let mut sets: Vec<ClosedSet<'_>> = Vec::new();
    for station in &evening.plan.stations {
        for rep in gym.reps_at(station.number) {
            let athlete = &rep.entry.athlete;
            if rep.set > evening.sets_closed(station.number, athlete) {
                continue;
            }
            let known = sets.iter_mut().find(|set| {
                set.station == station.number
                    && set.athlete == athlete
                    && set.reps.first().is_some_and(|first| first.set == rep.set)
            });
            match known {
                Some(set) => set.reps.push(rep),
                None => sets.push(ClosedSet { station: station.number, athlete, reps: vec![rep] }),
            }
        }
    }
    sets.sort_by_key(|set| std::cmp::Reverse(set.reps.last().map(|rep| rep.entry.at)));
    sets
}

fn question<'a>(house: &House, ledger: &'a Ledger, set: &ClosedSet<'a>) -> Option<Question<'a>> {
    if settled(ledger, set) {
        return None;
    }
    let gym = ledger.gym();
    let exercise = house.exercise(gym, &set.reps.first()?.entry.exercise)?;
    let alike = most_alike(&set.reps);
    let first = alike.first()?;
    let before = set.reps.first()?.entry.at;
    let day = expected::day_share(house, gym, &first.entry);
    let expected_of = |entry: &RepEntry| expected::of(house, gym, entry, before, day);
    let credited = gym.athlete(set.athlete)?;
    let mut people = vec![(credited, expected_of(&first.entry)?)];
    let evening = gym.evening.as_ref()?;
    let others = evening.plan.groups.iter().flatten();
    let others = others.filter(|id| *id != set.athlete).filter_map(|id| gym.athlete(id));
    people.extend(others.filter_map(|athlete| {
        Some((athlete, expected_of(&as_done_by(gym, set, &first.entry, athlete)?)?))
    }));
    let values: Vec<f64> = alike.iter().filter_map(|rep| rep.number()).collect();
    let candidates: Vec<Candidate> =
        people.iter().map(|(athlete, expected)| candidate(athlete, *expected)).collect();
    let whose = of_set(&values, &candidates, 0).ok()?;
    if whose.ask.is_empty() {
        return None;
    }
    let asked: Vec<_> = whose.ask.iter().filter_map(|place| people.get(*place)).collect();
    let perhaps = |(athlete, _): &&(&'a Athlete, Expectation)| Perhaps {
        athlete,
        done_with: done_with(gym, set, athlete),
    };
    Some(Question {
        station: set.station,
        credited,
        perhaps: asked.iter().map(perhaps).collect(),
        reps: set.reps.iter().map(|rep| rep.id).collect(),
        sentence: sentence(exercise, &values, &people[0], &asked),
        working: whose.working,
    })
}

/// What was done, had it been done by someone else: with what hangs and stands there for them.
fn as_done_by(
    gym: &Gym,
    set: &ClosedSet<'_>,
    entry: &RepEntry,
    athlete: &Athlete,
) -> Option<RepEntry> {
    let theirs = hung_for(gym, set.station, athlete)?;
    Some(RepEntry {
        athlete: athlete.id.clone(),
        load: theirs.load,
        box_height: theirs.box_height,
        ..entry.clone()
    })
}

fn sentence(
    exercise: &Exercise,
    values: &[f64],
    credited: &(&Athlete, Expectation),
    asked: &[&(&Athlete, Expectation)],
) -> String {
    let names: Vec<String> = asked
        .iter()
        .map(|(athlete, _)| format!("{} ({})", athlete.given_name(), athlete.id))
        .collect();
    let usual = |(athlete, of): &(&Athlete, Expectation)| {
        format!("{} {}", athlete.given_name(), exercise.measure.number(of.expected))
    };
    let usuals: Vec<String> =
        std::iter::once(credited).chain(asked.iter().copied()).map(usual).collect();
    format!(
        "Was this {}? {}'s set read {} {}. Usual here: {}.",
        names.join(" or "),
        credited.0.given_name(),
        said(exercise, values),
        exercise.measure.unit.symbol(),
        usuals.join(", "),
    )
}

/// The reps of one side and load of which there are most: what is expected differs between them.
fn most_alike<'a>(reps: &[&'a Rep]) -> Vec<&'a Rep> {
    let alike = |one: &Rep, other: &Rep| {
        one.entry.side == other.entry.side && one.entry.load.same_as(&other.entry.load)
    };
    let counting = || reps.iter().copied().filter(|rep| rep.counts());
    counting()
        .map(|first| counting().filter(|rep| alike(first, rep)).collect::<Vec<_>>())
        .rev()
        .max_by_key(Vec::len)
        .unwrap_or_default()
}

/// Someone already said whose it was: the reps were moved, or confirmed by moving them to whom
/// they belong.
fn settled(ledger: &Ledger, set: &ClosedSet<'_>) -> bool {
    let opened = ledger.gym().evening.as_ref().map(|evening| evening.id);
    ledger
        .operations()
        .iter()
        .rev()
        .take_while(|operation| Some(operation.id) != opened)
        .filter(|operation| ledger.stands(operation.id))
        .any(|operation| match &operation.change {
            Change::RepsMoved { reps, .. } => set.reps.iter().any(|rep| reps.contains(&rep.id)),
            _ => false,
        })
}

fn candidate(athlete: &Athlete, of: Expectation) -> Candidate {
    Candidate {
        code: athlete.id.to_string(),
        expected: of.expected,
        doubt: of.doubt,
        rep_noise: of.rep_noise,
    }
}

/// Whoever stepped up found what was hung and set for them.
fn hung_for(gym: &Gym, station: u8, athlete: &Athlete) -> Option<DoneWith> {
    let evening = gym.evening.as_ref()?;
    let load = gym.load_at(evening.plan.station(station)?, &athlete.id);
    Some(DoneWith { load, box_height: evening.box_at(station, &athlete.id) })
}

/// The same where it is not what was recorded.
fn done_with(gym: &Gym, set: &ClosedSet<'_>, athlete: &Athlete) -> Option<DoneWith> {
    let entry = &set.reps.first()?.entry;
    hung_for(gym, set.station, athlete).filter(|theirs| {
        !(theirs.load.same_as(&entry.load) && theirs.box_height == entry.box_height)
    })
}

fn said(exercise: &Exercise, values: &[f64]) -> String {
    let numbers: Vec<String> = values.iter().map(|value| exercise.measure.number(*value)).collect();
    numbers.join(", ")
}
