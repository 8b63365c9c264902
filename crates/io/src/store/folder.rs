//! The folder of one gym: made if missing, and held by one program at a time.

use super::StoreError;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};

/// Name of the database in its folder.
const DATABASE: &str = "gym.sqlite";
/// Name of the file whose lock says that a program serves the folder. The file itself says
/// nothing and may stay: the operating system drops the lock however the program ends.
const LOCK: &str = "gym.lock";

/// A folder held for this program alone while the value lives.
pub(super) struct Folder {
    path: PathBuf,
    _lock: File,
}

impl Folder {
    /// Makes the folder if it is missing and holds it.
    pub(super) fn hold(path: &Path) -> Result<Self, StoreError> {
        fs::create_dir_all(path).map_err(|source| file_error(path, source))?;
        let lock_path = path.join(LOCK);
        let lock = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&lock_path)
            .map_err(|source| file_error(&lock_path, source))?;
        match lock.try_lock() {
            Ok(()) => Ok(Self { path: path.to_owned(), _lock: lock }),
            Err(TryLockError::WouldBlock) => Err(StoreError::InUse { folder: path.to_owned() }),
            Err(TryLockError::Error(source)) => Err(file_error(&lock_path, source)),
        }
    }

    /// Where the database lies.
    pub(super) fn database(&self) -> PathBuf {
        self.path.join(DATABASE)
    }

    /// Whether there is a database, or a journal that SQLite would apply to any new one.
    pub(super) fn has_remains(&self) -> std::io::Result<bool> {
        let journal = self.path.join(format!("{DATABASE}-wal"));
        Ok(self.database().try_exists()? || journal.try_exists()?)
    }
}

/// Whether a folder holds a gym.
pub(super) fn holds_a_gym(folder: &Path) -> bool {
    folder.join(DATABASE).is_file()
}

pub(super) fn file_error(path: &Path, source: std::io::Error) -> StoreError {
    StoreError::File { path: path.to_owned(), source }
}
