//! From files to numbers: small tables as columns, recordings as captures, one folder a format.
//!
//! A reader checks lengths and spelling and converts units to SI; whether the numbers make sense
//! is judged by the trial or profile that takes them.

pub mod c3d;
pub mod delimited;
pub mod parquet;
pub mod table;

use cornerwork_core::note::Note;

/// The caveat of plates that nobody told apart.
fn plates_added_up(count: usize) -> Note {
    let sentence = format!("{count} plates are added up. Say which is under which foot.");
    Note::new("plates-added-up", sentence)
}

/// Format of a recording.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// A text table.
    Delimited,
    /// C3D.
    C3d,
    /// Parquet.
    Parquet,
}

impl Format {
    /// The format that the first four bytes of a file show.
    pub fn of(start: &[u8]) -> Self {
        match start {
            [b'P', b'A', b'R', b'1', ..] => Self::Parquet,
            // A text cannot begin with a control character; the first byte of C3D is a small
            // number of blocks.
            [1..=8, c3d::MARK, ..] => Self::C3d,
            _ => Self::Delimited,
        }
    }
}
