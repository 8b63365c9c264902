//! Events put right by a person: what follows from them follows exactly, and nothing breaks.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_core::capture::ForceCapture;
use cornerwork_core::metrics::{MetricSet, height, timing, trials};
use cornerwork_core::signal::Sampling;
use cornerwork_core::trial::{
    Conditions, MovedEvents, TrialError, TrialEvent, countermovement_jump, drop_jump, isometric,
};
use cornerwork_core::units::Length;
use cornerwork_testkit::synthetic::countermovement::SmoothJump;
use proptest::option::of;
use proptest::prelude::*;

fn capture() -> ForceCapture {
    ForceCapture::single(Sampling::Rate(1000.0), SmoothJump::default().force_n(1000.0))
}

fn read(moved: MovedEvents) -> Result<MetricSet, TrialError> {
    let conditions = Conditions { moved, ..Conditions::default() };
    let jump = countermovement_jump::read(&capture(), &conditions, &Default::default())?;
    Ok(trials::countermovement_jump(&jump))
}

#[test]
fn times_follow_the_events_exactly() {
    let found = read(MovedEvents::default()).unwrap();
    let value = |set: &MetricSet, metric| set.value(metric).unwrap();
    let take_off_s = value(&found, &timing::TAKE_OFF) + 0.004;
    let landing_s = value(&found, &timing::LANDING) - 0.010;
    let moved = MovedEvents {
        take_off_s: Some(take_off_s),
        landing_s: Some(landing_s),
        ..Default::default()
    };
    let put = read(moved).unwrap();
    assert!((value(&put, &timing::TAKE_OFF) - take_off_s).abs() < 1e-9);
    assert!((value(&put, &timing::LANDING) - landing_s).abs() < 1e-9);
    let flight_s = landing_s - take_off_s;
    assert!((value(&put, &height::FLIGHT_TIME) - flight_s).abs() < 1e-9);
    // g T²/8, Linthorne 2001, Am J Phys 69:1198.
    let expected = 9.806_65 * flight_s * flight_s / 8.0;
    assert!((value(&put, &height::FROM_FLIGHT_TIME) - expected).abs() < 1e-9);
}

#[test]
fn an_onset_put_late_loses_the_impulse_before_it() {
    let truth = SmoothJump::default().truth();
    let found = read(MovedEvents::default()).unwrap();
    // The dip is a half-sine of 0.65 of the weight over 0.34 s: a tenth of a second into it the
    // impulse lost is W·0.65·0.34/π·(1 − cos(π·0.1/0.34)), which is what take-off gains.
    let late = MovedEvents { onset_s: Some(truth.onset_s + 0.1), ..Default::default() };
    let put = read(late).unwrap();
    let gained = put.value(&height::TAKE_OFF_VELOCITY).unwrap()
        - found.value(&height::TAKE_OFF_VELOCITY).unwrap();
    let angle = std::f64::consts::PI * 0.1 / 0.34;
    let expected = 9.806_65 * 0.65 * 0.34 / std::f64::consts::PI * (1.0 - angle.cos());
    assert!((gained - expected).abs() < 1e-3, "{gained} {expected}");
}

#[test]
fn a_weighing_is_taken_where_it_was_put() {
    let moved = MovedEvents { weighing_s: Some(0.25), ..Default::default() };
    let conditions = Conditions { moved, ..Conditions::default() };
    let jump = countermovement_jump::read(&capture(), &conditions, &Default::default()).unwrap();
    assert_eq!(jump.value.jump.start.unwrap().weighing.window, 250..1250);
    let in_the_jump = MovedEvents { weighing_s: Some(2.6), ..Default::default() };
    assert!(read(in_the_jump).unwrap().has_note("no-quiet-standing"));
}

#[test]
fn impossible_places_are_refused_with_their_numbers() {
    let put = |event, time_s| {
        let mut moved = MovedEvents::default();
        moved.put(event, Some(time_s));
        read(moved)
    };
    assert!(matches!(put(TrialEvent::TakeOff, 99.0), Err(TrialError::EventOutside { .. })));
    assert!(matches!(put(TrialEvent::Onset, -1.0), Err(TrialError::EventOutside { .. })));
    // A take-off in the quiet standing would make a flight of metres.
    assert!(
        matches!(put(TrialEvent::TakeOff, 1.0), Err(TrialError::NotInTheAir { mean_n, .. }) if mean_n > 200.0)
    );
    // A landing put a tenth of a second into the landing is a matter of opinion.
    assert!(put(TrialEvent::Landing, 3.35).is_ok());
    assert!(matches!(put(TrialEvent::Landing, 1.0), Err(TrialError::EventsOutOfOrder { .. })));
    assert!(matches!(put(TrialEvent::Onset, 3.5), Err(TrialError::EventsOutOfOrder { .. })));
}

fn anywhere() -> impl Strategy<Value = MovedEvents> {
    let time = || of(-0.5..8.0_f64);
    (time(), time(), time(), time(), time()).prop_map(
        |(weighing_s, onset_s, touch_down_s, take_off_s, landing_s)| MovedEvents {
            weighing_s,
            onset_s,
            touch_down_s,
            take_off_s,
            landing_s,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Wherever events are put, there is an answer or a reason, and no time that was not put there.
    #[test]
    fn nothing_breaks_wherever_events_are_put(moved in anywhere()) {
        if let (Ok(set), Some(take_off_s)) = (read(moved), moved.take_off_s) {
            prop_assert!((set.value(&timing::TAKE_OFF).unwrap() - take_off_s).abs() < 1e-9);
        }
        let box_height = Some(Length::metres(0.3));
        let conditions = Conditions { moved, box_height, ..Conditions::default() };
        let _ = drop_jump::read(&capture(), &conditions, &Default::default());
        if let Ok(effort) = isometric::read(&capture(), &conditions, &Default::default()) {
            prop_assert!(effort.value.onset.at.before < effort.value.peak);
        }
    }
}
