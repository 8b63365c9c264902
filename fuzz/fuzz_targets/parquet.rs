//! Any bytes as Parquet: an answer or an error.
#![no_main]

use cornerwork_io::readers::delimited::{ColumnChoices, Wanted};
use cornerwork_io::readers::parquet::ParquetFile;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(file) = ParquetFile::open(bytes::Bytes::copy_from_slice(bytes)) else { return };
    let Ok(mapping) = file.propose(Wanted::Force, &ColumnChoices::default()) else { return };
    let _ = file.force(&mapping, Some(1000.0));
});
