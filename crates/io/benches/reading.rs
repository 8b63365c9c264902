//! Files to numbers: a recording of 5 s at 1000 Hz, in memory, with its time and force.
//!
//! `cargo bench -p cornerwork-io --bench reading`

use bytes::Bytes;
use cornerwork_core::capture::ForceCapture;
use cornerwork_io::readers::delimited::{ColumnChoices, Delimited, Wanted};
use cornerwork_io::readers::parquet::ParquetFile;
use cornerwork_testkit::synthetic::countermovement::SmoothJump;
use cornerwork_testkit::synthetic::noisy;
use divan::Bencher;
use divan::counter::BytesCount;
use parquet::data_type::DoubleType;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;
use std::error::Error;
use std::sync::Arc;

fn main() {
    divan::main();
}

fn samples() -> Vec<(f64, f64)> {
    let mut force_n = noisy(&SmoothJump::default().force_n(1000.0), 2.0, 1);
    force_n.truncate(5000);
    let in_milli = |value: f64| (value * 1000.0).round() / 1000.0;
    (0..).zip(force_n).map(|(i, force)| (f64::from(i) / 1000.0, in_milli(force))).collect()
}

/// Time and force as text, by a row's writer.
fn text(heading: &str, row: impl Fn(f64, f64) -> String) -> String {
    let rows = samples().into_iter().map(|(time_s, force_n)| row(time_s, force_n));
    std::iter::once(format!("{heading}\n")).chain(rows).collect()
}

fn read_text(text: &str) -> Result<ForceCapture, Box<dyn Error>> {
    let table = Delimited::open(text.as_bytes(), None)?;
    let mapping = table.propose(Wanted::Force, &ColumnChoices::default())?;
    Ok(table.force(&mapping, None)?)
}

fn bench_text(bencher: Bencher, text: &str) {
    bencher.counter(BytesCount::of_str(text)).bench(|| read_text(text).map_err(drop));
}

#[divan::bench]
fn commas(bencher: Bencher) {
    bench_text(bencher, &text("time_s,force_n", |t, f| format!("{t:.3},{f:.3}\n")));
}

#[divan::bench]
fn decimal_commas(bencher: Bencher) {
    let row = |t, f| format!("{t:.3};{f:.3}\n").replace('.', ",");
    bench_text(bencher, &text("time_s;force_n", row));
}

/// Six columns of which two are wanted.
#[divan::bench]
fn tabs_with_other_columns(bencher: Bencher) {
    let row = |t, f| format!("{t:.3}\t{:.3}\t{:.3}\t{f:.3}\tstance\t0\n", f / 30.0, f / 50.0);
    bench_text(bencher, &text("time_s\tFx\tFy\tFz\tphase\tmark", row));
}

/// Every digit of the double, as some programs write them: beyond the quick way.
#[divan::bench]
fn all_digits(bencher: Bencher) {
    bench_text(bencher, &text("time_s,force_n", |t, f| format!("{t},{:.13}\n", f / 1.000_001)));
}

#[divan::bench]
fn parquet(bencher: Bencher) {
    let Ok(bytes) = parquet_file() else { return };
    bencher.counter(BytesCount::new(bytes.len())).bench(|| {
        let read = || -> Result<ForceCapture, Box<dyn Error>> {
            let file = ParquetFile::open(bytes.clone())?;
            let mapping = file.propose(Wanted::Force, &ColumnChoices::default())?;
            Ok(file.force(&mapping, None)?)
        };
        read().map_err(drop)
    });
}

fn parquet_file() -> Result<Bytes, Box<dyn Error>> {
    let schema = "message m { REQUIRED DOUBLE time_s; REQUIRED DOUBLE force_n; }";
    let schema = Arc::new(parse_message_type(schema)?);
    let properties = Arc::new(WriterProperties::builder().build());
    let mut writer = SerializedFileWriter::new(Vec::new(), schema, properties)?;
    let mut group = writer.next_row_group()?;
    let (times_s, forces_n): (Vec<f64>, Vec<f64>) = samples().into_iter().unzip();
    for values in [times_s, forces_n] {
        let Some(mut column) = group.next_column()? else { break };
        column.typed::<DoubleType>().write_batch(&values, None, None)?;
        column.close()?;
    }
    group.close()?;
    Ok(writer.into_inner()?.into())
}
