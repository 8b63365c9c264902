//! Prints `docs/calibration.md`: how often stated intervals and probabilities hold.
//!
//! Run: `cargo run --release -p cornerwork-testkit --bin calibration > docs/calibration.md`

use cornerwork_testkit::calibration::{World, coverages, pooling, reliability_diagrams};

const SEED: u64 = 20_261_125;
const CASES: usize = 10_000;
/// A diagram cuts its cases into ten bins, the upper ones thin.
const DIAGRAM_CASES: usize = 40_000;
const NEWCOMERS: usize = 2_000;

fn main() {
    println!("# Calibration: do stated intervals and probabilities hold?\n");
    println!(
        "Printed by `cargo run --release -p cornerwork-testkit --bin calibration` (seed {SEED}); \
         do not edit by hand. Worlds the models do not assume stand beside those they do, and what \
         falls short is marked.\n"
    );
    print_coverages();
    print_diagrams();
    print_pooling();
}

fn print_coverages() {
    println!("## 90 % intervals, {CASES} simulated cases each\n");
    println!("| interval | held the truth | 88 to 92 %? |\n|---|---|---|");
    for row in coverages(CASES, SEED) {
        let verdict = if row.is_near_nominal() { "yes" } else { "**no**" };
        println!("| {} | {:.1} % | {verdict} |", row.what, 100.0 * row.share());
    }
    println!(
        "\nA prior holds only where true changes are like it: a truth with heavy tails, or one far \
         out on its side, is drawn towards no change and held less often. The prior is therefore \
         printed with every answer.\n"
    );
}

fn print_diagrams() {
    println!("## Stated probability of a real rise against how often it was one\n");
    println!(
        "Noise 1.5 known on 19 degrees of freedom, smallest change that matters 1.0, {DIAGRAM_CASES} cases each.\n"
    );
    for (name, bins) in reliability_diagrams(DIAGRAM_CASES, SEED) {
        println!("**{name}**\n\n| stated, mean of bin | happened | cases |\n|---|---|---|");
        for bin in bins.iter().filter(|bin| bin.cases > 0) {
            let n = bin.cases as f64;
            println!(
                "| {:.0} % | {:.0} % | {} |",
                100.0 * bin.stated / n,
                100.0 * bin.happened as f64 / n,
                bin.cases
            );
        }
        println!();
    }
    println!(
        "A flat prior states too much wherever true changes are mostly small: read down its second \
         column. It is the answer when nothing is known of the squad, and the answer of a sceptic \
         stands beside it; with a squad's own spread of changes as prior, stated and happened agree, \
         but for the highest probabilities: where the noise was by chance estimated too small they \
         are a few points too high.\n"
    );
}

fn print_pooling() {
    println!("## Pooling: load of most momentum for a new athlete\n");
    println!(
        "Take-off velocity 2.75 ± 0.25 m/s, falling by 0.48 ± 0.08 of it at one body mass, noise \
         2.5 % (assumed, not from a paper); squad members have four jumps each; {NEWCOMERS} new \
         athletes a row. Error: root mean square, in per cent of body mass. Loss: momentum lost at \
         the load chosen, in per cent of the true peak.\n"
    );
    println!(
        "| squad | world | jumps | error alone | error pooled | loss alone | loss pooled | 90 % held | no answer |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    let worlds = [World::Assumed, World::Curved, World::HeavyTails, World::UnequalNoise];
    let studies = worlds
        .map(|world| (12, world))
        .into_iter()
        .chain([(6, World::Assumed), (24, World::Assumed)]);
    for (squad, world) in studies {
        for row in pooling(world, squad, NEWCOMERS, SEED) {
            let or_dash = |value: Option<f64>, digits: usize| {
                value.map_or("-".to_owned(), |v| format!("{v:.digits$}"))
            };
            println!(
                "| {squad} | {} | {} | {} | {:.1} | {} | {:.2} | {:.0} % | {} |",
                world.word(),
                row.jumps,
                or_dash(row.alone, 1),
                row.pooled,
                or_dash(row.loss_alone, 2),
                row.loss_pooled,
                100.0 * row.covered,
                row.refused,
            );
        }
    }
}
