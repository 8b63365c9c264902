//! Laws that trials of every kind obey, and a second implementation of each kind.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_core::capture::{BarCapture, ForceCapture, Sampling};
use cornerwork_core::metrics::{MetricSet, derivation, trials};
use cornerwork_core::trial::{
    Conditions, bar_reps, countermovement_jump, drop_jump, isometric, repeated_jumps, squat_jump,
};
use cornerwork_core::units::Mass;
use cornerwork_testkit::synthetic::countermovement::RandomJump;
use cornerwork_testkit::synthetic::random;
use proptest::prelude::*;

const ON_A_PLATE: [&str; 5] =
    ["countermovement-jump", "squat-jump", "drop-jump", "repeated-jump", "isometric"];

fn read(kind: &str, capture: &ForceCapture, conditions: &Conditions) -> MetricSet {
    match kind {
        "countermovement-jump" => trials::countermovement_jump(
            &countermovement_jump::read(capture, conditions, &Default::default()).unwrap(),
        ),
        "squat-jump" => {
            trials::squat_jump(&squat_jump::read(capture, conditions, &Default::default()).unwrap())
        }
        "drop-jump" => {
            trials::drop_jump(&drop_jump::read(capture, conditions, &Default::default()).unwrap())
        }
        "repeated-jump" => trials::repeated_jumps(
            &repeated_jumps::read(capture, conditions, &Default::default()).unwrap(),
        ),
        _ => trials::isometric(&isometric::read(capture, conditions, &Default::default()).unwrap()),
    }
}

fn read_bar(rate_hz: f64, position_m: Vec<f64>, load_kg: f64) -> MetricSet {
    let capture = BarCapture { time: Sampling::Rate(rate_hz), position_m, notes: Vec::new() };
    let conditions = Conditions { load: Mass::kilograms(load_kg), ..Conditions::default() };
    let reps = bar_reps::read(&capture, &conditions, &Default::default()).unwrap();
    trials::bar_reps(&reps).swap_remove(0)
}

fn of_seed(kind: &str, seed: u64) -> (f64, Vec<f64>) {
    let trial = random::trial(kind, seed).unwrap();
    (trial.rate_hz, trial.samples)
}

/// Metrics that say when something happened.
fn is_an_instant(id: &str) -> bool {
    ["onset_s", "take_off_s", "landing_s", "touch_down_s", "start_s", "end_s"].contains(&id)
}

/// Every number of one set against the same of another, as `expected` makes it of the first.
#[track_caller]
fn compare(
    kind: &str,
    one: &MetricSet,
    other: &MetricSet,
    expected: impl Fn(&str, &str, f64) -> (f64, f64),
) {
    assert_eq!(one.metrics.len(), other.metrics.len(), "{kind}");
    for (a, b) in one.metrics.iter().zip(&other.metrics) {
        assert_eq!(a.definition.id, b.definition.id, "{kind}");
        let (value, tolerance) = expected(a.definition.id, a.definition.unit, a.value);
        assert!(
            (b.value - value).abs() <= tolerance,
            "{kind} {}: {} of {}, expected {value} ± {tolerance}",
            a.definition.id,
            b.value,
            a.value
        );
    }
}

/// Numbers of the second implementation, row by row: the two differ by the rounding of sums over
/// some thousand samples of some thousand newtons, 1e-16 x 1e3 x 1e3, and a hundred times that in
/// quotients of small differences.
fn agrees_with_numpy(kind: &str, golden: &str) {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(golden.as_bytes());
    let ids = reader.headers().unwrap().clone();
    let mut count = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let (rate_hz, samples) = of_seed(kind, row[0].parse().unwrap());
        let set = if kind == "bar" {
            read_bar(rate_hz, samples, 0.0)
        } else {
            let capture = ForceCapture::single(Sampling::Rate(rate_hz), samples);
            read(kind, &capture, &Conditions::default())
        };
        for (id, expected) in ids.iter().zip(&row).skip(1) {
            let expected: f64 = expected.parse().unwrap();
            let found = set.metric(id).unwrap_or_else(|| panic!("{kind} has no {id}")).value;
            let tolerance = 1e-8 * expected.abs().max(1.0);
            assert!((found - expected).abs() <= tolerance, "{kind} {id}: {found}, {expected}");
        }
        count += 1;
    }
    assert_eq!(count, 60);
}

