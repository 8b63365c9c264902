//! Spread and reliability against certified, published and independently computed answers.

#![allow(clippy::unwrap_used, reason = "a test that cannot read its answers has failed")]

use cornerwork_core::estimate::{Estimate, Level};
use cornerwork_core::stats::analysis_of_variance::{
    AnalysisError, Cell, additive, nested, one_way, two_way,
};
use cornerwork_core::stats::line::Line;
use cornerwork_core::stats::reliability::{
    self, ReliabilityError, interval_of_standard_deviation, intraclass, minimal_detectable_change,
    tests_to_see,
};
use proptest::prelude::*;
use serde_json::Value;

/// Digits in which a value agrees with the certified one.
fn digits(found: f64, certified: f64) -> f64 {
    if found == certified { 16.0 } else { -((found - certified) / certified).abs().log10() }
}

/// Treatment and response of one of the StRD analysis-of-variance files; data from line 61.
fn groups(file: &str) -> Vec<Vec<f64>> {
    let mut groups: Vec<Vec<f64>> = Vec::new();
    for line in file.lines().skip(60) {
        let mut words = line.split_whitespace();
        let (Some(group), Some(value)) = (words.next(), words.next()) else { continue };
        let group: usize = group.parse().unwrap();
        groups.resize(groups.len().max(group), Vec::new());
        groups[group - 1].push(value.parse().unwrap());
    }
    groups
}

#[test]
fn one_way_meets_the_certified_values() {
    // NIST StRD, analysis of variance: F, R squared, residual standard deviation as certified in
    // the files. Digits asked for: nine at lower and average difficulty; six where the data keep
    // only so many; all have at least that, also with thirteen constant leading digits (SmLs07),
    // whose decimals are themselves rounded to 1.2e-4 in double precision.
    let cases = [
        (
            include_str!("../../../testdata/certified/SiRstv.dat"),
            [1.18046237440255, 1.90999039051129E-01, 1.04076068334656E-01],
            12.0,
        ),
        (
            include_str!("../../../testdata/certified/AtmWtAg.dat"),
            [1.59467335677930E+01, 2.57426544538321E-01, 1.51048314446410E-05],
            8.0,
        ),
        (
            include_str!("../../../testdata/certified/SmLs01.dat"),
            [2.10000000000000E+01, 4.82758620689655E-01, 1.00000000000000E-01],
            13.0,
        ),
        (
            include_str!("../../../testdata/certified/SmLs04.dat"),
            [2.10000000000000E+01, 4.82758620689655E-01, 1.00000000000000E-01],
            9.0,
        ),
        (
            include_str!("../../../testdata/certified/SmLs07.dat"),
            [2.10000000000000E+01, 4.82758620689655E-01, 1.00000000000000E-01],
            2.0,
        ),
    ];
    for (file, certified, wanted) in cases {
        let answer = one_way(&groups(file)).unwrap();
        let found =
            [answer.f_statistic(), answer.r_squared(), answer.residual_standard_deviation()];
        for (found, certified) in found.into_iter().zip(certified) {
            let agreed = digits(found, certified);
            assert!(agreed >= wanted, "{found} for {certified}: {agreed:.1} digits");
        }
    }
}

#[test]
fn a_line_meets_the_certified_values_of_norris() {
    // NIST StRD, linear regression, Norris.
    let file = include_str!("../../../testdata/certified/Norris.dat");
    let points: Vec<(f64, f64)> = file
        .lines()
        .skip(60)
        .filter_map(|line| {
            let mut words = line.split_whitespace().map(|word| word.parse::<f64>().unwrap());
            let (y, x) = (words.next()?, words.next()?);
            Some((x, y))
        })
        .collect();
    let line = Line::through(&points).unwrap();
    let noise = line.noise().unwrap();
    let found = [
        (line.intercept, -0.262323073774029),
        (line.slope, 1.00211681802045),
        (line.standard_error_at(0.0, noise), 0.232818234301152),
        (line.slope_standard_error(noise), 0.429796848199937E-03),
        (noise.sd, 0.884796396144373),
        (line.r_squared(), 0.999993745883712),
    ];
    for (found, certified) in found {
        assert!(digits(found, certified) >= 10.0, "{found} for {certified}");
    }
}

/// Shrout and Fleiss 1979, Psychol Bull 86:420, table 2: six targets by four judges.
fn shrout_fleiss() -> Vec<Vec<f64>> {
    [
        [9., 2., 5., 8.],
        [6., 1., 3., 2.],
        [8., 4., 6., 8.],
        [7., 1., 2., 6.],
        [10., 5., 6., 9.],
        [6., 2., 4., 7.],
    ]
    .map(Vec::from)
    .into()
}

fn cells(table: &[Vec<f64>]) -> Vec<Cell> {
    table
        .iter()
        .enumerate()
        .flat_map(|(subject, row)| {
            row.iter().enumerate().map(move |(trial, &value)| Cell { subject, trial, value })
        })
        .collect()
}

#[track_caller]
fn close(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} for {expected}");
}

