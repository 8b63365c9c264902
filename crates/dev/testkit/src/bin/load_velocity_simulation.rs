//! Prints the tables of `docs/load-velocity-simulation.md`.

use cornerwork_testkit::load_velocity_simulation::{
    ALMOST_FLAT, Compared, Curve, DESIGNS, Design, Drawn, SLIGHT_FALLS, Scatter, simulate,
};

const SEED: u64 = 20_261_201;
const SCATTERS: [Scatter; 2] = [Scatter::Normal, Scatter::HeavyTailed];
/// Standard deviations of a rep, m/s.
const NOISES: [f64; 2] = [0.03, 0.045];
/// Where velocities are asked for, as shares of the way from the lightest load to the heaviest.
const SHARES: [f64; 4] = [0.15, 0.4, 0.6, 0.85];

fn main() {
    let tables = std::env::args().nth(1).and_then(|count| count.parse().ok()).unwrap_or(250);
    println!(
        "| test | curve | fastest rep, straight line, % | all reps, straight line, % | this profile, % | worst velocity, % | width, kg (straight) | says it bends, % |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for design in DESIGNS {
        for curve in Curve::ALL {
            println!("{}", row(design, curve, tables));
        }
    }
    println!();
    println!(
        "| slope, m/s for each kg | straight line answers, % | and holds, % | this profile answers, % | and holds, % |"
    );
    println!("|---|---|---|---|---|");
    for slope in SLIGHT_FALLS {
        println!("{}", slight(slope, tables));
    }
}

/// Both noises and both shapes of scatter together, for each share of the way.
fn each(design: Design, tables: u32, truth: impl Fn(f64) -> f64, shares: &[f64]) -> Vec<Compared> {
    let mut all = vec![Compared::default(); shares.len()];
    for scatter in SCATTERS {
        for sd_m_s in NOISES {
            let drawn = Drawn { design, sd_m_s, scatter, tables, seed: SEED };
            for (sum, one) in all.iter_mut().zip(simulate(&drawn, &truth, shares)) {
                *sum = sum.with(one);
            }
        }
    }
    all
}

fn row(design: Design, curve: Curve, tables: u32) -> String {
    let by_share = each(design, tables, |load| curve.velocity_m_s(load), &SHARES);
    let all = by_share.iter().copied().fold(Compared::default(), Compared::with);
    let worst = by_share.iter().map(|one| one.profile.held()).fold(1.0, f64::min);
    format!(
        "| {} | {} | {:.0} | {:.0} | {:.0} | {:.0} | {:.1} ({:.1}) | {:.0} |",
        design.name,
        curve.name(),
        100.0 * all.fastest.held(),
        100.0 * all.straight.held(),
        100.0 * all.profile.held(),
        100.0 * worst,
        all.profile.width_kg(),
        all.straight.width_kg(),
        100.0 * all.says_it_bends(),
    )
}

fn slight(slope: f64, tables: u32) -> String {
    let all = each(ALMOST_FLAT, tables, |load| 0.9 + slope * (load - 25.0), &[0.0, 0.5, 1.0, 2.0]);
    let all = all.into_iter().fold(Compared::default(), Compared::with);
    format!(
        "| {slope:.3} | {:.0} | {:.0} | {:.0} | {:.0} |",
        100.0 * all.straight.answered(),
        100.0 * all.straight.held(),
        100.0 * all.profile.answered(),
        100.0 * all.profile.held(),
    )
}
