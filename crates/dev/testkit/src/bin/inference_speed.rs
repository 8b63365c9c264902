//! Times the fit of a squad's lines and the update after one rep, for `docs/inference-speed.md`.
//!
//! Run: `cargo run --release -p cornerwork-testkit --bin inference_speed -- FOLDER`. The squads are
//! written to FOLDER, where `oracles/time_mixed_line.py` and `oracles/time_mixed_line.R` read them.
//! Seconds on the processor are those of this thread, so that a busy machine does not count.

use cornerwork_core::estimate::Level;
use cornerwork_core::prescription::next_load::{NextLoadRules, next_load};
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::stats::mixed_line::{LinePopulation, MixedLine};
use cornerwork_core::units::{Length, Mass};
use cornerwork_testkit::lifting_squad::{as_table, lifting_squad};
use std::error::Error;
use std::fmt;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

const SIZES: [usize; 5] = [10, 100, 1_000, 10_000, 100_000];
const UPDATES: usize = 2_000;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("name a folder for the squads")?;
    std::fs::create_dir_all(&folder)?;
    println!(
        "| athletes | wall, s | processor, s | line | between | residual variance | criterion |"
    );
    for athletes in SIZES {
        let squad = lifting_squad(athletes);
        std::fs::write(Path::new(&folder).join(format!("squad_{athletes}.csv")), as_table(&squad))?;
        let rounds = (10_000 / athletes).max(1);
        let (fit, spent) = timed(rounds, || MixedLine::fit(&squad));
        let fit = fit?;
        let [a, ab, b] = fit.between;
        println!(
            "| {athletes} | {spent} | {:.8e} {:.8e} | {a:.6e} {ab:.6e} {b:.6e} | {:.7e} | {:.6} |",
            fit.effects[0], fit.effects[1], fit.residual_variance, fit.criterion,
        );
        let (averaged, spent) = timed(rounds.min(100), || LinePopulation::fit(&squad, None));
        let nodes = averaged?.value.effective_nodes();
        println!("| {athletes}, averaged | {spent} | {nodes:.0} effective sets |");
    }
    update_of_a_line()?;
    load_test()
}

/// One rep more of a newcomer to a squad of 24, and the load for a target.
fn update_of_a_line() -> Result<(), Box<dyn Error>> {
    let before = LinePopulation::fit(&lifting_squad(24), None)?.value.newcomer(&[]);
    let one = before.updated(20.0, 1.52);
    let (answer, spent) =
        timed(UPDATES, || black_box(&one).updated(60.0, 1.12).falls_to(0.5, Level::USUAL));
    answer?;
    println!("| one rep more and the load for a target | {spent} |");
    Ok(())
}

/// Six jumps of a load test fitted, and the next of thirty loads chosen although enough is known.
fn load_test() -> Result<(), Box<dyn Error>> {
    let jumps: Vec<LoadedJump> =
        [(0.0, 0.380), (0.0, 0.372), (40.0, 0.225), (80.0, 0.130), (80.0, 0.122), (60.0, 0.171)]
            .map(|(kg, height_m)| {
                let (load, height) = (Mass::kilograms(kg), Length::metres(height_m));
                LoadedJump::of_height(load, height, HeightMethod::FlightTime)
            })
            .into();
    let loads: Vec<Mass> =
        (0..30_u8).map(|step| Mass::kilograms(20.0 + 1.25 * f64::from(step))).collect();
    let rules = NextLoadRules { fewest_jumps: 12, ..NextLoadRules::SESSION };
    let settings = LoadMomentumSettings::default();
    let body_mass = Mass::kilograms(80.0);
    let (profile, spent) =
        timed(UPDATES / 10, || LoadMomentumProfile::fit(body_mass, black_box(&jumps), &settings));
    println!("| six jumps fitted | {spent} |");
    let profile = profile?.value;
    let (_, spent) =
        timed(UPDATES / 10, || next_load(Some(black_box(&profile)), &loads, loads[29], &rules));
    println!("| the next of thirty loads chosen | {spent} |");
    Ok(())
}

struct Spent {
    wall_s: f64,
    /// Where the system tells.
    processor_s: Option<f64>,
}

impl fmt::Display for Spent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.processor_s {
            Some(processor_s) => write!(f, "{:.6} | {processor_s:.6}", self.wall_s),
            None => write!(f, "{:.6} | -", self.wall_s),
        }
    }
}

/// The last of so many rounds, with the mean time of one.
fn timed<T>(rounds: usize, mut work: impl FnMut() -> T) -> (T, Spent) {
    let (started, before) = (Instant::now(), processor_s());
    let mut done = work();
    for _ in 1..rounds {
        done = work();
    }
    let a_round = |total: f64| total / rounds as f64;
    let wall_s = a_round(started.elapsed().as_secs_f64());
    let processor_s = before.zip(processor_s()).map(|(before, after)| a_round(after - before));
    (done, Spent { wall_s, processor_s })
}

/// Seconds this thread has been on a processor, as Linux tells.
fn processor_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse::<f64>().ok().map(|nanoseconds| nanoseconds * 1e-9)
}
