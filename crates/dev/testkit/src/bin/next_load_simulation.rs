//! Prints the table of `docs/next-load-simulation.md`.

use cornerwork_core::prescription::next_load::NextLoadRules;
use cornerwork_testkit::jumping_athlete::Truth;
use cornerwork_testkit::load_test_simulation::{Draw, LadderReading, Plan, Summary, simulate};

const SEED: u64 = 20_260_923;

fn main() {
    let athletes = std::env::args().nth(1).and_then(|count| count.parse().ok()).unwrap_or(1000);
    println!(
        "| plan | truth | jumps, mean (p90) | error of the peak load, kg | momentum lost, mean % | within 2 % of the peak, % | 90 % interval holds the peak, % | tests with a jump under 10 cm, % |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for (name, plan) in plans() {
        for truth in Truth::ALL {
            let summary = simulate(Draw { truth, athletes, seed: SEED, noise: None }, &plan);
            println!("{}", row(&name, truth, &summary));
        }
    }
}

fn plans() -> Vec<(String, Plan)> {
    let readings = [
        ("straight line", LadderReading::StraightLine),
        ("parabola", LadderReading::Quadratic),
        ("log-linear", LadderReading::LogLinear),
        ("best tested load", LadderReading::BestTested),
        ("force-velocity line", LadderReading::ForceVelocityLine),
        ("this profile", LadderReading::Profile),
    ];
    let ladder = |jumps_each, reading| Plan::Ladder {
        body_masses: vec![0.0, 0.25, 0.5, 0.75, 1.0],
        jumps_each,
        reading,
    };
    let mut plans: Vec<(String, Plan)> = (readings.iter())
        .map(|(name, reading)| (format!("ladder of 10, {name}"), ladder(2, *reading)))
        .collect();
    plans.push(("ladder of 5, this profile".to_owned(), ladder(1, LadderReading::Profile)));
    for jumps in [3, 4, 5, 6, 8] {
        let rules =
            NextLoadRules { fewest_jumps: jumps, most_jumps: jumps, ..NextLoadRules::SESSION };
        plans.push((format!("guided, {jumps} jumps"), Plan::Guided(rules)));
    }
    plans.push(("**guided, session rules**".to_owned(), Plan::Guided(NextLoadRules::SESSION)));
    plans.push(("**guided, test-day rules**".to_owned(), Plan::Guided(NextLoadRules::TEST_DAY)));
    plans
}

fn row(name: &str, truth: Truth, summary: &Summary) -> String {
    let coverage = summary.coverage.map_or("-".to_owned(), |share| format!("{:.1}", share * 100.0));
    format!(
        "| {name} | {} | {:.1} ({}) | {:.1} | {:.2} | {:.1} | {coverage} | {:.1} |",
        truth.letter(),
        summary.mean_jumps,
        summary.jumps_90th_percentile,
        summary.root_mean_square_error_kg,
        summary.mean_loss * 100.0,
        summary.share_within_2_percent * 100.0,
        summary.share_below_10_cm * 100.0,
    )
}
