//! What the desk says before a session: today in a sentence, who needs a decision, who is here.

use crate::flow::camp;
use crate::flow::close;
use crate::flow::house::House;
use crate::flow::next_tests::{self, NextTest};
use crate::flow::person;
use crate::flow::plan::{self, LOADED_JUMP};
use crate::flow::profiles::PROFILE_DAYS;
use crate::flow::program;
use crate::flow::progress;
use crate::flow::squad_jumps::SquadJumps;
use crate::flow::{sensor, whose};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::program::SessionId;
use cornerwork_core::session::restriction::{Barred, end_in_words};
use cornerwork_core::words::{capitalised, counted};
use jiff::civil::Date;

/// A rating is asked for this many days: later nobody knows how it felt (common practice, no
/// source).
const RATED_WITHIN_DAYS: i32 = 2;

/// The desk.
#[derive(Debug)]
pub struct DeskView {
    /// Today, as said.
    pub date: String,
    /// Name over the door.
    pub gym_name: String,
    /// Today in one sentence.
    pub sentence: String,
    /// Who needs a decision, and why.
    pub decisions: Vec<Decision>,
    /// Who has never been weighed: nothing about a jump can be said of them.
    pub unweighed: Vec<Person>,
    /// What a new gym enters first, until it has it.
    pub first_steps: Vec<FirstStep>,
    /// What reads odd on the floor, with the station where it is settled.
    pub odd: Vec<(u8, String)>,
    /// Tests worth doing now.
    pub tests: Vec<NextTest>,
    /// Tonight, when an evening is open.
    pub evening: Option<Tonight>,
    /// Whether tonight's evening was ended and can go on.
    pub over: bool,
    /// Who of the last evening is not rated yet, in a sentence.
    pub not_rated: Option<String>,
    /// Sessions planned for today that are not open: id, name, how many are in.
    pub planned: Vec<(SessionId, String, usize)>,
    /// Everyone.
    pub people: Vec<Person>,
}

/// Something the coach has to decide.
#[derive(Debug)]
pub struct Decision {
    /// About whom.
    pub person: Person,
    /// Why, in a sentence.
    pub why: String,
    /// The page where it is settled.
    pub page: String,
}

/// What a new gym enters first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FirstStep {
    /// Its name, which stands on every paper.
    Name,
    /// Bars and plates, so that loads can be hung.
    Kit,
    /// The first athlete.
    Athlete,
}

/// One athlete in a line.
#[derive(Clone, Debug)]
pub struct Person {
    /// Short code.
    pub code: AthleteId,
    /// Name.
    pub name: String,
    /// Body mass with its age, where known.
    pub mass: Option<String>,
    /// Band of loads for the loaded jump, or why there is none.
    pub band: String,
    /// The next bout.
    pub bout: Option<NextBout>,
    /// What bars this athlete from everything, where something does.
    pub barred: Option<String>,
}

/// The next bout of an athlete, and where its camp stands.
#[derive(Clone, Debug)]
pub struct NextBout {
    /// Its id.
    pub id: String,
    /// "24 days".
    pub days: String,
    /// "power day 10 of 21, Harbour Open".
    pub which: String,
}

impl NextBout {
    /// "24 days, power day 10 of 21, Harbour Open".
    pub fn in_words(&self) -> String {
        format!("{}, {}", self.days, self.which)
    }
}

/// An open evening.
#[derive(Debug)]
pub struct Tonight {
    /// One row a station.
    pub rows: Vec<StationRow>,
}

/// One station in a line.
#[derive(Debug)]
pub struct StationRow {
    /// Its number.
    pub station: u8,
    /// Who stands there now.
    pub names: String,
    /// What is done there.
    pub exercise: String,
    /// Sets closed by those who stand there now.
    pub sets_done: u32,
    /// Sets planned for them.
    pub sets: u32,
}

/// The desk as it is now.
pub fn view(house: &House, ledger: &Ledger) -> DeskView {
    let gym = ledger.gym();
    let today = house.clock().today();
    let squad = SquadJumps::of_gym(house, gym);
    let people: Vec<Person> =
        gym.athletes.values().map(|athlete| person(house, gym, athlete, today)).collect();
    let open = gym.open_evening();
    DeskView {
        date: today.strftime("%A %-d %B %Y").to_string(),
        gym_name: gym.name.clone(),
        sentence: sentence(gym, &people, open, today),
        decisions: decisions(house, gym, &people, &squad, today),
        unweighed: people.iter().filter(|person| person.mass.is_none()).cloned().collect(),
        first_steps: first_steps(gym),
        tests: next_tests::list(house, gym, &squad),
        odd: odd(house, ledger),
        evening: open.map(|evening| tonight(house, gym, evening)),
        over: open.is_none() && gym.evenings_over(today).next().is_some(),
        not_rated: not_rated(house, gym, today),
        planned: planned(gym, today),
        people,
    }
}

fn first_steps(gym: &Gym) -> Vec<FirstStep> {
    let unable = gym.bars.is_empty() || gym.plates.stacks().is_empty();
    let steps = [
        (FirstStep::Name, gym.name.is_empty()),
        (FirstStep::Kit, unable),
        (FirstStep::Athlete, gym.athletes.is_empty()),
    ];
    steps.into_iter().filter(|(_, missing)| *missing).map(|(step, _)| step).collect()
}

/// Who of the last evening is not rated yet, while anyone would still know how it felt.
fn not_rated(house: &House, gym: &Gym, today: Date) -> Option<String> {
    let last = gym.evening.as_ref().filter(|evening| evening.closed)?;
    let is_recent = (today - last.plan.date).get_days() <= RATED_WITHIN_DAYS;
    is_recent.then(|| close::not_rated_in_words(&close::not_rated(house, gym, None)))?
}

