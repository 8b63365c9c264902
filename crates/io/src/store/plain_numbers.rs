//! Numbers people sign in with, in stores of versions that kept them as they are: each is replaced
//! by its hash where it stands. Which entry says what, when and by whom stays as it was.

use super::forget::{PACKING, finish_packing};
use super::{SqliteStore, StoreError, seal};
use serde_json::Value;
use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row as _, query};

/// Kinds of entries that hold a number, and where.
const PLACES: [(&str, &str); 2] =
    [("member-entered", "/pin"), ("member-taken-over", "/member/pin")];

impl SqliteStore {
    /// Replaces every number that is kept as it is, all in one transaction, and says how many there
    /// were. `hash` gives nothing for what is a hash already, and an empty place where no hash can
    /// be made. What stood there is overwritten on the disk; copies made before lie outside the
    /// program's reach.
    ///
    /// # Errors
    /// [`StoreError::Database`]; nothing was changed then.
    pub async fn hash_plain_numbers(
        &self,
        hash: impl Fn(&str) -> Option<Option<String>>,
    ) -> Result<usize, StoreError> {
        let mut anew: Vec<(i64, String)> = Vec::new();
        for (kind, place) in PLACES {
            let rows = query("SELECT sequence, body FROM operation WHERE kind = $1").bind(kind);
            for row in rows.fetch_all(&self.readers).await? {
                if let Some(body) = hashed_in(row.try_get(1)?, place, &hash) {
                    anew.push((row.try_get(0)?, body));
                }
            }
        }
        if anew.is_empty() {
            return Ok(0);
        }
        self.write(async |writer| replace(writer, &anew).await).await?;
        // Where the disk has no room for it now, it is done when the gym is opened again.
        self.write(finish_packing).await.ok();
        Ok(anew.len())
    }
}

/// Puts the entries that hold no plain number any more in their places.
async fn replace(writer: &mut SqliteConnection, anew: &[(i64, String)]) -> Result<(), StoreError> {
    query("PRAGMA secure_delete = ON").execute(&mut *writer).await?;
    let mut transaction = writer.begin_with("BEGIN IMMEDIATE").await?;
    for (sequence, body) in anew {
        query("UPDATE operation SET body = $2 WHERE sequence = $1")
            .bind(sequence)
            .bind(body)
            .execute(&mut *transaction)
            .await?;
    }
    let first = anew.iter().map(|(sequence, _)| *sequence).min().unwrap_or(0);
    seal::seal_from(&mut transaction, first).await?;
    query("INSERT OR IGNORE INTO unfinished VALUES ($1)")
        .bind(PACKING)
        .execute(&mut *transaction)
        .await?;
    transaction.commit().await?;
    Ok(())
}

/// The entry with its number hashed; `None` where nothing is to be done, or nothing is read.
fn hashed_in(
    body: &str,
    place: &str,
    hash: &impl Fn(&str) -> Option<Option<String>>,
) -> Option<String> {
    let mut entry: Value = serde_json::from_str(body).ok()?;
    let number = entry.pointer_mut(place)?;
    let kept = hash(number.as_str()?)?;
    *number = kept.map_or(Value::Null, Value::String);
    Some(entry.to_string())
}