#[track_caller]
fn agrees(found: Estimate<f64>, value: f64, low: f64, high: f64, tolerance: f64) {
    close(found.value, value, tolerance);
    close(found.interval.low, low, tolerance);
    close(found.interval.high, high, tolerance);
}

#[test]
fn the_six_correlations_are_those_of_shrout_and_fleiss() {
    let table = two_way(&shrout_fleiss()).unwrap();
    // Mean squares of their table 3, printed 11.24, 6.26, 32.49, 1.02.
    close(table.rows.mean_square(), 11.241_666_67, 1e-8);
    close(table.within.mean_square(), 6.263_888_89, 1e-8);
    close(table.columns.mean_square(), 32.486_111_11, 1e-8);
    close(table.residual.mean_square(), 1.019_444_44, 1e-8);
    // Printed .17 .29 .71 .44 .62 .91; six digits and 95 % limits by R 4.2, psych 2.2.9, ICC.
    let found = intraclass(&table, Level::new(0.95).unwrap());
    agrees(found.one_way_single, 0.165742, -0.1329323, 0.72256, 1e-6);
    agrees(found.agreement_single, 0.289764, 0.0187865, 0.761084, 1e-6);
    agrees(found.consistency_single, 0.714841, 0.3424648, 0.945858, 1e-6);
    agrees(found.one_way_mean, 0.442797, -0.8844422, 0.912415, 1e-6);
    agrees(found.agreement_mean, 0.620051, 0.0711368, 0.927232, 1e-6);
    agrees(found.consistency_mean, 0.909316, 0.6756773, 0.985892, 3e-6);
}

/// Bland and Altman 1986, Lancet 327:307, peak expiratory flow of 17 people, each twice.
const WRIGHT: [[f64; 17]; 2] = [
    [
        494., 395., 516., 434., 476., 557., 413., 442., 650., 433., 417., 656., 267., 478., 178.,
        423., 427.,
    ],
    [
        490., 397., 512., 401., 470., 611., 415., 431., 638., 429., 420., 633., 275., 492., 165.,
        372., 421.,
    ],
];
const MINI: [[f64; 17]; 2] = [
    [
        512., 430., 520., 428., 500., 600., 364., 380., 658., 445., 432., 626., 260., 477., 259.,
        350., 451.,
    ],
    [
        525., 415., 508., 444., 500., 625., 460., 390., 642., 432., 420., 605., 227., 467., 268.,
        370., 443.,
    ],
];

fn paired(columns: &[[f64; 17]; 2]) -> Vec<Cell> {
    let table: Vec<Vec<f64>> = (0..17).map(|i| vec![columns[0][i], columns[1][i]]).collect();
    cells(&table)
}

#[test]
fn typical_errors_are_those_of_bland_and_altman() {
    // They print the repeatability 2 x root 2 x within-subject SD as 43.2 and 56.4 l/min without
    // taking the mean shift out; with it out, by R 4.2 (base, psych): TE 15.3612 and 20.4158.
    let level = Level::new(0.95).unwrap();
    let wright = reliability::of(&paired(&WRIGHT), level).unwrap().value;
    agrees(wright.typical_error.estimate, 15.361_215, 11.4406, 23.3787, 1e-4);
    close(wright.coefficient_of_variation_percent.unwrap().value, 3.511_767, 1e-6);
    // 1.96 root 2 TE = 42.579; the exact normal quantile takes 0.001 off.
    close(wright.minimal_detectable_change, 42.579, 1e-3);
    let correlations = wright.intraclass.unwrap();
    close(correlations.consistency_single.value, 0.983_045_84, 1e-8);
    close(correlations.agreement_single.value, 0.983_164_01, 1e-8);
    let mini = reliability::of(&paired(&MINI), level).unwrap().value;
    close(mini.typical_error.estimate.value, 20.415_806, 1e-6);
    close(mini.coefficient_of_variation_percent.unwrap().value, 5.358_457, 1e-6);
    close(mini.minimal_detectable_change, 56.589, 1.1e-3);
    close(mini.intraclass.unwrap().consistency_single.value, 0.966_904_80, 1e-8);
}

#[test]
fn jumps_of_twenty_people_agree_with_numpy_and_scipy() {
    let golden = golden();
    let expected = &golden["jumps_twice"];
    let table: Vec<Vec<f64>> =
        include_str!("../../../testdata/open/countermovement_jump_twice.csv")
            .lines()
            .skip(1)
            .map(|line| line.split(',').skip(1).map(|word| word.parse().unwrap()).collect())
            .collect();
    let found = reliability::of(&cells(&table), Level::USUAL).unwrap();
    let te = found.value.typical_error;
    let interval = numbers(&expected["interval_90"]);
    agrees(te.estimate, number(&expected["typical_error"]), interval[0], interval[1], 1e-9);
    assert_eq!(te.degrees_of_freedom, 19.0);
    let cv = found.value.coefficient_of_variation_percent.unwrap().value;
    close(cv, number(&expected["cv_percent"]), 1e-9);
    let shift = numbers(&expected["shift_90"]);
    agrees(found.value.mean_shift.unwrap(), number(&expected["shift"]), shift[0], shift[1], 1e-9);
    assert!(found.has("typical-error-rough"));
}

