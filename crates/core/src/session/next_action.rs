//! What to do now at a station: one sentence, the loudest first.

use crate::exercise::{Direction, StopRule};
use crate::units::Duration;

/// The next action at a station.
#[derive(Clone, Debug, PartialEq)]
pub enum NextAction {
    /// Stop this set: the last reps fell too far below the set's best.
    StopDrop {
        /// Fraction by which the last rep is below the best of the set: 0.09 for 9 %.
        drop: f64,
        /// The fraction at which this exercise stops.
        limit: f64,
    },
    /// Stop this set: the last reps were all under the window.
    StopUnderWindow {
        /// How many in a row.
        in_a_row: u16,
    },
    /// Another rep.
    Again {
        /// Its number in the set, from 1.
        rep: u32,
        /// Reps in the set.
        of: u32,
    },
    /// All reps of the set are done: close it.
    CloseSet {
        /// Sets done with this one.
        set: u32,
        /// Sets planned.
        of: u32,
    },
    /// The athlete must rest before the next set.
    Rest {
        /// Still to rest.
        left: Duration,
        /// The set that comes.
        set: u32,
        /// Sets planned.
        of: u32,
    },
    /// Everyone here is done: rotate.
    Rotate,
    /// Nobody stands here.
    Empty,
}

/// What is known of the set in progress.
#[derive(Clone, Debug, PartialEq)]
pub struct SetSoFar<'a> {
    /// Reps done in this set, with and without a number.
    pub done: u32,
    /// Numbers that count, in order, at this load and side.
    pub values: &'a [f64],
    /// Sets closed before this one.
    pub sets_closed: u32,
    /// Planned sets.
    pub sets: u32,
    /// Planned reps a set.
    pub reps: u32,
    /// What ends the set early, where the exercise has a rule.
    pub stop: Option<StopRule>,
    /// Lower edge of the target window, where there is one.
    pub window_low: Option<f64>,
    /// Which way is better.
    pub direction: Direction,
    /// Time since the athlete's last effort, if there was one tonight.
    pub rested: Option<Duration>,
    /// Least rest between sets.
    pub rest: Duration,
}

/// The next action. Stop comes before everything; the first rep of a set cannot stop it.
pub fn next_action(set: &SetSoFar<'_>) -> NextAction {
    if let Some(stop) = stop(set) {
        return stop;
    }
    if set.done >= set.reps {
        return NextAction::CloseSet { set: set.sets_closed + 1, of: set.sets };
    }
    let left = set.rested.map_or(Duration::ZERO, |rested| set.rest - rested);
    if set.done == 0 && set.sets_closed > 0 && left > Duration::ZERO {
        return NextAction::Rest { left, set: set.sets_closed + 1, of: set.sets };
    }
    NextAction::Again { rep: set.done + 1, of: set.reps }
}

fn stop(set: &SetSoFar<'_>) -> Option<NextAction> {
    match set.stop? {
        StopRule::DropFromBest { fraction, in_a_row } => {
            let drop = drops(set, in_a_row).filter(|drops| drops.iter().all(|d| *d > fraction))?;
            Some(NextAction::StopDrop { drop: *drop.last()?, limit: fraction })
        }
        StopRule::UnderWindow { in_a_row } => {
            let low = set.window_low?;
            let last = set.values.len().checked_sub(usize::from(in_a_row))?;
            let under = set.values[last..].iter().all(|value| *value < low);
            under.then_some(NextAction::StopUnderWindow { in_a_row })
        }
    }
}

/// How far each of the last reps fell below the best before it, as a fraction; `None` until the
/// set holds that many reps and one to compare with.
fn drops(set: &SetSoFar<'_>, last: u16) -> Option<Vec<f64>> {
    let first = set.values.len().checked_sub(usize::from(last.max(1)))?;
    (first..set.values.len())
        .map(|place| drop_from_best(&set.values[..=place], set.direction))
        .collect()
}

/// Fraction by which the last value of a set lies below (or, where lower is better, above) the
/// best before it; `None` until there are two.
fn drop_from_best(values: &[f64], direction: Direction) -> Option<f64> {
    let (last, before) = values.split_last()?;
    let best = before.iter().copied().reduce(|best, value| match direction {
        Direction::HigherIsBetter => best.max(value),
        Direction::LowerIsBetter => best.min(value),
    })?;
    let worse_by = match direction {
        Direction::HigherIsBetter => best - last,
        Direction::LowerIsBetter => last - best,
    };
    (best > 0.0).then_some(worse_by / best)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(values: &[f64]) -> SetSoFar<'_> {
        SetSoFar {
            done: u32::try_from(values.len()).unwrap(),
            values,
            sets_closed: 0,
            sets: 3,
            reps: 5,
            stop: Some(StopRule::DropFromBest { fraction: 0.10, in_a_row: 1 }),
            window_low: None,
            direction: Direction::HigherIsBetter,
            rested: None,
            rest: Duration::seconds(120.0),
        }
    }

    #[test]
    fn a_throw_more_than_a_tenth_below_the_best_stops_the_set() {
        // Closed form: (3.40 - 3.04) / 3.40 = 10.59 %, (3.40 - 3.06) / 3.40 = 10.0 % exactly.
        let NextAction::StopDrop { drop, .. } = next_action(&set(&[3.40, 3.04])) else {
            panic!("a drop of 10.6 % must stop the set");
        };
        assert!((drop - 0.105_882_35).abs() < 1e-8);
        assert_eq!(next_action(&set(&[3.40, 3.07])), NextAction::Again { rep: 3, of: 5 });
    }

    #[test]
    fn the_first_rep_of_a_set_cannot_stop_it() {
        assert_eq!(next_action(&set(&[2.0])), NextAction::Again { rep: 2, of: 5 });
    }

    #[test]
    fn two_in_a_row_means_two_in_a_row() {
        let stops = |values| {
            let mut jumps = set(values);
            jumps.stop = Some(StopRule::DropFromBest { fraction: 0.05, in_a_row: 2 });
            matches!(next_action(&jumps), NextAction::StopDrop { .. })
        };
        assert!(!stops(&[1.0, 0.9]));
        assert!(!stops(&[1.0, 0.9, 0.99]));
        assert!(stops(&[1.0, 0.9, 0.94]));
        let mut jerks = set(&[1.70, 1.58, 1.55]);
        jerks.stop = Some(StopRule::UnderWindow { in_a_row: 2 });
        jerks.window_low = Some(1.6);
        assert_eq!(next_action(&jerks), NextAction::StopUnderWindow { in_a_row: 2 });
    }

    #[test]
    fn rest_is_asked_for_between_sets_only() {
        let mut between = set(&[]);
        between.sets_closed = 1;
        between.rested = Some(Duration::seconds(45.0));
        assert_eq!(
            next_action(&between),
            NextAction::Rest { left: Duration::seconds(75.0), set: 2, of: 3 }
        );
        between.rested = Some(Duration::seconds(130.0));
        assert_eq!(next_action(&between), NextAction::Again { rep: 1, of: 5 });
    }

    #[test]
    fn a_full_set_is_closed() {
        let full = set(&[3.0, 3.0, 3.1, 3.0, 3.0]);
        assert_eq!(next_action(&full), NextAction::CloseSet { set: 1, of: 3 });
    }
}