/// Sessions of today that were not opened yet.
fn planned(gym: &Gym, today: Date) -> Vec<(SessionId, String, usize)> {
    let opened = gym.evening.as_ref().and_then(|evening| evening.plan.session.as_ref());
    program::of_day(gym, today)
        .filter(|plan| opened != Some(&plan.id))
        .map(|plan| (plan.id.clone(), plan.name.clone(), plan.people.len()))
        .collect()
}

/// Sets that read like someone else's and sensors that seem to have moved.
fn odd(house: &House, ledger: &Ledger) -> Vec<(u8, String)> {
    let sets = whose::questions(house, ledger);
    let sets = sets.into_iter().map(|asked| (asked.station, asked.sentence));
    let sensors = sensor::moved(house, ledger.gym()).into_iter();
    let sensors = sensors.filter_map(|moved| Some((*moved.stations.first()?, moved.sentence)));
    sensors.chain(sets).collect()
}

fn person(house: &House, gym: &Gym, athlete: &Athlete, today: Date) -> Person {
    let band = plan::exercise(house, gym, LOADED_JUMP).and_then(|exercise| {
        house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS)
    });
    let band = match band {
        Ok(momentum) => momentum.to_use().to_string(),
        Err(absent) => absent,
    };
    let barred = gym
        .restrictions(&athlete.id, today)
        .find(|restriction| restriction.barred == Barred::Everything)
        .map(|one| format!("out {}", end_in_words(one.earliest_end, gym.clearance_needed(one))));
    Person {
        code: athlete.id.clone(),
        name: athlete.name.clone(),
        mass: gym.body_mass(&athlete.id).map(|(_, mass)| format!("{:.1} kg", mass.in_kilograms())),
        band,
        bout: gym
            .next_bout(&athlete.id, today)
            .map(|bout| next_bout(gym, bout, &athlete.id, today)),
        barred,
    }
}

fn next_bout(gym: &Gym, bout: &Bout, athlete: &AthleteId, today: Date) -> NextBout {
    let day = gym.camp_day(athlete, today);
    let phase = day.as_ref().and_then(|day| day.phase);
    let days = day.map_or_else(|| bout.days_from(today), |day| day.days_to_bout);
    let which = match phase {
        Some((kind, day, of)) => format!("{kind} day {day} of {of}, {}", bout.name),
        None => bout.name.clone(),
    };
    NextBout { id: bout.id.clone(), days: counted(days, "day"), which }
}

fn sentence(gym: &Gym, people: &[Person], open: Option<&Evening>, today: Date) -> String {
    let bout = camp::view::ahead(gym, today)
        .into_iter()
        .find(|bout| gym.camps.last_day(bout) >= today)
        .map(|bout| camp::view::day_sentence(gym, bout, today));
    let present = open.map(|evening| evening.plan.groups.iter().map(Vec::len).sum::<usize>());
    let present = match present {
        Some(count) => format!("{count} in tonight"),
        None => "no evening open".to_owned(),
    };
    let barred = people.iter().filter(|person| person.barred.is_some()).count();
    let barred = (barred > 0).then(|| format!("{barred} barred"));
    let parts: Vec<String> = bout.into_iter().chain([present]).chain(barred).collect();
    format!("{}.", capitalised(&parts.join(", ")))
}

/// Restrictions first, then consent and weight, then whose jump is low today.
fn decisions(
    house: &House,
    gym: &Gym,
    people: &[Person],
    squad: &SquadJumps,
    today: Date,
) -> Vec<Decision> {
    let about = |person: &Person, why: String, page: &str| Decision {
        page: format!("/{page}/{}", person.code),
        person: person.clone(),
        why,
    };
    let restricted = people.iter().filter_map(|person| {
        let mut binding = gym.restrictions(&person.code, today).peekable();
        let first = (*binding.peek()?).clone();
        let instead: Vec<String> = binding.filter_map(|one| one.instead.clone()).collect();
        let end = end_in_words(first.earliest_end, gym.clearance_needed(&first));
        let said = match first.barred {
            Barred::Everything => format!("Out {end}: {}.", first.ground),
            _ => format!("{}: {end}.", capitalised(&first.ground)),
        };
        let instead = match instead.as_slice() {
            [] => String::new(),
            some => format!(" Instead: {}.", some.join("; ")),
        };
        Some(about(person, format!("{said}{instead}"), "people"))
    });
    let low = people.iter().filter_map(|person| {
        let day = progress::usual_day(house, gym, &person.code, squad).ok()?;
        let asks = day.today.value.readiness.asks_for_a_decision() && day.date == today;
        asks.then(|| {
            let why = format!("{} Full, short or another day?", day.today.value.sentence);
            about(person, why, "athlete")
        })
    });
    let safe = people.iter().flat_map(|person| {
        let asks = gym.athlete(&person.code).map(|one| person::asks(house, gym, one));
        asks.unwrap_or_default().into_iter().map(|why| about(person, why, "people"))
    });
    restricted.chain(safe).chain(low).collect()
}

fn tonight(house: &House, gym: &Gym, evening: &Evening) -> Tonight {
    let rows = evening
        .plan
        .stations
        .iter()
        .map(|station| {
            let group = evening.group(station.number);
            let names: Vec<&str> =
                group.iter().filter_map(|id| gym.athlete(id)).map(Athlete::given_name).collect();
            let done = group.iter().map(|id| evening.sets_closed(station.number, id)).sum();
            let count = u32::try_from(group.len()).unwrap_or(0);
            StationRow {
                station: station.number,
                names: if names.is_empty() { "nobody".into() } else { names.join(", ") },
                exercise: house.exercise_name(gym, &station.exercise),
                sets_done: done,
                sets: station.sets * count,
            }
        })
        .collect();
    Tonight { rows }
}
