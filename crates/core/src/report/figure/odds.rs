//! The strip of a change: how large, how sure, and the odds on either side.

use super::{Axis, Table};
use crate::estimate::{Estimate, Interval};

/// A change on one scale, the differences too small to matter, and the odds of each side.
#[derive(Clone, Debug, PartialEq)]
pub struct Odds {
    /// Heading.
    pub title: String,
    /// The finding in words.
    pub description: String,
    /// The change, in the unit of what is measured; zero is no change.
    pub axis: Axis,
    /// The change with its doubt.
    pub change: Estimate<f64>,
    /// Changes too small to matter, around zero.
    pub trivial: Interval<f64>,
    /// Below the trivial changes: "lower" or, where lower is good, "better".
    pub below: Share,
    /// Among the trivial changes: "no real change".
    pub within: Share,
    /// Above the trivial changes.
    pub above: Share,
    /// The judgement in a word or two: "probably higher".
    pub word: String,
}

/// One side of the odds.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// What it would be called.
    pub name: String,
    /// The chance of it, 0 to 1.
    pub probability: f64,
}

impl Share {
    /// The chance in words of ink: "84 %", never a sure "0 %" or "100 %".
    pub fn percent(&self) -> String {
        let percent = self.probability * 100.0;
        if !percent.is_finite() {
            "–".to_owned()
        } else if percent < 1.0 {
            "under 1 %".to_owned()
        } else if percent > 99.0 {
            "over 99 %".to_owned()
        } else {
            format!("{percent:.0} %")
        }
    }
}

impl Odds {
    /// The three sides in the order of the scale.
    pub fn shares(&self) -> [&Share; 3] {
        [&self.below, &self.within, &self.above]
    }
    /// The change with its interval, then the odds.
    pub fn table(&self) -> Table {
        let mut table = Table::new(["what".to_owned(), self.axis.label(), "odds".to_owned()]);
        let number = |value: f64| self.axis.number(value);
        let (change, trivial) = (&self.change, self.trivial);
        table.row([format!("change: {}", self.word), number(change.value), String::new()]);
        table.row(["change, low", &number(change.interval.low), ""]);
        table.row(["change, high", &number(change.interval.high), ""]);
        let stretches = [
            format!("under {}", number(trivial.low)),
            format!("{} to {}", number(trivial.low), number(trivial.high)),
            format!("over {}", number(trivial.high)),
        ];
        for (share, stretch) in self.shares().into_iter().zip(stretches) {
            table.row([share.name.clone(), stretch, share.percent()]);
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odds_never_claim_to_be_sure() {
        let written = |probability| Share { name: "higher".into(), probability }.percent();
        assert_eq!(written(0.84), "84 %");
        assert_eq!(written(0.0), "under 1 %");
        assert_eq!(written(0.9999), "over 99 %");
        assert_eq!(written(f64::NAN), "–");
    }
}
