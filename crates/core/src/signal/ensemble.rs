//! Several signals together: their mean and spread at each instant of a common clock.

/// A signal at an even step, on a clock of its own choosing.
#[derive(Clone, Copy, Debug)]
pub struct Shifted<'a> {
    /// Time of the first sample on the common clock, seconds.
    pub start_s: f64,
    /// Time from one sample to the next, seconds.
    pub step_s: f64,
    /// The samples.
    pub values: &'a [f64],
}

impl Shifted<'_> {
    /// The value at a time, by a straight line between its neighbours; `None` outside.
    pub fn at(&self, time_s: f64) -> Option<f64> {
        let last = self.values.len().checked_sub(1)?;
        let place = (time_s - self.start_s) / self.step_s;
        // A time that is a sample's own up to rounding is that sample.
        if place < -1e-6 || place > last as f64 + 1e-6 {
            return None;
        }
        let before = (place.max(0.0) as usize).min(last);
        let after = (before + 1).min(last);
        let fraction = (place - before as f64).clamp(0.0, 1.0);
        let (low, high) = (self.values[before], self.values[after]);
        Some(fraction.mul_add(high - low, low))
    }

    fn end_s(&self) -> f64 {
        self.step_s.mul_add(self.values.len().saturating_sub(1) as f64, self.start_s)
    }
}

/// Mean and sample standard deviation over several signals at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Together {
    /// When, on the common clock, seconds.
    pub time_s: f64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation (n - 1).
    pub sd: f64,
}

/// Mean and spread of two signals or more at every step of the time they all share; nothing when
/// they share none.
pub fn together(signals: &[Shifted<'_>], step_s: f64) -> Vec<Together> {
    let from_s = signals.iter().map(|signal| signal.start_s).fold(f64::NEG_INFINITY, f64::max);
    let to_s = signals.iter().map(Shifted::end_s).fold(f64::INFINITY, f64::min);
    let shared = from_s <= to_s && step_s > 0.0;
    if signals.len() < 2 || !shared {
        return Vec::new();
    }
    let steps = ((to_s - from_s) / step_s).floor() as usize;
    (0..=steps)
        .filter_map(|index| {
            let time_s = step_s.mul_add(index as f64, from_s);
            let values: Option<Vec<f64>> = signals.iter().map(|signal| signal.at(time_s)).collect();
            let (mean, sd) = super::window::mean_and_sd(&values?)?;
            Some(Together { time_s, mean, sd })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Closed form: three parabolas a·t² with a = 1, 2, 6 have mean 3t² and standard deviation
    // √(((2t²)² + t⁴ + (3t²)²)/2) = √7·t², whatever the clocks they were sampled by.
    #[test]
    fn parabolas_on_different_clocks() {
        let sampled = |factor: f64, start_s: f64, step_s: f64| -> Vec<f64> {
            (0..2001).map(|i| factor * step_s.mul_add(f64::from(i), start_s).powi(2)).collect()
        };
        let clocks = [(1.0, -1.0, 0.001), (2.0, -0.5, 0.000_5), (6.0, -0.75, 0.001)];
        let values = clocks.map(|(factor, start, step)| sampled(factor, start, step));
        let signals: Vec<Shifted<'_>> = clocks
            .iter()
            .zip(&values)
            .map(|((_, start_s, step_s), values)| Shifted {
                start_s: *start_s,
                step_s: *step_s,
                values,
            })
            .collect();
        let found = together(&signals, 0.01);
        assert_eq!(found.len(), 101);
        assert_eq!((found[0].time_s, found[100].time_s), (-0.5, 0.5));
        for point in &found {
            let square = point.time_s.powi(2);
            // The chord of a parabola over a step h lies above it by at most a·h²/4.
            assert!((point.mean - 3.0 * square).abs() < 2e-6, "{point:?}");
            assert!((point.sd - 7_f64.sqrt() * square).abs() < 3e-6, "{point:?}");
        }
    }

    #[test]
    fn signals_that_share_no_time_have_no_mean() {
        let one = Shifted { start_s: 0.0, step_s: 0.1, values: &[1.0, 2.0] };
        let other = Shifted { start_s: 5.0, ..one };
        assert!(together(&[one, other], 0.1).is_empty());
        assert!(together(&[one], 0.1).is_empty());
        assert_eq!(one.at(0.05), Some(1.5));
        assert_eq!(one.at(0.2), None);
        assert_eq!(Shifted { values: &[], ..one }.at(0.0), None);
    }
}
