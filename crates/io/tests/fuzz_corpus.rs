//! Every input kept by the fuzzer, read once more: no reader may panic on any of them.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_core::capture::ForceCapture;
use cornerwork_io::readers::c3d;
use cornerwork_io::readers::delimited::{ColumnChoices, Delimited, Wanted};
use cornerwork_io::readers::parquet::{ParquetFile, ParquetFileError};
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

fn parquet(path: &Path) -> Result<ForceCapture, ParquetFileError> {
    let file = ParquetFile::open(File::open(path).unwrap())?;
    let mapping = file.propose(Wanted::Force, &ColumnChoices::default())?;
    file.force(&mapping, Some(1000.0))
}

#[test]
fn parquet_files() {
    assert_some_are_read_and_some_are_not(replay("parquet", |path| parquet(path).is_ok()));
}

/// Files broken in one place each by `oracles/broken_parquet.py`, and what is said of them.
#[test]
fn broken_parquet_files_are_refused_with_a_sentence() {
    for (name, sentence) in [
        ("page_by_a_dictionary_never_written", "a dictionary that the file does not hold"),
        ("dictionary_stepped_over", "a dictionary that the file does not hold"),
        ("page_claims_2e60_elements", "header of a page is damaged"),
        ("page_claims_2_gigabytes", "claims to unpack to more than 256 megabytes"),
        ("levels_longer_than_the_page", "levels of a page are longer than the page"),
        ("one_run_claims_a_billion_rows", "claims more than 67 million rows"),
        ("claims_2e60_elements", "its description is damaged or claims more than the file holds"),
        ("negative_length", "lies before the start of the file"),
    ] {
        let path =
            format!("{}/../../fuzz/corpus/parquet/{name}.parquet", env!("CARGO_MANIFEST_DIR"));
        let error = parquet(Path::new(&path)).unwrap_err().to_string();
        assert!(error.contains(sentence), "{name}: {error}");
    }
}
