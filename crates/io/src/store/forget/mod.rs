//! Deletes one athlete: the one exception to a record that is only ever added to.
//!
//! The whole table is written anew without the athlete, in one transaction with the recordings
//! nobody names any more, and the file is then packed, so that no page of it still holds what was deleted. Copies made earlier lie outside
//! the program's reach.

mod rewrite;

use super::record::{self, Unreadable};
use super::{SqliteStore, StoreError, operation};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::ledger::Ledger;
use rewrite::{Forgetting, Kept, Row};
use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row as _, query, query_scalar};

impl SqliteStore {
    /// Deletes everything about an athlete and says how many entries went. What was others' too
    /// (an evening's groups, a bout's list) stays, without the athlete.
    ///
    /// # Errors
    /// As [`SqliteStore::load`] and [`SqliteStore::append`]; after any nothing was changed.
    pub async fn forget(&self, athlete: &AthleteId) -> Result<u32, StoreError> {
        let rows = self.rows().await?;
        let ledger = Ledger::replay(self.load().await?);
        let before = rows.len();
        let kept = Forgetting::of(athlete, &ledger).from(rows, |row| {
            !matches!(record::read(&row.kind, row.version, &row.body), Err(Unreadable::Damaged(_)))
        });
        let entries = u32::try_from(before - kept.len()).unwrap_or(u32::MAX);
        self.write_anew(&kept).await?;
        Ok(entries)
    }

    async fn rows(&self) -> Result<Vec<Row>, StoreError> {
        let rows = query(super::ALL_ROWS).fetch_all(&self.readers).await?;
        rows.iter()
            .map(|row| {
                let id = operation(row)?.id;
                Ok(Row {
                    id,
                    at_us: row.try_get(2)?,
                    author: row.try_get(3)?,
                    kind: row.try_get(4)?,
                    version: row.try_get(5)?,
                    body: row.try_get(6)?,
                })
            })
            .collect()
    }

    async fn write_anew(&self, rows: &[Kept]) -> Result<(), StoreError> {
        let mut writer = self.writer.acquire().await?;
        // What is deleted is overwritten on the disk, not only let go.
        query("PRAGMA secure_delete = ON").execute(&mut *writer).await?;
        let mut transaction = writer.begin_with("BEGIN IMMEDIATE").await?;
        query("DELETE FROM operation").execute(&mut *transaction).await?;
        for (sequence, Kept(row)) in (1_i64..).zip(rows) {
            query(
                "INSERT INTO operation (sequence, id, at_us, author, kind, version, body)
                 VALUES ($1, $2, $3, $4, $5, $6, $7)",
            )
            .bind(sequence)
            .bind(&row.id.0.to_be_bytes()[..])
            .bind(row.at_us)
            .bind(&row.author)
            .bind(&row.kind)
            .bind(row.version)
            .bind(&row.body)
            .execute(&mut *transaction)
            .await?;
        }
        query(
            "DELETE FROM recording WHERE lower(hex(hash)) NOT IN
             (SELECT json_extract(body, '$.hash') FROM operation WHERE kind = 'trace-filed')",
        )
        .execute(&mut *transaction)
        .await?;
        transaction.commit().await?;
        packed(&mut writer).await
    }
}

/// Packs the file, so that no page of it still holds what was overwritten.
pub(super) async fn packed(writer: &mut SqliteConnection) -> Result<(), StoreError> {
    query("VACUUM").execute(&mut *writer).await?;
    // The journal still holds the pages as they were: it is emptied too.
    let _: i64 = query_scalar("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(writer).await?;
    Ok(())
}
