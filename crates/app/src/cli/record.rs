//! `backup`, `restore` and `check`: the gym's record kept safe and looked at.

use crate::cli::answer::AnswerArguments;
use clap::Args;
use cornerwork_io::store::{SqliteStore, StoreError};
use serde::Serialize;
use std::future::Future;
use std::path::{Path, PathBuf};

/// What `backup` takes.
#[derive(Args)]
pub(super) struct BackupArguments {
    /// Folder of the gym.
    #[arg(long, default_value = "gym")]
    data: PathBuf,
    /// File to write the backup to; never one that is there already.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    #[command(flatten)]
    answer: AnswerArguments,
}

/// What `restore` takes.
#[derive(Args)]
pub(super) struct RestoreArguments {
    /// The backup.
    file: PathBuf,
    /// Folder to restore the gym in; made if missing, and never one that holds a gym.
    #[arg(long)]
    data: PathBuf,
    #[command(flatten)]
    answer: AnswerArguments,
}

/// What `check` takes.
#[derive(Args)]
pub(super) struct CheckArguments {
    /// Folder of the gym.
    #[arg(long, default_value = "gym")]
    data: PathBuf,
    #[command(flatten)]
    answer: AnswerArguments,
}

#[derive(Serialize)]
struct Document {
    schema: &'static str,
    entries: usize,
}

/// Copies the gym to a file.
pub(super) fn backup(arguments: &BackupArguments) -> Result<(), String> {
    let entries = waited(async {
        let store = SqliteStore::open_existing(&arguments.data).await?;
        store.backup(&arguments.out).await?;
        whole(&store, &arguments.data).await
    })?;
    let words = format!("Backed up to {}: {entries} entries.\n", arguments.out.display());
    arguments.answer.give(&Document { schema: "cornerwork/backup/1", entries }, &words, &[])
}

/// Puts a backup in a folder without a gym.
pub(super) fn restore(arguments: &RestoreArguments) -> Result<(), String> {
    let entries = waited(async {
        SqliteStore::restore(&arguments.file, &arguments.data).await?;
        let store = SqliteStore::open_existing(&arguments.data).await?;
        whole(&store, &arguments.data).await
    })?;
    let words = format!("Restored in {}: {entries} entries.\n", arguments.data.display());
    arguments.answer.give(&Document { schema: "cornerwork/restore/1", entries }, &words, &[])
}

/// Looks at every byte of the gym.
pub(super) fn check(arguments: &CheckArguments) -> Result<(), String> {
    let entries = waited(async {
        let store = SqliteStore::open_existing(&arguments.data).await?;
        whole(&store, &arguments.data).await
    })?;
    let words = format!("The gym in {} is whole: {entries} entries.\n", arguments.data.display());
    arguments.answer.give(&Document { schema: "cornerwork/check/1", entries }, &words, &[])
}

/// Why a command on the record failed.
#[derive(Debug, thiserror::Error)]
pub(super) enum RecordError {
    #[error(transparent)]
    Store(#[from] StoreError),
    #[error("{0}")]
    Unsound(String),
}

/// Runs what waits for the disk, to its end.
pub(super) fn waited<T>(work: impl Future<Output = Result<T, RecordError>>) -> Result<T, String> {
    let runtime = tokio::runtime::Runtime::new().map_err(|error| error.to_string())?;
    runtime.block_on(work).map_err(|error| error.to_string())
}

/// Number of entries of a gym in which nothing is wrong.
async fn whole(store: &SqliteStore, folder: &Path) -> Result<usize, RecordError> {
    let found = store.check().await?;
    if found.is_sound() {
        Ok(found.operations)
    } else {
        Err(RecordError::Unsound(found.sentence(folder)))
    }
}
