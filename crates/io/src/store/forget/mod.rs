//! Deletes one athlete: the one exception to a record that is only ever added to.
//!
//! Every entry of the athlete becomes an empty place in the order, and what was others' too is
//! rewritten without the athlete, in one transaction with the recordings nobody names any more and
//! with the trace that it was done. The file is then packed, so that no page of it still holds what
//! was deleted. Packing needs room on the disk; what is cut off there is finished when the gym is
//! opened again. Copies made earlier lie outside the program's reach.

mod rewrite;

use super::record::{self, Unreadable};
use super::{SqliteStore, StoreError, insert, operation, record_of, schema, seal};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::Operation;
use jiff::Timestamp;
use rewrite::{Forgetting, Row};
use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row as _, query, query_scalar};

/// Kind of the empty place a deleted entry leaves: its id stays known, so a device that sends it
/// again brings nothing back.
pub(super) const DELETED: &str = "deleted";
/// What is to be finished once the disk has room.
pub(super) const PACKING: &str = "packing";

/// What a deletion came to. Everything about the athlete is out of the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Forgotten {
    /// How many entries went.
    pub entries: u32,
    /// Whether the file was packed too; if not, blocks of the disk may still hold what was deleted
    /// until the gym is opened again with room for a copy of the file.
    pub packed: bool,
}

impl SqliteStore {
    /// Deletes everything about an athlete, and keeps the trace of it that is made of the number of
    /// entries that went. What was others' too (an evening's groups, a bout's list) stays, without
    /// the athlete.
    ///
    /// # Errors
    /// As [`SqliteStore::load`] and [`SqliteStore::append`]; after any nothing was changed.
    pub async fn forget(
        &self,
        athlete: &AthleteId,
        trace: impl FnOnce(u32) -> Operation,
    ) -> Result<Forgotten, StoreError> {
        self.identity.is_still(&self.folder.database())?;
        let rows = self.rows().await?;
        let ledger = Ledger::replay(self.load().await?);
        let rewritten = Forgetting::of(athlete, &ledger).rewrite(&rows, |row| {
            // Whether it reads does not hang on its moment.
            let moment = Timestamp::UNIX_EPOCH;
            let read = record::read(&row.kind, row.version, &row.body, moment);
            !matches!(read, Err(Unreadable::Damaged(_)))
        });
        let gone = rows.len() - rewritten.len();
        let entries = u32::try_from(gone).unwrap_or(u32::MAX);
        self.write(async |writer| put_in_place(writer, &rows, &rewritten, &trace(entries)).await)
            .await?;
        let packed = self.write(finish_packing).await.unwrap_or(false);
        Ok(Forgotten { entries, packed })
    }

    async fn rows(&self) -> Result<Vec<Row>, StoreError> {
        let rows = query(super::ALL_ROWS).fetch_all(&self.readers).await?;
        let mut standing = Vec::with_capacity(rows.len());
        for row in &rows {
            let Some(read) = operation(row)? else { continue };
            standing.push(Row {
                sequence: row.try_get(0)?,
                id: read.id,
                author: read.author.name,
                device: read.author.device,
                kind: row.try_get(5)?,
                version: row.try_get(6)?,
                body: row.try_get(7)?,
            });
        }
        Ok(standing)
    }
}

/// Writes what stays over what was, in one transaction.
async fn put_in_place(
    writer: &mut SqliteConnection,
    before: &[Row],
    after: &[Row],
    trace: &Operation,
) -> Result<(), StoreError> {
    // What is deleted is overwritten on the disk, not only let go.
    query("PRAGMA secure_delete = ON").execute(&mut *writer).await?;
    let mut transaction = writer.begin_with("BEGIN IMMEDIATE").await?;
    let mut staying = after.iter().peekable();
    for row in before {
        match staying.next_if(|stays| stays.sequence == row.sequence) {
            Some(stays) if stays == row => {}
            Some(stays) => rewrite_row(&mut transaction, stays).await?,
            None => empty_place(&mut transaction, row.sequence).await?,
        }
    }
    query(
        "DELETE FROM recording WHERE lower(hex(hash)) NOT IN
         (SELECT json_extract(body, '$.hash') FROM operation WHERE kind = 'trace-filed')",
    )
    .execute(&mut *transaction)
    .await?;
    query("INSERT OR IGNORE INTO unfinished VALUES ($1)")
        .bind(PACKING)
        .execute(&mut *transaction)
        .await?;
    seal::seal_from(&mut transaction, 0).await?;
    let mut end = seal::head(&mut transaction).await?;
    insert(&mut transaction, &mut end, trace, &record_of(trace)?).await?;
    end.write(&mut transaction).await?;
    transaction.commit().await?;
    Ok(())
}

async fn rewrite_row(connection: &mut SqliteConnection, row: &Row) -> Result<(), StoreError> {
    query("UPDATE operation SET author = $2, device = $3, body = $4 WHERE sequence = $1")
        .bind(row.sequence)
        .bind(&row.author)
        .bind(&row.device)
        .bind(&row.body)
        .execute(connection)
        .await?;
    Ok(())
}

async fn empty_place(connection: &mut SqliteConnection, sequence: i64) -> Result<(), StoreError> {
    query(
        "UPDATE operation
         SET author = '', device = NULL, at_us = 0, kind = $2, version = 1, body = '{}'
         WHERE sequence = $1",
    )
    .bind(sequence)
    .bind(DELETED)
    .execute(connection)
    .await?;
    Ok(())
}

/// Packs the file where a deletion still waits for it; false when it goes on waiting.
pub(super) async fn finish_packing(writer: &mut SqliteConnection) -> Result<bool, StoreError> {
    let waits: Option<i64> = query_scalar("SELECT 1 FROM unfinished WHERE what = $1")
        .bind(PACKING)
        .fetch_optional(&mut *writer)
        .await?;
    if waits.is_none() {
        return Ok(true);
    }
    query("VACUUM").execute(&mut *writer).await?;
    // The journal still holds the pages as they were: it is emptied too.
    if !schema::fold_journal(writer).await? {
        return Ok(false);
    }
    query("DELETE FROM unfinished WHERE what = $1").bind(PACKING).execute(writer).await?;
    Ok(true)
}
