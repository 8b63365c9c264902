//! The belief about a true change, against brute-force integration and stated readings.

#![allow(clippy::unwrap_used, reason = "a test that cannot read its answers has failed")]

use cornerwork_core::estimate::Level;
use cornerwork_core::note::Noted;
use cornerwork_core::profile::change::{self, Change, ChangeError, Prior, Question, TestNoise};
use cornerwork_core::profile::test_day::{Conditions, TestDay};
use proptest::prelude::*;
use serde_json::Value;

fn question(typical_error: f64) -> Question<'static> {
    Question {
        measure: "Jump height",
        unit: "cm",
        since_day: 0.0,
        smallest_worthwhile: 1.0,
        noise: TestNoise::of_day_mean(typical_error, "stated by the test"),
        prior: Prior::Flat,
        level_prior: Prior::Flat,
        level: Level::USUAL,
    }
}

fn pair(before: f64, after: f64) -> [TestDay; 2] {
    [TestDay::new(0.0, [before]), TestDay::new(35.0, [after])]
}

fn compare(before: f64, after: f64, typical_error: f64) -> Noted<Change> {
    change::of(&pair(before, after), &question(typical_error)).unwrap()
}

#[test]
fn thirty_eight_to_forty_and_a_half_is_only_a_maybe() {
    // Acceptance of the trade: 38.0 then 40.5, typical error 1.5, worthwhile 1.0: 74 to 78 %.
    let found = compare(38.0, 40.5, 1.5);
    assert!((0.74..=0.78).contains(&found.value.odds.rise), "{}", found.value.odds.rise);
    assert_eq!(found.value.verdict.to_string(), "maybe up");
    assert!(found.value.sentence.starts_with("Maybe up."), "{}", found.value.sentence);
    // Measured and best estimate each under its own name.
    let told =
        "Last day against before: +2.5 cm. Best estimate using every day: +2.5 cm (90 % range";
    assert!(found.value.sentence.contains(told), "{}", found.value.sentence);
    assert!(found.value.sentence.contains("Chance of a real gain over 1 cm: 76 %"));
    assert!(found.has("depends-on-prior"));
}

#[test]
fn a_squad_after_five_weeks_reads_honestly() {
    // Thirteen invented athletes: before, after, typical error (day SD 2.2 %, trial SD 2.0 %, three
    // trials of the earlier value), and the reading worked out by hand from the normal
    // distribution: rise, no matter, fall in per cent and the word.
    let squad = [
        (30.2, 30.5, 0.76, [26, 63, 11], "mostly unchanged"),
        (31.2, 33.0, 0.80, [76, 23, 1], "maybe up"),
        (36.1, 38.5, 0.93, [86, 14, 0], "likely up"),
        (39.4, 42.0, 1.01, [87, 13, 1], "likely up"),
        (38.1, 39.0, 0.96, [47, 45, 8], "can't tell"),
        (25.3, 27.5, 0.66, [90, 10, 0], "likely up"),
        (33.3, 34.5, 0.84, [57, 40, 3], "can't tell, leaning up"),
        (39.0, 40.5, 0.99, [64, 32, 4], "maybe up"),
        (31.3, 31.5, 0.78, [23, 63, 14], "mostly unchanged"),
        (38.1, 37.0, 0.93, [6, 41, 53], "can't tell, leaning down"),
        (41.5, 43.5, 1.06, [75, 23, 2], "maybe up"),
        (27.3, 29.0, 0.70, [76, 24, 0], "maybe up"),
        (31.4, 32.0, 0.79, [36, 56, 8], "can't tell"),
    ];
    for (before, after, typical_error, percent, word) in squad {
        let Change { odds, verdict, .. } = compare(before, after, typical_error).value;
        assert_eq!(verdict.to_string(), word, "{before} to {after}");
        for (found, expected) in [odds.rise, odds.no_matter, odds.fall].into_iter().zip(percent) {
            // The typical errors above are printed with two digits: one point of a per cent.
            assert!((100.0 * found - f64::from(expected)).abs() < 1.0, "{odds:?} for {percent:?}");
        }
    }
}

