//! The box for the depth jump: start, ceiling, next box, bars. The rules are common practice.

#![allow(clippy::unwrap_used, reason = "a test without its answer has failed")]

use cornerwork_core::exercise::{BoxCap, Permissions};
use cornerwork_core::note::Noted;
use cornerwork_core::prescription::depth_jump_box::{
    BoxAnswer, BoxBar, BoxReason, BoxResult, BoxToUse, CeilingFrom, DepthJumpBoxError,
    DepthJumpRules, DepthJumper, choose_box,
};
use cornerwork_core::units::{Duration, Length, Mass};
use proptest::prelude::*;

fn cm(value: f64) -> Length {
    Length::centimetres(value)
}

/// Under 16 nothing above 20 cm, under 18 only with a coach's reason, 45 cm above 100 kg, nothing
/// in the last 10 days before a bout.
fn permissions() -> Permissions {
    Permissions {
        barred_under_years: Some(16),
        confirm_under_years: Some(18),
        box_free_of_age_rules: Some(cm(20.0)),
        box_caps: vec![BoxCap { above_body_mass: Mass::kilograms(100.0), highest_box: cm(45.0) }],
        days_before_bout: Some(10),
        hours_from_sparring: None,
    }
}

fn jumper(best_cm: f64, mass_kg: f64, age_years: u8) -> DepthJumper {
    DepthJumper {
        best_jump: cm(best_cm),
        body_mass: Mass::kilograms(mass_kg),
        age_years,
        coach_reason: None,
        days_to_bout: Some(24),
    }
}

fn result(box_cm: f64, rebound_cm: f64, contact_s: f64) -> BoxResult {
    BoxResult {
        box_height: cm(box_cm),
        rebound: cm(rebound_cm),
        contact: Some(Duration::seconds(contact_s)),
    }
}

/// 15 to 50 cm by 5, 60 cm, and one stamped 24 in.
fn boxes() -> Vec<Length> {
    let mut boxes: Vec<Length> = (3..=10).map(|fives| cm(5.0 * f64::from(fives))).collect();
    boxes.extend([cm(60.0), Length::inches(24.0)]);
    boxes
}

fn ask(jumper: &DepthJumper, results: &[BoxResult]) -> Noted<BoxAnswer> {
    choose_box(jumper, results, &boxes(), &permissions(), DepthJumpRules::default()).unwrap()
}

#[track_caller]
fn used(answer: &Noted<BoxAnswer>) -> &BoxToUse {
    match &answer.value {
        BoxAnswer::Use(chosen) => chosen,
        BoxAnswer::Barred(bar) => panic!("barred: {bar:?}"),
    }
}

/// Box now, ceiling and next box in whole centimetres.
fn centimetres(answer: &Noted<BoxAnswer>) -> (i64, Option<i64>, Option<i64>) {
    let whole = |height: Length| height.in_centimetres().round() as i64;
    let chosen = used(answer);
    (whole(chosen.now), chosen.ceiling.map(|c| whole(c.height)), chosen.next.map(whole))
}

#[test]
fn a_heavy_boxer_starts_at_his_own_jump_under_the_cap_of_his_mass() {
    let answer = ask(&jumper(34.5, 108.5, 26), &[]);
    assert_eq!(centimetres(&answer), (30, Some(45), Some(40)));
    assert_eq!(used(&answer).reason, BoxReason::OwnJumpHeight);
    assert!(answer.has("mass-cap"));
}

#[test]
fn a_junior_stays_at_20_cm_until_a_coach_confirms() {
    let mut junior = jumper(29.0, 60.0, 16);
    assert_eq!(centimetres(&ask(&junior, &[])), (20, Some(20), None));
    assert!(ask(&junior, &[]).has("age-needs-coach"));
    junior.coach_reason = Some("two years of landing drills".into());
    let confirmed = ask(&junior, &[]);
    assert_eq!(centimetres(&confirmed), (25, None, Some(35)));
    assert!(confirmed.has("coach-confirmed"));
}

#[test]
fn under_16_no_reason_lifts_the_cap() {
    let mut child = jumper(29.0, 50.0, 15);
    child.coach_reason = Some("he is ready".into());
    let answer = ask(&child, &[]);
    assert_eq!(centimetres(&answer), (20, Some(20), None));
    assert_eq!(used(&answer).ceiling.unwrap().from, CeilingFrom::Age);
    assert!(answer.has("age-cap") && !answer.has("coach-confirmed"));
}

#[test]
fn a_typed_35_cm_is_not_rounded_down_to_30() {
    assert_eq!(centimetres(&ask(&jumper(35.0, 70.0, 25), &[])).0, 35);
}

#[test]
fn the_highest_box_that_matches_is_used_and_the_next_tried() {
    let results = [result(30.0, 39.5, 0.24), result(40.0, 40.5, 0.25)];
    let answer = ask(&jumper(40.0, 70.0, 25), &results);
    assert_eq!(centimetres(&answer), (40, None, Some(50)));
    assert_eq!(used(&answer).reason, BoxReason::HighestMatching);
}

// 40.0 x 1.10 = 44.0: reached at 40 cm, and no higher box is needed.
#[test]
fn the_lowest_box_that_reaches_the_aim_is_enough() {
    let results = [result(30.0, 42.0, 0.24), result(40.0, 44.1, 0.25), result(50.0, 44.5, 0.26)];
    let answer = ask(&jumper(40.0, 70.0, 25), &results);
    assert_eq!(centimetres(&answer), (40, None, None));
    assert_eq!(used(&answer).reason, BoxReason::ReachesAim);
}

