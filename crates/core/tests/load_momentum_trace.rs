//! The estimator and the next load, step by step, against a run of the same model in numpy that
//! was printed before this code was written. That run looked for the peak in whole kilograms;
//! here it is in closed form, hence tolerances of a twentieth of a kilogram.

use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, StopCause, next_load};
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::units::{Acceleration, Length, Mass};

/// One step of the run: jumps so far, E[L*], SD, best load, expected loss %, P(loss > 1 %),
/// weights of the families.
struct Step {
    jumps: usize,
    peak_kg: f64,
    sd_kg: f64,
    best_kg: f64,
    loss_percent: f64,
    chance: f64,
    families: Option<[f64; 4]>,
}

const JUMPS: [(f64, f64); 5] =
    [(0.0, 0.380), (0.0, 0.372), (40.0, 0.225), (80.0, 0.130), (80.0, 0.122)];

fn profile_of(count: usize) -> LoadMomentumProfile {
    let jumps: Vec<LoadedJump> = (JUMPS[..count].iter())
        .map(|&(kg, height_m)| {
            let (load, height) = (Mass::kilograms(kg), Length::metres(height_m));
            LoadedJump::of_height(load, height, HeightMethod::NotStated)
        })
        .collect();
    let gravity = Acceleration::metres_per_second_squared(9.81);
    let settings = LoadMomentumSettings { gravity, ..LoadMomentumSettings::default() };
    LoadMomentumProfile::fit(Mass::kilograms(80.0), &jumps, &settings)
        .expect("jumps are usable")
        .value
}

/// Nothing, then 20 to 100 kg in steps of 2.5 kg.
fn finely_loadable() -> Vec<Mass> {
    let loaded = (0..=32).map(|step| Mass::kilograms(20.0 + 2.5 * f64::from(step)));
    [Mass::ZERO].into_iter().chain(loaded).collect()
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "found {found}, expected {expected} ± {within}");
}

#[test]
fn what_is_known_after_each_jump() {
    let prior = [0.15, 0.25, 0.30, 0.30];
    #[rustfmt::skip]
    let steps = [
        Step { jumps: 2, peak_kg: 51.18, sd_kg: 24.36, best_kg: 42.5, loss_percent: 2.6917, chance: 0.5326, families: Some(prior) },
        Step { jumps: 3, peak_kg: 57.42, sd_kg: 15.90, best_kg: 50.0, loss_percent: 0.9856, chance: 0.3938, families: None },
        Step { jumps: 4, peak_kg: 64.09, sd_kg: 10.37, best_kg: 60.0, loss_percent: 0.3299, chance: 0.0935, families: Some([0.0058, 0.1655, 0.3900, 0.4387]) },
        Step { jumps: 5, peak_kg: 61.03, sd_kg: 8.05, best_kg: 60.0, loss_percent: 0.2055, chance: 0.0254, families: Some([0.0051, 0.1889, 0.4248, 0.3812]) },
    ];
    for step in steps {
        let profile = profile_of(step.jumps);
        near(profile.peak().load.value.in_kilograms(), step.peak_kg, 0.05);
        near(profile.peak_load_sd().in_kilograms(), step.sd_kg, 0.05);
        let best = profile.least_loss_among(finely_loadable()).unwrap();
        assert_eq!(best, Mass::kilograms(step.best_kg));
        near(100.0 * profile.expected_loss(best), step.loss_percent, 0.002);
        near(profile.chance_of_losing(0.01, best), step.chance, 5e-4);
        let families = profile.family_probabilities();
        for (found, expected) in families.into_iter().zip(step.families.unwrap_or(families)) {
            near(found, expected, 6e-5);
        }
    }
    let last = profile_of(5);
    near(last.unloaded_height().in_metres(), 0.3761, 5e-5);
    near(last.mean_share_at_half_body_mass(), 0.5969, 5e-5);
}

#[test]
fn the_load_that_leaves_the_least_variance() {
    // The numpy run chose 40, 75 and 80 kg of a 5 kg grid, at most half a body mass above the
    // heaviest so far with a mean height of 0.12 m, and stopped after the fifth jump.
    let loadable: Vec<Mass> = (0..=20).map(|step| Mass::kilograms(5.0 * f64::from(step))).collect();
    let rules = NextLoadRules { too_low_chance: 1.0, ..NextLoadRules::TEST_DAY };
    let half_a_body_mass_above =
        |profile: &LoadMomentumProfile| profile.tested_range().high + profile.body_mass() * 0.5;
    for (jumps, expected_kg) in [(2, 40.0), (3, 75.0), (4, 80.0)] {
        let profile = profile_of(jumps);
        let heaviest_next = half_a_body_mass_above(&profile);
        match next_load(Some(&profile), &loadable, heaviest_next, &rules) {
            NextLoad::Test(test) => assert_eq!(test.load, Mass::kilograms(expected_kg)),
            NextLoad::Stop(end) => panic!("stopped after {jumps} jumps: {}", end.reason),
        }
    }
    let profile = profile_of(5);
    match next_load(Some(&profile), &loadable, half_a_body_mass_above(&profile), &rules) {
        NextLoad::Stop(end) => {
            assert_eq!(end.cause, StopCause::BandIsEnough);
            assert_eq!(end.use_load, Some(Mass::kilograms(60.0)));
        }
        NextLoad::Test(test) => panic!("goes on: {}", test.reason),
    }
}
