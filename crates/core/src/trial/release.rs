//! From the threshold to the empty plate: how long after take-off is read the feet still push.
//!
//! Take-off is read where the force falls through a threshold over the empty plate's noise. The
//! body is by then almost in free fall, and is read as faster by g times what is left: 1 to 6 mm of
//! height. A straight line through the last of the fall says how much that is.

use super::flight::{self, Flight};
use crate::signal::Trace;

/// How the fall of the force is carried on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// The line goes through this much of the force before the threshold (engineering choice: the
    /// force of a take-off falls from the weight in 30 to 60 ms).
    pub line_s: f64,
    /// And through this many samples at least, where the clock is slow (engineering choice).
    pub fewest: usize,
    /// A fall that would take longer to end is not carried on (engineering choice).
    pub longest_s: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self { line_s: 0.008, fewest: 4, longest_s: 0.010 }
    }
}

/// What is left of a push when take-off is read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Release {
    /// Seconds until the plate is empty.
    pub after_s: f64,
    /// Standard error of that.
    pub standard_error_s: f64,
}

impl Release {
    /// What the velocity at take-off loses until the plate is empty, m/s: free fall less half the
    /// threshold's push.
    pub(super) fn lost_m_s(&self, threshold_n: f64, weight_n: f64, gravity_m_s2: f64) -> f64 {
        gravity_m_s2 * self.after_s * (1.0 - threshold_n / (2.0 * weight_n))
    }
}

/// Carries the fall before a take-off on to the empty plate.
pub(crate) fn after(trace: &Trace, flight: &Flight, rules: &Rules) -> Release {
    let empty_n = empty_n(trace, flight);
    let last = flight.take_off.before;
    let count = trace.samples_in(rules.line_s).max(rules.fewest);
    if last + 1 < count {
        return Release::default();
    }
    let first = last + 1 - count;
    let middle = (first + last) as f64 / 2.0;
    let mean = trace.values[first..=last].iter().sum::<f64>() / count as f64;
    let (mut squares, mut lever) = (0.0, 0.0);
    for sample in first..=last {
        let from_middle = sample as f64 - middle;
        squares += from_middle * from_middle;
        lever += from_middle * trace.values[sample];
    }
    let slope = lever / squares;
    let residual = |sample: usize| trace.values[sample] - mean - slope * (sample as f64 - middle);
    let left: f64 = (first..=last).map(|sample| residual(sample).powi(2)).sum();
    let spread_n = (left / (count as f64 - 2.0)).sqrt();
    let step_s = 1.0 / trace.sampling.rate_hz().unwrap_or(f64::INFINITY);
    let read_at = last as f64 + flight.take_off.fraction;
    let beyond = (empty_n - mean) / slope - (read_at - middle);
    let after_s = beyond * step_s;
    if slope >= 0.0 || !(0.0..=rules.longest_s).contains(&after_s) {
        return Release { after_s: 0.0, standard_error_s: rules.longest_s / 12.0_f64.sqrt() };
    }
    let ahead = read_at + beyond - middle;
    let standard_error_s =
        step_s * spread_n / -slope * (1.0 / count as f64 + ahead * ahead / squares).sqrt();
    Release { after_s, standard_error_s }
}

/// What the empty plate reads: the mean of the middle half of a flight.
fn empty_n(trace: &Trace, flight: &Flight) -> f64 {
    let flown = flight.take_off.after()..flight.landing.before;
    let middle = flight::middle_half(&flown);
    let count = middle.len();
    if count == 0 { 0.0 } else { trace.values[middle].iter().sum::<f64>() / count as f64 }
}
