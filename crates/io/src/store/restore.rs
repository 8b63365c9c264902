//! A backup put in the place of a gym that is lost.

use super::backup::{check_copy, flush, flush_folder_of, remove_if_there, unfinished_name};
use super::folder::{Content, Folder, file_error};
use super::{SqliteStore, StoreError};
use std::fs::{self, File};
use std::io;
use std::path::Path;

impl SqliteStore {
    /// Copies a backup into a folder without a gym. The copy is flushed and checked under a
    /// temporary name and only then becomes the gym; the backup itself is only read.
    ///
    /// # Errors
    /// [`StoreError::GymExists`] rather than replace a gym, [`StoreError::InUse`],
    /// [`StoreError::NotAGym`] and [`StoreError::BackupUnsound`] for a file that is no whole
    /// backup, [`StoreError::File`] as named.
    pub async fn restore(backup: &Path, folder: &Path) -> Result<(), StoreError> {
        let held = Folder::hold(folder)?;
        let database = held.database();
        if held.content()? != Content::Nothing {
            return Err(StoreError::GymExists { folder: folder.to_owned() });
        }
        let unfinished = unfinished_name(&database);
        let placed = place(backup, &unfinished, &database).await;
        if placed.is_err() {
            remove_if_there(&unfinished)?;
        }
        placed
    }
}

async fn place(backup: &Path, unfinished: &Path, database: &Path) -> Result<(), StoreError> {
    let mut from = File::open(backup).map_err(|source| file_error(backup, source))?;
    // Not `fs::copy`: a backup kept read-only must not make a gym that cannot be written.
    File::create(unfinished)
        .and_then(|mut to| io::copy(&mut from, &mut to))
        .map_err(|source| file_error(unfinished, source))?;
    flush(unfinished)?;
    check_copy(unfinished, backup).await?;
    fs::rename(unfinished, database).map_err(|source| file_error(database, source))?;
    flush_folder_of(database)
}
