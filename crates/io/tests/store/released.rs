//! A gym kept by an earlier version opens in this one, with everything in it.

use crate::keeping::{folder, named};
use crate::version_1;
use cornerwork_io::store::{Appended, SqliteStore};
use std::fs;
use std::path::Path;

#[tokio::test]
async fn a_store_of_version_1_opens_and_goes_on() {
    opens_and_goes_on("v1").await;
}

#[tokio::test]
async fn a_store_of_version_2_opens_and_goes_on() {
    opens_and_goes_on("v2").await;
}

async fn opens_and_goes_on(version: &str) {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../testdata/store");
    let kept = kept.join(version).join("gym.sqlite");
    let folder = folder();
    fs::copy(kept, folder.path().join("gym.sqlite")).unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    assert!(store.check().await.unwrap().is_sound());
    let operations = version_1::operations();
    assert_eq!(store.load().await.unwrap(), operations);
    let next = operations.len() as i64 + 1;
    let appended = store.append(&[operations[0].clone(), named(90, "new")]).await.unwrap();
    assert_eq!(appended, [Appended::Known { sequence: 1 }, Appended::Stored { sequence: next }]);
}
