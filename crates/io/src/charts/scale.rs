//! From values to places: linear scales with ticks at 1, 2 and 5 times powers of ten.

use cornerwork_core::estimate::Interval;
use cornerwork_core::report::figure::Axis;
use cornerwork_core::words;
use jiff::ToSpan;
use jiff::civil::Date;

/// How much of a step may hang over the last tick before another is added: noise about zero
/// should not open a whole step below it.
const OVERHANG: f64 = 0.04;

/// A linear scale from a domain of values to a range of places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    pub(super) domain: Interval<f64>,
    from: f64,
    to: f64,
}

impl Scale {
    /// The domain must have a width; [`Ruler::over`] makes one that has.
    pub(super) const fn new(domain: Interval<f64>, from: f64, to: f64) -> Self {
        Self { domain, from, to }
    }
    /// The place of a value, also outside the domain; infinite values land at the ends.
    pub(super) fn at(&self, value: f64) -> f64 {
        let value = if value.is_infinite() { self.inside(value) } else { value };
        let share = (value - self.domain.low) / (self.domain.high - self.domain.low);
        share.mul_add(self.to - self.from, self.from)
    }
    /// The place of a value, held inside the domain.
    pub(super) fn clamped(&self, value: f64) -> f64 {
        self.at(self.inside(value))
    }
    /// The places of a stretch, held inside the domain; `None` when an end is not a number.
    pub(super) fn stretch(&self, over: Interval<f64>) -> Option<(f64, f64)> {
        let known = !over.low.is_nan() && !over.high.is_nan();
        known.then(|| (self.clamped(over.low), self.clamped(over.high)))
    }
    fn inside(&self, value: f64) -> f64 {
        value.clamp(self.domain.low, self.domain.high)
    }
}

/// Ticks at round values, and the domain widened to end on them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ruler {
    pub(super) domain: Interval<f64>,
    pub(super) ticks: Vec<f64>,
    decimals: usize,
    /// The day that is zero, where ticks are days.
    day_zero: Option<Date>,
}

impl Ruler {
    /// About `count` ticks over these values; equal, missing or absurd ends still give a ruler.
    pub(super) fn over(values: Option<Interval<f64>>, count: usize) -> Self {
        let Interval { low, high } = wide_enough(values);
        let step = step((high - low) / count.max(1) as f64);
        let (first, last) = ((low / step + OVERHANG).floor(), (high / step - OVERHANG).ceil());
        let count = (last - first).max(1.0) as i64;
        let ticks: Vec<f64> = (0..=count).map(|index| (first + index as f64) * step).collect();
        let decimals = (-step.log10().floor()).clamp(0.0, 12.0) as usize;
        let end = (first + count as f64) * step;
        let domain = Interval { low: low.min(first * step), high: high.max(end) };
        Self { domain, ticks, decimals, day_zero: None }
    }
    /// The same in dates, where the axis counts days: ticks on whole days alone.
    pub(super) fn dated(mut self, axis: &Axis) -> Self {
        self.day_zero = axis.day_zero;
        if self.day_zero.is_some() {
            self.ticks.retain(|tick| tick.fract() == 0.0);
        }
        self
    }
    /// Ticks inside these values and a margin, for scales that need not end on a tick.
    pub(super) fn padded(values: Option<Interval<f64>>, count: usize) -> Self {
        const MARGIN: f64 = 0.06;
        let Interval { low, high } = wide_enough(values);
        let margin = MARGIN * (high - low);
        let padded = Interval { low: low - margin, high: high + margin };
        Self::over(Some(padded), count).trimmed(padded)
    }
    /// The same ticks over the values alone, for axes that should end where the data end.
    pub(super) fn trimmed(mut self, values: Interval<f64>) -> Self {
        if values.high > values.low {
            self.domain = values;
            self.ticks.retain(|tick| values.contains(*tick));
        }
        self
    }
    /// A tick as written.
    pub(super) fn label(&self, tick: f64) -> String {
        if let Some(zero) = self.day_zero {
            return words::short_day(zero.saturating_add((tick as i64).days()));
        }
        let text = format!("{tick:.*}", self.decimals);
        match text.strip_prefix('-') {
            Some(size) if size.bytes().any(|byte| byte.is_ascii_digit() && byte != b'0') => {
                format!("−{size}")
            }
            Some(zero) => zero.to_owned(),
            None => text,
        }
    }
}

/// The round step nearest a raw one by ratio: 1, 2 or 5 times a power of ten.
fn step(raw: f64) -> f64 {
    let power = 10f64.powf(raw.log10().floor());
    // Each bound is the geometric mean of two neighbours.
    let rounds = [(1.0, 2f64.sqrt()), (2.0, 10f64.sqrt()), (5.0, 50f64.sqrt())];
    let round = rounds.into_iter().find(|(_, bound)| raw < bound * power);
    round.map_or(10.0, |(round, _)| round) * power
}

fn wide_enough(values: Option<Interval<f64>>) -> Interval<f64> {
    /// Beyond this no quantity of the trade lies, and ticks would lose their digits.
    const LIMIT: f64 = 1e9;
    let values = values.unwrap_or(Interval { low: 0.0, high: 1.0 });
    let (low, high) = (values.low.clamp(-LIMIT, LIMIT), values.high.clamp(-LIMIT, LIMIT));
    let least = (low.abs().max(high.abs()) * 1e-6).max(1e-9);
    if high - low > least {
        return Interval { low, high };
    }
    let margin = if low == 0.0 { 0.5 } else { low.abs() * 0.1 };
    Interval { low: low - margin, high: high + margin }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn ticks_are_round_and_the_ends_are_ticks() {
        let ruler = Ruler::over(Some(Interval { low: 612.0, high: 2587.0 }), 5);
        assert_eq!(ruler.ticks, [500.0, 1000.0, 1500.0, 2000.0, 2500.0, 3000.0]);
        let labels = |low, high| {
            let ruler = Ruler::over(Some(Interval { low, high }), 4);
            ruler.ticks.iter().map(|tick| ruler.label(*tick)).collect::<Vec<_>>()
        };
        assert_eq!(labels(0.31, 0.97), ["0.2", "0.4", "0.6", "0.8", "1.0"]);
        assert_eq!(labels(-0.1, 0.1), ["−0.10", "−0.05", "0.00", "0.05", "0.10"]);
    }

    proptest! {
        #[test]
        fn every_ruler_holds_its_values_and_stays_finite(low in -1e7..1e7f64, size in 0.0..1e6f64, count in 1usize..12) {
            let values = Interval { low, high: low + size };
            let ruler = Ruler::over(Some(values), count);
            prop_assert!(ruler.domain.low <= low + 1e-6 * low.abs() && values.high <= ruler.domain.high + 1e-6 * low.abs());
            prop_assert!(ruler.ticks.len() >= 2 && ruler.ticks.len() <= 2 * count + 3, "{:?}", ruler.ticks);
            prop_assert!(ruler.ticks.iter().all(|tick| tick.is_finite()));
        }
    }
}
