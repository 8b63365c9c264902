//! The load-velocity line against closed forms and its own laws.

#![allow(clippy::unwrap_used, reason = "a test that cannot build its profile has failed")]

use cornerwork_core::estimate::Estimate;
use cornerwork_core::note::Noted;
use cornerwork_core::profile::load_velocity::{
    Confidence, LoadVelocityError, LoadVelocityProfile, LoadVelocitySettings, OneRepMaxError,
    RepChoice, Threshold, VelocityRep,
};
use cornerwork_core::units::{Mass, Quantity, Velocity};
use proptest::prelude::*;

fn reps(points: &[(f64, f64)]) -> Vec<VelocityRep> {
    points
        .iter()
        .map(|&(load_kg, velocity_m_s)| VelocityRep {
            load: Mass::kilograms(load_kg),
            velocity: Velocity::metres_per_second(velocity_m_s),
        })
        .collect()
}

fn profile(points: &[(f64, f64)]) -> Noted<LoadVelocityProfile> {
    LoadVelocityProfile::from_reps(&reps(points), LoadVelocitySettings::default()).unwrap()
}

fn threshold(velocity_m_s: f64, sd_m_s: Option<f64>) -> Threshold {
    Threshold {
        velocity: Velocity::metres_per_second(velocity_m_s),
        sd: sd_m_s.map(Velocity::metres_per_second),
        source: "a test".into(),
        confidence: Confidence::Confirmed,
    }
}

#[track_caller]
fn same<Q: Quantity>(found: Estimate<Q>, expected: [f64; 3], tolerance: f64) {
    let found = [found.value, found.interval.low, found.interval.high].map(Quantity::si);
    let near = found.iter().zip(expected).all(|(f, e)| (f - e).abs() <= tolerance);
    assert!(near, "{found:?} for {expected:?}");
}

const FOUR_LOADS: [(f64, f64); 4] = [(20.0, 1.30), (40.0, 1.06), (60.0, 0.79), (80.0, 0.55)];

// Fieller's closed form evaluated in numpy and, for the same points, found as roots of the
// prediction error of statsmodels (oracles/lines.py).
#[test]
fn loads_for_velocities_are_those_of_the_closed_form() {
    let profile = profile(&FOUR_LOADS).value;
    assert!((profile.slope_m_s_per_kg() + 0.0126).abs() < 1e-12);
    assert!((profile.intercept().si() - 1.555).abs() < 1e-12);
    assert!((profile.rep_sd().si() - 0.009_486_83).abs() < 1e-8);
    let load_at = |v| profile.load_at(Velocity::metres_per_second(v)).unwrap();
    same(load_at(0.17), [109.921, 106.914, 113.217], 5e-4);
    same(load_at(0.30), [99.603, 97.043, 102.404], 5e-4);
    same(load_at(1.00), [44.048, 42.894, 45.172], 5e-4);
    let one_rep = profile.load_for_next_reps(Velocity::metres_per_second(0.17), 1).unwrap();
    same(one_rep, [109.921, 106.222, 113.910], 5e-4);
    assert!((profile.zero_velocity_load().unwrap().value.si() - 123.413).abs() < 5e-4);
}

// Two loads far apart, 1RM at 0.17 m/s (arithmetic of the two-point method, García-Ramos et al.
// 2018): 80 + (0.55 - 0.17) / 0.01275 = 109.80 kg; zero velocity at 123.14 kg.
#[test]
fn two_loads_give_a_line_with_an_assumed_error() {
    let noted = profile(&[(40.0, 1.06), (80.0, 0.55)]);
    assert!(noted.has("few-loads") && noted.has("typical-error-assumed"));
    assert!(!noted.value.scatter_was_measured());
    let one_rep_max = noted.value.one_rep_max(&threshold(0.17, Some(0.04))).unwrap();
    assert!((one_rep_max.value.value.si() - 109.804).abs() < 5e-4);
    assert!((noted.value.zero_velocity_load().unwrap().value.si() - 123.137).abs() < 5e-4);
    // z = 1.6449, error and threshold spread 0.04 m/s, two loads 40 kg apart (Sxx 800):
    // the two roots of (a + b x - 0.17)^2 = z^2 (s^2/2 + s^2 (x - 60)^2/800 + 0.04^2).
    same(one_rep_max.value, [109.804, 100.1317, 122.9059], 5e-4);
}

#[test]
fn an_uncertain_threshold_widens_the_maximum() {
    let profile = profile(&FOUR_LOADS).value;
    let width = |sd| {
        let found = profile.one_rep_max(&threshold(0.17, sd)).unwrap().value.interval;
        (found.high - found.low).si()
    };
    assert!((width(Some(0.0)) - (113.217 - 106.914)).abs() < 1e-3);
    assert!(width(Some(0.04)) > width(Some(0.02)));
    // None is not zero: the usual spread of 0.04 m/s is taken and said.
    assert_eq!(width(None), width(Some(0.04)));
    assert!(profile.one_rep_max(&threshold(0.17, None)).unwrap().has("threshold-spread-assumed"));
}

