//! Every input kept by the fuzzer, read once more: no reader may panic on any of them.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_io::readers::c3d;
use cornerwork_io::readers::delimited::{ColumnChoices, Delimited, Wanted};
use cornerwork_io::readers::parquet::ParquetFile;
use std::fs::File;
use std::path::{Path, PathBuf};

/// Inputs of one target, and how many of them the reader takes for a recording.
fn replay(target: &str, reads: impl Fn(&Path) -> bool) -> (usize, usize) {
    let folder = format!("{}/../../fuzz/corpus/{target}", env!("CARGO_MANIFEST_DIR"));
    let files: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    (files.len(), files.iter().filter(|path| reads(path)).count())
}

/// A corpus is worth keeping only if it holds both.
fn assert_some_are_read_and_some_are_not((all, read): (usize, usize)) {
    assert!(read > 0 && read < all, "{read} of {all}");
}

#[test]
fn text_tables() {
    assert_some_are_read_and_some_are_not(replay("delimited", |path| {
        let read = |wanted| {
            let file = Delimited::open(File::open(path).unwrap(), None)?;
            let mapping = file.propose(wanted, &ColumnChoices::default())?;
            match wanted {
                Wanted::Force => file.force(&mapping, Some(1000.0)).map(drop),
                Wanted::Position => file.bar(&mapping, Some(1000.0)).map(drop),
            }
        };
        let (force, position) = (read(Wanted::Force), read(Wanted::Position));
        force.is_ok() || position.is_ok()
    }));
}

#[test]
fn c3d_files() {
    assert_some_are_read_and_some_are_not(replay("c3d", |path| {
        c3d::force(&std::fs::read(path).unwrap(), &[], None).is_ok()
    }));
}

#[test]
fn parquet_files() {
    assert_some_are_read_and_some_are_not(replay("parquet", |path| {
        let read = || {
            let file = ParquetFile::open(File::open(path).unwrap())?;
            let mapping = file.propose(Wanted::Force, &ColumnChoices::default())?;
            file.force(&mapping, Some(1000.0))
        };
        read().is_ok()
    }));
}
