//! The entry guard: what was typed at the rack, read as the number that was meant.
//!
//! A clean entry passes without a word. One that cannot be right, looks like a slip, or names
//! another unit comes back as a question with the likeliest readings first. Nothing outside the
//! hard limits of its measure is ever accepted, and nothing is ever corrected silently.

mod parse;
mod question;
mod slips;

pub use parse::decimal;
pub use question::About;

use crate::exercise::{Dimension, Measure, MeasureKind, Span, Unit};
use slips::Candidate;

/// Beyond this many standard deviations from the prediction a value is asked about, and beyond
/// [`FIRM_Z`] firmly. Common practice, no source: under a normal law 1 in 80 and 1 in 2000.
pub const ASK_Z: f64 = 2.5;
/// Beyond this the reading as typed is no longer the first one offered.
pub const FIRM_Z: f64 = 3.5;
/// More readings than this are not a question but a puzzle.
const MOST_READINGS: usize = 3;

/// What is known before the number is typed; the default knows nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct Expected<'a> {
    /// What the athlete's own history predicts.
    pub prediction: Option<Prediction>,
    /// Lowest and highest comparable number on record, in SI units: what was done before is not
    /// asked about.
    pub seen_si: Option<Span<f64>>,
    /// The only values there are, in SI units: the boxes in the room. Empty: any value.
    pub choices_si: &'a [f64],
    /// The value typed just before at this station, in SI units. Pass it only while a second tap
    /// of the same repetition is possible, a few seconds: honest ties are common later.
    pub last_typed_si: Option<f64>,
}

/// A predicted value with the standard deviation of a single new one around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prediction {
    /// The mean, in SI units.
    pub mean_si: f64,
    /// The predictive standard deviation, in SI units; not positive means no prediction.
    pub sd_si: f64,
}

impl Prediction {
    /// How many standard deviations away a value lies, without sign; `None` without a usable
    /// standard deviation.
    pub fn z(&self, value_si: f64) -> Option<f64> {
        let z = (value_si - self.mean_si).abs() / self.sd_si;
        (self.sd_si > 0.0 && z.is_finite()).then_some(z)
    }
}

/// How a typed entry was taken.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// Taken as it stands, in SI units.
    Accepted(f64),
    /// To be settled by whoever typed it; there is at least one reading.
    Ask {
        /// Why it is asked.
        doubt: Doubt,
        /// What may have been meant, the likeliest first.
        readings: Vec<Reading>,
    },
    /// Not a value of this measure under any reading.
    Refused(Refusal),
}

/// One thing a typed entry may mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The value, in SI units.
    pub value_si: f64,
    /// The question as shown: "38.5 cm?", "130 lb = 58.97 kg?".
    pub sentence: String,
    /// Whether this is what was typed, digit for digit.
    pub as_typed: bool,
    /// Whether it repeats the value typed just before.
    pub copies_last: bool,
}

/// Why an entry is asked about.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Doubt {
    /// Outside the hard limits.
    #[error("That cannot be.")]
    Impossible,
    /// None of the values there are.
    #[error("There is none of that here.")]
    NotAmongChoices,
    /// Typed in another unit than the field's.
    #[error("That is another unit.")]
    OtherUnit,
    /// Far from what the athlete's history predicts.
    #[error("That is far from expected.")]
    FarFromExpected {
        /// What the history predicts, in SI units.
        expected_si: f64,
        /// Standard deviations away, without sign.
        z: f64,
        /// Beyond [`FIRM_Z`].
        firm: bool,
    },
    /// Possible, but seldom seen.
    #[error("That is unusual.")]
    Unusual,
    /// The same as the value typed just before.
    #[error("That is the last one again.")]
    CopiesLast,
}

