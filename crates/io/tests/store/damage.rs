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
        ("SET body = json_set(body, '$.born.aged.age_years', 300) WHERE sequence = 2", 2, "300"),
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
        ("SET kind = 'round-scored' WHERE sequence = 6", "round-scored", 2),
        ("SET version = 3 WHERE sequence = 6", "bar-weighed", 3),
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

#[tokio::test]
async fn an_entry_that_was_changed_put_in_or_taken_away_is_named() {
    let last = version_1::operations().len() as i64;
    for (sql, changed, missing, cut_short) in [
        // Another number that is as good as the first.
        ("UPDATE operation SET body = json_set(body, '$.mass_kg', 60.5) WHERE sequence = 4", vec![4], 0, false),
        ("UPDATE operation SET author = 'Somebody Else' WHERE sequence = 7", vec![7], 0, false),
        ("UPDATE operation SET device = 'tablet 2' WHERE sequence = 7", vec![7], 0, false),
        ("UPDATE operation SET at_us = at_us + 1 WHERE sequence = 9", vec![9], 0, false),
        ("UPDATE operation SET seal = zeroblob(32) WHERE sequence = 9", vec![9, 10], 0, false),
        ("DELETE FROM operation WHERE sequence = 5", vec![6], 1, false),
        ("DELETE FROM operation WHERE sequence > 20", vec![], 0, true),
        ("DELETE FROM operation", vec![], 0, true),
        ("UPDATE head SET seal = zeroblob(32)", vec![], 0, true),
        ("DELETE FROM head", vec![], 0, true),
        (
            "INSERT INTO operation (id, at_us, author, kind, version, body)
             SELECT zeroblob(16), at_us, author, kind, version, body FROM operation WHERE sequence = 4",
            vec![last + 1],
            0,
            true,
        ),
    ] {
        let (_folder, store) = tampered(sql).await;
        let found = store.check().await.unwrap();
        assert_eq!((&found.changed, found.missing), (&changed, missing), "{sql}");
        assert_eq!(found.cut_short, cut_short, "{sql}");
        assert!(!found.is_sound() && found.unreadable.is_empty(), "{sql}: {found:?}");
    }
}

/// What comes after a cut does not follow what is left: the cut stays visible.
#[tokio::test]
async fn a_record_that_was_cut_short_does_not_heal_by_going_on() {
    let (_folder, store) = tampered("DELETE FROM operation WHERE sequence > 20").await;
    store.append(&[named(90, "later")]).await.unwrap();
    let found = store.check().await.unwrap();
    let missing = version_1::operations().len() - 20;
    assert_eq!((found.missing, found.changed.len(), found.is_sound()), (missing, 1, false));
}

#[tokio::test]
async fn an_empty_file_is_no_gym_and_is_left_as_it_is() {
    let folder = folder();
    SqliteStore::open(folder.path()).await.unwrap().close().await;
    let path = folder.path().join("gym.sqlite");
    for cut in ["", "-wal"] {
        fs::write(&path, "").unwrap();
        if cut == "-wal" {
            fs::write(folder.path().join("gym.sqlite-wal"), "").unwrap();
        }
        for opened in [
            SqliteStore::open(folder.path()).await,
            SqliteStore::open_existing(folder.path()).await,
        ] {
            let error = opened.err().unwrap();
            assert!(
                matches!(&error, StoreError::Empty { path: named } if *named == path),
                "{error}"
            );
        }
        assert_eq!(fs::metadata(&path).unwrap().len(), 0);
    }
}

/// The file alone is the gym: as it is from its first moment on, and after a clean stop whole.
#[tokio::test]
async fn after_a_clean_stop_the_one_file_holds_everything() {
    let gym = folder();
    let alone = folder();
    let copy = || fs::copy(gym.path().join("gym.sqlite"), alone.path().join("gym.sqlite")).unwrap();
    let store = SqliteStore::open(gym.path()).await.unwrap();
    copy();
    SqliteStore::open_existing(alone.path()).await.unwrap().close().await;
    store.append(&version_1::operations()).await.unwrap();
    // Somebody who read a moment ago holds nothing up.
    store.load().await.unwrap();
    store.close().await;
    let journal = fs::metadata(gym.path().join("gym.sqlite-wal")).map_or(0, |file| file.len());
    assert_eq!(journal, 0);
    copy();
    let copied = SqliteStore::open_existing(alone.path()).await.unwrap();
    assert_eq!(copied.load().await.unwrap(), version_1::operations());
    assert!(copied.check().await.unwrap().is_sound());
}

/// A file that is taken away goes on to take what is written to it, and all of it is lost.
#[cfg(unix)]
#[tokio::test]
async fn a_file_that_was_taken_away_or_exchanged_takes_nothing_more() {
    let gym = folder();
    let store = SqliteStore::open(gym.path()).await.unwrap();
    store.append(&[named(1, "before")]).await.unwrap();
    let file = gym.path().join("gym.sqlite");
    let aside = gym.path().join("aside.sqlite");
    let refused = async |store: &SqliteStore| {
        let error = store.append(&[named(2, "lost")]).await.unwrap_err();
        assert!(matches!(error, StoreError::TakenAway { .. }), "{error}");
        let trace = |_| named(3, "trace");
        let athlete = cornerwork_core::session::athlete::AthleteId::new("B01").unwrap();
        assert!(matches!(store.forget(&athlete, trace).await, Err(StoreError::TakenAway { .. })));
    };
    fs::rename(&file, &aside).unwrap();
    refused(&store).await;
    fs::copy(&aside, &file).unwrap();
    refused(&store).await;
    // Put back, it is the gym again.
    fs::rename(&aside, &file).unwrap();
    store.append(&[named(4, "after")]).await.unwrap();
    assert_eq!(store.load().await.unwrap(), [named(1, "before"), named(4, "after")]);
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
    let (folder, store) = tampered("PRAGMA user_version = 4").await;
    store.close().await;
    let before = fs::read(folder.path().join("gym.sqlite")).unwrap();
    let refused = SqliteStore::open(folder.path()).await;
    assert!(matches!(refused, Err(StoreError::NewerSchema { found: 4, known: 3 })));
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
