//! Squat jumps, drop jumps, hops and isometric efforts against closed forms.
//!
//! Typed numbers are closed forms evaluated with g = 9.80665 m/s², not output of the code under
//! test. Times are read at 1000 Hz.

use cornerwork_core::capture::{ForceCapture, Plate, PlatePlace, Sampling};
use cornerwork_core::metrics::{MetricSet, stiffness, trials};
use cornerwork_core::trial::{
    Conditions, TrialError, drop_jump, isometric, repeated_jumps, squat_jump,
};
use cornerwork_core::units::{Length, Mass};
use cornerwork_testkit::synthetic::drop::DropJump;
use cornerwork_testkit::synthetic::squat::SquatJump;
use cornerwork_testkit::synthetic::{GRAVITY, hops, isometric as efforts, noisy};

const RATE_HZ: f64 = 1000.0;

fn capture(force_n: Vec<f64>) -> ForceCapture {
    ForceCapture::single(Sampling::Rate(RATE_HZ), force_n)
}

#[track_caller]
fn close(set: &MetricSet, id: &str, expected: f64, tolerance: f64) {
    let found = set.metric(id).unwrap_or_else(|| panic!("{id} is absent: {:?}", set.notes)).value;
    assert!((found - expected).abs() <= tolerance, "{id}: {found} is not {expected} ± {tolerance}");
}

fn squat(jump: SquatJump) -> MetricSet {
    let rules = squat_jump::Rules::default();
    let read = squat_jump::read(&capture(jump.force_n(RATE_HZ)), &Conditions::default(), &rules);
    trials::squat_jump(&read.expect("a jump"))
}

fn drop(capture: &ForceCapture, conditions: &Conditions) -> MetricSet {
    let read = drop_jump::read(capture, conditions, &drop_jump::Rules::default());
    trials::drop_jump(&read.expect("a jump"))
}

fn effort(force_n: Vec<f64>) -> MetricSet {
    let rules = isometric::Rules::default();
    let read = isometric::read(&capture(force_n), &Conditions::default(), &rules);
    trials::isometric(&read.expect("an effort"))
}

#[test]
fn a_squat_jump_is_all_propulsion() {
    let set = squat(SquatJump::default());
    // Take-off is read at 5 N on a fall of W/0.04 N/s, 0.255 ms early; velocity, height and rise are
    // carried on from there.
    close(&set, "take_off_velocity_m_s", 2.400_999_6, 1e-4);
    close(&set, "height_from_impulse_m", 0.293_923_0, 1e-4);
    // And landing as much late on a steeper rise: both together under 0.6 ms.
    close(&set, "flight_time_s", 0.489_667_7 + 0.000_3, 0.000_3);
    close(&set, "take_off_rise_m", 0.438_897_4, 1e-4);
    close(&set, "peak_force_n", 2039.7832, 0.02);
    assert!(set.metric("countermovement_depth_m").is_none());
    assert!(!set.has_note("small-countermovement") && !set.has_note("invalid-squat-jump"));
}

#[test]
fn a_dip_spoils_a_squat_jump() {
    let set = squat(SquatJump { dip: (0.12, 0.2), ..SquatJump::default() });
    close(&set, "fastest_descent_m_s", -0.149_835, 1e-4);
    close(&set, "take_off_velocity_m_s", 2.251_165, 1e-4);
    assert!(set.has_note("invalid-squat-jump"));
    let small = squat(SquatJump { dip: (0.015, 0.2), ..SquatJump::default() });
    assert!(small.has_note("small-countermovement"));
}

/// Contact of a half-sine: force reaches 5 N this long after it begins, and so long before it
/// ends.
fn threshold_s(jump: &DropJump) -> f64 {
    5.0 / (jump.contact_peak_n() * std::f64::consts::PI / jump.contact_s)
}