/// Why an entry is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// Nothing but spaces.
    #[error("Nothing was typed. Type a number, or mark the repetition as done without one.")]
    Empty,
    /// Not digits with at most one decimal sign and a unit.
    #[error("\"{typed}\" is not a number. Type digits with one point or comma, like {example}.")]
    NotANumber {
        /// What was typed.
        typed: String,
        /// A good entry.
        example: String,
    },
    /// A unit of something else, or none that is known.
    #[error("\"{unit}\" is no unit for {measure}. Leave it out, or type {usual}.")]
    WrongUnit {
        /// The unit typed.
        unit: String,
        /// What is measured.
        measure: &'static str,
        /// The unit of the field.
        usual: &'static str,
    },
    /// Outside the hard limits under every reading.
    #[error("{typed} is no {measure}: it lies between {low} and {high}. Type it again.")]
    OutsideLimits {
        /// What was typed.
        typed: String,
        /// What is measured.
        measure: &'static str,
        /// Hard lower limit with unit.
        low: String,
        /// Hard upper limit with unit.
        high: String,
    },
}

/// Reads what was typed into a field of this measure.
pub fn read(typed: &str, measure: &Measure, expected: &Expected<'_>) -> Entry {
    let parsed = match parse::number_and_unit(typed, measure) {
        Ok(parsed) => parsed,
        Err(refusal) => return Entry::Refused(refusal),
    };
    let guard = Guard { measure, expected };
    let as_typed = guard.settle(Candidate::as_typed(&parsed, measure));
    let Some(doubt) = guard.doubt(&as_typed) else {
        return Entry::Accepted(as_typed.value_si);
    };
    let slips = match doubt {
        Doubt::OtherUnit | Doubt::CopiesLast => Vec::new(),
        _ => slips::of(&parsed, measure).into_iter().map(|slip| guard.settle(slip)).collect(),
    };
    let readings = guard.readings(as_typed, slips, doubt);
    if readings.is_empty() {
        return Entry::Refused(guard.outside_limits(typed));
    }
    let only_the_last_again = readings.iter().all(|reading| reading.copies_last);
    let doubt = if only_the_last_again { Doubt::CopiesLast } else { doubt };
    Entry::Ask { doubt, readings }
}

struct Guard<'a> {
    measure: &'a Measure,
    expected: &'a Expected<'a>,
}

