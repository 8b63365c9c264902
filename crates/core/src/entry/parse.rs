//! Takes a typed entry apart: digits with one point or comma, and perhaps a unit.

use super::{Parsed, Refusal};
use crate::exercise::{Measure, Unit};

pub(super) fn number_and_unit(typed: &str, measure: &Measure) -> Result<Parsed, Refusal> {
    let text: String = typed.chars().filter(|c| !c.is_whitespace()).collect();
    if text.is_empty() {
        return Err(Refusal::Empty);
    }
    let end = text.find(|c| !is_of_a_number(c)).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let digits = number.replace(',', ".");
    if !is_a_number(&digits) {
        return Err(Refusal::NotANumber {
            typed: typed.trim().to_owned(),
            example: measure.number((measure.usual_si.low + measure.usual_si.high) / 2.0),
        });
    }
    Ok(Parsed { digits, unit: unit_of(unit, measure)? })
}

/// A number that was typed alone, with a point or a comma before its decimals; `None` for anything
/// else, and for what is not finite.
pub fn decimal(typed: &str) -> Option<f64> {
    typed.trim().replace(',', ".").parse().ok().filter(|number: &f64| number.is_finite())
}

fn is_of_a_number(c: char) -> bool {
    c.is_ascii_digit() || c == '.' || c == ','
}

fn is_a_number(digits: &str) -> bool {
    digits.bytes().any(|b| b.is_ascii_digit()) && digits.matches('.').count() <= 1
}

fn unit_of(text: &str, measure: &Measure) -> Result<Option<Unit>, Refusal> {
    if text.is_empty() {
        return Ok(None);
    }
    match Unit::named(text) {
        Some(unit) if unit.dimension() == measure.unit.dimension() => Ok(Some(unit)),
        _ => Err(Refusal::WrongUnit {
            unit: text.to_owned(),
            measure: measure.kind.words(),
            usual: measure.unit.symbol(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::decimal;

    #[test]
    fn a_number_typed_alone_has_a_point_or_a_comma() {
        assert_eq!([" 2,5 ", "-1.7", "12"].map(decimal), [Some(2.5), Some(-1.7), Some(12.0)]);
        for no_number in ["", "1.234,5", "inf", "NaN", "8 %", "1e999"] {
            assert_eq!(decimal(no_number), None, "{no_number}");
        }
    }
}
