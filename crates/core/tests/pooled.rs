//! Squads of two kinds and unlike mass against lme4: what a newcomer borrows.

#![allow(clippy::unwrap_used, reason = "a test that cannot read its answers has failed")]

use cornerwork_core::estimate::Level;
use cornerwork_core::profile::likeness::Likeness;
use cornerwork_core::profile::load_momentum::{HeightMethod, LoadedJump};
use cornerwork_core::profile::load_velocity::VelocityRep;
use cornerwork_core::profile::pooled_momentum::{Jumper, SquadMomentum};
use cornerwork_core::profile::pooled_velocity::{Lifter, SquadVelocity};
use cornerwork_core::units::{Mass, Quantity, Velocity};
use serde_json::Value;

/// One person of oracles/mixed_line_covariates.R: kind, log mass about 70 kg, points.
struct Person {
    likeness: Likeness,
    points: Vec<(f64, f64)>,
}

fn many() -> (Value, Vec<Person>) {
    let golden: Value =
        serde_json::from_str(include_str!("../../../testdata/golden/mixed_line_covariates.json"))
            .unwrap();
    let mut people: Vec<Person> = Vec::new();
    for row in golden["many"]["rows"].as_array().unwrap() {
        let row: Vec<f64> =
            row.as_str().unwrap().split(',').map(|cell| cell.trim().parse().unwrap()).collect();
        if row[0] as usize > people.len() {
            people.push(Person { likeness: likeness(row[1], row[2]), points: Vec::new() });
        }
        people.last_mut().unwrap().points.push((row[3], row[4]));
    }
    (golden["many"].clone(), people)
}

fn likeness(kind: f64, log_mass: f64) -> Likeness {
    Likeness { kind: Some(kind), body_mass: Mass::kilograms(70.0 * log_mass.exp()) }
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[track_caller]
fn near(found: f64, expected: f64, relative: f64) {
    assert!((found - expected).abs() <= relative * expected.abs(), "{found} for {expected}");
}

/// Height and slope expected of someone new, and the spread about the height, variances plugged in.
fn expected_of(golden: &Value) -> (f64, f64, f64) {
    let newcomer = &golden["newcomer"];
    let line = &newcomer["line"];
    (number(&line[0]), number(&line[1]), number(&newcomer["covariance"][0][0]).sqrt())
}

#[test]
fn a_new_jumper_is_expected_where_lme4_puts_kind_and_mass() {
    let (golden, people) = many();
    let jumper = |likeness: Likeness, points: &[(f64, f64)]| Jumper {
        body_mass: likeness.body_mass,
        jumps: points
            .iter()
            .map(|&(share, velocity)| {
                let velocity = Velocity::metres_per_second(velocity);
                LoadedJump::of_velocity(likeness.body_mass * share, velocity, HeightMethod::Impulse)
            })
            .collect(),
        kind: likeness.kind,
    };
    let squad: Vec<Jumper> = people.iter().map(|one| jumper(one.likeness, &one.points)).collect();
    let squad = SquadMomentum::of(&squad, None).unwrap().value;
    let like = likeness(0.5, 0.1);
    let (height, slope, spread) = expected_of(&golden);
    let nobody = squad.newcomer(&jumper(like, &[]));
    let unloaded = nobody.velocity_at(Mass::ZERO, Level::USUAL);
    near(unloaded.value.si(), height, 2e-3);
    // 1.644854 standard deviations either side; averaged over the variances it is a little wider.
    near(unloaded.interval.high.si() - unloaded.value.si(), 1.644_854 * spread, 0.05);
    // Momentum (M + L) v with v falling in a line peaks half-way between -M and where v vanishes.
    let peak = nobody.peak(Level::USUAL).unwrap();
    let by_hand = 0.5 * (height / -slope - 1.0) * like.body_mass.in_kilograms();
    near(peak.value.load.value.in_kilograms(), by_hand, 0.02);
    assert!(peak.has("mostly-borrowed") && peak.value.own_share < 1e-9);
    let inputs = &peak.value.working.inputs;
    assert!(inputs.iter().any(|input| input.value == "kind of person and body mass"));
    // Two own jumps on a far steeper line pull the peak down and are said to weigh.
    let own = [(0.0, 2.9), (0.8, 1.4)];
    let two = squad.newcomer(&jumper(like, &own)).peak(Level::USUAL).unwrap().value;
    assert!(two.load.value < peak.value.load.value && two.own_share > 0.5, "{two:?}");
}

#[test]
fn a_new_lifter_is_expected_where_lme4_puts_kind_and_mass() {
    // The same people with a load of 100 kg where they had a body mass.
    let (golden, people) = many();
    let lifter = |likeness: Likeness, points: &[(f64, f64)]| Lifter {
        likeness,
        reps: points
            .iter()
            .map(|&(share, velocity)| VelocityRep {
                load: Mass::kilograms(100.0 * share),
                velocity: Velocity::metres_per_second(velocity),
            })
            .collect(),
    };
    let squad: Vec<Lifter> = people.iter().map(|one| lifter(one.likeness, &one.points)).collect();
    let squad = SquadVelocity::of_lifters(&squad, None).unwrap().value;
    let (height, slope, _) = expected_of(&golden);
    let target = Velocity::metres_per_second(1.5);
    let nobody = squad.new_lifter(&lifter(likeness(0.5, 0.1), &[]));
    let load = nobody.load_at(target, Level::USUAL).unwrap().value.load.value;
    near(load.in_kilograms(), 100.0 * (1.5 - height) / slope, 0.02);
    // Of no stated kind and middle mass: kind and mass shift nothing.
    let middle = squad.newcomer(&[]).velocity_at(Mass::ZERO, Level::USUAL).value.si();
    near(middle, number(&golden["effects"][0]), 0.02);
}
