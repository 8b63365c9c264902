//! Lines of a squad: the fit at three sizes, and one rep more at the rack.
//!
//! `cargo bench -p cornerwork-core --bench mixed_line`; see `docs/inference-speed.md`.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot make its data has failed")]

use cornerwork_core::stats::mixed_line::{LineBelief, LinePopulation, MixedLine};
use cornerwork_testkit::lifting_squad::lifting_squad;

fn main() {
    divan::main();
}

#[divan::bench(args = [10, 1_000, 100_000], sample_count = 5)]
fn restricted_likelihood(bencher: divan::Bencher, athletes: usize) {
    let groups = lifting_squad(athletes);
    bencher.bench_local(|| MixedLine::fit(divan::black_box(&groups)).unwrap());
}

#[divan::bench(args = [10, 1_000, 100_000], sample_count = 5)]
fn averaged_population(bencher: divan::Bencher, athletes: usize) {
    let groups = lifting_squad(athletes);
    bencher.bench_local(|| LinePopulation::fit(divan::black_box(&groups), None).unwrap());
}

fn newcomer() -> LineBelief {
    LinePopulation::fit(&lifting_squad(24), None).unwrap().value.newcomer(&[]).updated(20.0, 1.52)
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
