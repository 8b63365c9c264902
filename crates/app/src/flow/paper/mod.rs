//! Papers: what is printed, put together from the same answers the pages give.
//!
//! Each file makes one kind of paper as a [`Document`]; setting it as PDF is the business of
//! `cornerwork-paper`. A paper goes where its maker is not: it names what an athlete may not do,
//! never why.

mod athlete_page;
mod camp_page;
mod everything;
pub mod floor_sheet;
mod hand_over_page;
mod squad_page;
pub mod typing;

pub use athlete_page::athlete_page;
pub use camp_page::camp_page;
pub use everything::{Along, everything};
pub use floor_sheet::floor_sheet;
pub use hand_over_page::hand_over_page;
pub use squad_page::squad_page;

use crate::flow::house::House;
use cornerwork_core::profile::change::Change;
use cornerwork_core::profile::verdict::{Direction, Verdict};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::{self, capitalised};

/// At the foot of every sheet: whose it is, when it was made, and that people are invented.
fn foot(house: &House, gym: &Gym) -> String {
    let clock = house.clock();
    let made = format!(
        "{}, made {} at {}",
        if gym.name.is_empty() { "The gym" } else { &gym.name },
        words::day_and_year(clock.today()),
        clock.time_of(clock.now())
    );
    if gym.invented { format!("{made}. All people and numbers are invented.") } else { made }
}

/// A change in the fewest words that are still honest: the word, the best estimate with its
/// interval, the odds of the likelier direction.
fn change_in_short(change: &Change) -> String {
    let size = &change.change;
    let odds = change.odds;
    let chance = match change.verdict {
        Verdict::MostlyUnchanged => (odds.no_matter, "no real change"),
        _ => match odds.likelier_direction() {
            (Direction::Up, rise) => (rise, "a real gain"),
            (Direction::Down, fall) => (fall, "a real loss"),
        },
    };
    format!(
        "{}: best estimate {:+.1} cm ({:+.1} to {:+.1}), {} {:.0} % likely.",
        capitalised(&change.verdict.to_string()),
        size.value,
        size.interval.low,
        size.interval.high,
        chance.1,
        chance.0 * 100.0,
    )
}
