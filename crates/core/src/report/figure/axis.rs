//! One axis: which quantity, in which unit, written to how many decimals.

use crate::estimate::Interval;
use crate::words;
use jiff::ToSpan;
use jiff::civil::Date;

/// A quantity, its unit and how it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Plain name: "load", "momentum at take-off".
    pub quantity: String,
    /// Symbol of the unit; empty for a number without one.
    pub unit: String,
    /// How many decimals a value is written to.
    pub decimals: Decimals,
    /// The least it spans, so that noise is not stretched until it looks like a change; zero where
    /// the values alone say.
    pub least_span: f64,
    /// The day that is zero, where values are days counted from it and written as dates.
    pub day_zero: Option<Date>,
}

/// How many decimals a value is written to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decimals {
    /// Always as many: 0.50 m/s.
    Exactly(usize),
    /// As many as it takes, at most so many: 60 kg, 62.5 kg.
    UpTo(usize),
}

impl Axis {
    /// An axis of a quantity in a unit.
    pub fn new(quantity: impl Into<String>, unit: impl Into<String>, decimals: Decimals) -> Self {
        let (quantity, unit) = (quantity.into(), unit.into());
        Self { quantity, unit, decimals, least_span: 0.0, day_zero: None }
    }
    /// Days counted from one that is zero, written as dates.
    pub fn dates(day_zero: Date) -> Self {
        Self { day_zero: Some(day_zero), ..Self::new("date", "", Decimals::UpTo(0)) }
    }
    /// The same over at least so much.
    #[must_use]
    pub fn spanning(self, least_span: f64) -> Self {
        Self { least_span, ..self }
    }
    /// These values, widened about their middle to the least the axis spans.
    pub fn widened(&self, values: Option<Interval<f64>>) -> Option<Interval<f64>> {
        values.map(|Interval { low, high }| {
            let missing = ((self.least_span - (high - low)) / 2.0).max(0.0);
            Interval { low: low - missing, high: high + missing }
        })
    }
    /// Load on the bar in kilograms, bar included.
    pub fn load() -> Self {
        Self::new("load", "kg", Decimals::UpTo(1))
    }
    /// Time in seconds.
    pub fn time() -> Self {
        Self::new("time", "s", Decimals::Exactly(2))
    }
    /// The heading of the axis: "load, kg".
    pub fn label(&self) -> String {
        if self.unit.is_empty() {
            self.quantity.clone()
        } else {
            format!("{}, {}", self.quantity, self.unit)
        }
    }
    /// A value without its unit: "62.5". A value that is not finite is written as a dash.
    pub fn number(&self, value: f64) -> String {
        if !value.is_finite() {
            return "–".to_owned();
        }
        if let Some(zero) = self.day_zero {
            return words::short_day(zero.saturating_add((value.round() as i64).days()));
        }
        match self.decimals {
            Decimals::Exactly(decimals) => signed(&format!("{value:.decimals$}")),
            Decimals::UpTo(decimals) => {
                let text = format!("{value:.decimals$}");
                let text = if text.contains('.') {
                    text.trim_end_matches('0').trim_end_matches('.')
                } else {
                    &text
                };
                signed(text)
            }
        }
    }
    /// A value with its unit: "62.5 kg".
    pub fn value(&self, value: f64) -> String {
        self.with_unit(self.number(value))
    }
    /// A range with its unit: "40–60 kg".
    pub fn range(&self, low: f64, high: f64) -> String {
        let (low, high) = (self.number(low), self.number(high));
        let negative = low.starts_with('−') || high.starts_with('−');
        self.with_unit(if negative {
            format!("{low} to {high}")
        } else {
            format!("{low}–{high}")
        })
    }
    fn with_unit(&self, number: String) -> String {
        match self.unit.as_str() {
            "" => number,
            unit => format!("{number} {unit}"),
        }
    }
}

/// With a true minus sign, and none before a zero.
fn signed(text: &str) -> String {
    match text.strip_prefix('-') {
        Some(size) if size.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) => format!("−{size}"),
        Some(zero) => zero.to_owned(),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_written_as_dates_and_noise_is_not_stretched() {
        // 23 September less 42 days is 12 August.
        let days = Axis::dates(jiff::civil::date(2026, 9, 23));
        assert_eq!((days.number(0.0), days.number(-42.0)), ("23 Sep".into(), "12 Aug".into()));
        let mass = Axis::new("body mass", "kg", Decimals::UpTo(1)).spanning(4.0);
        let about = |low, high| mass.widened(Some(Interval { low, high }));
        assert_eq!(about(60.0, 60.5), Some(Interval { low: 58.25, high: 62.25 }));
        assert_eq!(about(58.0, 63.0), Some(Interval { low: 58.0, high: 63.0 }));
    }

    #[test]
    fn values_are_written_as_a_coach_writes_them() {
        let load = Axis::load();
        assert_eq!(load.value(60.0), "60 kg");
        assert_eq!(load.value(62.5), "62.5 kg");
        assert_eq!(load.value(100.0), "100 kg");
        assert_eq!(load.range(37.3, 58.2), "37.3–58.2 kg");
        let velocity = Axis::new("mean velocity", "m/s", Decimals::Exactly(2));
        assert_eq!(velocity.value(0.5), "0.50 m/s");
        assert_eq!(velocity.value(-0.004), "0.00 m/s");
        assert_eq!(velocity.value(-0.5), "−0.50 m/s");
        assert_eq!(velocity.range(-0.5, 0.1), "−0.50 to 0.10 m/s");
        assert_eq!(velocity.value(f64::NAN), "– m/s");
        assert_eq!(Axis::new("odds", "", Decimals::UpTo(0)).label(), "odds");
    }
}