#[test]
fn a_higher_box_that_costs_height_or_time_is_said_and_sets_the_ceiling() {
    let results = [result(30.0, 40.0, 0.22), result(40.0, 39.5, 0.25), result(50.0, 36.0, 0.31)];
    let answer = ask(&jumper(40.0, 70.0, 25), &results);
    assert_eq!(centimetres(&answer), (40, Some(40), None));
    assert_eq!(used(&answer).ceiling.unwrap().from, CeilingFrom::Results);
    assert!(answer.has("higher-box-lowers-height"));
    assert!(answer.has("higher-box-lengthens-contact"));
    assert!(used(&answer).trend.is_some());
}

// Least squares through (0.2, 0.42) (0.3, 0.41) (0.4, 0.401) (0.5, 0.39), by hand: slope
// -0.00495/0.05 = -0.099, residual sum of squares 7.0e-7, standard error
// sqrt(3.5e-7/0.05) = 0.002646; t(2 df, 95 %) = 2.920: -0.1067 to -0.0913.
#[test]
fn a_trend_that_surely_falls_stops_the_climb() {
    let results = [(20.0, 42.0), (30.0, 41.0), (40.0, 40.1), (50.0, 39.0)]
        .map(|(box_cm, rebound_cm)| result(box_cm, rebound_cm, 0.24));
    let answer = ask(&jumper(40.0, 70.0, 25), &results);
    let gain = used(&answer).trend.unwrap().gain;
    assert!((gain.value + 0.099).abs() < 1e-9);
    assert!((gain.interval.low + 0.1067).abs() < 1e-4);
    assert!((gain.interval.high + 0.0913).abs() < 1e-4);
    assert_eq!(used(&answer).next, None);
}

#[test]
fn when_no_box_matches_go_lower_and_then_to_strength() {
    let athlete = jumper(40.0, 70.0, 25);
    let answer = ask(&athlete, &[result(40.0, 35.0, 0.3)]);
    assert_eq!((centimetres(&answer).0, used(&answer).reason), (35, BoxReason::BelowFailed));
    let answer = ask(&athlete, &[result(15.0, 35.0, 0.3)]);
    assert_eq!(answer.value, BoxAnswer::Barred(BoxBar::StrengthFirst));
    assert!(answer.has("strength-first"));
}

#[test]
fn contact_counts_when_the_aim_is_reactive() {
    let reactive = DepthJumpRules {
        longest_contact: Some(Duration::seconds(0.3)),
        ..DepthJumpRules::default()
    };
    let results = [result(30.0, 40.0, 0.25), result(40.0, 41.0, 0.34)];
    let athlete = jumper(40.0, 70.0, 25);
    let answer = choose_box(&athlete, &results, &boxes(), &permissions(), reactive).unwrap();
    assert_eq!(centimetres(&answer).0, 30);
}

#[test]
fn the_last_days_before_a_bout_are_barred_and_the_last_fortnight_is_halved() {
    let mut athlete = jumper(40.0, 70.0, 25);
    athlete.days_to_bout = Some(9);
    let answer = ask(&athlete, &[]);
    assert_eq!(answer.value, BoxAnswer::Barred(BoxBar::BoutTooClose { days: 9, fewest: 10 }));
    athlete.days_to_bout = Some(12);
    assert!(ask(&athlete, &[]).has("halve-volume"));
}

#[test]
fn nonsense_is_refused() {
    let refused = |best_cm, results: &[BoxResult], boxes: &[Length]| {
        let rules = DepthJumpRules::default();
        choose_box(&jumper(best_cm, 70.0, 25), results, boxes, &permissions(), rules).unwrap_err()
    };
    assert!(matches!(refused(385.0, &[], &boxes()), DepthJumpBoxError::BestJump { .. }));
    assert!(matches!(refused(f64::NAN, &[], &boxes()), DepthJumpBoxError::BestJump { .. }));
    assert!(matches!(refused(38.0, &[], &[cm(2400.0)]), DepthJumpBoxError::BoxHeight { .. }));
    let odd = result(30.0, 380.0, 0.2);
    assert!(matches!(refused(38.0, &[odd], &boxes()), DepthJumpBoxError::Rebound { .. }));
}

#[test]
fn why_shows_the_shares() {
    let athlete = jumper(40.0, 70.0, 25);
    let working = ask(&athlete, &[result(30.0, 39.5, 0.24)])
        .value
        .working(&athlete, &DepthJumpRules::default());
    assert!(working.steps[0].contains("40.0 x 0.97 = 38.8 cm"));
    assert_eq!(working.steps[1], "the highest box that matches: 30 cm");
}

proptest! {
    // Whoever asks, whatever was tested: no box above a cap of age or mass.
    #[test]
    fn no_box_passes_a_cap(
        best in 15.0..70.0_f64, mass in 45.0..130.0_f64, age in 12_u8..40,
        tested in prop::collection::vec((3_u8..12, 15.0..70.0_f64), 0..8),
    ) {
        let results: Vec<BoxResult> =
            tested.iter().map(|(fives, rebound)| result(5.0 * f64::from(*fives), *rebound, 0.25)).collect();
        if let BoxAnswer::Use(chosen) = ask(&jumper(best, mass, age), &results).value {
            let limit = if age < 18 { 20.0 } else if mass > 100.0 { 45.0 } else { f64::INFINITY };
            for height in [Some(chosen.now), chosen.next].into_iter().flatten() {
                prop_assert!(height.in_centimetres() <= limit + 1e-9);
                prop_assert!(boxes().contains(&height));
            }
            prop_assert!(chosen.next.is_none_or(|next| next > chosen.now));
        }
    }
}
