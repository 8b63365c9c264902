//! A copy of the store, whole and checked before it gets its name.

use super::folder::file_error;
use super::{SqliteStore, StoreError, schema, soundness};
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{Connection, query};
use std::fs::{self, File};
use std::io::{Error, ErrorKind};
use std::path::{Path, PathBuf};

impl SqliteStore {
    /// Copies the store, as it stands at this moment, to a new file. Entries may go on meanwhile.
    /// The copy is written under a temporary name, flushed, checked, and only then named: a file
    /// of the name asked for is always a whole one.
    ///
    /// # Errors
    /// [`StoreError::BackupExists`] rather than replace a file, [`StoreError::BackupUnsound`] when
    /// the copy fails its check, [`StoreError::File`] and [`StoreError::Database`] as named.
    pub async fn backup(&self, to: &Path) -> Result<(), StoreError> {
        if to.try_exists().map_err(|source| file_error(to, source))? {
            return Err(StoreError::BackupExists { path: to.to_owned() });
        }
        let unfinished = unfinished_name(to);
        remove_if_there(&unfinished)?;
        let copied = self.copy(&unfinished, to).await;
        if copied.is_err() {
            remove_if_there(&unfinished)?;
        }
        copied
    }

    async fn copy(&self, unfinished: &Path, to: &Path) -> Result<(), StoreError> {
        let name = unfinished.to_str().ok_or_else(|| {
            file_error(to, Error::new(ErrorKind::InvalidInput, "its name is not Unicode"))
        })?;
        query("VACUUM INTO $1").bind(name).execute(&self.readers).await?;
        flush(unfinished)?;
        check_copy(unfinished, to).await?;
        fs::rename(unfinished, to).map_err(|source| file_error(to, source))?;
        flush_folder_of(to)
    }
}

/// Refuses a copy that is not a whole gym; `to` is the file people know it by.
pub(super) async fn check_copy(unfinished: &Path, to: &Path) -> Result<(), StoreError> {
    let options = SqliteConnectOptions::new().filename(unfinished).read_only(true);
    let mut copy = SqliteConnection::connect_with(&options).await?;
    let faults = soundness::faults(&mut copy).await?;
    let is_gym = faults.is_empty() && schema::is_gym(&mut copy).await?;
    copy.close().await?;
    if faults.is_empty() && !is_gym {
        return Err(StoreError::NotAGym { path: to.to_owned() });
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(StoreError::BackupUnsound { path: to.to_owned(), faults: faults.join("; ") })
    }
}

pub(super) fn unfinished_name(to: &Path) -> PathBuf {
    let mut name = to.as_os_str().to_owned();
    name.push(".unfinished");
    name.into()
}

pub(super) fn remove_if_there(path: &Path) -> Result<(), StoreError> {
    match fs::remove_file(path) {
        Err(source) if source.kind() != ErrorKind::NotFound => Err(file_error(path, source)),
        _ => Ok(()),
    }
}

pub(super) fn flush(path: &Path) -> Result<(), StoreError> {
    // Windows flushes only what is open for writing.
    File::options()
        .write(true)
        .open(path)
        .and_then(|file| file.sync_all())
        .map_err(|source| file_error(path, source))
}

/// A new name is on the disk only once its folder is.
#[cfg(unix)]
pub(super) fn flush_folder_of(path: &Path) -> Result<(), StoreError> {
    let folder = match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(|source| file_error(folder, source))
}

/// Elsewhere folders cannot be opened to be flushed; the rename is journalled by the system.
#[cfg(not(unix))]
pub(super) fn flush_folder_of(_: &Path) -> Result<(), StoreError> {
    Ok(())
}
