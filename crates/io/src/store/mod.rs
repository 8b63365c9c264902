//! The store: every operation, in the order it was accepted, kept for ever.
//!
//! One SQLite file in the gym's folder, written by one connection and read by others. It is only
//! ever appended to, with one exception: an athlete may be deleted. An operation counts as stored once [`SqliteStore::append`] has returned: by
//! then it is on the disk (write-ahead log, `synchronous = FULL`) and survives a pulled plug.

mod backup;
mod error;
mod folder;
mod forget;
mod plain_numbers;
mod record;
mod recordings;
mod restore;
mod schema;
mod soundness;

pub use error::StoreError;
pub use recordings::{LARGEST_RECORDING, Recordings, hash_of};
pub use soundness::Soundness;

use cornerwork_core::session::operation::{Operation, OperationId};
use folder::Folder;
use futures_util::{StreamExt, TryStreamExt};
use jiff::Timestamp;
use record::{Record, Unreadable};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteConnection, SqliteJournalMode, SqlitePool, SqlitePoolOptions,
    SqliteRow, SqliteSynchronous,
};
use sqlx::{Connection, Row, query, query_scalar};
use std::path::Path;
use std::time::Duration;

/// How long a connection waits for another program's lock (a copy being made) before it gives up.
const BUSY_TIMEOUT: Duration = Duration::from_secs(5);
/// Connections that read beside the one that writes.
const READERS: u32 = 4;
/// Rows a reader may run ahead of who takes them: start-up reads all there are.
const ROWS_AHEAD: usize = 1024;

const ALL_ROWS: &str =
    "SELECT sequence, id, at_us, author, kind, version, body FROM operation ORDER BY sequence";

/// The operations of one gym in one SQLite file.
pub struct SqliteStore {
    writer: SqlitePool,
    readers: SqlitePool,
    /// Last, so that the folder is let go after the connections.
    folder: Folder,
}

/// What became of one operation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Appended {
    /// It is new and now on the disk.
    Stored {
        /// Its place in the order of all.
        sequence: i64,
    },
    /// An operation of this id was there already; nothing was written.
    Known {
        /// Where it was.
        sequence: i64,
    },
}

impl SqliteStore {
    /// Opens the gym in a folder, making folder and file when they are missing.
    ///
    /// # Errors
    /// [`StoreError::InUse`] while another program has it open, [`StoreError::NewerSchema`] and
    /// [`StoreError::NotAGym`] for a file this program must not touch,
    /// [`StoreError::Broken`] for one that is damaged, [`StoreError::OldSqlite`],
    /// [`StoreError::File`] and [`StoreError::Database`] as named.
    pub async fn open(folder: &Path) -> Result<Self, StoreError> {
        let folder = Folder::hold(folder)?;
        let path = folder.database();
        let options = options(&path);
        let writer = pool(1).connect_with(options.clone().create_if_missing(true)).await?;
        let mut connection = writer.acquire().await?;
        schema::require_sound_sqlite(&mut connection).await?;
        schema::bring_up_to_date(&mut connection, &path).await?;
        drop(connection);
        let readers = pool(READERS).connect_lazy_with(options.read_only(true));
        Ok(Self { writer, readers, folder })
    }

    /// Opens the gym in a folder that has one; a mistyped folder makes no empty gym.
    ///
    /// # Errors
    /// [`StoreError::NoGym`], else as [`SqliteStore::open`].
    pub async fn open_existing(folder: &Path) -> Result<Self, StoreError> {
        if folder::holds_a_gym(folder) {
            Self::open(folder).await
        } else {
            Err(StoreError::NoGym { folder: folder.to_owned() })
        }
    }

    /// All operations in the order they were stored.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] or [`StoreError::UnknownKind`] with the sequence of the first entry
    /// that cannot be read: none is passed over.
    pub async fn load(&self) -> Result<Vec<Operation>, StoreError> {
        // Each row is read while the next ones are fetched: start-up waits for this.
        let rows = query(ALL_ROWS).fetch(&self.readers);
        rows.map(|row| operation(&row?)).try_collect().await
    }

