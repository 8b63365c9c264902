//! The load-velocity profile against closed forms and its own laws. Its curve is held by brute force
//! in `stats_against_scipy.rs`, its intervals by a simulation (`docs/load-velocity-simulation.md`).

#![allow(clippy::unwrap_used, reason = "a test that cannot build its profile has failed")]

use cornerwork_core::estimate::Estimate;
use cornerwork_core::note::Noted;
use cornerwork_core::profile::load_velocity::{
    Confidence, LoadUnknown, LoadVelocityError, LoadVelocityProfile, LoadVelocitySettings, MEANING,
    OneRepMaxError, Threshold, VelocityRep,
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

const FOUR_LOADS: [(f64, f64); 4] = [(20.0, 1.30), (40.0, 1.06), (60.0, 0.79), (80.0, 0.55)];

/// The interval's width in kg.
fn width_kg(load: Estimate<Mass>) -> f64 {
    (load.interval.high - load.interval.low).in_kilograms()
}

// Least squares by hand: slope -0.0126, intercept 1.555.
#[test]
fn loads_lie_near_the_straight_line_where_the_reps_are_straight() {
    let profile = profile(&FOUR_LOADS).value;
    assert!((profile.slope_m_s_per_kg() + 0.0126).abs() < 1e-12);
    assert!((profile.intercept().si() - 1.555).abs() < 1e-12);
    for velocity in [1.20, 1.00, 0.80, 0.60] {
        let load = profile.load_at(Velocity::metres_per_second(velocity)).unwrap();
        assert!((load.value.si() - (1.555 - velocity) / 0.0126).abs() < 1.0, "{load:?}");
        assert!(load.interval.contains(load.value) && width_kg(load) < 8.0, "{load:?}");
    }
    assert!(!profile.bends() && profile.bend_probability() < 0.75);
}

// Two loads far apart (two-point method, García-Ramos et al. 2018): 0.8 m/s at
// 40 + 0.26 / 0.01275 = 60.4 kg. That a bend could not be seen shows in the width.
#[test]
fn two_loads_give_a_line_with_an_assumed_error() {
    let noted = profile(&[(40.0, 1.06), (80.0, 0.55)]);
    assert!(noted.has("few-loads") && noted.has("typical-error-assumed"));
    assert!(!noted.value.scatter_was_measured());
    let two = noted.value.load_at(Velocity::metres_per_second(0.8)).unwrap();
    assert!((two.value.si() - 60.4).abs() < 0.5, "{two:?}");
    let four = profile(&FOUR_LOADS).value.load_at(Velocity::metres_per_second(0.8)).unwrap();
    assert!(width_kg(two) > 1.5 * width_kg(four));
}

// Every rep counts: the mean of the reps at a load is what the profile stands on, whatever their
// number, and not the fastest.
#[test]
fn a_velocity_is_that_of_an_average_rep() {
    let reps = [
        (20.0, 1.24),
        (20.0, 1.26),
        (20.0, 1.28),
        (40.0, 1.01),
        (40.0, 1.03),
        (60.0, 0.77),
        (80.0, 0.54),
        (80.0, 0.50),
    ];
    let profile = profile(&reps).value;
    assert_eq!(profile.points().len(), 8);
    assert_eq!(profile.load_count(), 4);
    let light = profile.average_at(Mass::kilograms(20.0)).value;
    assert!((light.si() - 1.26).abs() < 0.01, "{light:?}");
    assert_eq!(MEANING, "an average rep");
    let why = profile.working();
    assert!(why.inputs.iter().any(|input| input.value == MEANING));
}

// Slow to fall, then fast: twenty to one on a bend, said, and the load is read from the curve. The
// straight line would put 1.10 m/s at 33 kg, where the reps themselves move at 1.16.
#[test]
fn a_bend_beyond_the_noise_is_noticed() {
    let reps = [
        (20.0, 1.21),
        (20.0, 1.19),
        (35.0, 1.15),
        (35.0, 1.17),
        (50.0, 1.06),
        (50.0, 1.04),
        (65.0, 0.86),
        (65.0, 0.88),
        (80.0, 0.60),
        (80.0, 0.58),
    ];
    let noted = profile(&reps);
    assert!(noted.has("line-bends") && noted.value.bends());
    let load = noted.value.load_at(Velocity::metres_per_second(1.10)).unwrap();
    assert!((load.value.in_kilograms() - 44.0).abs() < 3.0, "{load:?}");
    assert!(!profile(&FOUR_LOADS).has("line-bends"));
}

#[test]
fn an_uncertain_threshold_widens_the_maximum() {
    let profile = profile(&FOUR_LOADS).value;
    let width = |sd| {
        let found = profile.one_rep_max(&threshold(0.17, sd)).unwrap().value.interval;
        (found.high - found.low).si()
    };
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
    let unknown = noted.value.load_at(Velocity::metres_per_second(0.8)).unwrap_err();
    assert!(matches!(unknown, LoadUnknown::FallNotEstablished { .. }));
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
    let why = profile.working_of_load_at(Velocity::metres_per_second(0.80));
    assert!(why.steps[0].ends_with("= 59.9 kg"), "{why:?}");
    assert!(why.steps[1].starts_with("on the curve: ") && why.doubt.starts_with("90 % interval"));
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
            prop_assert!((one.si() * factor - other.si()).abs() < 1e-3 * other.si().max(1.0));
        }
    }

    // Reading the line backwards undoes reading it forwards.
    #[test]
    fn backwards_undoes_forwards(load in 21.0..79.0_f64) {
        let profile = profile(&FOUR_LOADS).value;
        let velocity = profile.average_at(Mass::kilograms(load)).value;
        prop_assert!((profile.load_at(velocity).unwrap().value.si() - load).abs() < 0.2);
    }
}
