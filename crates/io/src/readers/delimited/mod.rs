//! Force and bar traces from text tables: commas, semicolons, tabs or blanks; points or decimal
//! commas; any columns; lines of other text above the rows.
//!
//! [`Delimited::open`] reads the beginning and finds out how the file is written;
//! [`Delimited::propose`] says which column it takes for what, to be confirmed or corrected;
//! [`Delimited::force`] and [`Delimited::bar`] read the rest, a piece at a time, so that memory
//! holds the samples and never the text.

pub(super) mod capture;
mod cells;
mod clock;
mod error;
mod heading;
mod layout;
pub(super) mod mapping;
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

use capture::StatedRates;
use cornerwork_core::capture::{BarCapture, ForceCapture};
use std::io::Read;

/// Bytes read at once: few enough to stay near the processor while they are read through. How a
/// file is written is told from the first of them; headers are shorter.
const PIECE: u64 = 64 * 1024;

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
        let (columns, rates) = self.read(mapping, rate_hz)?;
        capture::force(mapping, columns, rates)
    }

    /// Reads the position of a mapping proposed for [`Wanted::Position`].
    pub fn bar(
        self,
        mapping: &ColumnMapping,
        rate_hz: Option<f64>,
    ) -> Result<BarCapture, DelimitedError> {
        let (columns, rates) = self.read(mapping, rate_hz)?;
        capture::bar(mapping, columns, rates)
    }

    fn read(
        mut self,
        mapping: &ColumnMapping,
        given_hz: Option<f64>,
    ) -> Result<(Vec<Vec<f64>>, StatedRates), DelimitedError> {
        let wanted = capture::wanted_columns(mapping);
        let columns = rows::read(&self.layout, &wanted, self.head, self.whole, &mut self.source)?;
        Ok((columns, StatedRates { given_hz, in_header_hz: self.layout.stated_rate_hz }))
    }
}

/// The first bytes, without a byte order mark, and whether they are all there are.
fn read_head(source: &mut impl Read) -> Result<(Vec<u8>, bool), DelimitedError> {
    let mut head = Vec::with_capacity(PIECE as usize);
    let whole = source.take(PIECE).read_to_end(&mut head)? < PIECE as usize;
    if head.starts_with(&[0xFF, 0xFE]) || head.starts_with(&[0xFE, 0xFF]) {
        return Err(DelimitedError::Utf16);
    }
    // Asked for first because it looks at words, not at bytes one by one.
    if head.contains(&0) {
        let at = head.iter().position(|&byte| byte == 0).unwrap_or_default();
        return Err(DelimitedError::NotText { at });
    }
    if head.starts_with(&[0xEF, 0xBB, 0xBF]) {
        head.drain(..3);
    }
    Ok((head, whole))
}
