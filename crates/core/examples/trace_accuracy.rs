//! Writes random countermovement jumps, their truth and what this crate reads from them, for the
//! second implementation in `oracles/trace_accuracy.py`.
//!
//! `cargo run --release -p cornerwork-core --example trace_accuracy -- COUNT DIRECTORY`

use cornerwork_core::capture::{ForceCapture, Sampling};
use cornerwork_core::metrics::trials;
use cornerwork_core::trial::Conditions;
use cornerwork_core::trial::countermovement_jump::{Rules, read};
use cornerwork_testkit::synthetic::countermovement::RandomJump;
use std::error::Error;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::PathBuf;

const RATE_HZ: f64 = 1000.0;
const IDS: [&str; 14] = [
    "body_mass_kg",
    "onset_s",
    "take_off_s",
    "landing_s",
    "take_off_velocity_m_s",
    "height_from_impulse_m",
    "height_from_flight_time_m",
    "countermovement_depth_m",
    "braking_duration_s",
    "propulsion_duration_s",
    "peak_force_n",
    "peak_power_w",
    "mean_power_w",
    "reactive_strength_index_modified",
];

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let count: u64 = arguments.next().ok_or("how many trials?")?.parse()?;
    let directory = PathBuf::from(arguments.next().ok_or("into which directory?")?);
    let mut samples = BufWriter::new(File::create(directory.join("force.f64"))?);
    let mut table = BufWriter::new(File::create(directory.join("trials.csv"))?);
    writeln!(table, "seed,samples,truth_mass_kg,truth_height_m,truth_depth_m,{}", IDS.join(","))?;
    for seed in 0..count {
        let random = RandomJump::of(seed);
        let force_n = random.force_n(RATE_HZ);
        for value in &force_n {
            samples.write_all(&value.to_le_bytes())?;
        }
        let (truth, length) = (random.jump.truth(), force_n.len());
        let capture = ForceCapture::single(Sampling::Rate(RATE_HZ), force_n);
        let set = trials::countermovement_jump(&read(
            &capture,
            &Conditions::default(),
            &Rules::default(),
        )?);
        let (mass, height, depth) = (random.jump.mass_kg, truth.height_m, -truth.bottom.1);
        write!(table, "{seed},{length},{mass},{height},{depth}")?;
        for id in IDS {
            let value = set.metric(id).map_or(f64::NAN, |metric| metric.value);
            write!(table, ",{value}")?;
        }
        writeln!(table)?;
    }
    Ok(())
}
