//! What cannot be read is named, never passed over, and never made worse.

use crate::keeping::{folder, named, outside, run_outside};
use crate::version_1;
use cornerwork_io::store::{SqliteStore, StoreError};
use sqlx::query;
use std::fs;
use tempfile::TempDir;

/// A store of one operation of every kind, after another program ran this SQL on its file.
async fn tampered(sql: &str) -> (TempDir, SqliteStore) {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    store.append(&version_1::operations()).await.unwrap();
    run_outside(&folder, sql).await;
    (folder, store)
}

#[tokio::test]
async fn a_damaged_row_is_named_whatever_is_wrong_with_it() {
    for (damage, sequence, says) in [
        ("SET body = '{\"name\": \"Harb' WHERE sequence = 1", 1, "EOF"),
        ("SET body = '' WHERE sequence = 3", 3, "EOF"),
        ("SET body = json_remove(body, '$.sex') WHERE sequence = 2", 2, "missing field `sex`"),
        ("SET body = json_set(body, '$.age_years', 300) WHERE sequence = 2", 2, "300"),
        ("SET body = json_set(body, '$.sex', 'unknown') WHERE sequence = 2", 2, "unknown variant"),
        ("SET body = json_set(body, '$.id', 'far too long') WHERE sequence = 2", 2, "athlete"),
        ("SET body = json_set(body, '$.mass_kg', 'heavy') WHERE sequence = 4", 4, "heavy"),
        (
            "SET body = json_set(body, '$.mass_kg', 900) WHERE sequence = 5",
            5,
            "cannot weigh 900 kg",
        ),
        ("SET body = json_set(body, '$.date', '2026-02-30') WHERE sequence = 9", 9, "2026-02-30"),
        ("SET at_us = 9223372036854775807 WHERE sequence = 7", 7, "9223372036854775807"),
    ] {
        let (_folder, store) = tampered(&format!("UPDATE operation {damage}")).await;
        let error = store.load().await.unwrap_err();
        let named = matches!(&error, StoreError::Damaged { sequence: at, .. } if *at == sequence);
        assert!(named && error.to_string().contains(says), "{damage}: {error}");
        let soundness = store.check().await.unwrap();
        assert!(!soundness.is_sound());
        assert_eq!(soundness.unreadable.len(), 1, "{damage}");
        assert_eq!(soundness.operations, version_1::operations().len() - 1);
    }
}

/// A write cut short at any byte is seen as such.
#[tokio::test]
async fn no_part_of_a_body_passes_for_the_whole() {
    let (folder, store) = tampered("DELETE FROM operation WHERE sequence <> 25").await;
    let mut other = outside(&folder).await;
    while query("UPDATE operation SET body = substr(body, 1, length(body) - 1) WHERE body <> ''")
        .execute(&mut other)
        .await
        .unwrap()
        .rows_affected()
        == 1
    {
        let error = store.load().await.unwrap_err();
        assert!(matches!(error, StoreError::Damaged { sequence: 25, .. }), "{error}");
    }
}

#[tokio::test]
async fn a_kind_or_version_of_the_future_is_not_half_read() {
    for (change, kind, version) in [
        ("SET kind = 'round-scored' WHERE sequence = 6", "round-scored", 1),
        ("SET version = 2 WHERE sequence = 6", "bar-weighed", 2),
    ] {
        let (_folder, store) = tampered(&format!("UPDATE operation {change}")).await;
        match store.load().await.unwrap_err() {
            StoreError::UnknownKind { sequence: 6, kind: found, version: number } => {
                assert_eq!((found.as_str(), number), (kind, version));
            }
            other => panic!("{other}"),
        }
    }
}

#[tokio::test]
async fn a_field_of_the_future_is_passed_over() {
    let (_folder, store) =
        tampered("UPDATE operation SET body = json_set(body, '$.colour', 'blue')").await;
    assert_eq!(store.load().await.unwrap(), version_1::operations());
}

