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
mod seal;
mod soundness;

pub use error::StoreError;
pub use forget::Forgotten;
pub use recordings::{LARGEST_RECORDING, Recordings, hash_of};
pub use soundness::{Examiner, Soundness};

use cornerwork_core::session::operation::{Author, Operation, OperationId};
use folder::{Content, Folder, Identity};
use forget::finish_packing;
use futures_util::{StreamExt, TryStreamExt};
use jiff::Timestamp;
use record::{Record, Unreadable};
use schema::IfEmpty;
use seal::{End, Entry};
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

/// Every entry in its order, in the columns it is sealed by.
const ALL_ROWS: &str = "SELECT sequence, id, at_us, author, device, kind, version, body, seal
     FROM operation ORDER BY sequence";

/// The operations of one gym in one SQLite file.
pub struct SqliteStore {
    writer: SqlitePool,
    readers: SqlitePool,
    /// Which file was opened, so that another in its place is noticed.
    identity: Identity,
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
        // A file that is there and empty held a gym once: every gym has its tables from the start.
        let if_empty = match folder.content()? {
            Content::Nothing => IfEmpty::Begin,
            Content::EmptyFile => return Err(StoreError::Empty { path }),
            Content::Something => IfEmpty::Refuse,
        };
        let options = options(&path);
        let writer = pool(1).connect_with(options.clone().create_if_missing(true)).await?;
        let mut connection = writer.acquire().await?;
        schema::require_sound_sqlite(&mut connection).await?;
        schema::bring_up_to_date(&mut connection, &path, if_empty).await?;
        // Where the disk has no room for it still, it waits for the next time.
        finish_packing(&mut connection).await.ok();
        drop(connection);
        let readers = pool(READERS).connect_lazy_with(options.read_only(true));
        let identity = Identity::of(&path)?;
        Ok(Self { writer, readers, identity, folder })
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
        rows.map(|row| operation(&row?)).try_filter_map(async |found| Ok(found)).try_collect().await
    }

    /// Stores operations in this order, all of them or none. When it returns they are on the disk.
    /// The moment of an operation is kept to the microsecond.
    ///
    /// # Errors
    /// [`StoreError::Unkeepable`] for a number that is none, else [`StoreError::Database`]. After
    /// either nothing of the call was kept, and it may be sent again.
    pub async fn append(&self, operations: &[Operation]) -> Result<Vec<Appended>, StoreError> {
        let records = operations.iter().map(record_of).collect::<Result<Vec<_>, _>>()?;
        self.identity.is_still(&self.folder.database())?;
        self.write(async |writer| insert_all(writer, operations, records).await).await
    }

    /// Writes with the one connection that does.
    async fn write<T>(
        &self,
        work: impl AsyncFnOnce(&mut SqliteConnection) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let mut writer = self.writer.acquire().await?;
        let done = work(&mut writer).await;
        if done.is_err() {
            // What failed may have left a transaction open. This connection is let go, and the
            // next call begins on one of its own.
            writer.close().await.ok();
        }
        done
    }

    /// The recordings, for as long as the store is open.
    pub fn recordings(&self) -> Recordings {
        Recordings { writer: self.writer.clone(), readers: self.readers.clone() }
    }

    /// Closes the file and lets the folder go. What stood in the journal is in the one file then,
    /// which can be copied alone.
    pub async fn close(self) {
        self.readers.close().await;
        // What cannot be folded now is folded when the gym is opened again.
        self.write(async |writer| schema::fold_journal(writer).await).await.ok();
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
    let mut end = seal::head(&mut transaction).await?;
    let mut appended = Vec::with_capacity(operations.len());
    for (operation, record) in operations.iter().zip(records) {
        appended.push(insert(&mut transaction, &mut end, operation, &record).await?);
    }
    end.write(&mut transaction).await?;
    transaction.commit().await?;
    Ok(appended)
}

async fn insert(
    connection: &mut SqliteConnection,
    end: &mut End,
    operation: &Operation,
    record: &Record,
) -> Result<Appended, StoreError> {
    let id = operation.id.0.to_be_bytes();
    let known: Option<i64> = query_scalar("SELECT sequence FROM operation WHERE id = $1")
        .bind(&id[..])
        .fetch_optional(&mut *connection)
        .await?;
    if let Some(sequence) = known {
        return Ok(Appended::Known { sequence });
    }
    let entry = Entry {
        sequence: end.sequence + 1,
        id: &id,
        at_us: operation.at.as_microsecond(),
        author: &operation.author.name,
        device: operation.author.device.as_deref(),
        kind: record.kind,
        version: record.version,
        body: &record.body,
    };
    *end = end.followed_by(&entry);
    query(
        "INSERT INTO operation (sequence, id, at_us, author, device, kind, version, body, seal)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
    )
    .bind(entry.sequence)
    .bind(entry.id)
    .bind(entry.at_us)
    .bind(entry.author)
    .bind(entry.device)
    .bind(entry.kind)
    .bind(entry.version)
    .bind(entry.body)
    .bind(end.seal.bytes())
    .execute(connection)
    .await?;
    Ok(Appended::Stored { sequence: entry.sequence })
}

/// The operation of a row of [`ALL_ROWS`]; `None` for the place of one that was deleted.
fn operation(row: &SqliteRow) -> Result<Option<Operation>, StoreError> {
    let sequence: i64 = row.try_get(0)?;
    let kind: &str = row.try_get(5)?;
    if kind == forget::DELETED {
        return Ok(None);
    }
    let damaged = |reason: String| StoreError::Damaged { sequence, kind: kind.to_owned(), reason };
    let unfit = |error: sqlx::Error| damaged(error.to_string());
    let id: &[u8] = row.try_get(1).map_err(unfit)?;
    let id = id.try_into().map_err(|_| damaged(format!("its id has {} bytes", id.len())))?;
    let at_us: i64 = row.try_get(2).map_err(unfit)?;
    let at = Timestamp::from_microsecond(at_us)
        .map_err(|_| damaged(format!("its moment, {at_us} us, lies outside the calendar")))?;
    let author =
        Author { name: row.try_get(3).map_err(unfit)?, device: row.try_get(4).map_err(unfit)? };
    let version: i64 = row.try_get(6).map_err(unfit)?;
    let body: &str = row.try_get(7).map_err(unfit)?;
    let change = record::read(kind, version, body, at).map_err(|unreadable| match unreadable {
        Unreadable::UnknownKind => {
            StoreError::UnknownKind { sequence, kind: kind.to_owned(), version }
        }
        Unreadable::Damaged(error) => damaged(error.to_string()),
    })?;
    Ok(Some(Operation { id: OperationId(u128::from_be_bytes(id)), at, author, change }))
}
