//! The estimator against `oracles/load_momentum.py`, which evaluates the same model by another
//! road: multivariate Student's t densities, their conditionals, searches and fine integrals.

use cornerwork_core::estimate::Estimate;
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumPriors, LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::units::{Length, Mass};
use serde_json::Value;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number in the golden file")
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list in the golden file").iter().map(number).collect()
}

fn profile_of(case: &Value) -> LoadMomentumProfile {
    let jumps: Vec<LoadedJump> = (numbers(&case["loads_kg"]).into_iter())
        .zip(numbers(&case["heights_m"]))
        .map(|(kg, height_m)| {
            let (load, height) = (Mass::kilograms(kg), Length::metres(height_m));
            LoadedJump::of_height(load, height, HeightMethod::FlightTime)
        })
        .collect();
    let priors = match case["hex_bar"].as_bool() {
        Some(true) => LoadMomentumPriors::HEX_BAR,
        _ => LoadMomentumPriors::STRAIGHT_BAR,
    };
    let settings = LoadMomentumSettings { priors, ..LoadMomentumSettings::default() };
    let body_mass = Mass::kilograms(number(&case["body_mass_kg"]));
    LoadMomentumProfile::fit(body_mass, &jumps, &settings).expect("usable jumps").value
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "found {found}, expected {expected} ± {within}");
}

#[track_caller]
fn same_height(found: &Estimate<Length>, expected: &Value) {
    near(found.value.in_metres(), number(&expected["mean"]), 1e-6);
    // Falls of less than a billionth are left out; the distribution function is tabulated to 1e-5.
    near(found.interval.low.in_metres(), number(&expected["low"]), 1e-5);
    near(found.interval.high.in_metres(), number(&expected["high"]), 1e-5);
}

#[test]
fn the_estimator_agrees_with_scipy() {
    let golden = include_str!("../../../testdata/golden/load_momentum.json");
    let golden: Value = serde_json::from_str(golden).unwrap();
    let cases = golden["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 12);
    for case in cases {
        let profile = profile_of(case);
        let half = profile.body_mass() * 0.5;
        for (found, expected) in
            profile.family_probabilities().into_iter().zip(numbers(&case["families"]))
        {
            near(found, expected, 1e-9);
        }
        let peak = profile.peak();
        // Searched peaks are flat: good to 1e-6 kg.
        near(peak.load.value.in_kilograms(), number(&case["peak_kg"]), 1e-5);
        near(profile.peak_load_sd().in_kilograms(), number(&case["peak_sd_kg"]), 1e-5);
        near(peak.load.interval.low.in_kilograms(), number(&case["peak_low_kg"]), 1e-4);
        near(peak.load.interval.high.in_kilograms(), number(&case["peak_high_kg"]), 1e-4);
        near(profile.mean_share_at_half_body_mass(), number(&case["share_at_half"]), 1e-9);
        near(profile.unloaded_height().in_metres(), number(&case["unloaded_height_m"]), 1e-9);
        near(peak.height.in_metres(), number(&case["height_at_peak_m"]), 1e-6);
        near(profile.expected_loss(half), number(&case["loss_at_half"]), 1e-9);
        let chance = number(&case["chance_1_percent_at_half"]);
        near(profile.chance_of_losing(0.01, half), chance, 1e-9);
        for (fraction, key) in [(0.01, "band_1_percent_kg"), (0.02, "band_2_percent_kg")] {
            match (profile.band(fraction), case[key].is_null()) {
                (None, true) => {}
                (Some(band), false) => {
                    let ends = numbers(&case[key]);
                    near(band.from.in_kilograms(), ends[0], 1e-5);
                    near(band.to.in_kilograms(), ends[1], 1e-5);
                }
                (found, _) => panic!("band {found:?}, expected {}", case[key]),
            }
        }
        same_height(&profile.mean_height(half), &case["mean_height_at_half"]);
        same_height(&profile.predicted_height(half), &case["next_height_at_half"]);
        let momentum = numbers(&case["momentum_at_peak"]);
        near(peak.momentum.value.in_kilogram_metres_per_second(), momentum[0], 2e-3);
        near(peak.momentum.interval.low.in_kilogram_metres_per_second(), momentum[1], 0.02);
        near(peak.momentum.interval.high.in_kilogram_metres_per_second(), momentum[2], 0.02);
        // A hundred and twenty-one velocities stand for the integral over all.
        for (load, key) in [
            (half, "sd_after_one_at_half_kg"),
            (profile.body_mass(), "sd_after_one_at_body_mass_kg"),
        ] {
            let expected = number(&case[key]);
            near(profile.peak_load_sd_after(load).in_kilograms(), expected, 0.03 * expected);
        }
    }
}
