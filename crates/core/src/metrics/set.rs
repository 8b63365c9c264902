//! The numbers of one trial.

use super::{Asymmetry, Definition, significant};
use crate::estimate::{Interval, USUAL_REACH};
use crate::note::Note;

/// One number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metric {
    /// What it is.
    pub definition: &'static Definition,
    /// Its value, in the unit of the definition.
    pub value: f64,
    /// Standard error of the value from what is known within this one trial (weighing, clock);
    /// `None` where that is not known. It says nothing of how the athlete varies.
    pub standard_error: Option<f64>,
}

impl Metric {
    /// The value in figures: a count whole, anything else to three decimals or four figures.
    pub fn figures(&self) -> String {
        match self.definition.source {
            Definition::COUNT => format!("{:.0}", self.value),
            _ => significant(self.value),
        }
    }

    /// The 90 % interval of the value, where its standard error is known.
    pub fn interval(&self) -> Option<Interval<f64>> {
        let reach = USUAL_REACH * self.standard_error?;
        Some(Interval::between(self.value - reach, self.value + reach))
    }

    /// How far the 90 % interval reaches either way, in figures: as the value, with more decimals
    /// where it would read as nothing.
    pub fn reach_figures(&self) -> Option<String> {
        let error = USUAL_REACH * self.standard_error?;
        let text = significant(error);
        let reads_as_nothing = error > 0.0 && text.parse() == Ok(0.0);
        let first_digit = -error.log10().floor();
        Some(if reads_as_nothing { format!("{error:.0$}", first_digit as usize) } else { text })
    }
}

/// The numbers of one trial, with what must be said about them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MetricSet {
    /// In the order computed; every id at most once.
    pub metrics: Vec<Metric>,
    /// Left against right, when each has a plate.
    pub asymmetry: Vec<Asymmetry>,
    /// Caveats, and the reasons for what is absent.
    pub notes: Vec<Note>,
}

impl MetricSet {
    /// Enters a value. One that is not finite is left out: it could not be computed.
    pub(crate) fn put(&mut self, definition: &'static Definition, value: f64) {
        self.put_if(definition, Some(value));
    }

    /// Enters a value that may be missing.
    pub(crate) fn put_if(&mut self, definition: &'static Definition, value: Option<f64>) {
        if let Some(value) = value.filter(|value| value.is_finite()) {
            self.metrics.push(Metric { definition, value, standard_error: None });
        }
    }

    /// Enters a value with its standard error.
    pub(crate) fn put_estimate(
        &mut self,
        definition: &'static Definition,
        (value, standard_error): (f64, f64),
    ) {
        self.put(definition, value);
        if let Some(metric) = self.metrics.last_mut().filter(|m| m.definition.id == definition.id) {
            metric.standard_error = Some(standard_error).filter(|error| error.is_finite());
        }
    }

    /// A metric by its id.
    pub fn metric(&self, id: &str) -> Option<&Metric> {
        self.metrics.iter().find(|metric| metric.definition.id == id)
    }

    /// A value by its definition.
    pub fn value(&self, definition: &Definition) -> Option<f64> {
        self.metric(definition.id).map(|metric| metric.value)
    }

    /// Whether a caveat of this id is carried.
    pub fn has_note(&self, id: &str) -> bool {
        self.notes.iter().any(|note| note.id == id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metrics::{height, reactive_strength};

    #[test]
    fn a_small_doubt_does_not_read_as_nothing_and_a_count_is_whole() {
        let metric =
            |definition, value, standard_error| Metric { definition, value, standard_error };
        let jump = |error| metric(&height::FROM_IMPULSE, 0.356, Some(error));
        // 90 % of a normal law lie within 1.644 854 standard deviations.
        assert_eq!(jump(0.000_24).reach_figures().as_deref(), Some("0.0004"));
        assert_eq!(jump(0.002_4).reach_figures().as_deref(), Some("0.004"));
        let interval = jump(0.002).interval().unwrap();
        assert!(
            (interval.low - 0.352_710).abs() < 1e-6 && (interval.high - 0.359_290).abs() < 1e-6
        );
        assert_eq!(metric(&height::FROM_IMPULSE, 0.356, None).reach_figures(), None);
        assert_eq!(metric(&reactive_strength::HOPS, 10.0, None).figures(), "10");
        assert_eq!(metric(&height::FROM_IMPULSE, 0.356, None).figures(), "0.356");
    }
}
