//! From mapped columns to captures in SI units.

use super::clock;
use super::error::DelimitedError;
use super::mapping::{ColumnMapping, Role};
use super::unit::Unit;
use cornerwork_core::capture::{BarCapture, ForceCapture, Plate, PlatePlace, Sampling};
use cornerwork_core::note::Note;

/// A bar travels no further (engineering choice: from the floor to overhead, and a little).
const LONGEST_TRAVEL_M: f64 = 4.0;

/// The columns a mapping asks for: signals in order, then time.
pub(in crate::readers) fn wanted_columns(mapping: &ColumnMapping) -> Vec<usize> {
    mapping.signals.iter().chain(&mapping.time).map(|column| column.index).collect()
}

/// What is known of the rate besides a time column.
#[derive(Clone, Copy, Debug, Default)]
pub(in crate::readers) struct StatedRates {
    /// As given by hand, Hz.
    pub(in crate::readers) given_hz: Option<f64>,
    /// As the file's header says, Hz.
    pub(in crate::readers) in_header_hz: Option<f64>,
}

/// A force capture from the columns of [`wanted_columns`].
pub(in crate::readers) fn force(
    mapping: &ColumnMapping,
    columns: Vec<Vec<f64>>,
    rates: StatedRates,
) -> Result<ForceCapture, DelimitedError> {
    let mut notes = mapping.notes.clone();
    let signals = &mapping.signals;
    let unstated: Vec<&str> = signals
        .iter()
        .filter(|signal| signal.unit.is_none())
        .map(|signal| signal.name.as_str())
        .collect();
    if !unstated.is_empty() {
        notes.push(Note::new(
            "unit-not-stated",
            format!("No unit is stated for {}; newtons are assumed.", unstated.join(", ")),
        ));
    }
    let (time, channels) = split_time(mapping, columns, rates, &mut notes)?;
    let plates = signals.iter().zip(channels).map(|(signal, values)| Plate {
        name: signal.name.clone(),
        place: match signal.role {
            Role::Force(place) => place,
            Role::Time | Role::Position => PlatePlace::Whole,
        },
        vertical_force_n: in_si(values, signal.unit.unwrap_or(Unit::NEWTON)),
    });
    Ok(ForceCapture { time, plates: plates.collect(), notes })
}

/// A bar capture from the columns of [`wanted_columns`].
pub(in crate::readers) fn bar(
    mapping: &ColumnMapping,
    columns: Vec<Vec<f64>>,
    rates: StatedRates,
) -> Result<BarCapture, DelimitedError> {
    let mut notes = mapping.notes.clone();
    let unit = mapping.signals.first().and_then(|signal| signal.unit);
    let (time, channels) = split_time(mapping, columns, rates, &mut notes)?;
    let values = channels.into_iter().next().unwrap_or_default();
    if unit.is_none() {
        let span = span(&values);
        if span > LONGEST_TRAVEL_M {
            return Err(DelimitedError::UnclearLengthUnit { span });
        }
        notes.push(Note::new(
            "unit-not-stated",
            "No unit is stated for the position; metres are assumed.",
        ));
    }
    let position_m = in_si(values, unit.unwrap_or(Unit::METRE));
    Ok(BarCapture { time, position_m, notes })
}

fn split_time(
    mapping: &ColumnMapping,
    mut columns: Vec<Vec<f64>>,
    rates: StatedRates,
    notes: &mut Vec<Note>,
) -> Result<(Sampling, Vec<Vec<f64>>), DelimitedError> {
    let time = mapping.time.as_ref().and_then(|column| Some((column, columns.pop()?)));
    let time = clock::clock(time, rates.given_hz, rates.in_header_hz, notes)?;
    Ok((time, columns))
}

fn in_si(mut values: Vec<f64>, unit: Unit) -> Vec<f64> {
    if !unit.is_si() {
        values.iter_mut().for_each(|value| *value = unit.in_si(*value));
    }
    values
}

fn span(values: &[f64]) -> f64 {
    let ends = values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &v| (low.min(v), high.max(v)));
    ends.1 - ends.0
}
