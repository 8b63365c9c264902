//! Force and bar traces from text tables: commas, semicolons, tabs or blanks; points or decimal
//! commas; any columns; lines of other text above the rows.
//!
//! [`Delimited::open`] reads the beginning and finds out how the file is written;
//! [`Delimited::propose`] says which column it takes for what, to be confirmed or corrected;
//! [`Delimited::force`] and [`Delimited::bar`] read the rest, a piece at a time, so that memory
//! holds the samples and never the text.

mod cells;
mod clock;
mod error;
mod heading;
mod layout;
mod mapping;
mod number;
mod rows;
#[cfg(test)]
mod tests;
mod unit;

pub use cells::Delimiter;
pub use error::DelimitedError;
pub use layout::{Column, Layout};
pub use mapping::{ChoiceError, ColumnChoices, ColumnMapping, MappedColumn, Role, Wanted};
pub use unit::{Quantity, Unit};

use cornerwork_core::capture::{BarCapture, ForceCapture, Plate, Sampling};
use cornerwork_core::note::Note;
use std::io::Read;

/// Bytes from which the writing is told; headers are shorter.
const HEAD: usize = 64 * 1024;
/// A bar travels no further (engineering choice: from the floor to overhead, and a little).
const LONGEST_TRAVEL_M: f64 = 4.0;

/// A file whose writing is known and whose rows are still to be read.
pub struct Delimited<R> {
    layout: Layout,
    head: Vec<u8>,
    whole: bool,
    source: R,
}

impl<R: Read> Delimited<R> {
    /// Reads the beginning. `decimal_mark` (`.` or `,`) settles what cannot be told otherwise.
    pub fn open(mut source: R, decimal_mark: Option<u8>) -> Result<Self, DelimitedError> {
        let (head, whole) = read_head(&mut source)?;
        let layout = layout::find(&head, whole, decimal_mark)?;
        Ok(Self { layout, head, whole, source })
    }

    /// How the file is written.
    pub const fn layout(&self) -> &Layout {
        &self.layout
    }

    /// Which column is taken for what.
    pub fn propose(
        &self,
        wanted: Wanted,
        choices: &ColumnChoices,
    ) -> Result<ColumnMapping, DelimitedError> {
        mapping::propose(&self.layout, wanted, choices)
    }

    /// Reads the forces of a mapping proposed for [`Wanted::Force`]. `rate_hz` is the rate someone
    /// stated; with a time column it is only compared.
    pub fn force(
        self,
        mapping: &ColumnMapping,
        rate_hz: Option<f64>,
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
        let (time, channels) = self.read(mapping, rate_hz, &mut notes)?;
        let plates = signals.iter().zip(channels).map(|(signal, values)| Plate {
            name: signal.name.clone(),
            place: match signal.role {
                Role::Force(place) => place,
                Role::Time | Role::Position => cornerwork_core::capture::PlatePlace::Whole,
            },
            vertical_force_n: in_si(values, signal.unit.unwrap_or(Unit::NEWTON)),
        });
        Ok(ForceCapture { time, plates: plates.collect(), notes })
    }

    /// Reads the position of a mapping proposed for [`Wanted::Position`].
    pub fn bar(
        self,
        mapping: &ColumnMapping,
        rate_hz: Option<f64>,
    ) -> Result<BarCapture, DelimitedError> {
        let mut notes = mapping.notes.clone();
        let unit = mapping.signals.first().and_then(|signal| signal.unit);
        let (time, channels) = self.read(mapping, rate_hz, &mut notes)?;
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

    fn read(
        mut self,
        mapping: &ColumnMapping,
        rate_hz: Option<f64>,
        notes: &mut Vec<Note>,
    ) -> Result<(Sampling, Vec<Vec<f64>>), DelimitedError> {
        let columns: Vec<usize> =
            mapping.signals.iter().chain(&mapping.time).map(|column| column.index).collect();
        let mut channels =
            rows::read(&self.layout, &columns, self.head, self.whole, &mut self.source)?;
        let time = mapping.time.as_ref().and_then(|column| Some((column, channels.pop()?)));
        let time = clock::clock(time, rate_hz, self.layout.stated_rate_hz, notes)?;
        Ok((time, channels))
    }
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

/// The first bytes, without a byte order mark, and whether they are all there are.
fn read_head(source: &mut impl Read) -> Result<(Vec<u8>, bool), DelimitedError> {
    let mut head = vec![0; HEAD];
    let mut filled = 0;
    while filled < HEAD {
        match rows::read_some(source, &mut head[filled..])? {
            0 => break,
            count => filled += count,
        }
    }
    head.truncate(filled);
    let whole = filled < HEAD;
    if head.starts_with(&[0xFF, 0xFE]) || head.starts_with(&[0xFE, 0xFF]) {
        return Err(DelimitedError::Utf16);
    }
    if let Some(at) = head.iter().position(|&byte| byte == 0) {
        return Err(DelimitedError::NotText { at });
    }
    if head.starts_with(&[0xEF, 0xBB, 0xBF]) {
        head.drain(..3);
    }
    Ok((head, whole))
}
