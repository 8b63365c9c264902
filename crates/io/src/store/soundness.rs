//! Whether a store is whole: the file, every row, and that none is missing.

use super::{SqliteStore, StoreError, recordings};
use cornerwork_core::session::operation::{Change, Operation};
use cornerwork_core::session::trace::{FiledTrace, RecordingHash, TraceChange};
use sqlx::sqlite::SqliteConnection;
use sqlx::{Row, query, query_scalar};

/// What a look at every byte of the store found.
#[derive(Debug)]
pub struct Soundness {
    /// Operations that can be read.
    pub operations: usize,
    /// Recordings that are what was received.
    pub recordings: usize,
    /// Places in the order without an operation. Nothing ever leaves the store, so there are none
    /// unless something else wrote to the file.
    pub missing: usize,
    /// Each operation that cannot be read, and each recording that is damaged or missing.
    pub unreadable: Vec<StoreError>,
    /// What SQLite's own check of the file found, in its words.
    pub faults: Vec<String>,
}

impl Soundness {
    /// Nothing wrong at all.
    pub const fn is_sound(&self) -> bool {
        self.missing == 0 && self.unreadable.is_empty() && self.faults.is_empty()
    }
}

impl SqliteStore {
    /// Looks at everything: SQLite's integrity check, every operation read, none missing.
    /// Damage is the answer, not an error.
    ///
    /// # Errors
    /// [`StoreError::Database`] when the check itself cannot be made.
    pub async fn check(&self) -> Result<Soundness, StoreError> {
        let mut reader = self.readers.acquire().await?;
        let faults = faults(&mut reader).await?;
        let rows =
            match query(super::ALL_ROWS).fetch_all(&mut *reader).await.map_err(StoreError::from) {
                Ok(rows) => rows,
                // A file too damaged to be read through: what SQLite said of it is the answer.
                Err(error) if !faults.is_empty() => {
                    return Ok(Soundness {
                        operations: 0,
                        recordings: 0,
                        missing: 0,
                        unreadable: vec![error],
                        faults,
                    });
                }
                Err(error) => return Err(error),
            };
        let (mut operations, mut unreadable, mut named) = (0, Vec::new(), Vec::new());
        for row in &rows {
            match super::operation(row) {
                Ok(operation) => {
                    operations += 1;
                    named.extend(recording_of(&operation));
                }
                Err(error) => unreadable.push(error),
            }
        }
        let (whole, damaged) = recordings::damaged(&mut reader).await?;
        let is_damaged = |hash: &RecordingHash| {
            damaged.iter().any(
                |fault| matches!(fault, StoreError::RecordingDamaged { hash: one } if one == hash),
            )
        };
        let missing_recordings = named
            .into_iter()
            .filter(|hash| whole.binary_search(hash).is_err() && !is_damaged(hash))
            .map(|hash| StoreError::RecordingMissing { hash })
            .collect::<Vec<_>>();
        unreadable.extend(missing_recordings);
        unreadable.extend(damaged);
        let last: i64 = rows.last().map_or(Ok(0), |row| row.try_get(0))?;
        let missing = usize::try_from(last).unwrap_or(0).saturating_sub(rows.len());
        let recordings = whole.len();
        Ok(Soundness { operations, recordings, missing, unreadable, faults })
    }
}

/// The recording an operation names.
const fn recording_of(operation: &Operation) -> Option<RecordingHash> {
    match &operation.change {
        Change::Trace(TraceChange::Filed(FiledTrace { hash, .. })) => Some(*hash),
        _ => None,
    }
}

/// What SQLite finds wrong with a file; nothing for a sound one.
pub(super) async fn faults(connection: &mut SqliteConnection) -> Result<Vec<String>, StoreError> {
    let check = query_scalar::<_, String>("PRAGMA integrity_check");
    match check.fetch_all(connection).await.map_err(StoreError::from) {
        Ok(lines) => Ok(lines.into_iter().filter(|line| line != "ok").collect()),
        // Worse than the check could stand: that, too, is what it found.
        Err(StoreError::Broken(error)) => Ok(vec![error.to_string()]),
        Err(error) => Err(error),
    }
}