#[test]
fn numpy_and_scipy_read_the_same_from_sixty_trials_of_every_kind() {
    agrees_with_numpy("squat-jump", include_str!("../../../testdata/golden/squat_scipy.csv"));
    agrees_with_numpy("drop-jump", include_str!("../../../testdata/golden/drop_scipy.csv"));
    agrees_with_numpy("repeated-jump", include_str!("../../../testdata/golden/hops_scipy.csv"));
    agrees_with_numpy("isometric", include_str!("../../../testdata/golden/isometric_scipy.csv"));
    agrees_with_numpy("bar", include_str!("../../../testdata/golden/bar_scipy.csv"));
}

fn number(set: &MetricSet, id: &str) -> f64 {
    set.metric(id).unwrap_or_else(|| panic!("{id} is absent: {:?}", set.notes)).value
}

/// What is said of a number holds of it: every formula shown gives the number, and every kind of
/// trial has some.
#[test]
fn formulas_shown_are_those_of_the_numbers() {
    let worked_out = |set: &MetricSet| {
        let of = |metric| derivation(set, metric, 9.806_65).map(|_| metric.definition.id);
        set.metrics.iter().filter_map(of).collect::<Vec<_>>()
    };
    let of_kind = |kind: &str| {
        let (rate_hz, samples) = of_seed(kind, 3);
        let capture = ForceCapture::single(Sampling::Rate(rate_hz), samples);
        worked_out(&read(kind, &capture, &Conditions::default()))
    };
    let jump = of_kind("countermovement-jump");
    for id in [
        "height_from_impulse_m",
        "take_off_velocity_m_s",
        "mean_power_w",
        "reactive_strength_index_modified",
        "landing_peak_weights",
        "stiffness_total_n_m",
    ] {
        assert!(jump.contains(&id), "{id} is not among {jump:?}");
    }
    let drop = of_kind("drop-jump");
    for id in ["drop_height_m", "reactive_strength_index", "stiffness_from_times_n_m"] {
        assert!(drop.contains(&id), "{id} is not among {drop:?}");
    }
    assert!(of_kind("squat-jump").contains(&"take_off_velocity_m_s"));
    assert!(of_kind("isometric").contains(&"net_force_n_at.200"));
    // The mean of five hops is no quotient of means.
    assert!(!of_kind("repeated-jump").contains(&"reactive_strength_index"));
    let (rate_hz, samples) = of_seed("bar", 3);
    assert!(worked_out(&read_bar(rate_hz, samples, 0.0)).contains(&"mean_velocity_m_s"));
}

/// Take-off is read early by the time the force needs from the threshold to zero, and height from
/// impulse is free of it: it errs by no more than it says.
#[test]
fn take_off_is_read_early_and_height_from_impulse_is_not_raised_by_it() {
    let (mut sum_m, mut early_m) = (0.0, 0.0);
    for seed in 0..200 {
        let random = RandomJump::of(seed);
        let (truth, noise_n) = (random.jump.truth(), random.noise_n);
        let capture = ForceCapture::single(Sampling::Rate(1000.0), random.force_n(1000.0));
        let set = read("countermovement-jump", &capture, &Conditions::default());
        let early_s = truth.take_off_s - number(&set, "take_off_s");
        // The threshold is five spreads of the empty plate, at least 5 N; their estimate from a
        // hundred samples or more is good to a third at four of its own standard errors. The
        // crossing is of force with noise, held for three samples.
        let fall_n_s = truth.weight_n / random.jump.release_s;
        let (low_n, high_n) = (
            5.0_f64.max(5.0 * noise_n * 0.7) - 4.0 * noise_n,
            5.0_f64.max(5.0 * noise_n * 1.3) + 4.0 * noise_n,
        );
        let (soonest_s, latest_s) = (low_n / fall_n_s - 0.003, high_n / fall_n_s + 0.003);
        assert!((soonest_s..latest_s).contains(&early_s), "{seed}: {early_s}");
        let height = set.metric("height_from_impulse_m").unwrap();
        let error_m = height.value - truth.height_m;
        // Of 200 draws of a normal law one in a few hundred sets lies beyond four and a half.
        assert!(error_m.abs() < 4.5 * height.standard_error.unwrap() + 1e-4, "{seed}: {error_m}");
        sum_m += error_m;
        early_m += truth.take_off_velocity_m_s * early_s;
    }
    // v t of 1.6 mm on average was in the height; a tenth of that is left at the most.
    assert!(early_m / 200.0 > 0.001, "{early_m}");
    assert!((sum_m / 200.0).abs() < 0.000_16, "{sum_m}");
}

