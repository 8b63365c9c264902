//! Three camps before the story, typed in from an old notebook on an athlete's first day: bouts
//! and loaded jumps. Their chance is a stream of its own, so that no other number moves.

use super::calendar::at;
use super::history::{after, first_day_of};
use super::journal::{COACH, Journal};
use super::people::{PEOPLE, Person};
use super::performance::{Chance, Performance};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::operation::Change;
use jiff::civil::{Date, date};

/// Whose notebook it is.
const VETERAN: &str = "B01";
/// Far from the streams of the athletes.
const STREAM: u64 = 1_000;
/// Weeks before a bout on which jumps were written down.
const WEEKS_BEFORE: [i64; 2] = [7, 3];

/// The bouts that ended the three camps.
fn bouts() -> [(&'static str, &'static str, Date); 3] {
    [
        ("saltmarket-night", "Saltmarket Night", date(2025, 3, 22)),
        ("copperfield-bill", "Copperfield Bill", date(2025, 8, 30)),
        ("old-mint-evening", "Old Mint Evening", date(2026, 1, 24)),
    ]
}

pub(super) fn write(journal: &mut Journal, seed: u64) {
    let mut chance = Chance::new(seed, STREAM);
    for person in PEOPLE.iter().filter(|person| person.code == VETERAN) {
        for (id, name, day) in bouts() {
            camp(journal, person, &mut chance, (id, name, day));
        }
    }
}

fn camp(
    journal: &mut Journal,
    person: &Person,
    chance: &mut Chance,
    (id, name, bout): (&str, &str, Date),
) {
    let typed_in = at(first_day_of(person), 9, 0);
    let (id, name) = (id.to_owned(), name.to_owned());
    let bout_agreed =
        Change::BoutAgreed(Bout { id, name, date: bout, athletes: vec![person.id()] });
    journal.write(typed_in, COACH, bout_agreed);
    for weeks in WEEKS_BEFORE {
        let day = bout.saturating_sub(jiff::Span::new().weeks(weeks));
        let mut performance = Performance::on(day, person, chance);
        for (set, load) in (0..).zip(person.jump_loads(day)) {
            for rep in 0..2 {
                let moment = after(at(day, 18, 0), 180 * set + 30 * rep);
                // A jump landed bent was not written down.
                let (entry, bent) = performance.loaded_jump(&load, moment);
                if !bent {
                    journal.write(typed_in, COACH, Change::RepRecorded(entry));
                }
            }
        }
    }
}
