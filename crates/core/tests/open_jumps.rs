//! Two measured jumps of an open course (CC BY 4.0, doi 10.5281/zenodo.4599319).
//!
//! Compared with an independent computation in numpy: trapezoid rule, g = 9.81 m/s², weighing in a
//! stretch chosen by eye, take-off and landing at the first samples across 20 N. The rules differ
//! on purpose, so each tolerance is what the difference of rules can make.

use cornerwork_core::capture::{ForceCapture, Sampling};
use cornerwork_core::metrics::{MetricSet, trials};
use cornerwork_core::trial::countermovement_jump::{Rules, read};
use cornerwork_core::trial::{Conditions, weighing};
use cornerwork_core::units::Acceleration;

fn column(text: &str, column: usize) -> Vec<f64> {
    text.lines().filter_map(|line| line.split_whitespace().nth(column)?.parse().ok()).collect()
}

fn metrics(capture: &ForceCapture, rules: &Rules) -> MetricSet {
    let conditions = Conditions {
        gravity: Acceleration::metres_per_second_squared(9.81),
        ..Conditions::default()
    };
    trials::countermovement_jump(&read(capture, &conditions, rules).expect("a jump"))
}

#[track_caller]
fn close(set: &MetricSet, id: &str, expected: f64, tolerance: f64) {
    let found = set.metric(id).unwrap_or_else(|| panic!("{id} is absent: {:?}", set.notes)).value;
    assert!((found - expected).abs() <= tolerance, "{id}: {found} is not {expected} ± {tolerance}");
}

/// The 90 % interval holds what another computation gives.
#[track_caller]
fn holds(set: &MetricSet, id: &str, expected: f64) {
    let metric = set.metric(id).unwrap_or_else(|| panic!("{id} is absent: {:?}", set.notes));
    let interval = metric.interval().expect("a doubt");
    assert!(interval.contains(expected), "{id}: {expected} is not in {interval:?}");
}

fn weighed_over(window_s: f64) -> Rules {
    let mut rules = Rules::default();
    rules.jump.start.weighing =
        weighing::Rules { window_s, useless_fraction: 0.03, ..weighing::Rules::default() };
    rules.jump.widest_m = 1.0;
    rules
}

/// What a difference of weighing does to height by impulse: dh = dW/W (2 h + v T), T the time from
/// onset to take-off (from v = g/W ∫F dt - g T).
fn weighing_moves_height_m(masses_kg: (f64, f64), height_m: f64, to_take_off_s: f64) -> f64 {
    let velocity = (2.0 * 9.81 * height_m).sqrt();
    (masses_kg.0 / masses_kg.1 - 1.0).abs() * (2.0 * height_m + velocity * to_take_off_s)
}

/// Take-off and landing at a threshold of some newtons against first samples across 20 N: each
/// event may differ by a step and a half.
fn timing_moves_height_m(rate_hz: f64, flight_s: f64) -> f64 {
    9.81 * flight_s / 4.0 * 3.0 / rate_hz
}

#[test]
fn the_jump_of_ten_seconds_agrees_with_numpy() {
    let text = include_str!("../../../testdata/open/bmc_jumps/jump1.txt");
    let capture = ForceCapture::single(Sampling::stamps(column(text, 0)), column(text, 1));
    // numpy weighed over half a second by eye, before the athlete moved. The quietest second still
    // has the end of stepping on in it (70.60 kg); with the standing after the landing, and a
    // velocity that closes, the weight comes to within 0.1 % of numpy's, whose half second sways too.
    let set = metrics(&capture, &Rules::default());
    holds(&set, "height_from_impulse_m", 0.360_038);
    assert!((set.metric("body_mass_kg").unwrap().value - 70.532_930).abs() < 0.07);
    // Take-off velocity may differ by g times a step of the clock, and height by v/g times that.
    let step_m_s = 9.81 / 450.0;
    close(&set, "take_off_velocity_m_s", 2.657_810, step_m_s);
    close(&set, "height_from_impulse_m", 0.360_038, 2.6578 * step_m_s / 9.81);
    let timing = timing_moves_height_m(450.0, 0.5511);
    close(&set, "height_from_flight_time_m", 0.372_441, timing);
    close(&set, "peak_force_n", 1492.25, 1e-9);
    // numpy integrates from the middle of the weighing, this from the onset: sway in between.
    close(&set, "countermovement_depth_m", 0.322_317, 0.005);
    close(&set, "peak_power_w", 3616.998, 0.005 * 3617.0);

    // Stepping on before and off after the jump are neither flights nor lost landings.
    assert!(!set.has_note("stepped-off") && !set.has_note("double-hop"));
}

#[test]
fn the_short_jump_agrees_with_numpy_and_its_weighing_is_doubted() {
    let force_n = column(include_str!("../../../testdata/open/bmc_jumps/GRFZjump.txt"), 0);
    assert_eq!(force_n.len(), 1200);
    let capture = ForceCapture::single(Sampling::Rate(600.0), force_n);
    // There is no quiet second before this jump: height is by flight time alone.
    let set = metrics(&capture, &Rules::default());
    let timing = timing_moves_height_m(600.0, 0.425);
    close(&set, "height_from_flight_time_m", 0.221_491, timing);
    assert!(set.has_note("no-quiet-standing"));
    assert!(set.metric("height_from_impulse_m").is_none());
    // The course's notebook prints take-off 0.907 s, landing 1.323 s and 0.213 m (g 9.8): it takes
    // the last sample under 10 N for the landing, after taking the least reading off, where force
    // has not yet risen through this reading's threshold. Take-off agrees to two steps, landing
    // to five, and so the height only to 9.81 T/4 times seven steps.
    let step_s = 1.0 / 600.0;
    close(&set, "take_off_s", 0.907, 2.0 * step_s);
    close(&set, "landing_s", 1.323, 5.0 * step_s);
    close(&set, "height_from_flight_time_m", 0.213, 9.81 * 0.42 / 4.0 * 7.0 * step_s);
    // The empty plate reads 6 to 7 N (numpy took its least reading off, 5.8 N).
    assert!(set.has_note("zero-offset"));

    // numpy weighed over the first 0.18 s.
    let set = metrics(&capture, &weighed_over(0.18));
    let mass_kg = set.metric("body_mass_kg").unwrap().value;
    let moved = weighing_moves_height_m((mass_kg, 63.289_868), 0.25, 0.74);
    let step_m = 2.2155 / 600.0;
    close(&set, "height_from_impulse_m", 0.250_181, moved + step_m);
    // A fifth of a second says little of a weight: the doubt is more than is shown by itself.
    holds(&set, "height_from_impulse_m", 0.250_181);
    let interval = set.metric("height_from_impulse_m").unwrap().interval().unwrap();
    assert!(interval.high - interval.low > 2.0 * Rules::default().jump.widest_m);
    // Offsets of 7.1 and 5.8 N were taken off.
    close(&set, "peak_force_n", 1416.301, 1.5);
    // Velocity at the onset is read from a fifth of a second: 2 % of the power.
    close(&set, "peak_power_w", 2448.367, 0.025 * 2448.4);
    assert!(set.has_note("unquiet-standing"));
}
