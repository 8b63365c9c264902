//! Recordings as they are filed: whose they are, what they hold, how they are read, and what was
//! said about them later. The samples themselves lie in the store under the hash of their bytes.

use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::operation::OperationId;
use crate::session::rep::Side;
use crate::trial::{Kind, TrialEvent};
use crate::units::{Length, Mass};
use jiff::civil::Date;
use std::fmt;

/// SHA-256 of the bytes of a recording as it was received (FIPS 180-4): the same file has the same
/// name for ever, and a damaged one betrays itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RecordingHash(pub [u8; 32]);

impl fmt::Display for RecordingHash {
    /// Sixty-four hexadecimal digits.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

/// A text that is no hash.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a hash has sixty-four hexadecimal digits")]
pub struct NoHash;

impl std::str::FromStr for RecordingHash {
    type Err = NoHash;
    fn from_str(text: &str) -> Result<Self, NoHash> {
        let mut bytes = [0; 32];
        if text.len() != 64 || !text.is_ascii() {
            return Err(NoHash);
        }
        for (index, byte) in bytes.iter_mut().enumerate() {
            let digits = &text[2 * index..2 * index + 2];
            *byte = u8::from_str_radix(digits, 16).map_err(|_| NoHash)?;
        }
        Ok(Self(bytes))
    }
}

/// What is said of a recording by whoever files it.
#[derive(Clone, Debug, PartialEq)]
pub struct Filing {
    /// Whose it is.
    pub athlete: AthleteId,
    /// Which kind of trial it holds.
    pub kind: Kind,
    /// The exercise, for a loaded jump or a lift; `None` where the kind says enough.
    pub exercise: Option<ExerciseId>,
    /// Which side worked, for a lift of one side.
    pub side: Option<Side>,
    /// Bar and plates together, or a vest; zero for the body alone.
    pub load: Mass,
    /// Height of the box of a drop jump.
    pub box_height: Option<Length>,
    /// The effort goes sideways: body weight is not in the force.
    pub horizontal: bool,
    /// The bar is thrown or jumped with.
    pub ballistic: bool,
    /// The day it was recorded.
    pub day: Date,
}

/// How a file is read: complete, so that nothing is guessed again.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Reading {
    /// Its columns; for a file of plates the plates by number; empty for all plates as they come.
    pub columns: Vec<ColumnUse>,
    /// Samples a second, as stated by a person, where the file does not say.
    pub rate_hz: Option<f64>,
    /// Decimal mark, where it cannot be told: `.` or `,`.
    pub decimal_mark: Option<char>,
    /// The name under which a person remembered it.
    pub name: Option<String>,
}

/// One column and what it is taken for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnUse {
    /// time, force, left, right, box or position.
    pub role: String,
    /// Its name in the file, or its number from one.
    pub column: String,
    /// Symbol of its unit, where one is known.
    pub unit: Option<String>,
}

/// A way of reading, remembered under a person's own name for it.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedReading {
    /// The name: "plate in the corner".
    pub name: String,
    /// Names of all columns of the files it is for, in order.
    pub heading: Vec<String>,
    /// How they are read.
    pub reading: Reading,
}

/// A recording newly filed.
#[derive(Clone, Debug, PartialEq)]
pub struct FiledTrace {
    /// Which bytes.
    pub hash: RecordingHash,
    /// Name of the file they came in.
    pub file: String,
    /// What is said of it.
    pub filing: Filing,
    /// How it is read; `None` until somebody has confirmed its columns.
    pub reading: Option<Reading>,
}

/// What can happen to recordings. A trace is known by the operation that filed it.
#[derive(Clone, Debug, PartialEq)]
pub enum TraceChange {
    /// A recording filed.
    Filed(FiledTrace),
    /// How some recordings are to be read: confirmed, or put right.
    ReadAs {
        /// Which.
        traces: Vec<OperationId>,
        /// How.
        reading: Reading,
    },
    /// A way of reading remembered under a name; the same name again replaces it.
    ReadingNamed(NamedReading),
    /// A remembered way of reading no longer taken for new files; what was read by it stays read.
    ReadingForgotten {
        /// Its name.
        name: String,
    },
    /// Said anew what a recording is: another athlete, kind, load or day.
    FiledAnew {
        /// Which.
        trace: OperationId,
        /// What it is.
        filing: Filing,
        /// Why.
        reason: String,
    },
    /// An event put right by eye.
    EventMoved {
        /// In which recording.
        trace: OperationId,
        /// Which event.
        event: TrialEvent,
        /// Where it was, seconds of the recording; `None` when it was not found.
        from_s: Option<f64>,
        /// Where it is now; `None` to leave it to the rules again.
        to_s: Option<f64>,
        /// Why.
        reason: String,
    },
    /// A recording whose numbers are not to be used.
    SetAside {
        /// Which.
        trace: OperationId,
        /// Why.
        reason: String,
    },
    /// One that was set aside counts again.
    TakenBackIn {
        /// Which.
        trace: OperationId,
        /// Why.
        reason: String,
    },
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hash_is_written_and_read() {
        let hash = RecordingHash(std::array::from_fn(|index| index as u8 * 7));
        assert_eq!(hash.to_string().parse(), Ok(hash));
        for wrong in ["", "00", &"0".repeat(63), &"g".repeat(64), &"é".repeat(32)] {
            assert_eq!(wrong.parse::<RecordingHash>(), Err(NoHash), "{wrong}");
        }
    }
}
