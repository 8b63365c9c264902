//! Seven months before tonight: weekly jumps, body mass, tests and training evenings, as they
//! were written down.

use super::calendar::{at, days_before_tonight, known_from, session_on};
use super::journal::{COACH, Journal};
use super::names::{self, exercise};
use super::people::{PEOPLE, Person};
use super::performance::{Chance, Performance};
use super::restrictions;
use super::test_day;
use super::training::{self, Present};
use cornerwork_core::session::operation::Change;
use cornerwork_core::units::Mass;
use jiff::civil::{Date, Weekday};
use jiff::{SignedDuration, Timestamp};

/// Share of sessions people come to.
const COMPLIANCE: f64 = 0.92;

/// Writes every day before tonight.
pub(super) fn write(journal: &mut Journal, chances: &mut [Chance]) {
    for day in days_before_tonight() {
        let mut present = Vec::new();
        for (person, chance) in PEOPLE.iter().zip(chances.iter_mut()) {
            if day < first_day_of(person) {
                continue;
            }
            if weighs(person, day) {
                weigh(journal, person, chance, day);
            }
            let comes = chance.happens(COMPLIANCE);
            let mut performance = Performance::on(day, person, chance);
            match plan_of(person, day) {
                Plan::WeeklyJumps => jumps(journal, &mut performance, at(day, 18, 5)),
                Plan::Test => test_day::write(journal, person, &mut performance, day),
                Plan::Train if comes => present.push(Present { person, performance }),
                Plan::Train | Plan::Nothing => {}
            }
        }
        if let Some(session) = session_on(day).filter(|_| !present.is_empty()) {
            training::write(journal, session, day, &mut present);
        }
    }
}

/// The first day anything of someone is on record.
pub(super) fn first_day_of(person: &Person) -> Date {
    let camp = person.days();
    if person.known_before { known_from(camp) } else { camp.first_test() }
}

/// What someone does on a day.
enum Plan {
    Nothing,
    WeeklyJumps,
    Test,
    Train,
}

fn plan_of(person: &Person, day: Date) -> Plan {
    let camp = person.days();
    if !restrictions::open(person, &exercise(names::JUMP), None, day) {
        Plan::Nothing
    } else if camp.tests(day) {
        Plan::Test
    } else if day < camp.first_test() && day.weekday() == Weekday::Monday {
        Plan::WeeklyJumps
    } else if day > camp.first_test() && session_on(day).is_some() {
        Plan::Train
    } else {
        Plan::Nothing
    }
}

/// Three mornings a week in camp, one before.
fn weighs(person: &Person, day: Date) -> bool {
    match day.weekday() {
        Weekday::Monday => true,
        Weekday::Wednesday | Weekday::Friday => day >= person.days().first_test(),
        _ => false,
    }
}

/// On the scale in the morning, to 0.1 kg.
pub(super) fn weigh(journal: &mut Journal, person: &Person, chance: &mut Chance, day: Date) {
    let mass = Mass::kilograms(Performance::on(day, person, chance).mass_kg());
    let at = at(day, 7, 30);
    journal.write(at, COACH, Change::BodyMassMeasured { athlete: person.id(), mass, at });
}

/// Three countermovement jumps as a warm-up, entered at the desk.
pub(super) fn jumps(journal: &mut Journal, performance: &mut Performance<'_>, from: Timestamp) {
    for number in 0..3 {
        let entry = performance.jump(after(from, 40 * number));
        journal.record(COACH, entry);
    }
}

/// A moment this many seconds later.
pub(super) fn after(moment: Timestamp, seconds: i64) -> Timestamp {
    moment + SignedDuration::from_secs(seconds)
}
