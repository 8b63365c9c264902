//! Force and bar traces from Parquet: columns by name, as in text tables.

mod pages;
mod shape;
#[cfg(test)]
mod tests;
mod walk;

use super::delimited::capture::{self, StatedRates};
use super::delimited::{ColumnChoices, ColumnMapping, DelimitedError, Layout, Wanted, mapping};
use ::parquet::basic::Type;
use ::parquet::column::reader::{ColumnReader, ColumnReaderImpl, get_column_reader};
use ::parquet::data_type::DataType;
use ::parquet::errors::ParquetError;
use ::parquet::file::reader::{ChunkReader, FileReader, RowGroupReader, SerializedFileReader};
use bytes::Bytes;
use cornerwork_core::capture::{BarCapture, ForceCapture};
use pages::{CheckedPages, CheckedSource};
use std::fs::File;
use std::io::Read;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Values read at once.
const BATCH: usize = 8192;
/// A file of up to so many bytes is read at once: a page and its header are asked for one by one,
/// and in a small file the asking takes longer than the reading.
const READ_AT_ONCE: u64 = 1024 * 1024;

/// Why a Parquet file cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum ParquetFileError {
    /// The file is damaged or uses what this reader does not.
    #[error("the Parquet file cannot be read: {0}")]
    Unreadable(#[from] ParquetError),
    /// Its columns are not what is wanted.
    #[error(transparent)]
    Columns(#[from] DelimitedError),
    /// A value that is not there.
    #[error("row {row} of column {column} has no value; fill it or cut the recording there")]
    MissingValue {
        /// From one.
        row: usize,
        /// Name of the column.
        column: String,
    },
    /// A value that is not finite.
    #[error("row {row} of column {column} is not a finite number")]
    NotFinite {
        /// From one.
        row: usize,
        /// Name of the column.
        column: String,
    },
    /// A column of texts, dates or lists.
    #[error("column {column} holds no numbers")]
    NotNumeric {
        /// Name of the column.
        column: String,
    },
}

/// A Parquet file whose columns are known and still to be read.
pub struct ParquetFile {
    reader: Box<dyn FileReader>,
    layout: Layout,
}

impl ParquetFile {
    /// Reads the description at the end of a file on disk.
    pub fn open_file(mut file: File) -> Result<Self, ParquetFileError> {
        let length = file.metadata().map_err(ParquetError::from)?.len();
        if length > READ_AT_ONCE {
            return Self::open(file);
        }
        let mut bytes = Vec::with_capacity(length as usize);
        file.read_to_end(&mut bytes).map_err(ParquetError::from)?;
        Self::open(Bytes::from(bytes))
    }

    /// Reads the description at the end of what a file holds.
    pub fn open(source: impl ChunkReader + 'static) -> Result<Self, ParquetFileError> {
        let source = CheckedSource::new(source)?;
        let reader = caught(|| Ok(SerializedFileReader::new(source)?))?;
        let schema = reader.metadata().file_metadata().schema_descr_ptr();
        let columns: Vec<(String, bool)> = schema
            .columns()
            .iter()
            .map(|column| {
                let numbers = matches!(
                    column.physical_type(),
                    Type::DOUBLE | Type::FLOAT | Type::INT32 | Type::INT64
                );
                (column.path().string(), numbers && column.max_rep_level() == 0)
            })
            .collect();
        Ok(Self { reader: Box::new(reader), layout: Layout::of_names(&columns) })
    }

    /// What its columns are called.
    pub const fn layout(&self) -> &Layout {
        &self.layout
    }

    /// Which column is taken for what.
    pub fn propose(
        &self,
        wanted: Wanted,
        choices: &ColumnChoices,
    ) -> Result<ColumnMapping, ParquetFileError> {
        Ok(mapping::propose(&self.layout, wanted, choices)?)
    }

    /// Reads the forces of a mapping; `rate_hz` is the rate someone stated.
    pub fn force(
        &self,
        mapping: &ColumnMapping,
        rate_hz: Option<f64>,
    ) -> Result<ForceCapture, ParquetFileError> {
        let rates = StatedRates { given_hz: rate_hz, in_header_hz: None };
        Ok(capture::force(mapping, self.columns(mapping)?, rates)?)
    }

    /// Reads the position of a mapping; `rate_hz` is the rate someone stated.
    pub fn bar(
        &self,
        mapping: &ColumnMapping,
        rate_hz: Option<f64>,
    ) -> Result<BarCapture, ParquetFileError> {
        let rates = StatedRates { given_hz: rate_hz, in_header_hz: None };
        Ok(capture::bar(mapping, self.columns(mapping)?, rates)?)
    }

    fn columns(&self, mapping: &ColumnMapping) -> Result<Vec<Vec<f64>>, ParquetFileError> {
        capture::wanted_columns(mapping).into_iter().map(|index| self.column(index)).collect()
    }

    fn column(&self, index: usize) -> Result<Vec<f64>, ParquetFileError> {
        let mut values = Vec::new();
        for group in 0..self.reader.num_row_groups() {
            let group = self.reader.get_row_group(group)?;
            caught(|| self.column_of_group(&*group, index, &mut values))?;
        }
        match values.iter().position(|value| !value.is_finite()) {
            Some(row) => {
                Err(ParquetFileError::NotFinite { row: row + 1, column: self.name(index) })
            }
            None => Ok(values),
        }
    }

    fn column_of_group(
        &self,
        group: &dyn RowGroupReader,
        index: usize,
        values: &mut Vec<f64>,
    ) -> Result<(), ParquetFileError> {
        let chunk = group.metadata().column(index);
        let description = chunk.column_descr();
        let column = || self.name(index);
        let start = chunk.dictionary_page_offset().unwrap_or_else(|| chunk.data_page_offset());
        if start < 0 || chunk.compressed_size() < 0 {
            let text = format!("column {} lies before the start of the file", column());
            return Err(ParquetError::General(text).into());
        }
        if description.max_rep_level() > 0 {
            return Err(ParquetFileError::NotNumeric { column: column() });
        }
        let present = description.max_def_level();
        let pages = Box::new(CheckedPages::new(group.get_column_page_reader(index)?));
        let whole = match get_column_reader(chunk.column_descr_ptr(), pages) {
            ColumnReader::DoubleColumnReader(reader) => append(reader, present, values, |v| v),
            ColumnReader::FloatColumnReader(reader) => append(reader, present, values, f64::from),
            ColumnReader::Int32ColumnReader(reader) => append(reader, present, values, f64::from),
            ColumnReader::Int64ColumnReader(reader) => {
                append(reader, present, values, |v| v as f64)
            }
            _ => return Err(ParquetFileError::NotNumeric { column: column() }),
        }?;
        match whole {
            true => Ok(()),
            false => {
                Err(ParquetFileError::MissingValue { row: values.len() + 1, column: column() })
            }
        }
    }

    fn name(&self, index: usize) -> String {
        self.layout.columns.get(index).map(|column| column.name.clone()).unwrap_or_default()
    }
}

/// An error instead of a panic: the library asserts what a damaged file can belie.
fn caught<T>(reading: impl FnOnce() -> Result<T, ParquetFileError>) -> Result<T, ParquetFileError> {
    catch_unwind(AssertUnwindSafe(reading)).unwrap_or_else(|_| {
        Err(ParquetError::General("it is damaged; save it again".into()).into())
    })
}

/// Appends all values of one column chunk; `false` at the first that is missing.
fn append<T: DataType>(
    mut reader: ColumnReaderImpl<T>,
    present: i16,
    values: &mut Vec<f64>,
    convert: impl Fn(T::T) -> f64,
) -> Result<bool, ParquetError> {
    let (mut batch, mut levels) = (Vec::new(), Vec::new());
    loop {
        batch.clear();
        levels.clear();
        let (records, count, _) =
            reader.read_records(BATCH, Some(&mut levels), None, &mut batch)?;
        if records == 0 && count == 0 {
            return Ok(true);
        }
        let missing = levels.iter().position(|&level| level < present);
        values.extend(batch.drain(..).take(missing.unwrap_or(usize::MAX)).map(&convert));
        if missing.is_some() {
            return Ok(false);
        }
    }
}
