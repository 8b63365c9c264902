//! The tables, their versions, and the SQLite they may stand on.

use super::{StoreError, seal};
use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, query_scalar, raw_sql};
use std::path::Path;

/// First release without the WAL-reset fault, by which one connection writing while another
/// checkpoints could lose committed data (sqlite.org/wal.html, "The WAL-Reset Bug").
const OLDEST_SOUND_SQLITE: (u32, u32, u32) = (3, 51, 3);
const OLDEST_SOUND_SQLITE_NAME: &str = "3.51.3";

/// What marks a SQLite file as a gym: "CORN" in ASCII.
const APPLICATION_ID: i64 = 0x434F_524E;

/// One step a version, the first making version 1. A step that was released is never changed.
const MIGRATIONS: &[&str] = &[
    "
    PRAGMA application_id = 0x434F524E;
    CREATE TABLE operation (
        sequence INTEGER PRIMARY KEY,
        id       BLOB    NOT NULL UNIQUE CHECK (length(id) = 16),
        at_us    INTEGER NOT NULL,
        author   TEXT    NOT NULL,
        kind     TEXT    NOT NULL,
        version  INTEGER NOT NULL,
        body     TEXT    NOT NULL
    ) STRICT;
    PRAGMA user_version = 1;
",
    "
    CREATE TABLE recording (
        hash   BLOB    PRIMARY KEY CHECK (length(hash) = 32),
        length INTEGER NOT NULL,
        packed BLOB    NOT NULL
    ) STRICT;
    PRAGMA user_version = 2;
",
    "
    ALTER TABLE operation ADD COLUMN device TEXT;
    ALTER TABLE operation ADD COLUMN seal BLOB NOT NULL DEFAULT x'';
    CREATE TABLE head (
        sequence INTEGER NOT NULL,
        seal     BLOB    NOT NULL
    ) STRICT;
    INSERT INTO head VALUES (0, zeroblob(32));
    CREATE TABLE unfinished (what TEXT PRIMARY KEY) STRICT;
    PRAGMA user_version = 3;
",
];

/// The version from which on every entry bears a seal.
const SEALED_SINCE: usize = 3;

/// Refuses a SQLite that can lose what was committed.
pub(super) async fn require_sound_sqlite(
    connection: &mut SqliteConnection,
) -> Result<(), StoreError> {
    let found: String = query_scalar("SELECT sqlite_version()").fetch_one(connection).await?;
    if is_sound(&found) {
        Ok(())
    } else {
        Err(StoreError::OldSqlite { found, needed: OLDEST_SOUND_SQLITE_NAME })
    }
}

fn is_sound(version: &str) -> bool {
    let mut numbers = version.split('.').map(|number| number.parse::<u32>().unwrap_or(0));
    let mut next = || numbers.next().unwrap_or(0);
    (next(), next(), next()) >= OLDEST_SOUND_SQLITE
}

/// Whether a database is marked as a gym.
pub(super) async fn is_gym(connection: &mut SqliteConnection) -> Result<bool, StoreError> {
    let owner: i64 = query_scalar("PRAGMA application_id").fetch_one(connection).await?;
    Ok(owner == APPLICATION_ID)
}

/// What may be made of a file without any table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum IfEmpty {
    /// A new gym.
    Begin,
    /// Nothing: a gym was to be there.
    Refuse,
}

/// Brings the file at `path` to the version of this program, in one transaction.
pub(super) async fn bring_up_to_date(
    connection: &mut SqliteConnection,
    path: &Path,
    if_empty: IfEmpty,
) -> Result<(), StoreError> {
    let mut transaction = connection.begin_with("BEGIN IMMEDIATE").await?;
    let found: i64 = query_scalar("PRAGMA user_version").fetch_one(&mut *transaction).await?;
    let owner: i64 = query_scalar("PRAGMA application_id").fetch_one(&mut *transaction).await?;
    let tables: i64 =
        query_scalar("SELECT count(*) FROM sqlite_schema").fetch_one(&mut *transaction).await?;
    let is_new = found == 0 && owner == 0 && tables == 0;
    if is_new && if_empty == IfEmpty::Refuse {
        return Err(StoreError::Empty { path: path.to_owned() });
    }
    if !is_new && owner != APPLICATION_ID {
        return Err(StoreError::NotAGym { path: path.to_owned() });
    }
    let known = MIGRATIONS.len();
    let done = usize::try_from(found).ok().filter(|&done| done <= known);
    let Some(done) = done else {
        return Err(StoreError::NewerSchema { found, known: known as i64 });
    };
    for &step in &MIGRATIONS[done..] {
        raw_sql(step).execute(&mut *transaction).await?;
    }
    if done < SEALED_SINCE {
        seal::seal_from(&mut transaction, 0).await?;
    }
    transaction.commit().await?;
    if done < known {
        // A new gym, or what an old one became, stands in its own file from the first moment on.
        fold_journal(connection).await?;
    }
    Ok(())
}

/// Brings what stands in the journal into the file itself, and empties the journal; false when
/// somebody who reads it still needs it.
pub(super) async fn fold_journal(connection: &mut SqliteConnection) -> Result<bool, StoreError> {
    let busy: i64 = query_scalar("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(connection).await?;
    Ok(busy == 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // sqlite.org/wal.html: the fault is in 3.7.0 to 3.51.2, mended in 3.51.3.
    #[test]
    fn sqlite_that_can_lose_data_is_told_apart() {
        for old in ["3.51.2", "3.50.99", "3.7.0", "2.99.99", "", "nonsense"] {
            assert!(!is_sound(old), "{old}");
        }
        for sound in ["3.51.3", "3.51.10", "3.52.0", "4.0.0"] {
            assert!(is_sound(sound), "{sound}");
        }
    }

    #[test]
    fn each_step_names_the_version_it_makes() {
        for (index, step) in MIGRATIONS.iter().enumerate() {
            assert!(step.trim_end().ends_with(&format!("PRAGMA user_version = {};", index + 1)));
        }
    }
}
