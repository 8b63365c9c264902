//! When the samples were taken.

use super::window;
use std::ops::Deref;

/// The clock of a recording: a stated rate, or a stamp for every sample.
#[derive(Clone, Debug, PartialEq)]
pub enum Sampling {
    /// Samples a second, the first at time zero.
    Rate(f64),
    /// One time in seconds a sample, as recorded.
    Stamps(Stamps),
}

impl Sampling {
    /// One time in seconds a sample.
    pub fn stamps(times_s: Vec<f64>) -> Self {
        Self::Stamps(Stamps::new(times_s))
    }

    /// Time of sample `index`, in seconds.
    pub fn time_s(&self, index: usize) -> f64 {
        match self {
            Self::Rate(hz) => index as f64 / hz,
            Self::Stamps(stamps) => stamps[index],
        }
    }

    /// Time between sample `index` and the one after it, in seconds.
    pub fn step_s(&self, index: usize) -> f64 {
        match self {
            Self::Rate(hz) => 1.0 / hz,
            Self::Stamps(stamps) => stamps[index + 1] - stamps[index],
        }
    }

    /// Samples a second: as stated, or from the median step between stamps (a median, so that a
    /// gap does not change it). `None` when there are no two stamps to take a step from.
    pub fn rate_hz(&self) -> Option<f64> {
        match self {
            Self::Rate(hz) => Some(*hz),
            Self::Stamps(stamps) => stamps.median_step_s.map(|step| 1.0 / step),
        }
    }

    /// Whole samples in a stretch of time, rounded to the nearest and at least one.
    pub fn samples_in(&self, duration_s: f64) -> usize {
        self.rate_hz().map_or(1, |hz| (duration_s * hz).round().max(1.0) as usize)
    }
}

/// Times in seconds, read as a slice, with their median step: every stretch of a trial is measured
/// in samples, so it is asked for far more often than the times change, which is never.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamps {
    times_s: Vec<f64>,
    median_step_s: Option<f64>,
    /// Shortest and longest step.
    step_range_s: Option<(f64, f64)>,
}

impl Stamps {
    /// Measures the steps between the times.
    pub fn new(times_s: Vec<f64>) -> Self {
        let mut steps: Vec<f64> = times_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let step_range_s = (!steps.is_empty()).then(|| window::extremes(&steps));
        let middle = steps.len() / 2;
        let median_step_s =
            (!steps.is_empty()).then(|| *steps.select_nth_unstable_by(middle, f64::total_cmp).1);
        Self { times_s, median_step_s, step_range_s }
    }

    /// The shortest and the longest step; the shortest is below zero where time runs backward.
    /// `None` below two stamps.
    pub const fn step_range_s(&self) -> Option<(f64, f64)> {
        self.step_range_s
    }
}

impl Deref for Stamps {
    type Target = [f64];

    fn deref(&self) -> &[f64] {
        &self.times_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rate_is_that_of_the_middle_step_whatever_the_gap() {
        let stamped = Sampling::stamps(vec![0.0, 0.5, 1.0, 9.0, 9.5]);
        assert_eq!(stamped.rate_hz(), Some(2.0));
        assert_eq!(stamped.samples_in(3.2), 6);
        assert_eq!(Sampling::stamps(vec![1.0]).rate_hz(), None);
        assert_eq!(Sampling::stamps(vec![1.0]).samples_in(3.2), 1);
    }
}