#[test]
fn a_drop_jump_is_weighed_afterwards() {
    let jump = DropJump::default();
    let conditions = Conditions { box_height: Some(Length::metres(0.30)), ..Conditions::default() };
    let set = drop(&capture(jump.force_n(RATE_HZ, 0.5)), &conditions);
    let early_s = threshold_s(&jump);
    close(&set, "contact_time_s", 0.24 - 2.0 * early_s, 2e-5);
    close(&set, "flight_time_s", 0.541_920_9 + early_s + 5.0 / 18_650.0, 2e-5);
    // Landing is read 0.27 ms late too: 5 N on W/0.3 + C π/0.3 = 18.65 kN/s.
    let longer_m = GRAVITY * 0.541_92 / 4.0 * (early_s + 5.0 / 18_650.0);
    close(&set, "height_from_flight_time_m", 0.36 + longer_m, 3e-5);
    // In 0.1 ms at either end the velocity changes by 1 mm/s; the landing's half-sine is
    // integrated with an error of under 0.2 mm/s.
    close(&set, "touch_down_velocity_m_s", -2.425_693_7, 2e-3);
    close(&set, "take_off_velocity_m_s", 2.657_214_3, 2e-3);
    close(&set, "drop_height_m", 0.30, 5e-4);
    close(&set, "height_from_impulse_m", 0.36, 6e-4);
    let (flight, contact) =
        (1.0 + (early_s + 5.0 / 18_650.0) / 0.541_92, 1.0 - 2.0 * early_s / 0.24);
    close(&set, "reactive_strength_index", 1.5 * flight * flight / contact, 5e-4);
    close(&set, "flight_contact_ratio", 2.258_004 * flight / contact, 5e-4);
    close(&set, "braking_duration_s", 0.117_020_5, 2e-4);
    close(&set, "peak_force_n", 3504.37, 0.1);
    close(&set, "force_at_bottom_n", 3501.705, 0.5);
    close(&set, "stiffness_contact_n_m", 17_545.8, 0.002 * 17_545.8);
    assert!(!set.has_note("jumped-off-box") && !set.has_note("stepped-down"));
    assert!(!set.has_note("two-peak-landing"));
}

#[test]
fn a_drop_jump_is_weighed_on_the_box_when_it_is_a_plate() {
    let jump = DropJump::default();
    let (above, floor) = jump.box_and_floor_n(RATE_HZ);
    let plate =
        |name: &str, place, vertical_force_n| Plate { name: name.into(), place, vertical_force_n };
    let capture = ForceCapture {
        time: Sampling::Rate(RATE_HZ),
        plates: vec![
            plate("box", PlatePlace::Box, above),
            plate("floor", PlatePlace::Whole, floor),
        ],
        notes: Vec::new(),
    };
    let read =
        drop_jump::read(&capture, &Conditions::default(), &drop_jump::Rules::default()).unwrap();
    let contact = read.value.contact.as_ref().unwrap();
    assert_eq!(contact.velocity_from, drop_jump::VelocityFrom::BoxPlate);
    let set = trials::drop_jump(&read);
    // The fall does not end on a sample here, so either event is off by up to one step, and the
    // velocity there by g times it.
    let (step_s, step_m_s) = (0.001, GRAVITY * 0.001);
    close(&set, "touch_down_velocity_m_s", -2.425_693_7, step_m_s);
    close(&set, "take_off_velocity_m_s", 2.657_214_3, step_m_s);
    close(&set, "drop_height_m", 0.30, 2.425_7 * step_s);
}

#[test]
fn without_standing_afterwards_a_logged_mass_serves() {
    let jump = DropJump::default();
    let mut force_n = jump.force_n(RATE_HZ, 0.5);
    force_n.truncate(force_n.len() - 1500);
    let unweighed = drop(&capture(force_n.clone()), &Conditions::default());
    assert!(unweighed.has_note("no-velocity-at-touch-down"));
    assert!(unweighed.metric("drop_height_m").is_none());
    assert!(unweighed.metric("contact_time_s").is_some());

    let logged = Conditions { body_mass: Some(Mass::kilograms(72.0)), ..Conditions::default() };
    let set = drop(&capture(force_n), &logged);
    // By flight time: v = g T/2 with T 0.38 ms long gives 1.9 mm/s, so 0.5 mm of drop.
    close(&set, "drop_height_m", 0.30, 8e-4);
}

