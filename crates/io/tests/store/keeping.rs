//! What goes in comes out: every kind, in order, once, all or nothing.

use crate::{any_operation, version_1};
use cornerwork_core::session::operation::{Change, Operation};
use cornerwork_io::store::{Appended, SqliteStore, StoreError};
use proptest::collection::vec;
use proptest::prelude::*;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{AssertSqlSafe, Connection, raw_sql};
use std::sync::Arc;
use tempfile::TempDir;
use tokio::runtime::Runtime;
use tokio::task::JoinSet;

pub(crate) fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

/// A connection of another program to the same file.
pub(crate) async fn outside(folder: &TempDir) -> SqliteConnection {
    let options = SqliteConnectOptions::new().filename(folder.path().join("gym.sqlite"));
    SqliteConnection::connect_with(&options).await.unwrap()
}

/// Runs SQL as another program would, and lets the file go.
pub(crate) async fn run_outside(folder: &TempDir, sql: &str) {
    let mut other = outside(folder).await;
    raw_sql(AssertSqlSafe(sql.to_owned())).execute(&mut other).await.unwrap();
    other.close().await.unwrap();
}

pub(crate) fn named(number: u32, name: &str) -> Operation {
    let change = Change::GymNamed { name: name.into(), invented: true };
    Operation { id: version_1::id(number), change, ..version_1::operations().remove(0) }
}

#[tokio::test]
async fn every_kind_of_change_comes_back_as_it_was_after_a_restart() {
    let folder = folder();
    let operations = version_1::operations();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let appended = store.append(&operations).await.unwrap();
    let expected: Vec<_> =
        (1..=operations.len() as i64).map(|sequence| Appended::Stored { sequence }).collect();
    assert_eq!(appended, expected);
    assert_eq!(store.load().await.unwrap(), operations);
    store.close().await;
    let store = SqliteStore::open(folder.path()).await.unwrap();
    assert_eq!(store.load().await.unwrap(), operations);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn any_operations_come_back_as_they_were(operations in vec(any_operation::operation(), 1..120)) {
        let folder = folder();
        Runtime::new().unwrap().block_on(async {
            let store = SqliteStore::open(folder.path()).await.unwrap();
            store.append(&operations).await.unwrap();
            let kept = store.load().await.unwrap();
            prop_assert_eq!(kept, operations);
            let found = store.check().await.unwrap();
            // Recordings are named that nobody handed in: that, and nothing else, is missing.
            let named = |fault: &StoreError| matches!(fault, StoreError::RecordingMissing { .. });
            prop_assert!(found.missing == 0 && found.faults.is_empty());
            prop_assert!(found.unreadable.iter().all(named), "{found:?}");
            Ok(())
        })?;
    }
}

#[tokio::test]
async fn the_same_submission_twice_is_one_operation() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let [first, second, third] = [named(1, "first"), named(2, "second"), named(3, "third")];
    store.append(&[first.clone(), second.clone()]).await.unwrap();
    // Sent again together with a new one, and the new one twice in the same batch.
    let again = [second.clone(), third.clone(), third.clone()];
    assert_eq!(
        store.append(&again).await.unwrap(),
        [
            Appended::Known { sequence: 2 },
            Appended::Stored { sequence: 3 },
            Appended::Known { sequence: 3 },
        ]
    );
    assert_eq!(store.load().await.unwrap(), [first, second, third]);
}

#[tokio::test]
async fn a_batch_with_one_bad_number_is_refused_whole() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    for bad in [f64::NAN, f64::INFINITY] {
        let change =
            Change::RepCorrected { rep: version_1::id(1), value: Some(bad), reason: "slip".into() };
        let bad = Operation { change, ..named(2, "") };
        let refused = store.append(&[named(1, "good"), bad]).await;
        assert!(
            matches!(refused, Err(StoreError::Unkeepable { id, .. }) if id == version_1::id(2))
        );
        assert_eq!(store.load().await.unwrap(), []);
    }
}

