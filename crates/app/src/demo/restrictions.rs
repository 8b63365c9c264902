//! Who may not do what: the stories of two athletes, in words fit for the floor.

use super::calendar::at;
use super::journal::{Journal, PHYSIO};
use super::names::{self, exercise};
use super::people::{PEOPLE, Person};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::gym::stand_down_id;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::rep::Side;
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use jiff::civil::{Date, date};

pub(super) const STAND_DOWN_FROM: Date = date(2026, 9, 12);
pub(super) const STAND_DOWN_TO: Date = date(2026, 10, 10);
const HAND_FROM: Date = date(2026, 9, 14);

/// Every restriction of the story.
pub(super) fn all() -> Vec<Restriction> {
    PEOPLE.iter().flat_map(of).collect()
}

fn of(person: &Person) -> Vec<Restriction> {
    match person.code {
        "N01" => vec![stand_down(person)],
        "A05" => hand(person),
        _ => Vec::new(),
    }
}

/// Four weeks from a stoppage on 12 September, then a doctor's word, by the rule of an invented body.
fn stand_down(person: &Person) -> Restriction {
    Restriction {
        id: stand_down_id(&person.id(), STAND_DOWN_FROM),
        athlete: person.id(),
        barred: Barred::Everything,
        from: STAND_DOWN_FROM,
        earliest_end: Some(STAND_DOWN_TO),
        needs_clearance: true,
        ground: "medical stand-down".into(),
        instead: None,
    }
}

/// The lead hand of a southpaw is the right one. What a throw calls lead, a jerk calls right.
fn hand(person: &Person) -> Vec<Restriction> {
    let restriction = |what: &str, barred, instead: &str| Restriction {
        id: RestrictionId(format!("A05-{what}")),
        athlete: person.id(),
        barred,
        from: HAND_FROM,
        // The first day it no longer binds: the physio's word covers the 26th.
        earliest_end: Some(date(2026, 9, 27)),
        needs_clearance: false,
        ground: "right hand, physio's word".into(),
        instead: Some(instead.into()),
    };
    let one_side = |name, side| Barred::OneSide { exercises: vec![exercise(name)], side };
    vec![
        restriction("throw", one_side(names::THROW, Side::Lead), "the rear hand"),
        restriction("jerk", one_side(names::JERK, Side::Right), "the left hand"),
        restriction(
            "clean",
            Barred::Exercises(vec![exercise(names::HANG_CLEAN)]),
            "hang high pull with straps",
        ),
    ]
}

/// Whether an exercise is open to someone on a day.
pub(super) fn open(person: &Person, name: &ExerciseId, side: Option<Side>, day: Date) -> bool {
    !of(person).iter().any(|one| one.in_force(day) && one.bars(name, side, person.stance))
}

/// The hand's restrictions are set on the morning it was seen; the stand-down is begun by the
/// stoppage itself.
pub(super) fn write(journal: &mut Journal) {
    for restriction in all().into_iter().filter(|one| one.from == HAND_FROM) {
        journal.write(at(HAND_FROM, 9, 0), PHYSIO, Change::RestrictionSet(restriction));
    }
}
