//! Lines of a population against lme4, statsmodels and brute force over a grid of parameters.

#![allow(clippy::unwrap_used, reason = "a test that cannot read its answers has failed")]

use cornerwork_core::estimate::Level;
use cornerwork_core::stats::mixed_line::{
    Group, LinePopulation, MixedLine, MixedLineError, NoisePrior,
};
use proptest::prelude::*;
use serde_json::Value;

fn golden() -> Value {
    serde_json::from_str(include_str!("../../../testdata/golden/mixed_line.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

#[track_caller]
fn near(found: f64, expected: f64, relative: f64) {
    let difference = (found - expected).abs();
    assert!(difference <= relative * expected.abs(), "{found} for {expected}");
}

fn sleepstudy() -> Vec<Group> {
    let mut groups: Vec<(String, Group)> = Vec::new();
    for line in include_str!("../../../testdata/open/sleepstudy.csv").lines().skip(1) {
        let mut words = line.split(',');
        let subject = words.next().unwrap();
        let (x, y) =
            (words.next().unwrap().parse().unwrap(), words.next().unwrap().parse().unwrap());
        if groups.last().is_none_or(|(name, _)| name != subject) {
            groups.push((subject.into(), Group::default()));
        }
        groups.last_mut().unwrap().1.points.push((x, y));
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

#[test]
fn sleepstudy_meets_lme4() {
    let golden = golden();
    let expected = &golden["lme4"];
    let fit = MixedLine::fit(&sleepstudy()).unwrap();
    let (effects, errors) = (numbers(&expected["effects"]), numbers(&expected["standard_errors"]));
    for i in 0..2 {
        near(fit.effects[i], effects[i], 1e-9);
        near(fit.standard_error(i), errors[i], 1e-5);
    }
    // lme4 stops a little short of the lowest point (its intercept variance is 612.100, statsmodels'
    // and an EM run to convergence give 612.089): nothing here may lie above it.
    assert!(fit.criterion <= number(&expected["criterion"]) + 1e-8);
    near(fit.effects_covariance[(0, 1)], number(&expected["effects_covariance"]), 1e-5);
    let variances = numbers(&expected["between_variances"]);
    near(fit.between[0], variances[0], 1e-4);
    near(fit.between[2], variances[1], 1e-4);
    near(fit.correlation(), number(&expected["correlation"]), 1e-4);
    near(fit.residual_variance, number(&expected["residual_variance"]), 1e-5);
    near(fit.criterion, number(&expected["criterion"]), 1e-10);
    let modes = &expected["modes"];
    let subjects = subjects();
    for (subject, mode) in modes.as_object().unwrap() {
        let index = subjects.iter().position(|name| name == subject).unwrap();
        let found = fit.mode(index).unwrap().difference;
        for (found, expected) in found.into_iter().zip(numbers(mode)) {
            near(found, expected, 1e-4);
        }
    }
    let conditional = fit.mode(0).unwrap().conditional;
    for (found, expected) in conditional.into_iter().zip(numbers(&expected["mode_308_conditional"]))
    {
        near(found, expected, 1e-5);
    }
}

/// Names of the subjects in the order of the file.
fn subjects() -> Vec<String> {
    let mut names: Vec<String> = include_str!("../../../testdata/open/sleepstudy.csv")
        .lines()
        .skip(1)
        .map(|line| line.split(',').next().unwrap().to_owned())
        .collect();
    names.dedup();
    names
}

#[test]
fn an_uneven_squad_of_two_kinds_meets_statsmodels() {
    let golden = golden();
    for (key, groups) in [("sleepstudy", sleepstudy()), ("uneven_squad", uneven_squad(&golden))] {
        let expected = &golden[key];
        let fit = MixedLine::fit(&groups).unwrap();
        for (i, value) in numbers(&expected["effects"]).into_iter().enumerate() {
            near(fit.effects[i], value, 1e-4);
        }
        for (i, value) in numbers(&expected["standard_errors"]).into_iter().enumerate() {
            near(fit.standard_error(i), value, 1e-3);
        }
        for (found, value) in fit.between.into_iter().zip(numbers(&expected["between"])) {
            near(found, value, 2e-3);
        }
        near(fit.residual_variance, number(&expected["residual_variance"]), 1e-3);
        // Never a worse fit than theirs.
        assert!(fit.criterion <= number(&expected["criterion"]) + 1e-7, "{}", fit.criterion);
        near(fit.criterion, number(&expected["criterion"]), 1e-6);
        for (index, mode) in expected["modes"].as_array().unwrap().iter().enumerate() {
            let found = fit.mode(index).unwrap().difference;
            for (found, expected) in found.into_iter().zip(numbers(mode)) {
                near(found, expected, 5e-3);
            }
        }
    }
}

fn uneven_squad(golden: &Value) -> Vec<Group> {
    let mut groups = vec![Group::default(); 30];
    for row in golden["uneven_squad"]["rows"].as_array().unwrap() {
        let row = numbers(row);
        let group = &mut groups[row[0] as usize];
        group.covariates = vec![row[1]];
        group.points.push((row[2], row[3]));
    }
    groups
}

/// People of two kinds and unlike mass, with both as covariates.
fn covariate_squad(expected: &Value) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for row in expected["rows"].as_array().unwrap() {
        let row: Vec<f64> =
            row.as_str().unwrap().split(',').map(|cell| cell.trim().parse().unwrap()).collect();
        groups.resize(groups.len().max(row[0] as usize), Group::default());
        let group = groups.last_mut().unwrap();
        group.covariates = vec![row[1], row[2]];
        group.points.push((row[3], row[4]));
    }
    groups
}

#[test]
fn lines_shifted_by_sex_and_mass_meet_lme4() {
    // oracles/mixed_line_covariates.R: lme4 with its optimiser run to the last digits.
    let golden: Value =
        serde_json::from_str(include_str!("../../../testdata/golden/mixed_line_covariates.json"))
            .unwrap();
    for key in ["few", "many"] {
        let expected = &golden[key];
        let fit = MixedLine::fit(&covariate_squad(expected)).unwrap();
        for (i, value) in numbers(&expected["effects"]).into_iter().enumerate() {
            near(fit.effects[i], value, 1e-5);
        }
        for (i, value) in numbers(&expected["standard_errors"]).into_iter().enumerate() {
            near(fit.standard_error(i), value, 1e-4);
        }
        for (found, value) in fit.between.into_iter().zip(numbers(&expected["between"])) {
            near(found, value, 1e-4);
        }
        near(fit.residual_variance, number(&expected["residual_variance"]), 1e-4);
        near(fit.criterion, number(&expected["criterion"]), 1e-8);
        for (index, mode) in expected["modes"].as_array().unwrap().iter().enumerate() {
            let found = fit.mode(index).unwrap().difference;
            for (found, expected) in found.into_iter().zip(numbers(mode)) {
                assert!((found - expected).abs() < 1e-5, "{found} for {expected}");
            }
        }
    }
}

#[test]
fn someone_new_is_expected_by_sex_and_mass() {
    // The same golden file: expected line of a kind and mass, its covariance with the variances
    // plugged in. Of 120 people averaging over the variances hardly differs; of 16 it must not
    // claim to know more.
    let golden: Value =
        serde_json::from_str(include_str!("../../../testdata/golden/mixed_line_covariates.json"))
            .unwrap();
    for (key, of_line, widest) in [("many", 2e-3, 1.08), ("few", 2e-2, 1.6)] {
        let expected = &golden[key];
        let newcomer = &expected["newcomer"];
        let population = LinePopulation::fit(&covariate_squad(expected), None).unwrap().value;
        let belief = population.newcomer(&numbers(&newcomer["covariates"]));
        for (found, value) in belief.line().into_iter().zip(numbers(&newcomer["line"])) {
            near(found, value, of_line);
        }
        for (i, value) in numbers(&expected["effects"]).into_iter().enumerate() {
            let error = numbers(&expected["standard_errors"])[i];
            let off = (population.effects()[i] - value).abs() / error;
            assert!(off < 0.25, "{key} effect {i}: {off} standard errors");
        }
        let plugged = number(&newcomer["covariance"][0][0]).sqrt();
        let ratio = belief.at(0.0).standard_deviation() / plugged;
        assert!((0.97..widest).contains(&ratio), "{key}: {ratio}");
    }
}

#[test]
fn a_quantile_of_a_crossing_has_its_probability() {
    // By definition, whatever road finds it.
    let population = LinePopulation::fit(&sleepstudy(), None).unwrap().value;
    let golden = golden();
    let falling = LinePopulation::fit(&small_squad(&golden), None).unwrap().value;
    let belief = falling.newcomer(&[]).updated(0.0, 2.9).updated(40.0, 2.0);
    for y in [2.5, 1.5, 0.5] {
        let found = belief.falls_to(y, Level::USUAL).unwrap();
        for (x, p) in [(found.interval.low, 0.05), (found.value, 0.5), (found.interval.high, 0.95)]
        {
            assert!((belief.reached_by(y, x) - p).abs() < 1e-12, "{y} {p}");
            assert!((belief.at(x).below(y) - p).abs() < 1e-12, "{y} {p}");
        }
        for p in [0.001, 0.05, 0.5, 0.95, 0.999] {
            assert!((belief.at(30.0).below(belief.at(30.0).quantile(p)) - p).abs() < 1e-12);
        }
    }
    // A rising line reaches no lower value.
    assert!(population.newcomer(&[]).falls_to(0.0, Level::USUAL).is_err());
}

fn small_squad(golden: &Value) -> Vec<Group> {
    let people = golden["small_squad"]["people"].as_array().unwrap();
    people.iter().map(|person| Group::of(points(person))).collect()
}

fn points(value: &Value) -> Vec<(f64, f64)> {
    value.as_array().unwrap().iter().map(numbers).map(|point| (point[0], point[1])).collect()
}

#[test]
fn averaging_over_the_spread_meets_brute_force() {
    // Six people, three loads each: the posterior on a grid of 280 000 parameter sets (numpy),
    // against 256 weighted ones here. An interval's end may be off by a twentieth of its width.
    let golden = golden();
    let expected = &golden["small_squad"];
    let population = LinePopulation::fit(&small_squad(&golden), None).unwrap();
    assert!(population.has("small-squad"));
    let population = population.value;
    let member = population.member(0).unwrap();
    let newcomer = population.newcomer(&[]).updated_with(&points(&expected["own"]));
    for (belief, key) in [(member, "member_0"), (newcomer, "newcomer")] {
        let height = numbers(&expected[key]["height_at_40"]);
        let width = height[2] - height[0];
        for (found, p) in height.into_iter().zip([0.05, 0.5, 0.95]) {
            let ours = belief.at(40.0).quantile(p);
            assert!((ours - found).abs() < 0.05 * width, "{key} {p}: {ours} for {found}");
        }
        let reach = numbers(&expected[key]["falls_to_1_5"]);
        let found = belief.falls_to(1.5, Level::USUAL).unwrap();
        let width = reach[2] - reach[0];
        for (ours, theirs) in
            [found.interval.low, found.value, found.interval.high].into_iter().zip(reach)
        {
            assert!((ours - theirs).abs() < 0.05 * width, "{key}: {ours} for {theirs}");
        }
    }
}

#[test]
fn someone_new_is_drawn_from_the_others_and_then_from_the_own_points() {
    // lme4 on the other 17 as squad, subject 308 as the newcomer, variances plugged in: day 9
    // expected at 340.05 before any test, standard deviation of the line 28 and of the slope 5.7.
    // Averaged over the variances it is a little wider.
    let mut others = sleepstudy();
    let newcomer = others.remove(0);
    let population = LinePopulation::fit(&others, None).unwrap().value;
    let before = population.newcomer(&[]);
    near(before.line()[0], 251.829, 0.002);
    near(before.line()[1], 9.803, 0.01);
    let slope = before.slope().standard_deviation();
    assert!((5.7..7.2).contains(&slope), "{slope}");
    let three = before.updated_with(&newcomer.points[..3]);
    near(three.line()[0], 245.9, 0.005);
    near(three.line()[1], 8.57, 0.03);
    let shares: Vec<f64> = (0..=9)
        .map(|known| before.updated_with(&newcomer.points[..known]).own_share(&before, 4.5))
        .collect();
    assert_eq!(shares[0], 0.0);
    assert!(shares.windows(2).all(|pair| pair[1] > pair[0]), "{shares:?}");
    // The plugged-in prediction is 323.0, standard deviation 51.1, and 466.4 came: 2.8 of them.
    let far = three.mean_of_next(1, 9.0).below(newcomer.points[9].1);
    assert!((0.99..0.9985).contains(&far), "{far}");
}

#[test]
fn pooling_refuses_what_it_cannot_do() {
    let three: Vec<Group> = sleepstudy().into_iter().take(3).collect();
    let refused = LinePopulation::fit(&three, None).unwrap_err();
    assert_eq!(refused, MixedLineError::TooFewLines { lines: 3 });
    // Two loads each, once: noise and difference cannot be told apart without being given one.
    let two: Vec<Group> =
        sleepstudy().into_iter().map(|g| Group::of([g.points[0], g.points[9]])).collect();
    let refused = LinePopulation::fit(&two, None).unwrap_err();
    assert_eq!(refused, MixedLineError::NoiseNotIdentified);
    let noise = NoisePrior { standard_deviation: 25.0, degrees_of_freedom: 20.0 };
    let pooled = LinePopulation::fit(&two, Some(noise)).unwrap().value;
    near(pooled.newcomer(&[]).residual_standard_deviation(), 25.0, 0.15);
    let mut broken = sleepstudy();
    broken[4].points[2].1 = f64::NAN;
    assert_eq!(MixedLine::fit(&broken).unwrap_err(), MixedLineError::NotFinite { group: 5 });
}

#[test]
fn groups_that_do_not_differ_give_no_spread_and_no_nonsense() {
    // Dyestuff2 of Box and Tiao 1973 is the classical case; here lines that agree exactly but for
    // a residual that is the same in every group, so nothing is left between them.
    let wiggle = [0.3, -0.5, 0.4, -0.2];
    let groups: Vec<Group> = (0..8)
        .map(|_| {
            Group::of(
                wiggle
                    .iter()
                    .enumerate()
                    .map(|(i, e)| (i as f64, 5.0 - i as f64 + e))
                    .collect::<Vec<_>>(),
            )
        })
        .collect();
    let fit = MixedLine::fit(&groups).unwrap();
    assert!(fit.between[0].abs() < 1e-8 && fit.between[2].abs() < 1e-8, "{:?}", fit.between);
    let population = LinePopulation::fit(&groups, None).unwrap().value;
    let member = population.member(3).unwrap().at(1.5);
    assert!(member.standard_deviation().is_finite() && member.mean().is_finite());
}

proptest! {
    // Other units of x and y are the same fit in other units.
    #[test]
    fn units_do_not_matter(scale_x in 0.01..100.0_f64, scale_y in 0.01..100.0_f64, shift in -50.0..50.0_f64) {
        let groups = sleepstudy();
        let changed: Vec<Group> = groups.iter()
            .map(|g| Group::of(g.points.iter().map(|(x, y)| (scale_x * x + shift, scale_y * y)).collect::<Vec<_>>()))
            .collect();
        let (one, other) = (MixedLine::fit(&groups).unwrap(), MixedLine::fit(&changed).unwrap());
        prop_assert!((other.residual_variance / one.residual_variance / scale_y.powi(2) - 1.0).abs() < 1e-6);
        let slope = other.effects[1] * scale_x / scale_y;
        prop_assert!((slope / one.effects[1] - 1.0).abs() < 1e-6);
        prop_assert!((other.between[2] * (scale_x / scale_y).powi(2) / one.between[2] - 1.0).abs() < 1e-4);
    }
}
