//! A test day, entered at the desk: jumps, drop jumps, loaded jumps, throws with the bar alone,
//! the isometric pull.

use super::calendar::at;
use super::history::after;
use super::journal::{COACH, Journal};
use super::names::{self, exercise};
use super::people::Person;
use super::performance::Performance;
use super::restrictions;
use cornerwork_core::session::rep::Side;
use jiff::civil::Date;

/// Countermovement jumps of a test.
pub(super) const JUMPS: i64 = 5;

pub(super) fn write(
    journal: &mut Journal,
    person: &Person,
    performance: &mut Performance<'_>,
    day: Date,
) {
    jumps(journal, person, performance, day);
    for (number, box_cm) in (0..).zip(drop_boxes_cm(person)) {
        let entry = performance.drop_jump(*box_cm, after(at(day, 17, 20), 60 * number));
        journal.record(COACH, entry);
    }
    for (number, load) in (0..).zip(person.jump_loads(day)) {
        for rep in 0..2 {
            let moment = after(at(day, 17, 40), 180 * number + 30 * rep);
            journal.record_jump(COACH, performance.loaded_jump(&load, moment));
        }
    }
    throws(journal, person, performance, day);
    for number in 0..3 {
        let entry = performance.pull(after(at(day, 18, 30), 120 * number));
        journal.record(COACH, entry);
    }
}

/// One athlete's first test stood on a force platform: a change of method to be noticed.
fn jumps(journal: &mut Journal, person: &Person, performance: &mut Performance<'_>, day: Date) {
    let on_platform = person.code == "A03" && day == person.days().first_test();
    for number in 0..JUMPS {
        let moment = after(at(day, 17, 0), 45 * number);
        let entry = if on_platform {
            performance.jump_by_take_off(moment)
        } else {
            performance.jump(moment)
        };
        journal.record(COACH, entry);
    }
}

/// A junior keeps to the low box.
fn drop_boxes_cm(person: &Person) -> &'static [f64] {
    if person.is_junior() { &[20.0, 20.0] } else { &[20.0, 20.0, 30.0, 30.0, 40.0, 40.0] }
}

fn throws(journal: &mut Journal, person: &Person, performance: &mut Performance<'_>, day: Date) {
    let bar = person.landmine(0.0);
    for (number, side) in (0..).zip([Side::Rear, Side::Lead]) {
        if !restrictions::open(person, &exercise(names::THROW), Some(side), day) {
            continue;
        }
        for rep in 0..3 {
            let moment = after(at(day, 18, 10), 120 * number + 15 * i64::from(rep));
            let entry = performance.throw(side, &bar, (0, rep), moment);
            journal.record(COACH, entry);
        }
    }
}
