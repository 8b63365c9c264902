//! Whether a store is whole: the file, every row, and that none is missing.

use super::seal::{self, Walk};
use super::{SqliteStore, StoreError, recordings};
use cornerwork_core::session::operation::{Change, Operation};
use cornerwork_core::session::trace::{FiledTrace, RecordingHash, TraceChange};
use sqlx::sqlite::{SqliteConnection, SqlitePool};
use sqlx::{Row, query, query_scalar};
use std::path::Path;

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
    /// Places in the order whose entry is not as it was kept, or does not follow what it followed.
    pub changed: Vec<i64>,
    /// Whether entries are missing from the end.
    pub cut_short: bool,
    /// Each operation that cannot be read, and each recording that is damaged or missing.
    pub unreadable: Vec<StoreError>,
    /// What SQLite's own check of the file found, in its words.
    pub faults: Vec<String>,
}

impl Soundness {
    /// Nothing wrong at all.
    pub const fn is_sound(&self) -> bool {
        self.missing == 0
            && self.changed.is_empty()
            && !self.cut_short
            && self.unreadable.is_empty()
            && self.faults.is_empty()
    }

    /// What is wrong with the gym in a folder, and what to do.
    pub fn sentence(&self, folder: &Path) -> String {
        let missing = match self.missing {
            0 => None,
            1 => Some("1 entry is missing".to_owned()),
            many => Some(format!("{many} entries are missing")),
        };
        let cut_short = self.cut_short.then(|| "its end is missing or was changed".to_owned());
        let faults = self.faults.iter().cloned();
        let unreadable = self.unreadable.iter().map(ToString::to_string);
        let all =
            faults.chain(unreadable).chain(missing).chain(self.changed_in_words()).chain(cut_short);
        // SQLite puts line ends into some of its findings.
        let all = all.collect::<Vec<_>>().join("; ").replace('\n', " ");
        format!(
            "The gym in {} is not whole: {all}. Restore the last backup, and keep this file for repair.",
            folder.display()
        )
    }

    /// Places of changed entries, the first few of them by number.
    fn changed_in_words(&self) -> Option<String> {
        const NAMED: usize = 5;
        let first: Vec<String> = self.changed.iter().take(NAMED).map(i64::to_string).collect();
        let more = self.changed.len().saturating_sub(NAMED);
        let and_more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let is = if self.changed.len() == 1 { "entry" } else { "entries" };
        (!first.is_empty()).then(|| {
            format!("{is} {}{and_more} changed since being kept, or out of place", first.join(", "))
        })
    }
}

impl SqliteStore {
    /// Looks at everything: SQLite's integrity check, every operation read, none missing, each
    /// under the seal it was kept with. Damage is the answer, not an error.
    ///
    /// # Errors
    /// [`StoreError::Database`] when the check itself cannot be made.
    pub async fn check(&self) -> Result<Soundness, StoreError> {
        self.examiner().check().await
    }

    /// Whoever looks at the store while others write to it.
    pub fn examiner(&self) -> Examiner {
        Examiner { readers: self.readers.clone() }
    }
}

/// Looks at an open store beside those who write to it; cheap to clone.
#[derive(Clone)]
pub struct Examiner {
    readers: SqlitePool,
}

impl Examiner {
    /// As [`SqliteStore::check`].
    ///
    /// # Errors
    /// As there.
    pub async fn check(&self) -> Result<Soundness, StoreError> {
        // Entries may go on meanwhile: what is looked at is one moment.
        let mut reader = self.readers.begin().await?;
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
                        changed: Vec::new(),
                        cut_short: false,
                        unreadable: vec![error],
                        faults,
                    });
                }
                Err(error) => return Err(error),
            };
        let (mut operations, mut unreadable, mut named) = (0, Vec::new(), Vec::new());
        let (mut walk, mut changed) = (Walk::new(), Vec::new());
        for row in &rows {
            let sequence: i64 = row.try_get(0)?;
            if !seal::entry(row).is_ok_and(|(entry, borne)| walk.fits(&entry, borne)) {
                changed.push(sequence);
            }
            match super::operation(row) {
                Ok(Some(operation)) => {
                    operations += 1;
                    named.extend(recording_of(&operation));
                }
                Ok(None) => {}
                Err(error) => unreadable.push(error),
            }
        }
        let cut_short = match seal::head(&mut reader).await {
            Ok(end) => !walk.ends_at(end),
            // What SQLite said of the file tells more.
            Err(_) if !faults.is_empty() => false,
            Err(error) => return Err(error),
        };
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
        Ok(Soundness { operations, recordings, missing, changed, cut_short, unreadable, faults })
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