/// One motion told three ways: impulses cancel up to the bottom and make the momentum from there,
/// and the work done from there lifts the body to the height of the impulse.
#[test]
fn impulse_and_work_tell_the_same_height() {
    for seed in 0..100 {
        let (rate_hz, samples) = of_seed("countermovement-jump", seed);
        let capture = ForceCapture::single(Sampling::Rate(rate_hz), samples);
        let set = read("countermovement-jump", &capture, &Conditions::default());
        let get = |id: &str| number(&set, id);
        let momentum = get("system_mass_kg") * get("take_off_velocity_m_s");
        // Where the bottom falls in a step, velocity is a parabola and read as a line: dt dF / 8,
        // with dF of noise and drive up to 80 N.
        let step_n_s = 0.001 * 80.0 / 8.0;
        // The body may move a little when the dip begins: under 4 mm/s in these jumps, which stand
        // still but for the noise.
        let before = get("unweighting_net_impulse_n_s") + get("braking_net_impulse_n_s");
        assert!(before.abs() < step_n_s + 0.004 * get("system_mass_kg"), "{seed}: {before}");
        // Propulsion ends at the threshold; from there the weight takes up to 3 ms more.
        let weight_n = get("system_mass_kg") * 9.806_65;
        let lost = get("propulsion_net_impulse_n_s") - momentum;
        assert!((-step_n_s..0.003 * weight_n).contains(&lost), "{seed}: {lost}");
        // The trapezoid of F v and v² differ by dt²/4 max|a| times the way a goes up and down:
        // 1e-6/4 x 20 x 110 m²/s² (noise included), over g 0.06 mm. And the last of the push does
        // work: half of 20 N over 3 m/s x 2 ms, on 450 N, 0.13 mm.
        let risen_m = get("take_off_rise_m") + get("countermovement_depth_m");
        let by_work_m = get("propulsion_work_j") / weight_n - risen_m;
        assert!((by_work_m - get("height_from_impulse_m")).abs() < 2e-4, "{seed}: {by_work_m}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    /// The same samples on a clock that started earlier: instants move, nothing else does. Stamps
    /// of thousands of seconds resolve 1e-12 s, a billionth of a step.
    #[test]
    fn another_start_of_the_clock_moves_instants_only(seed in 0_u64..1000, later_s in 0.0..5000.0_f64) {
        for kind in ON_A_PLATE {
            let (rate_hz, samples) = of_seed(kind, seed);
            let clock = |start_s: f64| {
                let stamps = (0..samples.len()).map(|i| start_s + i as f64 / rate_hz).collect();
                ForceCapture::single(Sampling::stamps(stamps), samples.clone())
            };
            let none = Conditions::default();
            let (one, other) = (read(kind, &clock(0.0), &none), read(kind, &clock(later_s), &none));
            compare(kind, &one, &other, |id, _, value| {
                let moved = if is_an_instant(id) { value + later_s } else { value };
                (moved, 1e-6 * value.abs().max(1.0))
            });
        }
    }

    /// Plates exchanged: everything as it was, with sides exchanged.
    #[test]
    fn mirrored_plates_mirror_sides_only(seed in 0_u64..1000, share in 0.3..0.7_f64) {
        for kind in ON_A_PLATE {
            let (rate_hz, samples) = of_seed(kind, seed);
            let part = |share: f64| samples.iter().map(|force| share * force).collect::<Vec<_>>();
            let sides = |left: f64| {
                let time = Sampling::Rate(rate_hz);
                ForceCapture::sides(time, part(left), part(1.0 - left))
            };
            let none = Conditions::default();
            let (one, other) = (read(kind, &sides(share), &none), read(kind, &sides(1.0 - share), &none));
            // The sum is taken in another order: its last digit may differ.
            compare(kind, &one, &other, |id, _, value| {
                let mirrored = if id == "landing_lag_s" { -value } else { value };
                (mirrored, 1e-9 * value.abs().max(1.0))
            });
            prop_assert_eq!(one.asymmetry.len(), other.asymmetry.len());
            for (a, b) in one.asymmetry.iter().zip(&other.asymmetry) {
                let close = |x: f64, y: f64| (x - y).abs() <= 1e-9 * x.abs().max(1.0);
                prop_assert!(close(a.left, b.right) && close(a.right, b.left), "{} {:?}", kind, a);
                // Both plates carry a fixed share, so every quantity but a difference does.
                if let Some(index) = a.index_percent().filter(|_| a.left.abs() > 1.0) {
                    prop_assert!((index - 100.0 * (2.0 * share - 1.0)).abs() < 1e-6, "{} {:?}", kind, a);
                }
            }
        }
    }

    /// Twice the mass and the force, noise and all: the same motion, twice the forces. Thresholds
    /// in newtons do not double; with noise of a newton or more they are multiples of it and do,
    /// and only the 20 N under which an empty plate is looked for stays.
    #[test]
    fn doubling_mass_and_force_doubles_forces(seed in 0_u64..1000) {
        for kind in ON_A_PLATE {
            let trial = random::trial(kind, seed).unwrap();
            if trial.noise < 2.1 {
                continue;
            }
            let time = || Sampling::Rate(trial.rate_hz);
            let twice = trial.samples.iter().map(|force| 2.0 * force).collect();
            let none = Conditions::default();
            let one = read(kind, &ForceCapture::single(time(), trial.samples.clone()), &none);
            let other = read(kind, &ForceCapture::single(time(), twice), &none);
            for id in ["peak_force_n", "baseline_force_n", "body_mass_kg", "net_force_n_at.200",
                       "rate_of_force_development_n_s.0_200"] {
                if let Some(metric) = one.metric(id) {
                    let ratio = other.metric(id).unwrap().value / metric.value;
                    prop_assert!((ratio - 2.0).abs() < 0.004, "{} {} {}", kind, id, ratio);
                }
            }
            for id in ["height_from_impulse_m", "height_from_flight_time_m", "drop_height_m",
                       "contact_time_s", "flight_time_s", "countermovement_depth_m"] {
                if let Some(metric) = one.metric(id) {
                    let moved = (other.metric(id).unwrap().value - metric.value).abs();
                    prop_assert!(moved < 0.002, "{} {} {}", kind, id, moved);
                }
            }
        }
    }

    /// A clock of the bar that started earlier moves the instants of its repetitions, and a pause
    /// before the first leaves them as they are at later times.
    #[test]
    fn another_start_moves_repetitions_only(seed in 0_u64..1000, later_s in 0.0..5000.0_f64, pause in 1_usize..400) {
        let (rate_hz, samples) = of_seed("bar", seed);
        let bar = |time: Sampling, position_m: Vec<f64>| {
            let capture = BarCapture { time, position_m, notes: Vec::new() };
            let reps = bar_reps::read(&capture, &Conditions::default(), &Default::default()).unwrap();
            trials::bar_reps(&reps).swap_remove(0)
        };
        let clock = |start_s: f64| {
            Sampling::stamps((0..samples.len()).map(|i| start_s + i as f64 / rate_hz).collect())
        };
        let (one, other) = (bar(clock(0.0), samples.clone()), bar(clock(later_s), samples.clone()));
        compare("bar", &one, &other, |id, _, value| {
            let moved = if is_an_instant(id) { value + later_s } else { value };
            (moved, 1e-6 * value.abs().max(1.0))
        });
        let held = std::iter::repeat_n(samples[0], pause).chain(samples.iter().copied()).collect();
        let (one, other) = (bar(Sampling::Rate(rate_hz), samples.clone()), bar(Sampling::Rate(rate_hz), held));
        let pause_s = pause as f64 / rate_hz;
        // The filter starts elsewhere: what is left of that half a second on is under a thousandth.
        compare("bar", &one, &other, |id, _, value| {
            let moved = if is_an_instant(id) { value + pause_s } else { value };
            (moved, 2e-3 * value.abs().max(1.0))
        });
    }

    /// A bar does not know where its zero is, how long the recording runs on, or, for its
    /// velocities, what it weighs; its powers are in proportion to the load.
    #[test]
    fn a_bar_has_no_zero_and_power_follows_the_load(seed in 0_u64..1000, zero_m in -2.0..2.0_f64) {
        let (rate_hz, samples) = of_seed("bar", seed);
        let one = read_bar(rate_hz, samples.clone(), 40.0);
        let raised = samples.iter().map(|position| position + zero_m).collect();
        compare("bar", &one, &read_bar(rate_hz, raised, 40.0), |_, _, value| {
            (value, 1e-6 * value.abs().max(1.0))
        });
        compare("bar", &one, &read_bar(rate_hz, samples, 80.0), |_, unit, value| {
            let doubled = if unit == "W" { 2.0 * value } else { value };
            (doubled, 1e-9 * value.abs().max(1.0))
        });
    }
}