#[test]
fn beliefs_agree_with_brute_force_integration() {
    // oracles/repeat_tests.py integrates over change and noise on a grid with numpy and scipy.
    let golden: Value =
        serde_json::from_str(include_str!("../../../testdata/golden/repeat_tests.json")).unwrap();
    let cases = golden["change"].as_array().unwrap();
    assert_eq!(cases.len(), 8);
    for case in cases {
        let days: Vec<TestDay> = numbers(&case["shares"])
            .into_iter()
            .zip(numbers(&case["values"]))
            .map(|(share, value)| TestDay::new(100.0 * share, [value]))
            .collect();
        let mut question = question(number(&case["typical_error"]));
        question.noise.degrees_of_freedom = case["df"].as_f64();
        if let Some(prior) = case["prior"].as_array() {
            question.prior = Prior::Normal {
                mean: number(&prior[0]),
                standard_deviation: number(&prior[1]),
                source: "the case".into(),
            };
        }
        let found = change::of(&days, &question).unwrap().value;
        let close = |found: f64, key: &str, tolerance: f64| {
            let expected = number(&case[key]);
            assert!((found - expected).abs() < tolerance, "{key}: {found} for {expected}");
        };
        close(found.odds.rise, "rise", 1e-3);
        close(found.odds.fall, "fall", 1e-3);
        close(found.change.value, "mean", 1e-3);
        let interval = numbers(&case["interval_90"]);
        assert!((found.change.interval.low - interval[0]).abs() < 0.01);
        assert!((found.change.interval.high - interval[1]).abs() < 0.01);
    }
}

#[test]
fn more_baseline_days_and_days_on_the_way_tighten_the_answer() {
    // Closed form: standard error TE root(1 + 1/b) for b baseline days: 2.121, 1.837, 1.732.
    for (baseline, expected) in [(1, 2.121_320), (2, 1.837_117), (3, 1.732_051), (6, 1.620_185)] {
        let mut days: Vec<TestDay> =
            (0..baseline).map(|week| TestDay::new(-7.0 * f64::from(week), [38.0])).collect();
        days.push(TestDay::new(35.0, [41.0]));
        let sd = change::of(&days, &question(1.5)).unwrap().value.posterior.standard_deviation();
        assert!((sd - expected).abs() < 1e-6, "{sd} for {expected}");
    }
    // Four weekly tests on the way: slope of six evenly spaced points, root(1 / 0.7) x 1.5.
    let weekly: Vec<TestDay> = (0..6)
        .map(|week| TestDay::new(7.0 * f64::from(week), [38.0 + 0.5 * f64::from(week)]))
        .collect();
    let found = change::of(&weekly, &question(1.5)).unwrap().value;
    assert!((found.posterior.standard_deviation() - 1.5 * (1.0_f64 / 0.7).sqrt()).abs() < 1e-9);
    assert!((found.change.value - 2.5).abs() < 1e-9);
}

#[test]
fn an_unusual_first_test_is_expected_to_fall_back() {
    // Regression to the mean (Barnett and others 2005, Int J Epidemiol 34:215): reliability 0.85,
    // first test 45 in a squad of mean 38. Retest 45 - (1 - 0.85) x 7 = 43.95 means no change.
    let (typical_error, reliability) = (1.5_f64, 0.85_f64);
    let true_spread = typical_error * (reliability / (1.0 - reliability)).sqrt();
    let mut asked = question(typical_error);
    asked.level_prior =
        Prior::Normal { mean: 38.0, standard_deviation: true_spread, source: "the squad".into() };
    let found = change::of(&pair(45.0, 43.95), &asked).unwrap().value;
    assert!((found.observed + 1.05).abs() < 1e-9);
    assert!(found.change.value.abs() < 1e-9, "{}", found.change.value);
}

#[test]
fn unlike_methods_and_conditions_are_refused_with_the_reason() {
    let with = |day: TestDay, method: &str| day.under(Conditions::none().with("method", method));
    let [before, after] = pair(36.1, 40.2);
    let days = [with(before, "take-off velocity"), with(after, "flight time")];
    let refused = change::of(&days, &question(0.9)).unwrap_err();
    let expected = "No change is claimed: method was take-off velocity before and flight time now. \
                    Test again the old way, or enter the known offset between the two.";
    assert_eq!(refused.to_string(), expected);
    // The known offset of 1.7 cm, sure to 0.3 cm, makes it comparable and less sure.
    let [before, after] = days;
    let aligned = [before.converted("method", "flight time", 1.7, 0.3), after];
    let found = change::of(&aligned, &question(0.9)).unwrap();
    assert!((found.value.observed - 2.4).abs() < 1e-9);
    assert!(found.has("converted-between-methods"));
    let sd = found.value.posterior.standard_deviation();
    assert!((sd - (2.0 * 0.81 + 0.09_f64).sqrt()).abs() < 1e-9);
    // Twenty hours before the weigh-in.
    let [before, mut after] = pair(38.1, 36.0);
    after.not_comparable_because = Some("it was taken 20 hours before the weigh-in".into());
    let refused = change::of(&[before, after], &question(0.9)).unwrap_err();
    assert!(matches!(refused, ChangeError::NotComparable { .. }));
    assert!(refused.to_string().ends_with("because it was taken 20 hours before the weigh-in."));
}

