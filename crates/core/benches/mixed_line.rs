//! Lines of a squad: the fit at three sizes, and one rep more at the rack.
//!
//! `cargo bench -p cornerwork-core --bench mixed_line`; compare with `oracles/time_mixed_line.py`.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot make its data has failed")]

use cornerwork_core::stats::mixed_line::{Group, LineBelief, LinePopulation, MixedLine};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

fn main() {
    divan::main();
}

/// Athletes with five loads each: velocity 1.70 ± 0.14 falling by 0.0100 ± 0.0016 each kg.
fn squad(athletes: usize) -> Vec<Group> {
    let mut random = ChaCha8Rng::seed_from_u64(20_261_125);
    let mut normal = || -> f64 { StandardNormal.sample(&mut random) };
    (0..athletes)
        .map(|_| {
            let (intercept, slope) = (1.70 + 0.14 * normal(), -0.0100 + 0.0016 * normal());
            let point = |x: f64| (x, intercept + slope * x + 0.06 * normal());
            Group::of([20.0, 35.0, 50.0, 65.0, 80.0].map(point))
        })
        .collect()
}

#[divan::bench(args = [10, 1_000, 100_000], sample_count = 5)]
fn restricted_likelihood(bencher: divan::Bencher, athletes: usize) {
    let groups = squad(athletes);
    bencher.bench_local(|| MixedLine::fit(divan::black_box(&groups)).unwrap());
}

#[divan::bench(args = [10, 1_000, 100_000], sample_count = 5)]
fn averaged_population(bencher: divan::Bencher, athletes: usize) {
    let groups = squad(athletes);
    bencher.bench_local(|| LinePopulation::fit(divan::black_box(&groups), None).unwrap());
}

fn newcomer() -> LineBelief {
    LinePopulation::fit(&squad(24), None).unwrap().value.newcomer(&[]).updated(20.0, 1.52)
}

#[divan::bench]
fn one_rep_more(bencher: divan::Bencher) {
    let belief = newcomer();
    bencher.bench_local(|| divan::black_box(&belief).updated(60.0, 1.12));
}

#[divan::bench]
fn one_rep_more_and_the_load_for_a_target(bencher: divan::Bencher) {
    let belief = newcomer().updated(80.0, 0.91);
    let level = cornerwork_core::estimate::Level::USUAL;
    bencher.bench_local(|| divan::black_box(&belief).updated(60.0, 1.12).falls_to(0.5, level));
}
