//! Makes the database kept under `testdata/store/v1`: one operation of every kind, as the store of
//! version 1 wrote them. Run once, at the release of that version:
//! `cargo run -p cornerwork-io --example first_store -- testdata/store/v1/gym.sqlite`

#![allow(clippy::unwrap_used, reason = "shared with the tests")]

#[path = "../tests/store/version_1.rs"]
mod version_1;

use cornerwork_io::store::SqliteStore;
use std::error::Error;

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<(), Box<dyn Error>> {
    let to = std::env::args_os().nth(1).ok_or("say which file to write")?;
    let folder = tempfile::tempdir()?;
    let store = SqliteStore::open(folder.path()).await?;
    store.append(&version_1::operations()).await?;
    // Closing folds the write-ahead log into the file, which then stands alone.
    store.close().await;
    std::fs::copy(folder.path().join("gym.sqlite"), to)?;
    Ok(())
}