#[test]
fn a_wrong_box_is_told_from_the_drop() {
    let high = Conditions { box_height: Some(Length::metres(0.40)), ..Conditions::default() };
    let set = drop(&capture(DropJump::default().force_n(RATE_HZ, 0.5)), &high);
    assert!(set.has_note("stepped-down"));
    close(&set, "drop_height_m", 0.30, 5e-4);
}

#[test]
fn a_nominal_box_serves_when_the_landing_is_lost_and_says_so() {
    // Impulse from the true fall of 0.30 m with the velocity of a 0.40 m box: v_to is too low by
    // the difference of the two falls, sqrt(2g 0.40) - sqrt(2g 0.30), and the height is 0.2655 m.
    let mut force_n = DropJump::default().force_n(RATE_HZ, 0.5);
    let landing = (1000.0 * (0.5 + 0.24 + 0.541_920_9)) as usize;
    force_n[landing + 5..].iter_mut().for_each(|force| *force = 60.0);
    let conditions = Conditions {
        body_mass: Some(Mass::kilograms(72.0)),
        box_height: Some(Length::metres(0.40)),
        ..Conditions::default()
    };
    let set = drop(&capture(force_n), &conditions);
    assert!(set.has_note("nominal-drop-height") && set.has_note("stepped-off"));
    assert!(set.metric("height_from_flight_time_m").is_none());
    close(&set, "height_from_impulse_m", 0.2655, 1e-3);
}

#[test]
fn a_plate_not_empty_before_is_no_drop() {
    let force_n = DropJump::default().force_n(RATE_HZ, 0.15);
    let read =
        drop_jump::read(&capture(force_n), &Conditions::default(), &drop_jump::Rules::default());
    assert_eq!(read.unwrap_err(), TrialError::NoDrop { shortest_s: 0.2 });
}

#[test]
fn ten_even_hops_score_alike() {
    let force_n = hops::half_sines(70.0, &[(0.2, 0.5); 11], RATE_HZ);
    let conditions = Conditions { body_mass: Some(Mass::kilograms(70.0)), ..Conditions::default() };
    let rules = repeated_jumps::Rules::default();
    let set = trials::repeated_jumps(
        &repeated_jumps::read(&capture(force_n), &conditions, &rules).unwrap(),
    );
    // Force leaves zero at F π/T = 59.3 kN/s, so 5 N at either end are 0.084 ms.
    let early_s = 5.0 / (3774.0412 * std::f64::consts::PI / 0.2);
    close(&set, "hops", 10.0, 0.0);
    close(&set, "contact_time_s", 0.2 - 2.0 * early_s, 1e-5);
    close(&set, "flight_time_s", 0.5 + 2.0 * early_s, 1e-5);
    close(&set, "reactive_strength_index", 1.532_289 * (1.0 + 9.0 * early_s / 0.5), 3e-4);
    close(&set, "flight_contact_ratio", 2.5, 0.004);
    close(&set, "stiffness_from_times_n_m", 22_268.948, 0.002 * 22_268.948);
    close(&set, "reactive_strength_index_spread_percent", 0.0, 1e-6);
}

#[test]
fn the_best_five_of_ten_are_scored() {
    // Indices by hand: best five are hops 7, 8, 6, 5, 9.
    let contacts = [0.25, 0.22, 0.21, 0.20, 0.19, 0.19, 0.18, 0.18, 0.19, 0.20];
    let flights = [0.40, 0.44, 0.46, 0.47, 0.48, 0.49, 0.49, 0.48, 0.47, 0.46];
    let first = [(0.30, 0.45)];
    let hops: Vec<(f64, f64)> =
        first.into_iter().chain(contacts.into_iter().zip(flights)).collect();
    let series = |hops: &[(f64, f64)]| {
        let force_n = hops::half_sines(70.0, hops, RATE_HZ);
        let rules = repeated_jumps::Rules::default();
        trials::repeated_jumps(
            &repeated_jumps::read(&capture(force_n), &Conditions::default(), &rules).unwrap(),
        )
    };
    let set = series(&hops);
    // 5 N at either end are at most 0.1 ms a threshold: 0.2 ms of 0.186 s and of 0.482 s, so
    // 0.11 % + 2 x 0.04 % of the index.
    close(&set, "reactive_strength_index", 1.532_984, 0.002 * 1.533);
    close(&set, "contact_time_s", 0.186, 2e-4);
    close(&set, "flight_time_s", 0.482, 2e-4);
    close(&set, "reactive_strength_index_all_hops", 1.341_422, 0.002 * 1.3414);
    // Six hops are too few for a score, but are listed.
    let short = series(&hops[..7]);
    assert!(short.metric("reactive_strength_index").is_none());
    assert!(short.has_note("too-few-hops"));
    close(&short, "hops", 6.0, 0.0);
}