#[test]
fn missing_cells_are_fitted_as_least_squares_fits_them() {
    // statsmodels OLS on dummies; see oracles/repeat_tests.py.
    let golden = golden();
    let expected = &golden["with_holes"];
    let cells: Vec<Cell> = expected["cells"]
        .as_array()
        .unwrap()
        .iter()
        .map(numbers)
        .map(|row| Cell { subject: row[0] as usize, trial: row[1] as usize, value: row[2] })
        .collect();
    let residual = additive(&cells).unwrap().residual;
    close(residual.mean_square().sqrt(), number(&expected["residual_sd"]), 1e-9);
    close(residual.degrees_of_freedom, number(&expected["df"]), 0.0);
    let whole = reliability::of(&cells, Level::USUAL).unwrap();
    assert!(whole.has("intraclass-needs-full-table") && whole.value.intraclass.is_none());
}

#[test]
fn nested_variances_follow_the_expected_mean_squares() {
    let golden = golden();
    let expected = &golden["nested"];
    let data: Vec<Vec<Vec<f64>>> = expected["data"]
        .as_array()
        .unwrap()
        .iter()
        .map(|subject| subject.as_array().unwrap().iter().map(numbers).collect())
        .collect();
    let found = nested(&data).unwrap();
    close(found.trial_variance(), number(&expected["trial_variance"]), 1e-12);
    close(found.day_variance(), number(&expected["day_variance"]), 1e-12);
}

#[test]
fn the_interval_of_a_standard_deviation_has_the_usual_factors() {
    // Chi-squared factors at 95 %: df 1 0.446 to 31.9, df 9 0.688 to 1.826, df 29 0.796 to 1.344
    // (as tabled in Hopkins 2000 for df 9 and above; all recomputed with scipy 1.17.1).
    for (df, low, high) in [(1.0, 0.446, 31.91), (9.0, 0.688, 1.826), (29.0, 0.796, 1.344)] {
        let factors = interval_of_standard_deviation(1.0, df, Level::new(0.95).unwrap());
        close(factors.low, low, 5e-4);
        close(factors.high, high, 5e-3);
    }
    // 2 (1.644854 x 0.64 / 0.96)² = 2.4: three before and three after; noise half the change: one.
    assert_eq!(tests_to_see(0.96, 0.64, Level::USUAL), 3.0);
    assert_eq!(tests_to_see(1.0, 0.4, Level::USUAL), 1.0);
    // 1.959964 x root 2 x 1.5.
    close(minimal_detectable_change(1.5, None), 4.157_711, 1e-6);
}

#[test]
fn copied_and_too_few_values_give_no_typical_error() {
    let copied = cells(&[vec![40.1, 40.1], vec![33.3, 33.3], vec![28.7, 28.7]]);
    assert_eq!(
        reliability::of(&copied, Level::USUAL),
        Err(ReliabilityError::NoSpread { values: 6 })
    );
    let single = cells(&[vec![40.1], vec![33.3]]);
    assert!(matches!(
        reliability::of(&single, Level::USUAL),
        Err(ReliabilityError::Table(AnalysisError::TooSmall { .. }))
    ));
    assert!(matches!(two_way(&[vec![1.0, 2.0], vec![1.0]]), Err(AnalysisError::Ragged { .. })));
    let two = reliability::of(&cells(&[vec![40.1, 41.0], vec![33.3, 33.0]]), Level::USUAL).unwrap();
    assert!(two.has("typical-error-not-known"));
    let nonsense = cells(&[vec![40.1, f64::NAN], vec![33.3, 33.0]]);
    assert_eq!(
        reliability::of(&nonsense, Level::USUAL),
        Err(ReliabilityError::Table(AnalysisError::NotANumber))
    );
}

proptest! {
    // Shifting or scaling every value shifts nothing and scales the noise; order does not matter.
    #[test]
    fn typical_error_scales_with_the_values(
        table in prop::collection::vec(prop::collection::vec(20.0..50.0_f64, 3), 3..8),
        factor in 0.1..10.0_f64, shift in -100.0..100.0_f64,
    ) {
        let te = |cells: &[Cell]| reliability::of(cells, Level::USUAL).unwrap().value.typical_error.estimate.value;
        let original = cells(&table);
        let mut changed: Vec<Cell> = original.iter()
            .map(|cell| Cell { value: factor * cell.value + shift, ..*cell }).collect();
        changed.reverse();
        prop_assert!((te(&changed) - factor * te(&original)).abs() < 1e-9 * factor);
        // A full table by least squares with dummies and by mean squares is the same table.
        let residual = two_way(&table).unwrap().residual.mean_square().sqrt();
        prop_assert!((te(&original) - residual).abs() < 1e-9);
    }
}

fn golden() -> Value {
    serde_json::from_str(include_str!("../../../testdata/golden/repeat_tests.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}
