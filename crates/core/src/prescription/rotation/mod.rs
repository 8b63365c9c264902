//! Who goes where when: several athletes on few stations.
//!
//! All move on together, round by round. Those who share a station in a round take their sets in
//! turn, so the bar is changed as often as neighbours in that order need different loads. The best
//! rotation first asks for no bar or plate in two places at once and then for the fewest changes;
//! the minimum rest is kept by the [`Timetable`], which lets a station wait rather than an athlete
//! hurry. What is found stands beside the [`alphabetical`] order and a bound no order can beat.
//!
//! Athletes and stations are numbers here: names, dates and loads are the caller's.

mod bound;
mod cost;
mod exact;
mod order;
mod rows;
mod search;
mod timetable;

pub use timetable::{Slot, Timetable};

use crate::units::Duration;
use cost::{Cost, Weigher};
use rows::Rows;
use thiserror::Error;

/// Most athletes on one floor.
pub const MOST_PEOPLE: usize = 16;
/// Most stations.
pub const MOST_STATIONS: usize = 8;
/// Most rounds.
pub const MOST_ROUNDS: usize = 10;

/// What is to be planned.
#[derive(Clone, Debug, PartialEq)]
pub struct RotationTask {
    /// The stations, in the order they are passed.
    pub stations: Vec<StationWork>,
    /// The athletes, in alphabetical order: that order is what the answer is compared with.
    pub people: Vec<Mover>,
    /// How many plates of each size there are.
    pub plates: Vec<u32>,
    /// What hangs on an implement now; one that is not named is set up before the start.
    pub standing: Vec<(usize, i64)>,
    /// To take plates off and hang others, or to set another box.
    pub change: Duration,
    /// To go from one station to the next.
    pub move_on: Duration,
}

/// What is done at a station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StationWork {
    /// Sets of each athlete.
    pub sets: u32,
    /// How long one set lasts.
    pub set: Duration,
    /// Least rest between two sets of one athlete.
    pub rest: Duration,
}

/// One athlete.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mover {
    /// The first round this athlete is there, from 0.
    pub from_round: usize,
    /// The first round this athlete is gone; `None` for staying to the end.
    pub until_round: Option<usize>,
    /// What each station is set up with for this athlete; `None` where there is nothing to do.
    pub visits: Vec<Option<Setup>>,
}

/// What a station is set up with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setup {
    /// The bar, or the place where boxes stand; `None` where nothing is changed.
    pub implement: Option<usize>,
    /// What hangs or stands there: grams or millimetres.
    pub amount: i64,
    /// How many plates of each size hang.
    pub plates: Vec<u32>,
}

impl Setup {
    /// Nothing to set up.
    pub const fn nothing() -> Self {
        Self { implement: None, amount: 0, plates: Vec::new() }
    }
}

/// Who stands where: for each round and each station the athletes in the order of their sets.
pub type Rounds = Vec<Vec<Vec<usize>>>;

/// A rotation.
#[derive(Clone, Debug, PartialEq)]
pub struct Rotation {
    /// Who stands where in each round.
    pub rounds: Rounds,
    /// How often a load or a box is changed after the start.
    pub changes: u32,
    /// How often a bar is wanted at two stations in one round, or a plate that is not there.
    pub clashes: u32,
    /// When each set begins and ends.
    pub timetable: Timetable,
}

/// The best rotation found, and how good it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// It.
    pub best: Rotation,
    /// The same athletes in alphabetical order, each group moving on by one station.
    pub alphabetical: Rotation,
    /// No rotation of these athletes has fewer changes without a clash.
    pub fewest_changes: u32,
    /// Whether no better one exists: every other was ruled out, or the bound is met.
    pub proven: bool,
}

/// Why there is no rotation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum RotationError {
    /// Nobody to move, or nothing to do.
    #[error("Nobody has anything to do. Say who comes and what is done at each station.")]
    Nothing,
    /// More than a floor holds.
    #[error("{people} athletes on {stations} stations are more than one floor holds.")]
    TooMany {
        /// Athletes asked for.
        people: usize,
        /// Stations asked for.
        stations: usize,
    },
    /// More loads on one bar than can be told apart.
    #[error("{loads} different loads on one bar are more than {most}. Use another bar as well.")]
    TooManyLoads {
        /// Different loads.
        loads: usize,
        /// The most.
        most: usize,
    },
    /// An athlete has more stations than rounds while present.
    #[error(
        "Athlete {person} has {stations} stations and is there for {rounds} rounds. Leave some out."
    )]
    TooShort {
        /// Place in the list, from 0.
        person: usize,
        /// Stations to visit.
        stations: usize,
        /// Rounds there.
        rounds: usize,
    },
}

/// The best rotation that can be found: a search by steps from several starts, then every other
/// possibility as far as that can be counted. The same task gives the same answer.
///
/// # Errors
/// [`RotationError`].
pub fn plan(task: &RotationTask) -> Result<Planned, RotationError> {
    let rows = Rows::of(task)?;
    let weigher = Weigher::new(task, rows.rounds())?;
    let alphabetical = rows.alphabetical();
    let fewest_changes = bound::fewest_changes(task, &rows);
    let good_enough = Cost { clashes: 0, changes: fewest_changes };
    let found = search::search(&rows, &weigher, &alphabetical, good_enough);
    let (best, proven) = exact::improve(&rows, &weigher, found, good_enough);
    Ok(Planned {
        best: rotation(task, &weigher, &rows, &best),
        alphabetical: rotation(task, &weigher, &rows, &alphabetical),
        fewest_changes,
        proven,
    })
}

/// The rotation of chosen rows, with the order inside each group and its times.
fn rotation(task: &RotationTask, weigher: &Weigher, rows: &Rows, chosen: &[usize]) -> Rotation {
    let cost = weigher.cost(&rows.grid(chosen));
    let rounds = order::ordered(weigher, &rows.grid(chosen), task.stations.len());
    let timetable = Timetable::of(task, &rounds);
    Rotation { rounds, changes: cost.changes, clashes: cost.clashes, timetable }
}