#[test]
fn a_maximum_beyond_the_tested_loads_says_so() {
    let found = profile(&FOUR_LOADS).value.one_rep_max(&threshold(0.17, Some(0.04))).unwrap();
    assert!(found.has("extrapolated") && found.has("predicted-not-tested"));
    let unreachable = profile(&FOUR_LOADS).value.one_rep_max(&threshold(1.74, Some(0.3)));
    assert!(matches!(unreachable, Err(OneRepMaxError::ThresholdAboveLine { .. })));
}

#[test]
fn the_fastest_rep_at_each_load_or_all() {
    let twice = [(20.0, 1.25), (20.0, 1.30), (60.0, 0.79), (60.0, 0.70)];
    let fastest = profile(&twice).value;
    assert_eq!(fastest.points(), reps(&[(20.0, 1.30), (60.0, 0.79)]));
    let all = LoadVelocitySettings { choice: RepChoice::All, ..LoadVelocitySettings::default() };
    let all = LoadVelocityProfile::from_reps(&reps(&twice), all).unwrap();
    assert_eq!(all.value.points().len(), 4);
    assert_eq!(all.value.load_count(), 2);
    assert!(all.value.scatter_was_measured() && all.has("few-loads"));
}

#[test]
fn points_exactly_on_a_line_are_not_perfect_knowledge() {
    let noted = profile(&[(20.0, 1.2), (40.0, 1.0), (60.0, 0.8), (80.0, 0.6)]);
    assert!(noted.has("typical-error-assumed"));
    let load = noted.value.load_at(Velocity::metres_per_second(0.7)).unwrap();
    assert!(load.interval.high - load.interval.low > Mass::kilograms(1.0));
}

#[test]
fn a_fall_lost_in_noise_is_not_an_answer() {
    let noted = profile(&[(20.0, 0.9), (40.0, 0.6), (60.0, 0.95), (80.0, 0.7)]);
    assert!(noted.has("slope-not-established"));
    assert!(noted.value.load_at(Velocity::metres_per_second(0.8)).is_err());
    assert!(noted.value.one_rep_max(&threshold(0.17, None)).is_err());
}

#[test]
fn a_narrow_range_is_said() {
    assert!(profile(&[(20.0, 1.0), (25.0, 0.96), (30.0, 0.9)]).has("narrow-velocity-range"));
    assert!(!profile(&FOUR_LOADS).has("narrow-velocity-range"));
}

#[test]
fn what_is_no_profile_is_refused_with_its_numbers() {
    let refused = |points: &[(f64, f64)]| {
        LoadVelocityProfile::from_reps(&reps(points), LoadVelocitySettings::default()).unwrap_err()
    };
    assert_eq!(refused(&[]), LoadVelocityError::FewerThanTwoLoads { loads: 0 });
    assert_eq!(
        refused(&[(40.0, 1.0), (40.0, 0.9)]),
        LoadVelocityError::FewerThanTwoLoads { loads: 1 }
    );
    assert!(matches!(
        refused(&[(20.0, 0.5), (40.0, 0.9)]),
        LoadVelocityError::NotFalling { slope_m_s_per_kg } if (slope_m_s_per_kg - 0.02).abs() < 1e-12
    ));
    for bad in [(-5.0, 1.0), (f64::NAN, 1.0), (40.0, 0.0), (40.0, f64::NAN), (40.0, 106.0)] {
        let error = refused(&[(20.0, 1.3), bad]);
        assert!(matches!(error, LoadVelocityError::ImpossibleRep { number: 2, .. }), "{bad:?}");
    }
}

#[test]
fn why_shows_the_numbers_that_were_put_in() {
    let profile = profile(&FOUR_LOADS).value;
    assert!(profile.working().steps.concat().contains("1.5550 -0.01260 x load"));
    let why = profile.working_of_load_at(Velocity::metres_per_second(0.17));
    assert!(why.steps[0].ends_with("= 109.9 kg"));
    assert_eq!(why.doubt, "90 % interval 106.9 to 113.2 kg");
}

proptest! {
    // Loads in pounds taken for kilograms scale every load answer and nothing else; the order of
    // reps does not matter.
    #[test]
    fn unit_and_order_do_not_matter(
        noise in prop::collection::vec(-0.02..0.02_f64, 5), factor in 0.3..3.0_f64, v in 0.3..1.2_f64,
    ) {
        let points: Vec<_> = noise.iter().enumerate()
            .map(|(i, e)| (20.0 + 20.0 * i as f64, 1.4 - 0.24 * i as f64 + e)).collect();
        let scaled: Vec<_> = points.iter().rev().map(|(l, v)| (l * factor, *v)).collect();
        let v = Velocity::metres_per_second(v);
        let one = profile(&points).value.load_at(v).unwrap();
        let other = profile(&scaled).value.load_at(v).unwrap();
        for (one, other) in [(one.value, other.value), (one.interval.low, other.interval.low),
                             (one.interval.high, other.interval.high)] {
            prop_assert!((one.si() * factor - other.si()).abs() < 1e-6);
        }
    }

    // Reading the line backwards undoes reading it forwards.
    #[test]
    fn backwards_undoes_forwards(load in 0.0..120.0_f64) {
        let profile = profile(&FOUR_LOADS).value;
        let velocity = profile.line_at(Mass::kilograms(load)).value;
        prop_assert!((profile.load_at(velocity).unwrap().value.si() - load).abs() < 1e-9);
    }
}
