//! A place in time between two samples.

use super::Sampling;

/// Where something happened: after sample `before`, by a fraction of the step to the next.
///
/// Every quantity at that instant is interpolated with the same fraction, so time, force,
/// velocity and displacement at one event belong together.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Moment {
    /// The last sample at or before the instant.
    pub before: usize,
    /// How far to the next sample, in [0, 1).
    pub fraction: f64,
}

impl Moment {
    /// Exactly at a sample.
    pub const fn at(index: usize) -> Self {
        Self { before: index, fraction: 0.0 }
    }

    /// Where a line between sample `before` and the next passes `level`; at the sample itself
    /// when the two are equal.
    pub fn crossing(values: &[f64], before: usize, level: f64) -> Self {
        let rise = values[before + 1] - values[before];
        let fraction = if rise == 0.0 { 0.0 } else { (level - values[before]) / rise };
        if fraction >= 1.0 { Self::at(before + 1) } else { Self { before, fraction } }
    }

    /// The first sample at or after the instant.
    pub const fn after(self) -> usize {
        if self.fraction > 0.0 { self.before + 1 } else { self.before }
    }

    /// The value of a signal at the instant, by a straight line between its neighbours.
    pub fn of(self, values: &[f64]) -> f64 {
        if self.fraction == 0.0 {
            return values[self.before];
        }
        let (low, high) = (values[self.before], values[self.before + 1]);
        low + self.fraction * (high - low)
    }

    /// The time of the instant, in seconds.
    pub fn time_s(self, sampling: &Sampling) -> f64 {
        match sampling {
            Sampling::Rate(hz) => (self.before as f64 + self.fraction) / hz,
            Sampling::Stamps(stamps) => self.of(stamps),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crossing_is_interpolated_and_carries_its_fraction_to_other_signals() {
        let force = [30.0, 10.0, 0.0];
        let take_off = Moment::crossing(&force, 0, 20.0);
        assert_eq!(take_off, Moment { before: 0, fraction: 0.5 });
        assert_eq!(take_off.of(&[2.0, 3.0, 9.0]), 2.5);
        assert_eq!(take_off.time_s(&Sampling::Rate(100.0)), 0.005);
        assert_eq!(take_off.time_s(&Sampling::stamps(vec![1.0, 2.0, 3.0])), 1.5);
        assert_eq!(Moment::crossing(&force, 1, 0.0), Moment::at(2));
    }
}
