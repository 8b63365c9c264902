//! A signal: samples and their clock.

use super::{Moment, Sampling, crossing, integral, window};

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
        integral::under(&self.sampling, &self.values, from, to)
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
        window::peak(&self.values, from, to)
    }

    /// The smallest sample between two instants and where it is.
    pub fn trough(&self, from: Moment, to: Moment) -> Option<(usize, f64)> {
        window::trough(&self.values, from, to)
    }

    /// The signal at a time after an instant, or `None` past the end.
    pub fn later(&self, from: Moment, delay_s: f64) -> Option<Moment> {
        crossing::moment_at(&self.sampling, self.len(), self.time_s(from) + delay_s)
    }

    /// What lies a time after each sample from `first` on, as long as the recording lasts.
    pub fn later_than_each(&self, first: usize, delay_s: f64) -> impl Iterator<Item = Moment> {
        let even = matches!(self.sampling, Sampling::Rate(_));
        let last = self.len().saturating_sub(1);
        let first_later = self.later(Moment::at(first), delay_s);
        (first..self.len()).map_while(move |sample| {
            if even {
                // On even steps it is as many samples for each.
                let later = first_later?;
                let later = Moment { before: later.before + sample - first, ..later };
                return (later.after() <= last).then_some(later);
            }
            self.later(Moment::at(sample), delay_s)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_later_than_each_sample_is_what_lies_later_than_that_one() {
        let times_s = (0..50).map(|i| f64::from(i) * 0.01 + f64::from(i % 3) * 1e-4).collect();
        for sampling in [Sampling::Rate(100.0), Sampling::stamps(times_s)] {
            let trace = Trace { sampling, values: vec![0.0; 50] };
            for (first, delay_s) in [(0, 0.05), (7, 0.1), (3, 0.234), (48, 0.01), (49, 0.01)] {
                let one_by_one: Vec<Moment> = (first..50)
                    .map_while(|sample| trace.later(Moment::at(sample), delay_s))
                    .collect();
                let each: Vec<Moment> = trace.later_than_each(first, delay_s).collect();
                assert_eq!(each.len(), one_by_one.len());
                for (found, expected) in each.into_iter().zip(one_by_one) {
                    assert_eq!(found.before, expected.before);
                    assert!((found.fraction - expected.fraction).abs() < 1e-12);
                }
            }
        }
    }
}
