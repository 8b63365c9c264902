//! Prints `docs/jump-doubt.md`: whether the 90 % intervals of a jump from force hold the truth when
//! the athlete sways.
//!
//! Run: `cargo run --release -p cornerwork-testkit --bin jump_doubt > docs/jump-doubt.md`

use cornerwork_core::capture::{ForceCapture, Sampling};
use cornerwork_core::metrics::{MetricSet, trials};
use cornerwork_core::trial::countermovement_jump::{Rules, read};
use cornerwork_core::trial::{Conditions, TrialError};
use cornerwork_testkit::synthetic::swaying::{Sway, SwayingJump};
use std::ops::Range;

const RATE_HZ: f64 = 1000.0;
const JUMPS: u64 = 120;
/// What is done to a recording before it is read.
#[derive(Clone, Copy)]
enum Landing {
    /// Landed, and stood for 1.5 s.
    Stood,
    /// Stepped off at once: nothing after the flight is known.
    Lost,
}

fn main() -> Result<(), TrialError> {
    let jumps = std::env::args().nth(1).and_then(|count| count.parse().ok()).unwrap_or(JUMPS);
    println!("# Whether the intervals of a jump hold\n");
    println!(
        "Printed by `cargo run --release -p cornerwork-testkit --bin jump_doubt` ({jumps} jumps a row, seeds \
         from nothing on); do not edit by hand. Random countermovement jumps from formulas (45 to \
         120 kg, take-off at 1.6 to 3.4 m/s, noise of 0.5 to 4 N at 1000 Hz), and an athlete who \
         sways before and after by models that are not the program's own \
         (`crates/dev/testkit/src/synthetic/swaying.rs`): one slow oscillation of 0.3 to 0.6 Hz, that \
         and one of 1 to 2 Hz, or forty between 0.2 and 2 Hz. What the body moves with when the jump \
         begins is part of the truth.\n"
    );
    println!(
        "Errors in mm of height from impulse, as standard deviation about the truth; `said` is the \
         median standard error; then the share of jumps whose 90 % interval holds the truth, of height \
         and of take-off velocity, and of those withheld.\n"
    );
    println!(
        "| sway, of weight | stood before, s | landing | error | said | height held | velocity held | withheld |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for (name, sway) in [
        ("none", Sway::None),
        ("two tones .05 to .1 %", Sway::TwoTones(0.0005..0.001)),
        ("two tones .1 to .3 %", Sway::TwoTones(0.001..0.003)),
        ("two tones .2 to .6 %", Sway::TwoTones(0.002..0.006)),
        ("one slow tone .1 to .3 %", Sway::OneTone(0.001..0.003)),
        ("band .03 to .1 %", Sway::Band(0.0003..0.001)),
        ("band .1 to .3 %", Sway::Band(0.001..0.003)),
    ] {
        for stood in [1.5..2.5, 2.5..3.5] {
            for landing in [Landing::Stood, Landing::Lost] {
                row(name, &sway, &stood, landing, jumps)?;
            }
        }
    }
    println!(
        "\nA stance under 2.5 s and no landing is too little to see an oscillation of 2 to 3 s by: the \
         interval then holds too seldom, least of all for one slow tone alone. With 1.5 s of standing \
         after the landing it holds as it should, a little too often where sway is large. Before this \
         weighing the error was the same with and without a landing: 2 mm at .05 to .1 %, 4.7 mm at \
         .1 to .3 %, 9 mm at .2 to .6 %, of which 5 to 10 % were held by what was said."
    );
    Ok(())
}

fn row(
    name: &str,
    sway: &Sway,
    stood: &Range<f64>,
    landing: Landing,
    jumps: u64,
) -> Result<(), TrialError> {
    let (mut squares, mut said) = (0.0, Vec::new());
    let (mut of_height, mut of_velocity) = (0_u32, 0_u32);
    for seed in 0..jumps {
        let jump = SwayingJump::of(seed, sway, stood.clone(), 1.5);
        let set = numbers(&jump, landing)?;
        let Some(height) = set.metric("height_from_impulse_m") else { continue };
        let Some(velocity) = set.metric("take_off_velocity_m_s") else { continue };
        squares += (height.value - jump.height_m()).powi(2);
        said.push(height.standard_error.unwrap_or_default());
        let holds = |metric: &cornerwork_core::metrics::Metric, truth: f64| {
            metric.interval().is_some_and(|interval| interval.contains(truth))
        };
        of_height += u32::from(holds(height, jump.height_m()));
        of_velocity += u32::from(holds(velocity, jump.take_off_velocity_m_s()));
    }
    said.sort_by(f64::total_cmp);
    let read = said.len();
    let percent = |held: u32| 100.0 * f64::from(held) / read as f64;
    println!(
        "| {name} | {} to {} | {} | {:.2} | {:.2} | {:.1} % | {:.1} % | {} |",
        stood.start,
        stood.end,
        match landing {
            Landing::Stood => "stood 1.5 s",
            Landing::Lost => "stepped off",
        },
        1000.0 * (squares / read as f64).sqrt(),
        1000.0 * said.get(read / 2).copied().unwrap_or_default(),
        percent(of_height),
        percent(of_velocity),
        jumps as usize - read,
    );
    Ok(())
}

fn numbers(jump: &SwayingJump, landing: Landing) -> Result<MetricSet, TrialError> {
    let mut force_n = jump.force_n(RATE_HZ);
    if let Landing::Lost = landing {
        let after = force_n.len() - ((jump.still.jump.landing_s + 1.5) * RATE_HZ) as usize;
        force_n.truncate(after + 200);
    }
    let capture = ForceCapture::single(Sampling::Rate(RATE_HZ), force_n);
    Ok(trials::countermovement_jump(&read(&capture, &Conditions::default(), &Rules::default())?))
}
