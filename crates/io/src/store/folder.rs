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

    /// What there is of a database, or of a journal that SQLite would apply to any new one.
    pub(super) fn content(&self) -> Result<Content, StoreError> {
        let length = |path: &Path| match fs::metadata(path) {
            Ok(found) => Ok(Some(found.len())),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(source) => Err(file_error(path, source)),
        };
        let journal = self.path.join(format!("{DATABASE}-wal"));
        Ok(match (length(&self.database())?, length(&journal)?) {
            (None, None) => Content::Nothing,
            (None | Some(0), None | Some(0)) => Content::EmptyFile,
            _ => Content::Something,
        })
    }
}

/// What a folder holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Content {
    /// No file.
    Nothing,
    /// A file with nothing in it.
    EmptyFile,
    /// A file, or a journal, with something in it.
    Something,
}

/// Whether a folder holds a gym.
pub(super) fn holds_a_gym(folder: &Path) -> bool {
    folder.join(DATABASE).is_file()
}

pub(super) fn file_error(path: &Path, source: std::io::Error) -> StoreError {
    StoreError::File { path: path.to_owned(), source }
}

/// Which file was opened. A file of the same name may be another one.
#[derive(PartialEq, Eq)]
pub(super) struct Identity {
    #[cfg(unix)]
    device_and_inode: (u64, u64),
}

impl Identity {
    /// The identity of the file of this name.
    pub(super) fn of(path: &Path) -> Result<Self, StoreError> {
        let found = fs::metadata(path).map_err(|source| file_error(path, source))?;
        Ok(Self::from_metadata(&found))
    }

    #[cfg(unix)]
    fn from_metadata(found: &fs::Metadata) -> Self {
        use std::os::unix::fs::MetadataExt;
        Self { device_and_inode: (found.dev(), found.ino()) }
    }

    /// Elsewhere a file that is open can be neither deleted nor replaced.
    #[cfg(not(unix))]
    const fn from_metadata(_: &fs::Metadata) -> Self {
        Self {}
    }

    /// Refuses a file that is gone, or another one in its place: what is written to an open file
    /// without a name is lost when the program ends.
    pub(super) fn is_still(&self, path: &Path) -> Result<(), StoreError> {
        let taken_away = || StoreError::TakenAway { path: path.to_owned() };
        let found = fs::metadata(path).map_err(|_| taken_away())?;
        if *self == Self::from_metadata(&found) { Ok(()) } else { Err(taken_away()) }
    }
}