    /// Stores operations in this order, all of them or none. When it returns they are on the disk.
    /// The moment of an operation is kept to the microsecond.
    ///
    /// # Errors
    /// [`StoreError::Unkeepable`] for a number that is none, else [`StoreError::Database`]. After
    /// either nothing of the call was kept, and it may be sent again.
    pub async fn append(&self, operations: &[Operation]) -> Result<Vec<Appended>, StoreError> {
        let records = operations.iter().map(record_of).collect::<Result<Vec<_>, _>>()?;
        let mut writer = self.writer.acquire().await?;
        let appended = insert_all(&mut writer, operations, records).await;
        if appended.is_err() {
            // A commit that failed leaves its transaction open. This connection is let go, and the
            // next call begins on one of its own.
            writer.close().await.ok();
        }
        appended
    }

    /// The recordings, for as long as the store is open.
    pub fn recordings(&self) -> Recordings {
        Recordings { writer: self.writer.clone(), readers: self.readers.clone() }
    }

    /// Closes the file and lets the folder go.
    pub async fn close(self) {
        self.readers.close().await;
        self.writer.close().await;
        drop(self.folder);
    }
}

fn options(path: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(path)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        // Only the Mac has this: without it "flushed" means flushed to the drive's own memory.
        .pragma("fullfsync", "ON")
        .foreign_keys(true)
        .busy_timeout(BUSY_TIMEOUT)
        .row_buffer_size(ROWS_AHEAD)
}

/// Connections to a local file do not go stale, so they are kept and not tried before use.
fn pool(connections: u32) -> SqlitePoolOptions {
    SqlitePoolOptions::new()
        .max_connections(connections)
        .test_before_acquire(false)
        .idle_timeout(None)
        .max_lifetime(None)
}

fn record_of(operation: &Operation) -> Result<Record, StoreError> {
    record::write(operation.change.clone())
        .map_err(|error| StoreError::Unkeepable { id: operation.id, reason: error.to_string() })
}

/// All of them in one transaction, or none.
async fn insert_all(
    writer: &mut SqliteConnection,
    operations: &[Operation],
    records: Vec<Record>,
) -> Result<Vec<Appended>, StoreError> {
    let mut transaction = writer.begin_with("BEGIN IMMEDIATE").await?;
    let mut appended = Vec::with_capacity(operations.len());
    for (operation, record) in operations.iter().zip(records) {
        appended.push(insert(&mut transaction, operation, &record).await?);
    }
    transaction.commit().await?;
    Ok(appended)
}

async fn insert(
    connection: &mut SqliteConnection,
    operation: &Operation,
    record: &Record,
) -> Result<Appended, StoreError> {
    let id = operation.id.0.to_be_bytes();
    let stored: Option<i64> = query_scalar(
        "INSERT INTO operation (id, at_us, author, kind, version, body)
         VALUES ($1, $2, $3, $4, $5, $6)
         ON CONFLICT (id) DO NOTHING RETURNING sequence",
    )
    .bind(&id[..])
    .bind(operation.at.as_microsecond())
    .bind(&operation.author)
    .bind(record.kind)
    .bind(record.version)
    .bind(&record.body)
    .fetch_optional(&mut *connection)
    .await?;
    if let Some(sequence) = stored {
        return Ok(Appended::Stored { sequence });
    }
    let sequence = query_scalar("SELECT sequence FROM operation WHERE id = $1")
        .bind(&id[..])
        .fetch_one(connection)
        .await?;
    Ok(Appended::Known { sequence })
}

fn operation(row: &SqliteRow) -> Result<Operation, StoreError> {
    let sequence: i64 = row.try_get(0)?;
    let kind: &str = row.try_get(4)?;
    let damaged = |reason: String| StoreError::Damaged { sequence, kind: kind.to_owned(), reason };
    let unfit = |error: sqlx::Error| damaged(error.to_string());
    let id: &[u8] = row.try_get(1).map_err(unfit)?;
    let id = id.try_into().map_err(|_| damaged(format!("its id has {} bytes", id.len())))?;
    let at_us: i64 = row.try_get(2).map_err(unfit)?;
    let at = Timestamp::from_microsecond(at_us)
        .map_err(|_| damaged(format!("its moment, {at_us} us, lies outside the calendar")))?;
    let author: String = row.try_get(3).map_err(unfit)?;
    let version: i64 = row.try_get(5).map_err(unfit)?;
    let body: &str = row.try_get(6).map_err(unfit)?;
    let change = record::read(kind, version, body).map_err(|unreadable| match unreadable {
        Unreadable::UnknownKind => {
            StoreError::UnknownKind { sequence, kind: kind.to_owned(), version }
        }
        Unreadable::Damaged(error) => damaged(error.to_string()),
    })?;
    Ok(Operation { id: OperationId(u128::from_be_bytes(id)), at, author, change })
}
