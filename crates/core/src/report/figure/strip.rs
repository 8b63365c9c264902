//! The strip: one horizontal scale with what is usual, what was, what is now and what is asked.

use super::{Axis, Table};
use crate::estimate::Interval;

/// One horizontal scale: reps of a set, today among usual days, an athlete among peers.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Heading.
    pub title: String,
    /// The finding in words.
    pub description: String,
    /// What is measured.
    pub axis: Axis,
    /// Shaded stretches, named: usual days, the target window.
    pub bands: Vec<Band>,
    /// Earlier values, or those of others: ticks.
    pub earlier: Vec<f64>,
    /// What the ticks are, in a word or two: "reps of this set", "peers".
    pub earlier_name: String,
    /// The value it is about; `None` before the first.
    pub now: Option<Now>,
    /// Named values to hold it against: best to beat, target.
    pub marks: Vec<Mark>,
}

/// A shaded stretch of the scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// From where to where; an end may be infinite.
    pub over: Interval<f64>,
    /// What it is.
    pub name: String,
}

/// The value now.
#[derive(Clone, Debug, PartialEq)]
pub struct Now {
    /// The value.
    pub at: f64,
    /// Its doubt, where known.
    pub interval: Option<Interval<f64>>,
    /// The judgement in a word: "best yet", "usual", "stop".
    pub word: String,
    /// Whether it asks for an act now; only then is it drawn in the accent.
    pub asks_for_act: bool,
}

/// A named value on a scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The value.
    pub at: f64,
    /// What it is: "best to beat".
    pub name: String,
}

impl Strip {
    /// Now first, then what it is held against, then the earlier values in their order.
    pub fn table(&self) -> Table {
        let mut table = Table::new(["what".to_owned(), self.axis.label()]);
        let number = |value: f64| self.axis.number(value);
        if let Some(now) = &self.now {
            table.row([format!("now: {}", now.word), number(now.at)]);
            if let Some(interval) = now.interval {
                table.row(["now, low".to_owned(), number(interval.low)]);
                table.row(["now, high".to_owned(), number(interval.high)]);
            }
        }
        for mark in &self.marks {
            table.row([mark.name.clone(), number(mark.at)]);
        }
        for band in &self.bands {
            table.row([format!("{}, from", band.name), number(band.over.low)]);
            table.row([format!("{}, to", band.name), number(band.over.high)]);
        }
        for value in self.earlier.iter().filter(|value| value.is_finite()) {
            table.row([self.earlier_name.clone(), number(*value)]);
        }
        table
    }
}
