//! Weeks of training load and lines through body mass against numpy and scipy
//! (oracles/load_and_mass.py).

#![allow(clippy::unwrap_used, reason = "a test that cannot read its answers has failed")]

use cornerwork_core::camp::body_mass::{Trend, Weighing};
use cornerwork_core::camp::training_load::{ClosedSession, Exertion, SessionKind, Week};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::units::Mass;
use jiff::ToSpan;
use jiff::civil::{Date, date};
use serde_json::Value;

const FIRST: Date = date(2026, 9, 7);

fn golden() -> Value {
    serde_json::from_str(include_str!("../../../testdata/golden/load_and_mass.json")).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|one| one.as_f64().unwrap()).collect()
}

#[track_caller]
fn close(found: f64, expected: &Value, what: &str) {
    let expected = expected.as_f64().unwrap();
    assert!(
        (found - expected).abs() < 1e-8 * expected.abs().max(1.0),
        "{what}: {found} for {expected}"
    );
}

fn day(number: usize) -> Date {
    FIRST.saturating_add(i64::try_from(number).unwrap().days())
}

/// A session of this many units: rated 5, so a fifth of them in minutes.
fn session(date: Date, units: f64) -> ClosedSession {
    ClosedSession {
        athlete: AthleteId::new("A04").unwrap(),
        date,
        kind: SessionKind::Strength,
        exertion: Exertion::new(5.0),
        minutes: Some((units / 5.0) as u16),
        rounds: 0,
        note: String::new(),
        next: String::new(),
    }
}

#[test]
fn monotony_and_strain_are_those_of_numpy() {
    let golden = golden();
    for expected in golden["weeks"].as_array().unwrap() {
        let sessions: Vec<ClosedSession> = numbers(&expected["daily_loads"])
            .into_iter()
            .enumerate()
            .filter(|(_, units)| *units > 0.0)
            .map(|(number, units)| session(day(number), units))
            .collect();
        let week = Week::from(FIRST, &sessions);
        close(week.load, &expected["load"], "load");
        close(week.monotony().unwrap(), &expected["monotony"], "monotony");
        close(week.strain().unwrap(), &expected["strain"], "strain");
    }
}

#[test]
fn the_trend_and_its_prediction_are_those_of_scipy() {
    let golden = golden();
    for expected in golden["masses"].as_array().unwrap() {
        let weighings: Vec<Weighing> = numbers(&expected["kilograms"])
            .into_iter()
            .enumerate()
            .map(|(number, mass)| Weighing { date: day(number), mass: Mass::kilograms(mass) })
            .collect();
        let trend = Trend::of(&weighings).unwrap();
        let ahead = usize::try_from(expected["ahead_days"].as_u64().unwrap()).unwrap();
        let on = day(weighings.len() - 1 + ahead);
        let rate = trend.percent_a_week();
        close(rate.value, &expected["percent_a_week"], "rate");
        close(rate.interval.low, &expected["percent_a_week_90"][0], "rate, low");
        close(rate.interval.high, &expected["percent_a_week_90"][1], "rate, high");
        let predicted = trend.on(on);
        close(predicted.value.in_kilograms(), &expected["predicted_kg"], "predicted");
        close(predicted.interval.low.in_kilograms(), &expected["predicted_90_kg"][0], "low");
        close(predicted.interval.high.in_kilograms(), &expected["predicted_90_kg"][1], "high");
        let most = Mass::kilograms(expected["most_kg"].as_f64().unwrap());
        close(trend.chance_within(most, on), &expected["chance_within"], "chance");
    }
}
