//! Why the store cannot do what was asked.

use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::trace::RecordingHash;
use std::path::PathBuf;
use thiserror::Error;

/// What went wrong, where, and what to do. After an error nothing of the call was kept.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum StoreError {
    /// A file or folder that cannot be made, opened or flushed.
    #[error("{} cannot be used: {source}. Check that it exists, is writable and the disk is not full.", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// The system's reason.
        source: std::io::Error,
    },
    /// Another program serves the same folder.
    #[error(
        "The gym in {} is already open in another program. Close that one first, or use its page.",
        folder.display()
    )]
    InUse {
        /// The folder.
        folder: PathBuf,
    },
    /// The linked SQLite has a known way to lose committed data.
    #[error(
        "This program was built with SQLite {found}, which can lose data; {needed} or later is needed. Build it again with the bundled SQLite."
    )]
    OldSqlite {
        /// Version found.
        found: String,
        /// First version without the fault.
        needed: &'static str,
    },
    /// The file is a database, but not a gym.
    #[error("{} is a database of something else. Choose another folder.", path.display())]
    NotAGym {
        /// The file.
        path: PathBuf,
    },
    /// A file without anything in it where a gym should be.
    #[error(
        "{} is empty: it holds no gym. If a gym was here, restore its last backup into another folder; to begin a new one, move the file away.",
        path.display()
    )]
    Empty {
        /// The file.
        path: PathBuf,
    },
    /// The file or its folder was taken away or exchanged while the program had it open.
    #[error(
        "{} was taken away or exchanged while the program ran, so nothing more can be kept in it. Put it back, or stop the program and start it again.",
        path.display()
    )]
    TakenAway {
        /// The file.
        path: PathBuf,
    },
    /// Written by a later version of this program.
    #[error(
        "This gym was last opened by a newer version of Cornerwork (store version {found}; this one knows up to {known}). Install the newer version."
    )]
    NewerSchema {
        /// Version of the file.
        found: i64,
        /// Newest version this program knows.
        known: i64,
    },
    /// A kind of entry that a later version of this program wrote.
    #[error(
        "Entry {sequence} is of a kind this version does not know ('{kind}', version {version}). Install the newer version of Cornerwork."
    )]
    UnknownKind {
        /// Its place in the store.
        sequence: i64,
        /// Its kind.
        kind: String,
        /// The version of its record.
        version: i64,
    },
    /// An entry that cannot be read.
    #[error(
        "Entry {sequence} ({kind}) is damaged: {reason}. Restore the last backup; keep this file for repair."
    )]
    Damaged {
        /// Its place in the store.
        sequence: i64,
        /// Its kind.
        kind: String,
        /// What does not fit.
        reason: String,
    },
    /// An operation that holds something that cannot be kept, such as not-a-number.
    #[error("Entry {id} cannot be kept: {reason}. Enter it again with a proper number.")]
    Unkeepable {
        /// The operation.
        id: OperationId,
        /// What does not fit.
        reason: String,
    },
    /// A recording beyond all trials.
    #[error("A recording of {bytes} bytes is too large; {most} are the most. Cut it into trials.")]
    RecordingTooLarge {
        /// Its length.
        bytes: usize,
        /// The most that is kept.
        most: usize,
    },
    /// A recording that could not be made smaller.
    #[error("The recording could not be packed: {0}. Nothing of it was kept.")]
    Compression(#[source] std::io::Error),
    /// A recording that an entry names and the store does not have.
    #[error("The recording {hash} is missing. Restore the last backup; keep this file for repair.")]
    RecordingMissing {
        /// Its name.
        hash: RecordingHash,
    },
    /// A recording that is not what was received.
    #[error("The recording {hash} is damaged. Restore the last backup; keep this file for repair.")]
    RecordingDamaged {
        /// Its name.
        hash: RecordingHash,
    },
    /// A backup never replaces a file.
    #[error("There is already a file at {}. Give the backup a new name.", path.display())]
    BackupExists {
        /// Where.
        path: PathBuf,
    },
    /// A restored backup never replaces a gym.
    #[error(
        "There is already a gym in {}. Restore into another folder, or move that gym away first.",
        folder.display()
    )]
    GymExists {
        /// The folder.
        folder: PathBuf,
    },
    /// There is no gym where one was to be read.
    #[error("There is no gym in {}. Name the folder of a gym.", folder.display())]
    NoGym {
        /// The folder.
        folder: PathBuf,
    },
    /// The copy is not as it should be, so it was not given its name.
    #[error("The backup {} failed its check: {faults}. Check the disk and try again.", path.display())]
    BackupUnsound {
        /// The backup.
        path: PathBuf,
        /// What was found.
        faults: String,
    },
    /// The file itself is damaged, or no database at all.
    #[error("The gym's file is damaged: {0}. Restore the last backup; keep this file for repair.")]
    Broken(#[source] sqlx::Error),
    /// SQLite refused: a full disk, or a lock another program would not give up.
    #[error("The store could not be read or written: {0}. Nothing of this entry was kept.")]
    Database(#[source] sqlx::Error),
}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        // Result codes SQLITE_CORRUPT and SQLITE_NOTADB, sqlite.org/rescode.html; extended codes
        // carry the primary one in the low byte.
        let code = error.as_database_error().and_then(|error| error.code()?.parse::<u32>().ok());
        match code.map(|code| code & 0xFF) {
            Some(11 | 26) => Self::Broken(error),
            _ => Self::Database(error),
        }
    }
}