#[test]
fn stiffness_from_times_is_the_half_sine_and_nearly_the_spring() {
    for (mass_kg, flight_s, contact_s, expected) in [
        (70.0, 0.50, 0.20, 22_268.95),
        (75.0, 0.45, 0.18, 29_456.28),
        (60.0, 0.30, 0.25, 14_735.32),
    ] {
        let found = stiffness::from_times_n_m(mass_kg, flight_s, contact_s).unwrap();
        assert!((found - expected).abs() < 0.0051, "{found}");
    }
    // A true spring is not a half-sine under gravity: the formula reads 0.95 % low.
    let (contact_s, flight_s) = hops::spring_times_s(70.0, 20_000.0, 2.0);
    assert!((contact_s - 0.219_265_5).abs() < 5.1e-8);
    let found = stiffness::from_times_n_m(70.0, flight_s, contact_s).unwrap();
    assert!((found - 19_809.55).abs() < 0.0051, "{found}");
    assert_eq!(stiffness::from_times_n_m(70.0, 0.0, 0.2), None);
}

#[test]
fn an_exponential_rise_gives_its_closed_forms() {
    let set = effort(efforts::exponential(800.0, 2000.0, 0.1).sample(RATE_HZ));
    // The first sample over the threshold is 1 ms in; everything is read from there.
    let late_s = 0.001;
    let force = |t: f64| 800.0 + 2000.0 * (1.0 - (-t / 0.1_f64).exp());
    close(&set, "onset_s", 2.0 + late_s, 1e-9);
    close(&set, "body_weight_n", 800.0, 1e-9);
    for ms in [50, 100, 150, 200, 250] {
        let t = f64::from(ms) / 1000.0;
        close(&set, &format!("force_n_at.{ms}"), force(t + late_s), 1e-6);
        close(&set, &format!("net_force_n_at.{ms}"), force(t + late_s) - 800.0, 1e-6);
        let rate = (force(t + late_s) - force(late_s)) / t;
        close(&set, &format!("rate_of_force_development_n_s.0_{ms}"), rate, 1e-6);
    }
    close(&set, "force_n_at.250", 2637.5, 0.1);
    close(&set, "rate_of_force_development_n_s.0_100", 12_517.0, 0.5);
    // Steepest at onset, e^(-0.01) of the slopes from a true onset.
    let fall = (-late_s / 0.1_f64).exp();
    for (ms, from_true_onset) in
        [(2, 19_801.33), (5, 19_508.23), (10, 19_032.52), (20, 18_126.92), (50, 15_738.77)]
    {
        let id = format!("peak_rate_of_force_development_n_s.{ms}");
        close(&set, &id, from_true_onset * fall, 0.01);
    }
    // Area under 2000 (1 - e^(-t/0.1)) from 1 ms on; trapezoid error under
    // T step² max|F''| / 12 = 0.25 x 1e-6 x 2e5 / 12 = 0.004 N s.
    let net = |t: f64| 2000.0 * (t - 0.1 * (1.0 - (-t / 0.1_f64).exp()));
    for ms in [100, 200, 250] {
        let t = f64::from(ms) / 1000.0;
        let expected = net(t + late_s) - net(late_s);
        close(&set, &format!("impulse_over_baseline_n_s.0_{ms}"), expected, 0.005);
        close(&set, &format!("impulse_n_s.0_{ms}"), expected + 800.0 * t, 0.005);
    }
}

