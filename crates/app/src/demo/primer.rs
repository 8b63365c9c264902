//! Three mornings on which one athlete held hard against a pad and jumped four, eight and twelve
//! minutes later. Their chance is a stream of its own, so that no other number moves.

use super::calendar::at;
use super::history::after;
use super::journal::{COACH, Journal};
use super::people::PEOPLE;
use super::performance::{Chance, Performance};
use jiff::civil::{Date, date};

/// Who tried it.
const WHO: &str = "A04";
/// Far from the streams of the athletes.
const STREAM: u64 = 1_100;
/// The mornings, a week apart.
const MORNINGS: [Date; 3] = [date(2026, 9, 3), date(2026, 9, 10), date(2026, 9, 17)];
/// Minutes since the hold, and what it adds to the jump as a share (invented).
const DELAYS: [(i64, f64); 3] = [(4, 0.0), (8, 0.06), (12, 0.02)];

pub(super) fn write(journal: &mut Journal, seed: u64) {
    let mut chance = Chance::new(seed, STREAM);
    for person in PEOPLE.iter().filter(|person| person.code == WHO) {
        for day in MORNINGS {
            let mut performance = Performance::on(day, person, &mut chance);
            let hold = at(day, 10, 15);
            journal.record(COACH, performance.punch_push(hold));
            for (minutes, adds) in DELAYS {
                for jump in 0..2 {
                    let moment = after(hold, 60 * minutes + 30 * jump);
                    journal.record(COACH, performance.squat_jump(1.0 + adds, moment));
                }
            }
        }
    }
}
