//! What goes in comes out: every kind, in order, once, all or nothing.

use crate::version_1;
use cornerwork_core::session::operation::{Change, Operation};
use cornerwork_io::store::{Appended, SqliteStore, StoreError};
use tempfile::TempDir;

pub(crate) fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
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

#[tokio::test]
async fn a_folder_is_served_by_one_program_at_a_time() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let second = SqliteStore::open(folder.path()).await;
    assert!(matches!(second, Err(StoreError::InUse { .. })));
    store.close().await;
    assert!(SqliteStore::open(folder.path()).await.is_ok());
}
