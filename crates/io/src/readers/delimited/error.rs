//! Why a table of samples cannot be read.

use super::unit::Quantity;

/// What is wrong with a delimited file, and where.
#[derive(Debug, thiserror::Error)]
pub enum DelimitedError {
    /// The bytes could not be had.
    #[error("the file cannot be read: {0}")]
    Unreadable(#[from] std::io::Error),
    /// Nothing in it.
    #[error("the file is empty")]
    Empty,
    /// Sixteen-bit text.
    #[error("the file is UTF-16 text; save it as UTF-8 (\"CSV UTF-8\") and try again")]
    Utf16,
    /// No text at all.
    #[error("the file holds no text (a zero byte stands at byte {at})")]
    NotText {
        /// Offset of the first zero byte.
        at: usize,
    },
    /// No line of numbers in the part of the file that is searched.
    #[error("no rows of numbers are found (lines searched: {searched})")]
    NoRows {
        /// Lines searched.
        searched: usize,
    },
    /// A comma that could part columns or mark decimals.
    #[error(
        "line {line} can be read as two columns or as one number with a decimal comma; say which \
         it is, or give the file a header"
    )]
    AmbiguousComma {
        /// First line of numbers.
        line: u64,
    },
    /// A line that never ends.
    #[error("line {line} is longer than {most} bytes, too long for a row of samples")]
    LineTooLong {
        /// The line.
        line: u64,
        /// Limit.
        most: usize,
    },
    /// A row with another number of cells than the rest.
    #[error("line {line} has another number of columns, {found} instead of {expected}")]
    UnevenRow {
        /// The line.
        line: u64,
        /// Cells in it.
        found: usize,
        /// Cells in the rest.
        expected: usize,
    },
    /// A cell that is not a number.
    #[error("line {line}: \"{text}\" in column {column} is not a number")]
    NotANumber {
        /// The line.
        line: u64,
        /// Name or number of the column.
        column: String,
        /// What stands there, cut short.
        text: String,
    },
    /// A blank cell with values after it.
    #[error("line {line}: column {column} has no value; fill it or cut the recording there")]
    MissingValue {
        /// The line.
        line: u64,
        /// Name or number of the column.
        column: String,
    },
    /// No column that could be what is wanted.
    #[error("no {wanted} column is recognised among {}; say which it is", list(.found))]
    NoColumn {
        /// What was wanted: "force", "position".
        wanted: &'static str,
        /// Columns there are.
        found: Vec<String>,
    },
    /// Several columns that could be the same thing.
    #[error("{} could all be the {wanted}; say which it is", list(.candidates))]
    Unclear {
        /// What was wanted.
        wanted: &'static str,
        /// Columns that could be it.
        candidates: Vec<String>,
    },
    /// A chosen column that is not there.
    #[error("there is no column \"{asked}\"; the file has {}", list(.found))]
    UnknownColumn {
        /// As asked for.
        asked: String,
        /// Columns there are.
        found: Vec<String>,
    },
    /// A unit of something else.
    #[error("column {column} is in {symbol}, which is no unit of {wanted:?}")]
    WrongUnit {
        /// Name of the column.
        column: String,
        /// Symbol of its unit.
        symbol: &'static str,
        /// What it should measure.
        wanted: Quantity,
    },
    /// Force as multiples of body weight.
    #[error("column {column} is in multiples of body weight; export the force in newtons")]
    BodyWeights {
        /// Name of the column.
        column: String,
    },
    /// No time column and no rate.
    #[error(
        "the file has no time column and states no sampling rate; give the rate it was recorded at"
    )]
    NoClock,
    /// A rate that cannot be.
    #[error("a sampling rate of {hz} Hz cannot be used; state the samples a second as recorded")]
    ImpossibleRate {
        /// As stated.
        hz: f64,
    },
    /// Time stamps and a stated rate that do not agree.
    #[error(
        "the {one} gives {one_hz:.6} Hz but the {other} {other_hz:.6} Hz; correct one, or leave \
         the time column out"
    )]
    RatesDisagree {
        /// First source.
        one: &'static str,
        /// Its rate.
        one_hz: f64,
        /// Second source.
        other: &'static str,
        /// Its rate.
        other_hz: f64,
    },
    /// Steps that could be seconds or milliseconds.
    #[error(
        "time advances by {step} a sample and its unit is not stated; say whether it is seconds or \
         milliseconds"
    )]
    UnclearTimeUnit {
        /// Median step as written.
        step: f64,
    },
    /// Time written with too few digits to tell samples apart.
    #[error(
        "time is written too coarsely: {repeated} of {count} samples repeat the time before them. \
         Give the rate and leave the time column out"
    )]
    CoarseTime {
        /// Samples that repeat.
        repeated: usize,
        /// All samples.
        count: usize,
    },
    /// A position that no bar travels, in a unit that is not stated.
    #[error(
        "the position spans {span:.1} and its unit is not stated; say whether it is metres, \
         centimetres or millimetres"
    )]
    UnclearLengthUnit {
        /// Largest less smallest value, as written.
        span: f64,
    },
}

fn list(names: &[String]) -> String {
    const MOST: usize = 12;
    let quoted: Vec<String> = names.iter().take(MOST).map(|name| format!("\"{name}\"")).collect();
    match names.len() {
        0 => "no columns".into(),
        count if count > MOST => format!("{} and {} more", quoted.join(", "), count - MOST),
        _ => quoted.join(", "),
    }
}
