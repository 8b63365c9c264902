//! Where a recording is read from, by the format its first bytes show.

use bytes::Bytes;
use cornerwork_core::capture::{BarCapture, ForceCapture};
use cornerwork_io::readers::Format;
use cornerwork_io::readers::c3d::{self, C3dError};
use cornerwork_io::readers::delimited::{
    ChoiceError, ColumnChoices, ColumnMapping, Delimited, DelimitedError, Layout, Wanted,
};
use cornerwork_io::readers::parquet::{ParquetFile, ParquetFileError};
use std::fs::File;
use std::io::{self, Read, Seek};
use std::path::Path;

/// A recording to be read.
pub enum Source<'a> {
    /// A file.
    File(&'a Path),
    /// A file already read.
    Bytes(&'a [u8]),
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

/// A capture, and which columns were taken for what when the file has any.
pub type WithColumns<T> = (T, Option<String>);

/// Why a file cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum SourceError {
    /// It cannot be opened.
    #[error("the file {path} cannot be opened: {error}")]
    Unopened {
        /// The file.
        path: String,
        /// Why.
        error: io::Error,
    },
    /// A text table with something wrong in it.
    #[error(transparent)]
    Delimited(#[from] DelimitedError),
    /// A C3D file with something wrong in it.
    #[error(transparent)]
    C3d(#[from] C3dError),
    /// A Parquet file with something wrong in it.
    #[error(transparent)]
    Parquet(#[from] ParquetFileError),
    /// A choice of plates that is none.
    #[error("{0}; in a C3D file plates are chosen by number")]
    Plates(#[from] ChoiceError),
    /// A bar in a format that holds plates.
    #[error("a C3D file is read for its force plates; choose a kind of jump or isometric")]
    NoBar,
}

/// Reads forces.
///
/// # Errors
/// When the file cannot be opened or read.
pub fn read_force(
    source: Source<'_>,
    chosen: &Chosen,
) -> Result<WithColumns<ForceCapture>, SourceError> {
    match open(source)? {
        Opened::Text(text) => {
            let table = Delimited::open(text, chosen.decimal_mark)?;
            let mapping = table.propose(Wanted::Force, &chosen.columns)?;
            Ok((table.force(&mapping, chosen.rate_hz)?, Some(mapping.as_choices())))
        }
        Opened::C3d(mut file) => {
            let mut bytes = Vec::new();
            file.read_to_end(&mut bytes).map_err(C3dError::from)?;
            Ok((c3d::force(&bytes, &chosen.columns.plates()?, chosen.rate_hz)?, None))
        }
        Opened::Parquet(table) => {
            let mapping = table.propose(Wanted::Force, &chosen.columns)?;
            Ok((table.force(&mapping, chosen.rate_hz)?, Some(mapping.as_choices())))
        }
    }
}

/// Reads the position of a bar.
///
/// # Errors
/// When the file cannot be opened or read.
pub fn read_bar(
    source: Source<'_>,
    chosen: &Chosen,
) -> Result<WithColumns<BarCapture>, SourceError> {
    match open(source)? {
        Opened::Text(text) => {
            let table = Delimited::open(text, chosen.decimal_mark)?;
            let mapping = table.propose(Wanted::Position, &chosen.columns)?;
            Ok((table.bar(&mapping, chosen.rate_hz)?, Some(mapping.as_choices())))
        }
        Opened::C3d(_) => Err(SourceError::NoBar),
        Opened::Parquet(table) => {
            let mapping = table.propose(Wanted::Position, &chosen.columns)?;
            Ok((table.bar(&mapping, chosen.rate_hz)?, Some(mapping.as_choices())))
        }
    }
}

enum Opened<'a> {
    Text(Box<dyn Read + 'a>),
    C3d(Box<dyn Read + 'a>),
    Parquet(ParquetFile),
}

fn open(source: Source<'_>) -> Result<Opened<'_>, SourceError> {
    let path = match source {
        Source::Stream(stream) => return Ok(Opened::Text(Box::new(stream))),
        Source::Bytes(bytes) => {
            return Ok(match Format::of(bytes) {
                Format::Delimited => Opened::Text(Box::new(bytes)),
                Format::C3d => Opened::C3d(Box::new(bytes)),
                Format::Parquet => {
                    Opened::Parquet(ParquetFile::open(Bytes::copy_from_slice(bytes))?)
                }
            });
        }
        Source::File(path) => path,
    };
    let unopened = |error| SourceError::Unopened { path: path.display().to_string(), error };
    let mut file = File::open(path).map_err(unopened)?;
    let mut start = Vec::with_capacity(4);
    file.by_ref().take(4).read_to_end(&mut start).map_err(unopened)?;
    file.rewind().map_err(unopened)?;
    Ok(match Format::of(&start) {
        Format::Delimited => Opened::Text(Box::new(file)),
        Format::C3d => Opened::C3d(Box::new(file)),
        Format::Parquet => Opened::Parquet(ParquetFile::open_file(file)?),
    })
}

/// How a file is written, with the guess which of its columns is what.
pub(super) struct Look {
    /// How it is written; a file of plates has no columns.
    pub layout: Layout,
    /// Whether the layout holds first rows as they stand in the file.
    pub rows_shown: bool,
    /// The guess, or why there is none.
    pub guess: Result<ColumnMapping, SourceError>,
}

/// Looks at how a file is written without reading its rows.
///
/// # Errors
/// When the file is none that is read here.
pub(super) fn look(bytes: &[u8], wanted: Wanted, chosen: &Chosen) -> Result<Look, SourceError> {
    let choices = &chosen.columns;
    match open(Source::Bytes(bytes))? {
        Opened::Text(text) => {
            let table = Delimited::open(text, chosen.decimal_mark)?;
            let guess = table.propose(wanted, choices).map_err(SourceError::from);
            Ok(Look { layout: table.layout().clone(), rows_shown: true, guess })
        }
        Opened::C3d(_) => {
            let plates = ColumnMapping { time: None, signals: Vec::new(), notes: Vec::new() };
            let guess = if wanted == Wanted::Force { Ok(plates) } else { Err(SourceError::NoBar) };
            Ok(Look { layout: Layout::without_columns(), rows_shown: false, guess })
        }
        Opened::Parquet(table) => {
            let guess = table.propose(wanted, choices).map_err(SourceError::from);
            Ok(Look { layout: table.layout().clone(), rows_shown: false, guess })
        }
    }
}
