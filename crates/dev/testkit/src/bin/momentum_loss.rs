//! Prints the table of `docs/momentum-loss.md`.
//!
//! Run: `cargo run --release -p cornerwork-testkit --bin momentum_loss -- ATHLETES [TEST ...]`

use cornerwork_core::prescription::next_load::NextLoadRules;
use cornerwork_core::units::Mass;
use cornerwork_testkit::falling_athlete::{FallNoise, FallTruth};
use cornerwork_testkit::momentum_loss::{LossSummary, Reading, Test, readings};

const SEED: u64 = 20_261_201;
const BODY_MASSES_KG: [f64; 3] = [48.0, 75.0, 120.0];

fn main() {
    let mut arguments = std::env::args().skip(1);
    let athletes = arguments.next().and_then(|count| count.parse().ok()).unwrap_or(400);
    let wanted: Vec<String> = arguments.collect();
    println!(
        "| test | fall | jumps | advised | parabola | best measured | keeps up | load held | momentum held | knee warned of | peak past tested |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|");
    for (name, test) in tests() {
        if !wanted.is_empty() && !wanted.iter().any(|one| one == name) {
            continue;
        }
        for truth in FallTruth::ALL {
            let all: Vec<Reading> = (SEED..)
                .zip(cells(&test))
                .flat_map(|(seed, (noise, mass))| {
                    let share = athletes / cells(&test).count();
                    readings(truth, noise, mass, &test, share, seed)
                })
                .collect();
            println!("{}", row(name, truth, &LossSummary::of(&all)));
        }
    }
}

/// Noise and body mass of the cells of a row.
fn cells(test: &Test) -> impl Iterator<Item = (FallNoise, Mass)> + use<> {
    let noises = match test {
        Test::Ladder(loads, 1) if loads.len() == 7 => vec![FallNoise::None],
        _ => vec![FallNoise::Normal(0.035), FallNoise::HeavyTailed(0.035)],
    };
    let masses = BODY_MASSES_KG.map(Mass::kilograms);
    noises.into_iter().flat_map(move |noise| masses.map(|mass| (noise, mass)))
}

fn tests() -> Vec<(&'static str, Test)> {
    vec![
        ("2 loads", Test::Ladder(&[0.0, 0.5], 2)),
        ("3 loads", Test::Ladder(&[0.0, 0.4, 0.8], 1)),
        ("3 lighter", Test::Ladder(&[0.0, 0.3, 0.6], 2)),
        ("4 loads", Test::Ladder(&[0.0, 0.25, 0.5, 0.75], 2)),
        ("7 loads", Test::Ladder(&[0.0, 0.15, 0.30, 0.45, 0.60, 0.75, 0.90], 2)),
        ("7 exact", Test::Ladder(&[0.0, 0.15, 0.30, 0.45, 0.60, 0.75, 0.90], 1)),
        ("session", Test::Guided(NextLoadRules::SESSION)),
        ("test day", Test::Guided(NextLoadRules::TEST_DAY)),
    ]
}

fn row(test: &str, truth: FallTruth, found: &LossSummary) -> String {
    let loss = |[mean, worst]: [f64; 2]| format!("{:.2} / {:.2}", 100.0 * mean, 100.0 * worst);
    let keeps = match found.keeps_up() {
        [true, true] => "yes",
        [true, false] => "**not the worst**",
        [false, true] => "**not the mean**",
        [false, false] => "**no**",
    };
    format!(
        "| {test} | {} | {:.1} | {} | {} | {} | {keeps} | {:.0} | {:.0} | {:.0} | {:.0} |",
        truth.word(),
        found.jumps,
        loss(found.advised),
        loss(found.parabola),
        loss(found.best_measured),
        100.0 * found.load_held,
        100.0 * found.momentum_held,
        100.0 * found.warned,
        100.0 * found.past_tested,
    )
}
