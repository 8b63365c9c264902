//! A number with its doubt.
//!
//! An [`Estimate`] has no `+` on purpose: two metrics of one trial share a weighing, so their
//! errors are not independent and adding them blindly would be wrong.

use std::fmt;

/// A range that holds the true value with a stated probability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval<Q> {
    /// Lower end.
    pub low: Q,
    /// Upper end.
    pub high: Q,
}

impl<Q: Copy + PartialOrd> Interval<Q> {
    /// The interval between two ends, given in either order.
    pub fn between(one: Q, other: Q) -> Self {
        if one <= other { Self { low: one, high: other } } else { Self { low: other, high: one } }
    }
    /// Whether a value lies inside, ends included.
    pub fn contains(&self, value: Q) -> bool {
        self.low <= value && value <= self.high
    }
    /// The interval, widened where it must be to hold a value: the mean of a lopsided law can lie
    /// beyond its central interval, and then the wider one holds the truth at least as often.
    pub fn reaching(self, value: Q) -> Self {
        let low = if value < self.low { value } else { self.low };
        let high = if value > self.high { value } else { self.high };
        Self { low, high }
    }
    /// Both ends through the same function, in order whatever its direction.
    pub fn map<R: Copy + PartialOrd>(self, f: impl Fn(Q) -> R) -> Interval<R> {
        Interval::between(f(self.low), f(self.high))
    }
}

/// Standard deviations from the middle to either end of a 90 % interval, under a normal law.
pub const USUAL_REACH: f64 = 1.644_853_6;

impl Interval<f64> {
    /// The standard deviation behind a 90 % interval, under a normal law; where the tails are
    /// heavier it comes out a little wide.
    pub fn usual_spread(self) -> f64 {
        (self.high - self.low) / 2.0 / USUAL_REACH
    }
}

/// A value with the interval that is its doubt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate<Q> {
    /// The best single value.
    pub value: Q,
    /// Where the truth lies at [`Estimate::level`].
    pub interval: Interval<Q>,
    /// Probability that the interval holds the truth.
    pub level: Level,
}

impl<Q: Copy + PartialOrd> Estimate<Q> {
    /// Value and interval through the same function, which must rise or fall throughout.
    pub fn map<R: Copy + PartialOrd>(self, f: impl Fn(Q) -> R) -> Estimate<R> {
        Estimate { value: f(self.value), interval: self.interval.map(f), level: self.level }
    }
}

/// The probability an interval is built for: 0.90 unless someone asks for another.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Level(f64);

impl Level {
    /// The project's usual 90 %.
    pub const USUAL: Self = Self(0.90);
    /// The 95 % of watched series, where every week asks again.
    pub const WATCHED: Self = Self(0.95);

    /// A level strictly between 0 and 1, or `None`.
    pub fn new(probability: f64) -> Option<Self> {
        (probability > 0.0 && probability < 1.0).then_some(Self(probability))
    }
    /// The probability itself.
    pub const fn probability(self) -> f64 {
        self.0
    }
    /// What is left in each tail: 0.05 at 90 %.
    pub const fn tail(self) -> f64 {
        (1.0 - self.0) / 2.0
    }
}

/// In per cent, with the decimals it needs: "90 %", "97.5 %". One of 0.999 is not said as 100 %.
impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hundredths = (self.0 * 10_000.0).round();
        write!(f, "{} %", hundredths.min(9_999.0) / 100.0)
    }
}

impl Default for Level {
    fn default() -> Self {
        Self::USUAL
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // 0.68 times a hundred is 68.000 000 000 000 01 in binary; nothing below 1 is certain.
    #[test]
    fn a_level_is_said_with_the_decimals_it_needs() {
        let said = [0.9, 0.68, 0.975, 0.999, 0.999_999].map(|p| Level::new(p).unwrap().to_string());
        assert_eq!(said, ["90 %", "68 %", "97.5 %", "99.9 %", "99.99 %"]);
    }
}
