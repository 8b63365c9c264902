//! Distributions and lines against scipy and statsmodels.
//! Scripts in `oracles/`, answers in `testdata/golden/`.

#![allow(clippy::unwrap_used, reason = "a test that cannot read its answers has failed")]

use cornerwork_core::estimate::{Interval, Level};
use cornerwork_core::stats::bent_line::{BeforeTheFirst, BentLine, Goal};
use cornerwork_core::stats::distributions::{
    chi_square_cdf, chi_square_quantile, f_cdf, f_quantile, normal_cdf, normal_quantile,
    student_t_cdf, student_t_density, student_t_quantile,
};
use cornerwork_core::stats::line::Line;
use serde_json::Value;

fn golden(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

#[track_caller]
fn close(found: f64, expected: f64, what: &str) {
    let tolerance = 1e-8 * expected.abs().max(1e-3);
    assert!((found - expected).abs() < tolerance, "{what}: {found} for {expected}");
}

#[test]
fn quantiles_agree_with_scipy() {
    let golden = golden(include_str!("../../../testdata/golden/distributions.json"));
    let rows = golden["quantiles"].as_array().unwrap();
    assert_eq!(rows.len(), 460);
    for row in rows {
        let (p, df, expected) = (number(&row[1]), numbers(&row[2]), number(&row[3]));
        let name = row[0].as_str().unwrap();
        let (quantile, back) = match name {
            "normal" => (normal_quantile(p), normal_cdf(expected)),
            "student_t" => (student_t_quantile(p, df[0]), student_t_cdf(expected, df[0])),
            "chi_square" => (chi_square_quantile(p, df[0]), chi_square_cdf(expected, df[0])),
            "f" => (f_quantile(p, df[0], df[1]), f_cdf(expected, df[0], df[1])),
            other => panic!("no distribution {other}"),
        };
        close(quantile, expected, &format!("{name} quantile {p} {df:?}"));
        close(back, p, &format!("{name} probability at {expected} {df:?}"));
    }
    for row in golden["student_t_density"].as_array().unwrap() {
        let row = numbers(row);
        close(student_t_density(row[0], row[1]), row[2], "density");
    }
}

#[test]
fn lines_agree_with_statsmodels() {
    let golden = golden(include_str!("../../../testdata/golden/lines.json"));
    let cases = golden["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 4);
    for case in cases {
        let points: Vec<_> = numbers(&case["x"]).into_iter().zip(numbers(&case["y"])).collect();
        let line = Line::through(&points).unwrap();
        let noise = line.noise().unwrap();
        close(line.intercept, number(&case["intercept"]), "intercept");
        close(line.slope, number(&case["slope"]), "slope");
        close(noise.sd, number(&case["residual_sd"]), "residual sd");
        close(line.slope_standard_error(noise), number(&case["slope_se"]), "slope se");
        close(line.standard_error_at(0.0, noise), number(&case["intercept_se"]), "intercept se");
        close(line.r_squared(), number(&case["r_squared"]), "r squared");

        let prediction = &case["prediction"];
        let x = number(&prediction["x"]);
        close(line.at(x), number(&prediction["y"]), "height");
        same(line.interval_at(x, noise, Level::USUAL), &prediction["line"]);
        same(line.prediction_at(x, 1, noise, Level::USUAL), &prediction["one"]);
    }
}

// The same model by brute force: the covariance of all reps written out, fine grids for the fall
// and the noise (oracles/bent_line.py). Ends agree to 4 % of the interval's
// width: with two reps in all the noise has a long tail, which both roads cut off somewhere.
#[test]
fn bent_lines_agree_with_brute_force() {
    let golden = golden(include_str!("../../../testdata/golden/bent_line.json"));
    let before = BeforeTheFirst { bend: 0.055, noise_sd: 0.03, noise_degrees_of_freedom: 1.0 };
    let near = |found: f64, expected: &Value, tolerance: f64, what: &str| {
        let expected = number(expected);
        assert!((found - expected).abs() <= tolerance, "{what}: {found} for {expected}");
    };
    for case in golden["cases"].as_array().unwrap() {
        let points: Vec<_> = numbers(&case["x"]).into_iter().zip(numbers(&case["y"])).collect();
        let curve = BentLine::through(&points, Line::through(&points).unwrap(), before).unwrap();
        let name = case["name"].as_str().unwrap();
        near(curve.bend_probability(), &case["bent"], 0.01, name);
        near(curve.noise_sd() / number(&case["noise_sd"]), &Value::from(1.0), 0.02, name);
        for asked in case["loads"].as_array().unwrap() {
            let goal = Goal { y: number(&asked["velocity"]), sd: number(&asked["sd"]) };
            let found = curve.falls_to(goal, 240.0, Level::USUAL).unwrap();
            let width = number(&asked["load"][2]) - number(&asked["load"][0]);
            near(found.interval.low, &asked["load"][0], 0.04 * width, name);
            near(found.value, &asked["load"][1], 0.04 * width, name);
            near(found.interval.high, &asked["load"][2], 0.04 * width, name);
        }
        for asked in case["velocities"].as_array().unwrap() {
            let load = number(&asked["load"]);
            let belief = match asked["next"].as_u64().unwrap() {
                0 => curve.at(load),
                next => curve.next_at(load, next as u32),
            };
            let width = number(&asked["velocity"][1]) - number(&asked["velocity"][0]);
            near(belief.quantile(0.05), &asked["velocity"][0], 0.04 * width, name);
            near(belief.quantile(0.95), &asked["velocity"][1], 0.04 * width, name);
        }
    }
}

#[track_caller]
fn same(found: Interval<f64>, expected: &Value) {
    close(found.low, number(&expected[0]), "low");
    close(found.high, number(&expected[1]), "high");
}
