//! Where a recording is read from, by the format its first bytes show.

use cornerwork_core::capture::{BarCapture, ForceCapture};
use cornerwork_io::readers::delimited::{
    ColumnChoices, ColumnMapping, Delimited, DelimitedError, Wanted,
};
use std::io::Read;
use std::path::Path;

/// A recording to be read.
pub enum Source<'a> {
    /// A file.
    File(&'a Path),
    /// Standard input: text tables only.
    Stream(&'a mut dyn Read),
}

/// What the reader is told about a file.
#[derive(Clone, Debug, Default)]
pub struct Chosen {
    /// Columns chosen by hand.
    pub columns: ColumnChoices,
    /// Rate someone stated, Hz.
    pub rate_hz: Option<f64>,
    /// Decimal mark someone stated, `.` or `,`.
    pub decimal_mark: Option<u8>,
}

/// Why a file cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum SourceError {
    /// It cannot be opened.
    #[error("the file {path} cannot be opened: {error}")]
    Unopened {
        /// The file.
        path: String,
        /// Why.
        error: std::io::Error,
    },
    /// A text table with something wrong in it.
    #[error(transparent)]
    Delimited(#[from] DelimitedError),
}

/// Reads forces, and says which columns were taken for what.
///
/// # Errors
/// When the file cannot be opened or read.
pub fn read_force(
    source: Source<'_>,
    chosen: &Chosen,
) -> Result<(ForceCapture, Option<String>), SourceError> {
    let (table, mapping) = table(source, chosen, Wanted::Force)?;
    Ok((table.force(&mapping, chosen.rate_hz)?, Some(mapping.as_choices())))
}

/// Reads the position of a bar, and says which columns were taken for what.
///
/// # Errors
/// When the file cannot be opened or read.
pub fn read_bar(
    source: Source<'_>,
    chosen: &Chosen,
) -> Result<(BarCapture, Option<String>), SourceError> {
    let (table, mapping) = table(source, chosen, Wanted::Position)?;
    Ok((table.bar(&mapping, chosen.rate_hz)?, Some(mapping.as_choices())))
}

type Table<'a> = (Delimited<Box<dyn Read + 'a>>, ColumnMapping);

fn table<'a>(
    source: Source<'a>,
    chosen: &Chosen,
    wanted: Wanted,
) -> Result<Table<'a>, SourceError> {
    let bytes: Box<dyn Read + 'a> = match source {
        Source::Stream(stream) => Box::new(stream),
        Source::File(path) => Box::new(open(path)?),
    };
    let table = Delimited::open(bytes, chosen.decimal_mark)?;
    let mapping = table.propose(wanted, &chosen.columns)?;
    Ok((table, mapping))
}

fn open(path: &Path) -> Result<std::fs::File, SourceError> {
    std::fs::File::open(path)
        .map_err(|error| SourceError::Unopened { path: path.display().to_string(), error })
}
