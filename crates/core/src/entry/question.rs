//! The question about an entry as it is shown: whose number, what was typed, what was expected.

use super::{Doubt, Reading};
use crate::exercise::Measure;

/// What a number is about, so that a question can be answered wherever it is read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct About {
    /// Whose, and where: "Jorvic, station 3"; empty where that is said elsewhere.
    pub whose: String,
    /// With what, where that is easily mistaken: "35.0 kg"; empty for nothing.
    pub with: String,
}

impl About {
    /// "Jorvic, station 3: 17.2 cm? Expected about 20.0."
    pub fn question(&self, typed: &str, measure: &Measure, doubt: Doubt) -> String {
        let typed = typed.trim();
        let has_unit = typed.ends_with(char::is_alphabetic);
        let unit = if has_unit { "" } else { measure.unit.symbol() };
        let with_unit = format!("{typed} {unit}").trim_end().to_owned();
        let with = self.with_words();
        let asked = match doubt {
            Doubt::Impossible | Doubt::NotAmongChoices | Doubt::CopiesLast => {
                format!("{typed}{with}? {doubt}")
            }
            Doubt::OtherUnit => format!("{typed}{with}?"),
            Doubt::FarFromExpected { expected_si, .. } => {
                format!("{with_unit}{with}? Expected about {}.", measure.number(expected_si))
            }
            Doubt::Unusual => format!(
                "{with_unit}{with}? Usual is {} to {}.",
                measure.number(measure.usual_si.low),
                measure.number(measure.usual_si.high)
            ),
        };
        if self.whose.is_empty() { asked } else { format!("{}: {asked}", self.whose) }
    }

    /// The words of a button: what was typed is kept, everything else is offered.
    pub fn offer(&self, reading: &Reading, measure: &Measure, doubt: Doubt) -> String {
        let with = self.with_words();
        if reading.as_typed && doubt != Doubt::OtherUnit {
            return format!("Keep {}{with}", measure.with_unit(reading.value_si));
        }
        format!("{}{with}?", reading.sentence.trim_end_matches('?'))
    }

    fn with_words(&self) -> String {
        if self.with.is_empty() { String::new() } else { format!(" with {}", self.with) }
    }
}
