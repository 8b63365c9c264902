//! When the movement begins.

use super::weighing::Weighing;
use crate::signal::{Moment, Trace, crossing};
use std::ops::Range;

/// How the onset is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Standard deviations of the weighing (Owen et al. 2014, J Strength Cond Res 28:1552).
    pub sd_multiple: f64,
    /// And at least this much (engineering choice, for noise-free and quantised files).
    pub floor_n: f64,
    /// The force must stay beyond the threshold this long (engineering choice).
    pub hold_s: f64,
    /// The onset is set this much earlier (Owen et al. 2014), where the force still is the weight.
    pub step_back_s: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self { sd_multiple: 5.0, floor_n: 5.0, hold_s: 0.010, step_back_s: 0.030 }
    }
}

/// Which way the force must leave the weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leaving {
    /// Up or down (a countermovement jump: Owen's rule is two-sided).
    EitherWay,
    /// Up only (a squat jump, an isometric pull).
    Upward,
}

/// Where the force left the weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Onset {
    /// The onset: a whole sample, after stepping back.
    pub at: Moment,
    /// First sample beyond the threshold.
    pub excursion: usize,
    /// The threshold, newtons from the weight.
    pub threshold_n: f64,
    /// Whether the force first went up.
    pub upward: bool,
}

impl Rules {
    /// Distance from the weight that counts as movement.
    pub fn threshold_n(&self, weighing: &Weighing) -> f64 {
        (self.sd_multiple * weighing.sd_n).max(self.floor_n)
    }
}

/// First lasting departure from the weight inside `range`.
pub fn find(
    trace: &Trace,
    range: Range<usize>,
    weighing: &Weighing,
    leaving: Leaving,
    rules: &Rules,
) -> Option<Onset> {
    let threshold_n = rules.threshold_n(weighing);
    let beyond = |index: usize| {
        let departure = trace.values[index] - weighing.weight_n;
        departure > threshold_n || (leaving == Leaving::EitherWay && -departure > threshold_n)
    };
    let excursion = crossing::first_held(range, trace.samples_in(rules.hold_s), beyond)?;
    let back = if rules.step_back_s > 0.0 { trace.samples_in(rules.step_back_s) } else { 0 };
    Some(Onset {
        at: Moment::at(excursion.saturating_sub(back)),
        excursion,
        threshold_n,
        upward: trace.values[excursion] > weighing.weight_n,
    })
}
