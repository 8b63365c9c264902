//! A recording that holds a series, repetition by repetition: the hops of repeated jumps, the lifts
//! of a bar.

use super::analysis::{Analysis, Kind};
use cornerwork_core::estimate::Interval;
use cornerwork_core::metrics::bar_velocity;

/// Shown before a lift starts and after it ends, seconds.
const AROUND_LIFT_S: f64 = 0.2;
/// Shown before the feet come down, seconds.
const AROUND_HOP_S: f64 = 0.03;

/// One repetition of a series.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Repetition {
    /// "hop 3", counted as they were made.
    pub name: String,
    /// The instant it shares with the others, seconds of the recording.
    pub zero_s: f64,
    /// What belongs to it, seconds from that instant.
    pub around_s: Interval<f64>,
}

/// The repetitions of a series, the best first and the others as they were made; `None` for a
/// recording that holds one trial.
pub(super) fn of(analysis: &Analysis) -> Option<Vec<Repetition>> {
    let (mut all, worth) = match analysis.kind {
        Kind::RepeatedJump => (hops(analysis), worth_of_hops(analysis)),
        Kind::Bar => (lifts(analysis), worth_of_lifts(analysis)),
        _ => return None,
    };
    let best = worth.iter().enumerate().max_by(|one, other| one.1.total_cmp(other.1));
    if let Some((best, _)) = best.filter(|(best, _)| *best < all.len()) {
        all[..=best].rotate_right(1);
    }
    Some(all)
}

/// What the repetitions of a kind are called; `None` for a kind that is one trial.
pub const fn word(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::RepeatedJump => Some("hops"),
        Kind::Bar => Some("repetitions"),
        _ => None,
    }
}

/// What makes the best of them the best.
pub(super) const fn best(kind: Kind) -> &'static str {
    match kind {
        Kind::RepeatedJump => "one of the highest reactive strength index",
        _ => "fastest",
    }
}

fn hops(analysis: &Analysis) -> Vec<Repetition> {
    let of = |(index, hop): (usize, &super::Hop)| Repetition {
        name: format!("hop {}", index + 1),
        zero_s: hop.touch_down_s + hop.contact_s,
        around_s: Interval { low: -hop.contact_s - AROUND_HOP_S, high: hop.flight_s },
    };
    analysis.hops.iter().enumerate().map(of).collect()
}

fn worth_of_hops(analysis: &Analysis) -> Vec<f64> {
    analysis.hops.iter().map(|hop| hop.reactive_strength_index).collect()
}

fn lifts(analysis: &Analysis) -> Vec<Repetition> {
    let of = |(index, (_, from_s, to_s)): (usize, &(&str, f64, f64))| Repetition {
        name: format!("repetition {}", index + 1),
        zero_s: *from_s,
        around_s: Interval { low: -AROUND_LIFT_S, high: to_s - from_s + AROUND_LIFT_S },
    };
    analysis.phases.iter().enumerate().map(of).collect()
}

fn worth_of_lifts(analysis: &Analysis) -> Vec<f64> {
    let mean = |set: &cornerwork_core::metrics::MetricSet| set.value(&bar_velocity::MEAN);
    analysis.sets.iter().map(|set| mean(set).unwrap_or(f64::NEG_INFINITY)).collect()
}