#[test]
fn a_straight_rise_has_one_rate_in_every_window() {
    let set = effort(efforts::ramp(700.0, 8000.0, 2700.0).sample(RATE_HZ));
    for window in ["0_50", "0_100", "0_150", "0_200", "100_200"] {
        close(&set, &format!("rate_of_force_development_n_s.{window}"), 8000.0, 1e-6);
    }
    // Read 1 ms late, the last millisecond of 250 is on the plateau: 249/250 of 8000.
    close(&set, "rate_of_force_development_n_s.0_250", 7968.0, 0.01);
    for ms in [2, 5, 10, 20, 30, 50] {
        close(&set, &format!("peak_rate_of_force_development_n_s.{ms}"), 8000.0, 1e-6);
    }
    close(&set, "peak_force_n", 2700.0, 1e-9);
    close(&set, "net_peak_force_n", 2000.0, 1e-9);
}

#[test]
fn a_force_that_stands_still_at_its_top_is_clipped() {
    let mut force_n = efforts::ramp(700.0, 8000.0, 2700.0).sample(RATE_HZ);
    force_n.iter_mut().for_each(|force| *force = force.min(2400.0));
    let set = effort(force_n);
    assert!(set.has_note("clipped-peak"));
    assert!(set.metric("peak_force_n").is_none());
    assert!(set.metric("force_n_at.100").is_some());
}

#[test]
fn a_slow_start_is_read_late_by_its_threshold() {
    let set = effort(efforts::half_cosine(700.0, 2000.0, 0.25).sample(RATE_HZ));
    // 1000 (1 - cos(π t/0.25)) passes 5 N at 7.96 ms: the eighth sample.
    close(&set, "onset_s", 2.008, 1e-9);
    // Largest rise over 20 ms, about the middle: (2000/w) sin(π w/(2 R)).
    close(&set, "peak_rate_of_force_development_n_s.20", 12_533.32, 5.0);
}

#[test]
fn noise_inflates_peak_rates_in_short_windows_most() {
    let clean = efforts::exponential(800.0, 2000.0, 0.1).sample(RATE_HZ);
    let set = effort(noisy(&clean, 5.0, 7));
    let rate = |ms: u32| {
        let id = format!("peak_rate_of_force_development_n_s.{ms}");
        set.metric(&id).unwrap().value
    };
    // True slopes fall from 19 801 to 15 739; noise adds some √2 5/w times two or three.
    assert!(rate(2) > 21_000.0 && rate(20) < 19_500.0 && rate(50) < 16_500.0);
}

#[test]
fn a_dip_before_the_effort_withholds_the_rise() {
    let mut force_n = efforts::ramp(700.0, 8000.0, 2700.0).sample(RATE_HZ);
    for (i, force) in force_n[1900..2000].iter_mut().enumerate() {
        *force -= 30.0 * (std::f64::consts::PI * i as f64 / 100.0).sin();
    }
    let set = effort(force_n.clone());
    assert!(set.has_note("dip-before-effort"));
    assert!(set.metric("force_n_at.100").is_none());
    close(&set, "peak_force_n", 2700.0, 1e-9);
    for force in &mut force_n[1940..1960] {
        *force -= 40.0;
    }
    assert!(effort(force_n).metric("peak_force_n").is_none());
}

#[test]
fn of_two_efforts_the_stronger_is_measured() {
    let first = efforts::ramp(700.0, 8000.0, 1700.0).sample(RATE_HZ);
    let second = efforts::ramp(700.0, 8000.0, 2700.0).sample(RATE_HZ);
    let begins_s = first.len() as f64 / RATE_HZ + 2.0;
    let set = effort([first, second].concat());
    // The quietest latest second lies between the two, so the first is simply not looked at.
    close(&set, "onset_s", begins_s + 0.001, 1e-9);
    close(&set, "peak_force_n", 2700.0, 1e-9);
}

#[test]
fn a_horizontal_push_has_no_body_weight() {
    let rules = isometric::Rules {
        direction: isometric::Direction::Horizontal,
        ..isometric::Rules::default()
    };
    let force_n = efforts::ramp(2.0, 3000.0, 602.0).sample(RATE_HZ);
    let read = isometric::read(&capture(force_n), &Conditions::default(), &rules).unwrap();
    let set = trials::isometric(&read);
    assert!(set.metric("body_weight_n").is_none());
    close(&set, "net_peak_force_n", 600.0, 1e-9);
}
