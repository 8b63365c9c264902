//! Prints `docs/calibration.md`: how often stated intervals and probabilities hold.
//!
//! Run: `cargo run --release -p cornerwork-testkit --bin calibration -- docs/pictures/calibration.svg > docs/calibration.md`

use cornerwork_testkit::calibration::{
    Bin, Coverage, World, change_rules, chart_alarms, coverages, guessed_noise, pooling,
    reliability_diagrams, svg,
};

const SEED: u64 = 20_261_125;
const CASES: usize = 10_000;
/// A diagram cuts its cases into ten bins, the upper ones thin.
const DIAGRAM_CASES: usize = 40_000;
const NEWCOMERS: usize = 2_000;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let picture = std::env::args().nth(1).ok_or("name a file for the picture")?;
    println!("# Calibration: do stated intervals and probabilities hold?\n");
    println!(
        "Printed by `cargo run --release -p cornerwork-testkit --bin calibration -- docs/pictures/calibration.svg` \
         (seed {SEED}); do not edit by hand. Worlds the models do not assume stand beside those they do, and what \
         falls short is marked.\n"
    );
    print_coverages();
    print_guessed_noise();
    let diagrams = reliability_diagrams(DIAGRAM_CASES, SEED);
    std::fs::write(picture, svg(&diagrams))?;
    print_diagrams(&diagrams);
    print_rules();
    print_chart();
    print_pooling();
    Ok(())
}

fn print_coverages() {
    println!("## 90 % intervals, {CASES} simulated cases each\n");
    print_rows(&coverages(CASES, SEED));
    println!(
        "\nA prior holds only where true changes are like it: a truth with heavy tails, or one far \
         out on its side, is drawn towards no change and held less often. The prior is therefore \
         printed with every answer.\n"
    );
}

fn print_rows(rows: &[Coverage]) {
    println!("| interval | held the truth | 88 to 92 %? |\n|---|---|---|");
    for row in rows {
        let verdict = if row.is_near_nominal() { "yes" } else { "**no**" };
        println!("| {} | {:.1} % | {verdict} |", row.what, 100.0 * row.share());
    }
}

fn print_guessed_noise() {
    println!("## The same where the noise is a guess, or the athlete was picked\n");
    print_rows(&guessed_noise(CASES, SEED));
    println!(
        "\nTrials of one day show how far a trial strays and say nothing of the days: where a day \
         truly strays twice as far as assumed the interval is too short. A published noise that is \
         wrong by a half is corrected by the series only as days come in. An athlete picked for a \
         low test rises without having changed, unless the squad is given.\n"
    );
}

fn print_rules() {
    println!("## How often each rule says \"better\"\n");
    println!(
        "One test before, one after, {CASES} cases a cell; true change and noise in smallest changes \
         that matter. The first column of a good rule is small, the last large.\n"
    );
    println!("| rule | noise | no change | 1 | 2 | 3 |\n|---|---|---|---|---|---|");
    for row in change_rules(CASES, SEED) {
        let [none, one, two, three] = row.called.map(|share| 100.0 * share);
        println!(
            "| {} | {} | {none:.1} % | {one:.0} % | {two:.0} % | {three:.0} % |",
            row.rule, row.noise
        );
    }
    println!();
}

fn print_chart() {
    println!("## Chart of weekly jumps: how often it flags\n");
    println!("{CASES} athletes a row; shift in standard deviations of a day.\n");
    println!("| shift | baseline days | within 4 weeks | within 12 weeks |\n|---|---|---|---|");
    for row in chart_alarms(CASES, SEED) {
        let [soon, late] = row.flagged.map(|share| 100.0 * share);
        println!("| {} | {} | {soon:.0} % | {late:.0} % |", row.shift, row.baseline);
    }
    println!(
        "\nShift 0 is nothing but false alarms: with eight baseline days the limits are themselves in \
         doubt and the chart cries more often than its rules promise, so it says how young it is.\n"
    );
}

fn print_diagrams(diagrams: &[(&'static str, [Bin; 10])]) {
    println!("## Stated probability of a real rise against how often it was one\n");
    println!(
        "Noise 1.5 known on 19 degrees of freedom, smallest change that matters 1.0, {DIAGRAM_CASES} cases each.\n"
    );
    println!("![Reliability diagram](pictures/calibration.svg)\n");
    for (name, bins) in diagrams {
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
