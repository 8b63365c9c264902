//! What is written comes back, and what is no recording is refused.

use super::*;
use ::parquet::data_type::{DoubleType, Int64Type};
use ::parquet::file::properties::WriterProperties;
use ::parquet::file::writer::SerializedFileWriter;
use ::parquet::schema::parser::parse_message_type;
use cornerwork_core::capture::Sampling;
use proptest::prelude::*;
use std::fs::File;
use std::io::{Seek, Write};
use std::sync::Arc;

/// Times in milliseconds and forces; a force that is missing is `None`.
fn write(times: &[i64], forces: &[Option<f64>]) -> File {
    let schema = "message m { REQUIRED INT64 time_ms; OPTIONAL DOUBLE force_n; }";
    let schema = Arc::new(parse_message_type(schema).unwrap());
    let mut file = tempfile::tempfile().unwrap();
    let properties = Arc::new(WriterProperties::builder().build());
    let mut writer =
        SerializedFileWriter::new(file.try_clone().unwrap(), schema, properties).unwrap();
    // Two row groups, to be put together again.
    let middle = times.len() / 2;
    for part in [0..middle, middle..times.len()] {
        let mut group = writer.next_row_group().unwrap();
        let mut column = group.next_column().unwrap().unwrap();
        column.typed::<Int64Type>().write_batch(&times[part.clone()], None, None).unwrap();
        column.close().unwrap();
        let mut column = group.next_column().unwrap().unwrap();
        let levels: Vec<i16> =
            forces[part.clone()].iter().map(|force| i16::from(force.is_some())).collect();
        let present: Vec<f64> = forces[part].iter().copied().flatten().collect();
        column.typed::<DoubleType>().write_batch(&present, Some(&levels), None).unwrap();
        column.close().unwrap();
        group.close().unwrap();
    }
    writer.close().unwrap();
    file.rewind().unwrap();
    file
}

fn read(file: File) -> Result<ForceCapture, ParquetFileError> {
    let file = ParquetFile::open(file)?;
    let mapping = file.propose(Wanted::Force, &ColumnChoices::default())?;
    file.force(&mapping, None)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    #[test]
    fn what_is_written_comes_back(forces in prop::collection::vec(-3e4..3e4f64, 4..20_000)) {
        let times: Vec<i64> = (0..forces.len() as i64).collect();
        let present: Vec<Option<f64>> = forces.iter().copied().map(Some).collect();
        let capture = read(write(&times, &present)).unwrap();
        prop_assert_eq!(&capture.plates[0].vertical_force_n, &forces);
        let stamps: Vec<f64> = times.iter().map(|&time| time as f64 / 1000.0).collect();
        prop_assert_eq!(capture.time, Sampling::stamps(stamps));
    }

    #[test]
    fn no_change_of_a_few_bytes_makes_it_panic(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6)
    ) {
        let times: Vec<i64> = (0..64).collect();
        let mut file = write(&times, &[Some(700.0); 64]);
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut file, &mut bytes).unwrap();
        for (index, byte) in changes {
            let at = index.index(bytes.len());
            bytes[at] = byte;
        }
        let mut changed = tempfile::tempfile().unwrap();
        changed.write_all(&bytes).unwrap();
        let _ = read(changed);
    }
}

#[test]
fn a_missing_or_impossible_value_names_its_row() {
    let times: Vec<i64> = (0..9).collect();
    let mut forces = vec![Some(700.0); 9];
    forces[6] = None;
    assert!(matches!(
        read(write(&times, &forces)),
        Err(ParquetFileError::MissingValue { row: 7, .. })
    ));
    forces[6] = Some(f64::NAN);
    assert!(matches!(
        read(write(&times, &forces)),
        Err(ParquetFileError::NotFinite { row: 7, .. })
    ));
}

#[test]
fn what_is_no_parquet_is_refused() {
    let mut file = tempfile::tempfile().unwrap();
    file.write_all(b"PAR1 and nothing more").unwrap();
    assert!(matches!(read(file), Err(ParquetFileError::Unreadable(_))));
}
