//! Time of what a coach waits for between two jumps: `cargo bench -p cornerwork-core`.
//! `oracles/bench_curve_fit.py` times scipy's curve_fit on the same jumps.

use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, next_load};
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::units::{Length, Mass};
use divan::{Bencher, black_box};

const BODY_MASS: Mass = Mass::kilograms(80.0);
const JUMPS: [(f64, f64); 6] =
    [(0.0, 0.380), (0.0, 0.372), (40.0, 0.225), (80.0, 0.130), (80.0, 0.122), (60.0, 0.171)];

fn main() {
    divan::main();
}

fn jumps() -> Vec<LoadedJump> {
    let jump = |&(kg, height_m): &(f64, f64)| {
        let (load, height) = (Mass::kilograms(kg), Length::metres(height_m));
        LoadedJump::of_height(load, height, HeightMethod::FlightTime)
    };
    JUMPS.iter().map(jump).collect()
}

fn profile(jumps: &[LoadedJump]) -> LoadMomentumProfile {
    LoadMomentumProfile::fit(BODY_MASS, jumps, &LoadMomentumSettings::default())
        .expect("six usable jumps")
        .value
}

/// The loads that `count` steps of 1.25 kg above a bar of 20 kg make.
fn loadable(count: u32) -> Vec<Mass> {
    (0..count).map(|step| Mass::kilograms(20.0 + 1.25 * f64::from(step))).collect()
}

#[divan::bench]
fn fit_six_jumps(bencher: Bencher) {
    let jumps = jumps();
    bencher.bench(|| profile(black_box(&jumps)));
}

/// What a rep at the rack costs: the profile of the jumps before it is there.
#[divan::bench]
fn weigh_in_the_sixth_jump(bencher: Bencher) {
    let jumps = jumps();
    let before = profile(&jumps[..5]);
    bencher.bench(|| before.with_jumps(black_box(&jumps)).expect("usable jumps"));
}

/// As heavy as anyone may hang.
const HEAVIEST: Mass = Mass::kilograms(100.0);

/// The rules never let it stop, so every load is weighed.
#[divan::bench(args = [30, 60])]
fn fit_six_jumps_and_choose_the_next_load(bencher: Bencher, loads: u32) {
    let (jumps, loadable) = (jumps(), loadable(loads));
    let rules = NextLoadRules { fewest_jumps: 12, ..NextLoadRules::SESSION };
    bencher.bench(|| -> NextLoad {
        next_load(Some(&profile(black_box(&jumps))), &loadable, HEAVIEST, &rules)
    });
}

#[divan::bench]
fn curve_of_sixty_points_with_its_band(bencher: Bencher) {
    let profile = profile(&jumps());
    bencher.bench(|| profile.curve(black_box(Mass::kilograms(100.0)), 60));
}