#[tokio::test]
async fn an_operation_that_is_gone_is_missed() {
    let (_folder, store) = tampered("DELETE FROM operation WHERE sequence IN (3, 4)").await;
    let soundness = store.check().await.unwrap();
    assert_eq!((soundness.missing, soundness.is_sound()), (2, false));
}

/// The file of a closed store with rubbish from a page on.
async fn rubbish_from_page(page: usize) -> TempDir {
    let (folder, store) = tampered("PRAGMA page_size").await;
    store.close().await;
    let path = folder.path().join("gym.sqlite");
    let mut bytes = fs::read(&path).unwrap();
    bytes[(page - 1) * 4096..].fill(0xA5);
    fs::write(&path, bytes).unwrap();
    folder
}

#[tokio::test]
async fn a_file_with_rubbish_in_it_is_reported_and_never_copied() {
    // Page 1 is the schema; the others are the rows and the index of their ids.
    for page in 2..=5 {
        let folder = rubbish_from_page(page).await;
        let store = SqliteStore::open(folder.path()).await.unwrap();
        let soundness = store.check().await.unwrap();
        assert!(!soundness.faults.is_empty(), "page {page}: {soundness:?}");
        let copy = folder.path().join("copy.sqlite");
        assert!(store.backup(&copy).await.is_err(), "page {page}");
        assert!(!copy.exists(), "no bad copy gets the name of a backup");
    }
}

#[tokio::test]
async fn a_newer_store_is_refused_and_left_as_it_is() {
    let (folder, store) = tampered("PRAGMA user_version = 3").await;
    store.close().await;
    let before = fs::read(folder.path().join("gym.sqlite")).unwrap();
    let refused = SqliteStore::open(folder.path()).await;
    assert!(matches!(refused, Err(StoreError::NewerSchema { found: 3, known: 2 })));
    assert_eq!(fs::read(folder.path().join("gym.sqlite")).unwrap(), before);
}

#[tokio::test]
async fn a_file_of_something_else_is_refused_and_left_as_it_is() {
    let folder = folder();
    let path = folder.path().join("gym.sqlite");
    fs::write(&path, "A letter to the gym, and by no means a database. ".repeat(100)).unwrap();
    let before = fs::read(&path).unwrap();
    assert!(matches!(SqliteStore::open(folder.path()).await, Err(StoreError::Broken(_))));
    assert_eq!(fs::read(&path).unwrap(), before);

    fs::write(&path, "").unwrap();
    run_outside(&folder, "CREATE TABLE recipe (name TEXT)").await;
    assert!(matches!(SqliteStore::open(folder.path()).await, Err(StoreError::NotAGym { .. })));
}

#[tokio::test]
async fn a_folder_that_cannot_be_is_named() {
    let folder = folder();
    let file = folder.path().join("file");
    fs::write(&file, "").unwrap();
    let error = SqliteStore::open(&file).await.err().unwrap();
    assert!(error.to_string().contains(file.to_str().unwrap()), "{error}");
}

#[tokio::test]
async fn a_backup_opens_as_the_same_gym_and_replaces_nothing() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    store.append(&version_1::operations()).await.unwrap();
    let elsewhere = tempfile::tempdir().unwrap();
    let copy = elsewhere.path().join("gym.sqlite");
    store.backup(&copy).await.unwrap();
    assert!(matches!(store.backup(&copy).await, Err(StoreError::BackupExists { .. })));
    let names: Vec<_> = fs::read_dir(elsewhere.path()).unwrap().collect();
    assert_eq!(names.len(), 1, "nothing unfinished is left");
    // The gym goes on; the copy is as it was.
    store.append(&[named(90, "later")]).await.unwrap();
    let restored = SqliteStore::open(elsewhere.path()).await.unwrap();
    assert_eq!(restored.load().await.unwrap(), version_1::operations());
    assert!(restored.check().await.unwrap().is_sound());
}
