//! Times the fit of a squad's lines and the update after one rep, for `docs/inference-speed.md`.
//!
//! Run: `cargo run --release -p cornerwork-testkit --bin inference_speed -- FOLDER`. The squads are
//! written to FOLDER, where `oracles/time_mixed_line.py` and `oracles/time_mixed_line.R` read them.
//! Seconds on the processor are those of this thread, so that a busy machine does not count.

use cornerwork_core::estimate::Level;
use cornerwork_core::stats::mixed_line::{LinePopulation, MixedLine};
use cornerwork_testkit::lifting_squad::{as_table, lifting_squad};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

const SIZES: [usize; 5] = [10, 100, 1_000, 10_000, 100_000];
const UPDATES: u32 = 2_000;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("name a folder for the squads")?;
    std::fs::create_dir_all(&folder)?;
    for athletes in SIZES {
        let squad = lifting_squad(athletes);
        std::fs::write(Path::new(&folder).join(format!("squad_{athletes}.csv")), as_table(&squad))?;
        let (fit, spent) = timed(|| MixedLine::fit(&squad));
        let fit = fit?;
        println!(
            "| {athletes} | {} | {:.9} {:.9} | {:.9} {:.9} {:.9} | {:.9} | {:.6} |",
            spent.in_words(),
            fit.effects[0],
            fit.effects[1],
            fit.between[0],
            fit.between[1],
            fit.between[2],
            fit.residual_variance,
            fit.criterion,
        );
        let (averaged, spent) = timed(|| LinePopulation::fit(&squad, None));
        let nodes = averaged?.value.effective_nodes();
        println!("| {athletes}, averaged | {} | {nodes:.0} effective sets |", spent.in_words());
    }
    let before = LinePopulation::fit(&lifting_squad(24), None)?.value.newcomer(&[]);
    let (one, another) = (before.updated(20.0, 1.52), before.updated(20.0, 1.50));
    let (found, spent) = timed(|| {
        let again = |number: u32| {
            let belief = if number % 2 == 0 { &one } else { &another };
            belief.updated(60.0, 1.12).falls_to(0.5, Level::USUAL)
        };
        (0..UPDATES).filter(|number| again(*number).is_ok()).count()
    });
    println!(
        "one rep more and the load for a target: {:.3} ms wall, {:.3} ms processor ({found} of {UPDATES} answered)",
        1e3 * spent.wall_s / f64::from(UPDATES),
        1e3 * spent.processor_s.unwrap_or(f64::NAN) / f64::from(UPDATES),
    );
    Ok(())
}

struct Spent {
    wall_s: f64,
    /// Where the system tells.
    processor_s: Option<f64>,
}

impl Spent {
    fn in_words(&self) -> String {
        let processor = self.processor_s.map_or("-".to_owned(), |s| format!("{s:.4}"));
        format!("{:.4} | {processor}", self.wall_s)
    }
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, Spent) {
    let (started, before) = (Instant::now(), processor_s());
    let done = work();
    let wall_s = started.elapsed().as_secs_f64();
    let processor_s = before.zip(processor_s()).map(|(before, after)| after - before);
    (done, Spent { wall_s, processor_s })
}

/// Seconds this thread has been on a processor, as Linux tells.
fn processor_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse::<f64>().ok().map(|nanoseconds| nanoseconds * 1e-9)
}