impl Guard<'_> {
    /// A candidate close to one of the choices becomes that choice: 24 in is the 61 cm box.
    fn settle(&self, candidate: Candidate) -> Candidate {
        let half_a_unit = self.measure.unit.in_si() / 2.0;
        let choice = self
            .expected
            .choices_si
            .iter()
            .copied()
            .find(|choice| (choice - candidate.value_si).abs() <= half_a_unit);
        Candidate { value_si: choice.unwrap_or(candidate.value_si), ..candidate }
    }

    fn doubt(&self, candidate: &Candidate) -> Option<Doubt> {
        if !self.possible(candidate) {
            Some(Doubt::Impossible)
        } else if !self.among_choices(candidate) {
            Some(Doubt::NotAmongChoices)
        } else {
            self.improbable(candidate)
                .or((candidate.unit != self.measure.unit).then_some(Doubt::OtherUnit))
                .or(self.copies_last(candidate).then_some(Doubt::CopiesLast))
        }
    }

    fn possible(&self, candidate: &Candidate) -> bool {
        let whole =
            self.measure.unit.dimension() != Dimension::Count || candidate.value_si.fract() == 0.0;
        whole && self.measure.hard_si.contains(candidate.value_si)
    }

    fn among_choices(&self, candidate: &Candidate) -> bool {
        let choices = self.expected.choices_si;
        choices.is_empty() || choices.contains(&candidate.value_si)
    }

    /// The athlete's own history, where there is one, says more than what is usual.
    fn improbable(&self, candidate: &Candidate) -> Option<Doubt> {
        if self.expected.seen_si.is_some_and(|seen| seen.contains(candidate.value_si)) {
            return None;
        }
        let prediction = self.expected.prediction;
        match prediction.and_then(|one| Some((one.mean_si, one.z(candidate.value_si)?))) {
            Some((expected_si, z)) if z > ASK_Z => {
                Some(Doubt::FarFromExpected { expected_si, z, firm: z > FIRM_Z })
            }
            Some(_) => None,
            None if self.measure.usual_si.contains(candidate.value_si) => None,
            None => Some(Doubt::Unusual),
        }
    }

    fn z(&self, candidate: &Candidate) -> Option<f64> {
        self.expected.prediction.and_then(|prediction| prediction.z(candidate.value_si))
    }

    /// A box is as high as the one before it, rep after rep: only what is measured can be doubted
    /// for being equal.
    fn copies_last(&self, candidate: &Candidate) -> bool {
        let shown = |value_si| self.measure.number(value_si);
        self.measure.kind != MeasureKind::BoxHeight
            && self
                .expected
                .last_typed_si
                .is_some_and(|last| shown(last) == shown(candidate.value_si))
    }

    /// The likeliest readings. Slips that would themselves be asked about are offered only when
    /// what was typed cannot be and nothing better is at hand.
    fn readings(&self, as_typed: Candidate, slips: Vec<Candidate>, doubt: Doubt) -> Vec<Reading> {
        let possible: Vec<Candidate> = slips
            .into_iter()
            .filter(|slip| self.possible(slip) && self.among_choices(slip))
            .collect();
        let (mut offered, far): (Vec<_>, Vec<_>) =
            possible.into_iter().partition(|slip| self.improbable(slip).is_none());
        offered.sort_by(|one, other| self.rank(one).total_cmp(&self.rank(other)));
        if self.possible(&as_typed) && self.among_choices(&as_typed) {
            let place = if leads(doubt) { 0 } else { offered.len().min(MOST_READINGS - 1) };
            offered.insert(place, as_typed);
        } else if offered.is_empty() {
            offered = far;
        }
        self.distinct(offered)
    }

    /// With a prediction by distance from it, else in the order of the kinds of slip.
    fn rank(&self, candidate: &Candidate) -> f64 {
        self.z(candidate).unwrap_or(0.0)
    }

    fn distinct(&self, candidates: Vec<Candidate>) -> Vec<Reading> {
        let mut readings: Vec<Reading> = Vec::new();
        for candidate in candidates {
            let shown = self.measure.number(candidate.value_si);
            let known = readings.iter().any(|r| self.measure.number(r.value_si) == shown);
            if !known && readings.len() < MOST_READINGS {
                readings.push(self.reading(&candidate));
            }
        }
        readings
    }

    fn reading(&self, candidate: &Candidate) -> Reading {
        let value = self.measure.with_unit(candidate.value_si);
        let copies_last = self.copies_last(candidate);
        let asked = if candidate.unit == self.measure.unit {
            value
        } else {
            format!("{} {} = {value}", candidate.digits, candidate.unit.symbol())
        };
        let again = if copies_last { ", the last one again" } else { "" };
        Reading {
            value_si: candidate.value_si,
            sentence: format!("{asked}{again}?"),
            as_typed: candidate.as_typed,
            copies_last,
        }
    }

    fn outside_limits(&self, typed: &str) -> Refusal {
        Refusal::OutsideLimits {
            typed: typed.trim().to_owned(),
            measure: self.measure.kind.words(),
            low: self.measure.with_unit(self.measure.hard_si.low),
            high: self.measure.with_unit(self.measure.hard_si.high),
        }
    }
}

/// Whether the reading as typed stays the first one offered.
fn leads(doubt: Doubt) -> bool {
    match doubt {
        Doubt::OtherUnit | Doubt::CopiesLast => true,
        Doubt::FarFromExpected { firm, .. } => !firm,
        Doubt::Impossible | Doubt::NotAmongChoices | Doubt::Unusual => false,
    }
}

/// What was typed, taken apart.
struct Parsed {
    /// Digits with at most one point: "38.5", "385", ".5".
    digits: String,
    /// The unit, when one was typed.
    unit: Option<Unit>,
}
