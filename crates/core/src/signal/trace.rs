//! A signal: samples and their clock.

use super::{Moment, Sampling, crossing, integral};
use std::ops::Range;

/// Samples in SI units, with the clock they were taken by.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// When.
    pub sampling: Sampling,
    /// What.
    pub values: Vec<f64>,
}

impl Trace {
    /// Number of samples.
    pub const fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The last sample.
    pub fn end(&self) -> Moment {
        Moment::at(self.len().saturating_sub(1))
    }

    /// Time of an instant, in seconds.
    pub fn time_s(&self, moment: Moment) -> f64 {
        moment.time_s(&self.sampling)
    }

    /// Seconds from one instant to another.
    pub fn between_s(&self, from: Moment, to: Moment) -> f64 {
        self.time_s(to) - self.time_s(from)
    }

    /// Whole samples in a stretch of time.
    pub fn samples_in(&self, duration_s: f64) -> usize {
        self.sampling.samples_in(duration_s)
    }

    /// Area under the signal between two instants, by the trapezoid rule.
    pub fn integral(&self, from: Moment, to: Moment) -> f64 {
        integral::between(
            &self.sampling,
            from,
            to,
            |moment| moment.of(&self.values),
            |i| self.values[i],
        )
    }

    /// Mean over time between two instants: area over duration, so uneven steps weigh as they
    /// should. `None` when the instants coincide.
    pub fn mean(&self, from: Moment, to: Moment) -> Option<f64> {
        let duration_s = self.between_s(from, to);
        (duration_s > 0.0).then(|| self.integral(from, to) / duration_s)
    }

    /// The largest sample between two instants and where it is; ends count by interpolation only
    /// through their neighbours inside. `None` when no sample lies between.
    pub fn peak(&self, from: Moment, to: Moment) -> Option<(usize, f64)> {
        extreme(&self.values, from.after()..to.before + 1, |candidate, best| candidate > best)
    }

    /// The smallest sample between two instants and where it is.
    pub fn trough(&self, from: Moment, to: Moment) -> Option<(usize, f64)> {
        extreme(&self.values, from.after()..to.before + 1, |candidate, best| candidate < best)
    }

    /// The signal at a time after an instant, or `None` past the end.
    pub fn later(&self, from: Moment, delay_s: f64) -> Option<Moment> {
        crossing::moment_at(&self.sampling, self.len(), self.time_s(from) + delay_s)
    }
}

fn extreme(
    values: &[f64],
    range: Range<usize>,
    better: impl Fn(f64, f64) -> bool,
) -> Option<(usize, f64)> {
    let end = range.end.min(values.len());
    let mut indices = range.start..end;
    let first = indices.next()?;
    Some(indices.fold((first, values[first]), |best, index| {
        if better(values[index], best.1) { (index, values[index]) } else { best }
    }))
}