/// Any failure inside the transaction: here SQLite refuses the second of three rows.
#[tokio::test]
async fn a_batch_that_fails_halfway_leaves_nothing() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let no_room = "CREATE TRIGGER no_room BEFORE INSERT ON operation WHEN NEW.author = 'no room'
                   BEGIN SELECT RAISE(ABORT, 'disk is full'); END";
    run_outside(&folder, no_room).await;
    let refused = Operation { author: "no room".into(), ..named(2, "second") };
    let batch = [named(1, "first"), refused, named(3, "third")];
    let error = store.append(&batch).await.unwrap_err();
    assert!(error.to_string().contains("disk is full"), "{error}");
    assert_eq!(store.load().await.unwrap(), []);
    // The connection is good for the next one, and the place in the order was not used up.
    let appended = store.append(&[named(1, "first")]).await.unwrap();
    assert_eq!(appended, [Appended::Stored { sequence: 1 }]);
}

/// A full disk makes SQLite take the whole transaction back by itself, so that there is none left
/// to be rolled back; a trigger that does the same stands for it.
#[tokio::test]
async fn once_the_disk_takes_entries_again_the_next_one_is_kept() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    store.append(&[named(1, "before")]).await.unwrap();
    let full = "CREATE TRIGGER full BEFORE INSERT ON operation
                BEGIN SELECT RAISE(ROLLBACK, 'disk is full'); END";
    run_outside(&folder, full).await;
    for number in 2..5 {
        let error = store.append(&[named(number, "no room")]).await.unwrap_err();
        assert!(error.to_string().contains("disk is full"), "{error}");
    }
    run_outside(&folder, "DROP TRIGGER full").await;
    let appended = store.append(&[named(5, "after")]).await.unwrap();
    assert_eq!(appended, [Appended::Stored { sequence: 2 }]);
    assert_eq!(store.load().await.unwrap(), [named(1, "before"), named(5, "after")]);
}

/// Eight devices send the same evening at once, each starting elsewhere, while one reads.
#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn devices_posting_at_once_lose_nothing_and_double_nothing() {
    const OPERATIONS: u32 = 48;
    let folder = folder();
    let store = Arc::new(SqliteStore::open(folder.path()).await.unwrap());
    let mut devices = JoinSet::new();
    for device in 0..8 {
        let store = Arc::clone(&store);
        devices.spawn(async move {
            let mut new = 0;
            for step in 0..OPERATIONS {
                let number = (step + device * 7) % OPERATIONS;
                let answer = store.append(&[named(number, "rep")]).await.unwrap();
                new += usize::from(matches!(answer[0], Appended::Stored { .. }));
            }
            new
        });
    }
    let mut seen = Vec::new();
    while !devices.is_empty() && seen.len() < 100 {
        seen.push(store.load().await.unwrap());
        tokio::task::yield_now().await;
    }
    let new: usize = devices.join_all().await.into_iter().sum();
    assert_eq!(new, OPERATIONS as usize, "each operation was new to exactly one device");
    let kept = store.load().await.unwrap();
    let mut ids: Vec<_> = kept.iter().map(|operation| operation.id).collect();
    ids.sort_unstable();
    assert_eq!(ids, (0..OPERATIONS).map(version_1::id).collect::<Vec<_>>());
    // Whoever read meanwhile saw the beginning of the same story.
    assert!(seen.iter().all(|part| kept.starts_with(part)));
}

/// Another program (a copy being made) holds the file for a moment: entries wait, none fails.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_entry_waits_while_another_program_holds_the_file() {
    let folder = folder();
    let store = Arc::new(SqliteStore::open(folder.path()).await.unwrap());
    let mut other = outside(&folder).await;
    raw_sql("BEGIN IMMEDIATE").execute(&mut other).await.unwrap();
    let waiting = tokio::spawn({
        let store = Arc::clone(&store);
        async move { store.append(&[named(1, "patient")]).await }
    });
    tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    assert!(!waiting.is_finished());
    raw_sql("ROLLBACK").execute(&mut other).await.unwrap();
    assert_eq!(waiting.await.unwrap().unwrap(), [Appended::Stored { sequence: 1 }]);
}

#[tokio::test]
async fn a_folder_is_served_by_one_program_at_a_time() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let second = SqliteStore::open(folder.path()).await;
    assert!(matches!(second, Err(StoreError::InUse { .. })));
    store.close().await;
    assert!(SqliteStore::open(folder.path()).await.is_ok());
}
