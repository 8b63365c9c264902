//! Writes random trials of a kind, their truth and what this crate reads from them, for the second
//! implementation in `oracles/trace_accuracy.py`.
//!
//! `cargo run --release -p cornerwork-core --example trace_accuracy -- KIND COUNT DIRECTORY`

use cornerwork_core::capture::{BarCapture, ForceCapture, Sampling};
use cornerwork_core::metrics::{MetricSet, trials};
use cornerwork_core::trial::{
    Conditions, TrialError, bar_reps, countermovement_jump, drop_jump, isometric, repeated_jumps,
    squat_jump,
};
use cornerwork_testkit::synthetic::random::{self, RandomTrial};
use std::error::Error;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let kind = arguments.next().ok_or("which kind of trial?")?;
    let count: u64 = arguments.next().ok_or("how many trials?")?.parse()?;
    let directory = PathBuf::from(arguments.next().ok_or("into which directory?")?);
    let mut samples = BufWriter::new(File::create(directory.join("samples.f64"))?);
    let mut table = BufWriter::new(File::create(directory.join("trials.csv"))?);
    writeln!(table, "seed,samples,rate_hz,noise,what,id,value")?;
    for seed in 0..count {
        let trial = random::trial(&kind, seed).ok_or("there is no such kind of trial")?;
        for value in &trial.samples {
            samples.write_all(&value.to_le_bytes())?;
        }
        let (length, rate_hz, noise) = (trial.samples.len(), trial.rate_hz, trial.noise);
        let truth = trial.truth.clone();
        let set = read(&kind, trial)?;
        let found = set.metrics.iter().map(|metric| ("read", metric.definition.id, metric.value));
        let truth = truth.iter().map(|&(id, value)| ("truth", id, value));
        for (what, id, value) in truth.chain(found) {
            writeln!(table, "{seed},{length},{rate_hz},{noise},{what},{id},{value}")?;
        }
    }
    Ok(())
}

fn read(kind: &str, trial: RandomTrial) -> Result<MetricSet, TrialError> {
    let time = Sampling::Rate(trial.rate_hz);
    let conditions = Conditions::default();
    if kind == "bar" {
        let capture = BarCapture { time, position_m: trial.samples, notes: Vec::new() };
        let reps = bar_reps::read(&capture, &conditions, &bar_reps::Rules::default())?;
        return Ok(trials::bar_reps(&reps).swap_remove(0));
    }
    let capture = ForceCapture::single(time, trial.samples);
    Ok(match kind {
        "countermovement-jump" => trials::countermovement_jump(&countermovement_jump::read(
            &capture,
            &conditions,
            &countermovement_jump::Rules::default(),
        )?),
        "squat-jump" => trials::squat_jump(&squat_jump::read(
            &capture,
            &conditions,
            &squat_jump::Rules::default(),
        )?),
        "drop-jump" => trials::drop_jump(&drop_jump::read(
            &capture,
            &conditions,
            &drop_jump::Rules::default(),
        )?),
        "repeated-jump" => trials::repeated_jumps(&repeated_jumps::read(
            &capture,
            &conditions,
            &repeated_jumps::Rules::default(),
        )?),
        _ => trials::isometric(&isometric::read(
            &capture,
            &conditions,
            &isometric::Rules::default(),
        )?),
    })
}
