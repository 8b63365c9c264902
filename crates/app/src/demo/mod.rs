//! The demo gym: invented people and numbers, drawn from a known truth by a seeded generator, so
//! that what the program finds can be held against what is so.
//!
//! It is one story, told up to its now: two camps, seven months of records, and an evening about
//! to begin. No name, number or message belongs to a real person.

mod bouts;
mod calendar;
mod camps;
mod earlier_camps;
mod evening;
mod history;
#[cfg(test)]
mod honest_reading;
mod journal;
mod kit;
mod loads;
mod names;
mod other_trials;
mod people;
mod performance;
mod plate;
mod primer;
mod program;
mod restrictions;
mod safety;
mod session_notes;
mod staff;
mod stations;
mod test_day;
#[cfg(test)]
mod tests;
mod traces;
mod training;
mod truth;

pub(crate) use calendar::STORY_NOW;
pub use staff::numbers;

use calendar::{BLUE_BAR_WEIGHED, Camp, FIRST_DAY, at};
use cornerwork_core::session::operation::{Change, Operation};
use cornerwork_core::units::Length;
use journal::{COACH, Journal};
use people::PEOPLE;
use performance::Chance;

/// Every operation of the demo gym in order of time, up to the evening about to begin. The same seed
/// gives the same operations.
pub fn operations(seed: u64) -> Vec<Operation> {
    let mut journal = Journal::default();
    let mut chances: Vec<Chance> =
        (0..).zip(&PEOPLE).map(|(stream, _)| Chance::new(seed, stream)).collect();
    found(&mut journal);
    enter_people(&mut journal);
    earlier_camps::write(&mut journal, seed);
    restrictions::write(&mut journal);
    safety::write(&mut journal, seed);
    history::write(&mut journal, &mut chances);
    evening::write(&mut journal, &mut chances);
    primer::write(&mut journal, seed);
    traces::write(&mut journal, seed);
    program::write(&mut journal);
    camps::write(&mut journal);
    bouts::write(&mut journal);
    journal.in_order()
}

/// The recordings that the operations name, byte for byte.
pub fn recordings(seed: u64) -> Vec<Vec<u8>> {
    traces::recorded(seed).into_iter().map(|recorded| recorded.bytes).collect()
}

/// The gym and its kit. The blue bar was believed to weigh what its stamp says until it stood on
/// a scale; what was lifted before keeps the mass believed then.
fn found(journal: &mut Journal) {
    let opening = at(FIRST_DAY, 9, 0);
    let name = "Kettlewick Yard Boxing Club".to_owned();
    let mut write = |change| journal.write(opening, COACH, change);
    write(Change::GymNamed { name, invented: true });
    write(Change::BarWeighed(kit::hex_light()));
    write(Change::BarWeighed(kit::hex_blue_as_stamped()));
    write(Change::BarWeighed(kit::landmine_light()));
    write(Change::BarWeighed(kit::landmine_heavy()));
    write(Change::PlatesCounted(kit::plates()));
    write(Change::BoxesMeasured(kit::boxes()));
    write(Change::JumpMatCompared {
        reads_high_by: Length::metres(performance::MAT_OFFSET_M),
        against: "take-off velocity on a force platform, invented".to_owned(),
    });
    journal.write(at(BLUE_BAR_WEIGHED, 10, 0), COACH, Change::BarWeighed(kit::hex_blue()));
}

/// Everyone is entered on the morning of their first day, and each camp's bout is agreed then.
fn enter_people(journal: &mut Journal) {
    for person in &PEOPLE {
        let morning = at(history::first_day_of(person), 7, 0);
        journal.write(morning, COACH, Change::AthleteEntered(person.athlete()));
    }
    for camp in [Camp::HarbourOpen, Camp::Lanternlight] {
        journal.write(at(camp.first_test(), 7, 5), COACH, Change::BoutAgreed(camp.agreed()));
    }
}
