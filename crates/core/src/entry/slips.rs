//! The slips of thumbs and habit: what else the typed digits may have been meant to say.

use super::Parsed;
use crate::exercise::{Measure, Unit};

/// One way to read the digits.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// Value in SI units.
    pub value_si: f64,
    /// The digits it is read from.
    pub digits: String,
    /// The unit it is read in.
    pub unit: Unit,
    /// Whether it is exactly what was typed.
    pub as_typed: bool,
}

impl Candidate {
    pub(super) fn as_typed(parsed: &Parsed, measure: &Measure) -> Self {
        let unit = parsed.unit.unwrap_or(measure.unit);
        Self { as_typed: true, ..Self::read(parsed.digits.clone(), unit) }
    }

    fn read(digits: String, unit: Unit) -> Self {
        // Digits with at most one point always parse; an endless row of them gives infinity,
        // which no limits hold.
        let value_si = digits.parse().unwrap_or(f64::INFINITY) * unit.in_si();
        Self { value_si, digits, unit, as_typed: false }
    }
}

/// Every single slip that could lead to what was typed, the commonest kind first.
pub(super) fn of(parsed: &Parsed, measure: &Measure) -> Vec<Candidate> {
    let digits = parsed.digits.as_str();
    let unit = parsed.unit.unwrap_or(measure.unit);
    let in_unit = |digits| Candidate::read(digits, unit);
    let mut slips: Vec<Candidate> = Vec::new();
    slips.extend(points_left_out(digits).map(in_unit));
    if parsed.unit.is_none() {
        let others = Unit::ALL.iter().copied().filter(|other| {
            other.dimension() == measure.unit.dimension()
                && *other != measure.unit
                && is_typed_by_habit(*other)
        });
        slips.extend(others.map(|other| Candidate::read(digits.to_owned(), other)));
    }
    slips.extend(digits_doubled(digits).map(in_unit));
    slips.extend(points_misplaced(digits).into_iter().map(in_unit));
    slips
}

/// Millimetres and kilograms-force are typed by nobody who does not name them.
fn is_typed_by_habit(unit: Unit) -> bool {
    !matches!(unit, Unit::Millimetre | Unit::KilogramForce)
}

/// 385 for 38.5: a point before each digit, from the right.
fn points_left_out(digits: &str) -> impl Iterator<Item = String> {
    let places = if digits.contains('.') { 0 } else { digits.len() };
    (0..places).rev().map(|place| with_point(digits, place))
}

/// 338.5 for 38.5: each pair of equal neighbours as one.
fn digits_doubled(digits: &str) -> impl Iterator<Item = String> {
    let bytes = digits.as_bytes();
    (1..bytes.len()).filter(|&i| bytes[i] == bytes[i - 1]).map(|i| {
        let (before, from) = digits.split_at(i);
        format!("{before}{}", &from[1..])
    })
}

/// 3.85 for 38.5, and 2,643 with a comma between the thousands: the point one place to either
/// side, or gone.
fn points_misplaced(digits: &str) -> Vec<String> {
    let Some((whole, fraction)) = digits.split_once('.') else {
        return Vec::new();
    };
    let all = format!("{whole}{fraction}");
    let mut moved = Vec::new();
    if !fraction.is_empty() {
        moved.push(with_point(&all, whole.len() + 1));
    }
    if !whole.is_empty() {
        moved.push(with_point(&all, whole.len() - 1));
    }
    if fraction.len() == 3 {
        moved.push(all);
    }
    moved
}

fn with_point(digits: &str, place: usize) -> String {
    format!("{}.{}", &digits[..place], &digits[place..])
}
