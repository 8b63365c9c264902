//! Any bytes as Parquet: an answer or an error.
#![no_main]

use cornerwork_io::readers::delimited::{ColumnChoices, Wanted};
use cornerwork_io::readers::parquet::ParquetFile;
use libfuzzer_sys::fuzz_target;
use std::sync::Once;

/// The fuzzer's hook ends the process at every panic, also at one that the reader catches.
static QUIET: Once = Once::new();

fuzz_target!(|bytes: &[u8]| {
    QUIET.call_once(|| std::panic::set_hook(Box::new(|_| ())));
    let Ok(file) = ParquetFile::open(bytes::Bytes::copy_from_slice(bytes)) else { return };
    let Ok(mapping) = file.propose(Wanted::Force, &ColumnChoices::default()) else { return };
    let _ = file.force(&mapping, Some(1000.0));
});