#[test]
fn some_unlike_days_are_left_out_and_said_so() {
    let with = |day: TestDay, arms: &str| day.under(Conditions::none().with("arms", arms));
    let [before, after] = pair(38.0, 40.5);
    let swung = TestDay::new(-7.0, [44.0]);
    let days = [with(swung, "free"), with(before, "on hips"), with(after, "on hips")];
    let found = change::of(&days, &question(1.5)).unwrap();
    assert!(found.has("unlike-days-left-out"));
    assert_eq!(found.value.days_used, 2);
    assert!((found.value.odds.rise - 0.760_249).abs() < 1e-6);
}

#[test]
fn a_changed_body_mass_forbids_the_word_better() {
    let [mut before, mut after] = pair(38.0, 42.0);
    (before.body_mass_kg, after.body_mass_kg) = (Some(80.2), Some(75.1));
    assert!(change::of(&[before, after], &question(0.9)).unwrap().has("body-mass-changed"));
}

#[test]
fn what_cannot_be_judged_is_refused() {
    let ask = |days: &[TestDay], question: &Question| change::of(days, question).unwrap_err();
    let [before, after] = pair(38.0, 40.0);
    let usual = question(1.5);
    assert_eq!(ask(&[], &usual), ChangeError::TooFewDays { found: 0 });
    assert_eq!(ask(std::slice::from_ref(&after), &usual), ChangeError::TooFewDays { found: 1 });
    let late = Question { since_day: -1.0, ..usual.clone() };
    assert_eq!(ask(&[before.clone(), after.clone()], &late), ChangeError::NoBaseline);
    let future = Question { since_day: 50.0, ..usual.clone() };
    assert_eq!(ask(&[before.clone(), after.clone()], &future), ChangeError::NothingSince);
    let perfect = question(0.0);
    let refused = ask(&[before.clone(), after], &perfect);
    assert_eq!(refused, ChangeError::NoNoise { typical_error: 0.0 });
    let broken = TestDay::new(35.0, [f64::NAN]);
    assert_eq!(
        ask(&[before, broken], &usual),
        ChangeError::NotANumber { what: "A day or a trial" }
    );
}

#[test]
fn steps_on_the_way_are_pointed_out() {
    let heights = [38.0, 38.0, 43.0, 38.0, 43.5];
    let days: Vec<TestDay> = heights
        .iter()
        .zip([0.0, 7.0, 14.0, 21.0, 28.0])
        .map(|(&h, day)| TestDay::new(day, [h]))
        .collect();
    assert!(change::of(&days, &question(0.9)).unwrap().has("course-not-even"));
}

proptest! {
    // Probabilities are a whole, mirror under a change of sign, and the prior pulls towards itself.
    #[test]
    fn odds_are_a_whole_and_mirror(before in 20.0..50.0_f64, gain in -8.0..8.0_f64, te in 0.2..3.0_f64) {
        let up = compare(before, before + gain, te).value.odds;
        let down = compare(before, before - gain, te).value.odds;
        prop_assert!((up.rise + up.no_matter + up.fall - 1.0).abs() < 1e-9);
        prop_assert!((up.rise - down.fall).abs() < 1e-9);
        let mut sceptic = question(te);
        sceptic.prior = Prior::Normal { mean: 0.0, standard_deviation: 1.0, source: "sceptic".into() };
        let pulled = change::of(&pair(before, before + gain), &sceptic).unwrap().value;
        prop_assert!(pulled.change.value.abs() <= gain.abs() + 1e-9);
        prop_assert!((0.0..=1.0).contains(&pulled.weight_of_tests));
        prop_assert!((pulled.change.value - pulled.weight_of_tests * gain).abs() < 1e-9);
    }

    // The fewer degrees of freedom the noise is known on, the wider the answer.
    #[test]
    fn less_known_noise_widens_the_answer(gain in -5.0..5.0_f64, df in 2.0..20.0_f64) {
        let width = |df: Option<f64>| {
            let mut asked = question(1.0);
            asked.noise.degrees_of_freedom = df;
            let interval = change::of(&pair(38.0, 38.0 + gain), &asked).unwrap().value.change.interval;
            interval.high - interval.low
        };
        prop_assert!(width(Some(df)) > width(Some(df + 5.0)));
        prop_assert!(width(Some(df)) > width(None));
    }
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}
