//! The clock of a table: its time column, or a rate someone stated. Never one of our own.

use super::error::DelimitedError;
use super::mapping::MappedColumn;
use super::unit::Unit;
use cornerwork_core::capture::Sampling;
use cornerwork_core::note::Note;

/// Two statements of the rate may differ by this fraction (engineering choice): a stretched clock
/// shows in no other check, since all heights stretch with its square.
const RATE_TOLERANCE: f64 = 0.005;
/// Time of which more than this share repeats is written too coarsely (engineering choice).
const MOST_REPEATED: f64 = 0.2;
/// Steps up to here are seconds when no unit is stated: 20 Hz and faster (engineering choice).
const LONGEST_STEP_S: f64 = 0.05;
/// Steps from here are milliseconds when no unit is stated: 5000 Hz and slower (engineering
/// choice).
const SHORTEST_STEP_MS: f64 = 0.2;

/// A rate and who states it.
#[derive(Clone, Copy)]
struct Statement {
    by: &'static str,
    hz: f64,
}

/// The clock, from the time column if there is one, checked against every rate stated.
pub(super) fn clock(
    time: Option<(&MappedColumn, Vec<f64>)>,
    given_hz: Option<f64>,
    in_header_hz: Option<f64>,
    notes: &mut Vec<Note>,
) -> Result<Sampling, DelimitedError> {
    if let Some(hz) = given_hz.filter(|hz| !(hz.is_finite() && *hz > 0.0)) {
        return Err(DelimitedError::ImpossibleRate { hz });
    }
    let given = given_hz.map(|hz| Statement { by: "rate given", hz });
    let in_header = in_header_hz.map(|hz| Statement { by: "header of the file", hz });
    let stated = given.or(in_header);
    let Some((column, values)) = time else {
        agree(given, in_header)?;
        let stated = stated.ok_or(DelimitedError::NoClock)?;
        if given.is_none() {
            notes.push(Note::new(
                "rate-from-header",
                format!("{} Hz is what the header of the file states.", stated.hz),
            ));
        }
        return Ok(Sampling::Rate(stated.hz));
    };
    let stamps = in_seconds(column, values, notes)?;
    let by_column =
        stamps.rate_hz().filter(|hz| hz.is_finite()).map(|hz| Statement { by: "time column", hz });
    agree(by_column, given)?;
    agree(by_column, in_header)?;
    Ok(stamps)
}

fn agree(one: Option<Statement>, other: Option<Statement>) -> Result<(), DelimitedError> {
    let (Some(one), Some(other)) = (one, other) else { return Ok(()) };
    if (one.hz / other.hz - 1.0).abs() <= RATE_TOLERANCE {
        return Ok(());
    }
    Err(DelimitedError::RatesDisagree {
        one: one.by,
        one_hz: one.hz,
        other: other.by,
        other_hz: other.hz,
    })
}

fn in_seconds(
    column: &MappedColumn,
    mut values: Vec<f64>,
    notes: &mut Vec<Note>,
) -> Result<Sampling, DelimitedError> {
    let count = values.len();
    let repeated = values.windows(2).filter(|pair| pair[0] == pair[1]).count();
    if repeated as f64 > MOST_REPEATED * count as f64 {
        return Err(DelimitedError::CoarseTime { repeated, count });
    }
    let unit = match column.unit {
        Some(unit) => unit,
        None => guess_unit(&values, &column.name, notes)?,
    };
    if !unit.is_si() {
        values.iter_mut().for_each(|value| *value = unit.in_si(*value));
    }
    Ok(Sampling::stamps(values))
}

fn guess_unit(values: &[f64], name: &str, notes: &mut Vec<Note>) -> Result<Unit, DelimitedError> {
    let median_rate = Sampling::stamps(values.to_vec()).rate_hz();
    let Some(step) = median_rate.map(|rate| 1.0 / rate) else { return Ok(Unit::SECOND) };
    let unit = if step <= LONGEST_STEP_S {
        Unit::SECOND
    } else if step >= SHORTEST_STEP_MS {
        Unit::MILLISECOND
    } else {
        return Err(DelimitedError::UnclearTimeUnit { step });
    };
    notes.push(Note::new(
        "guessed-time-unit",
        format!(
            "Time in \"{name}\" advances by {step:.4} a sample and was taken as {}.",
            if unit == Unit::SECOND { "seconds" } else { "milliseconds" }
        ),
    ));
    Ok(unit)
}
