//! Tonight, up to the first set: the evening is open, loads and boxes stand ready, the warm-up
//! jumps are in. The rest is run live.

use super::calendar::{TONIGHT, at};
use super::history::{after, jumps, weigh};
use super::journal::{COACH, Journal};
use super::names::{self, exercise};
use super::people::{PEOPLE, Person};
use super::performance::{Chance, Performance};
use super::program;
use super::restrictions;
use super::stations::{self, author_at, station};
use cornerwork_core::session::evening::{EveningPlan, Target};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::Length;

/// Who moves together.
pub(super) const PAIRS: [[&str; 2]; 4] =
    [["A01", "N02"], ["A02", "A06"], ["A03", "A05"], ["A04", "A07"]];

/// The warm-up jumps of A04 as the story tells them, as the mat reads.
pub(super) const WARM_UP_OF_A04_M: [f64; 3] = [0.424, 0.439, 0.431];

/// A throw should reach this share of what was expected on the card.
const THROW_FLOOR: f64 = 0.96;
/// Window of the split jerk in the power block, peak hand velocity in m/s.
pub(super) const JERK_WINDOW: Target = Target::Window { low: 1.60, high: 1.80 };

pub(super) fn write(journal: &mut Journal, chances: &mut [Chance]) {
    for (person, chance) in PEOPLE.iter().zip(chances.iter_mut()) {
        weigh(journal, person, chance, TONIGHT);
    }
    set_targets(journal);
    journal.write(at(TONIGHT, 17, 10), COACH, Change::EveningOpened(plan()));
    for person in PEOPLE.iter().filter(|person| is_present(person)) {
        prepare(journal, person);
    }
    warm_up(journal, chances);
}

fn is_present(person: &Person) -> bool {
    PAIRS.iter().flatten().any(|code| *code == person.code)
}

fn plan() -> EveningPlan {
    let with_code = |code: &&str| PEOPLE.iter().find(|person| person.code == *code);
    let group = |pair: &[&str; 2]| pair.iter().filter_map(with_code).map(Person::id).collect();
    EveningPlan {
        date: TONIGHT,
        stations: [stations::DEPTH_JUMP, stations::THROW, stations::LOADED_JUMP, stations::JERK]
            .map(station)
            .to_vec(),
        groups: PAIRS.iter().map(group).collect(),
        session: program::tonight(),
        rounds: Vec::new(),
    }
}

/// Targets of everyone who trains here, from what their camp's card expects.
fn set_targets(journal: &mut Journal) {
    for person in &PEOPLE {
        let mut set = |name, target| {
            let change = Change::TargetSet {
                athlete: person.id(),
                exercise: exercise(name),
                target: Some(target),
            };
            journal.write(at(TONIGHT, 17, 0), COACH, change);
        };
        if let Some(floor) = throw_floor_m_s(person) {
            set(names::THROW, Target::AtLeast(floor));
        }
        set(names::JERK, JERK_WINDOW);
    }
}

/// A target knows no side, so the floor is that of the slower hand in use: no good throw of the
/// lead hand may read as short. `None` for who may throw with neither.
pub(super) fn throw_floor_m_s(person: &Person) -> Option<f64> {
    let expected = [Side::Lead, Side::Rear]
        .into_iter()
        .filter(|side| restrictions::open(person, &exercise(names::THROW), Some(*side), TONIGHT))
        .map(|side| person.throw_m_s(person.days().second_test(), side, person.throw_plates_kg))
        .reduce(f64::min)?;
    // To the nearest 0.05 m/s, as a coach would say it.
    Some((expected * THROW_FLOOR * 20.0).round() / 20.0)
}

/// The box and the two landmine loads of the card. Nothing hangs for the loaded jump: its load is
/// found tonight, from the bare bar.
fn prepare(journal: &mut Journal, person: &Person) {
    let moment = at(TONIGHT, 17, 12);
    let height = Length::centimetres(person.box_cm);
    let set = Change::BoxSet { station: stations::DEPTH_JUMP, athlete: person.id(), height };
    journal.write(moment, author_at(stations::DEPTH_JUMP), set);
    let hung = [
        (stations::THROW, person.landmine(person.throw_plates_kg)),
        (stations::JERK, person.landmine(person.jerk_plates_kg)),
    ];
    for (station, load) in hung {
        let hang = Change::LoadHung { station, athlete: person.id(), load };
        journal.write(moment, author_at(station), hang);
    }
}

fn warm_up(journal: &mut Journal, chances: &mut [Chance]) {
    let start = at(TONIGHT, 17, 25);
    let everyone = PEOPLE.iter().zip(chances).filter(|(person, _)| is_present(person));
    for (number, (person, chance)) in (0..).zip(everyone) {
        let start = after(start, 60 * number);
        let mut performance = Performance::on(TONIGHT, person, chance);
        if person.code == "A04" {
            for (rep, height_m) in (0..).zip(WARM_UP_OF_A04_M) {
                let mut entry = performance.jump(after(start, 40 * rep));
                entry.value = Some(height_m);
                journal.record(COACH, entry);
            }
        } else {
            jumps(journal, &mut performance, start);
        }
    }
}
