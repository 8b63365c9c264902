//! Countermovement jumps against closed forms.
//!
//! Where numbers are typed, they are the closed forms of the trace evaluated with
//! g = 9.80665 m/s² (integrals of half-sines and levels), not output of the code under test.

use cornerwork_core::capture::{ForceCapture, Sampling};
use cornerwork_core::metrics::{MetricSet, trials};
use cornerwork_core::note::Noted;
use cornerwork_core::trial::Conditions;
use cornerwork_core::trial::countermovement_jump::{CountermovementJump, Rules, read};
use cornerwork_testkit::synthetic::countermovement::{SmoothJump, rectangular};

const RATE_HZ: f64 = 1000.0;

fn jump(force_n: Vec<f64>) -> Noted<CountermovementJump> {
    let capture = ForceCapture::single(Sampling::Rate(RATE_HZ), force_n);
    read(&capture, &Conditions::default(), &Rules::default()).expect("a jump")
}

fn metrics(force_n: Vec<f64>) -> MetricSet {
    trials::countermovement_jump(&jump(force_n))
}

fn get(set: &MetricSet, id: &str) -> f64 {
    set.metric(id).unwrap_or_else(|| panic!("{id} is absent: {:?}", set.notes)).value
}

#[track_caller]
fn close(set: &MetricSet, id: &str, expected: f64, tolerance: f64) {
    let found = get(set, id);
    assert!((found - expected).abs() <= tolerance, "{id}: {found} is not {expected} ± {tolerance}");
}

/// Rounding of closed forms typed to seven or eight figures, and of the trapezoid rule: over 1 s
/// of a half-sine of force its error is under step² · max|F''| / 12 = 0.005 N s at 1000 Hz
/// (max|F''| = 1.45 W (π/0.42)² = 60 kN/s²), so 7e-5 m/s and a few hundredths of a millimetre.
const QUADRATURE: f64 = 1e-4;

#[test]
fn the_smooth_jump_is_read_to_its_closed_form() {
    let truth = SmoothJump::default().truth();
    let set = metrics(SmoothJump::default().force_n(RATE_HZ));
    // Without noise the threshold is the floor of 5 N. Force falls to zero at W/0.04 N/s, so
    // take-off is read early by 5/(W/0.04) = 0.27 ms, and rises at landing at W/0.3 + C π/0.3 =
    // 17.66 kN/s, so landing is read 0.28 ms late. Velocity, height and rise are carried on to the
    // empty plate, and so free of that.
    let early_s = 5.0 / (truth.weight_n / 0.04);
    let late_s = 5.0 / 17_656.0;
    close(&set, "take_off_s", truth.take_off_s - early_s, 1e-6);
    // Touch-down lies 0.017 ms after a sample, where the line between samples already starts.
    close(&set, "landing_s", truth.landing_s + late_s, 1.8e-5);
    close(&set, "take_off_velocity_m_s", truth.take_off_velocity_m_s, QUADRATURE);
    close(&set, "height_from_impulse_m", truth.height_m, QUADRATURE);
    let flight_s = 0.454_016_943_4;
    let longer_m = 9.806_65 * flight_s / 4.0 * (early_s + late_s);
    close(&set, "height_from_flight_time_m", 0.252_682_3 + longer_m, 2.5e-5);
    close(&set, "height_above_standing_m", 0.331_352_4, QUADRATURE);
    close(&set, "height_from_displacement_m", 0.331_352_4, QUADRATURE);
    close(&set, "body_mass_kg", 75.0, 1e-9);
    close(&set, "countermovement_depth_m", 0.388_846_0, QUADRATURE);
    close(&set, "take_off_rise_m", 0.078_670_2, QUADRATURE);
}

#[test]
fn phases_forces_and_powers_of_the_smooth_jump_are_the_closed_forms() {
    let set = metrics(SmoothJump::default().force_n(RATE_HZ));
    let mass_kg = 75.0;
    let impulse = mass_kg * QUADRATURE;
    close(&set, "fastest_descent_m_s", -1.379_726_7, QUADRATURE);
    close(&set, "unweighting_net_impulse_n_s", -103.479_5, impulse);
    close(&set, "braking_net_impulse_n_s", 103.479_5, impulse);
    // Read 0.27 ms before the true take-off, where the force is under the weight: the impulse is
    // larger by W times that.
    close(&set, "propulsion_net_impulse_n_s", 166.964_4 + 735.5 * 0.000_272, 2.0 * impulse);
    close(&set, "braking_duration_s", 0.172_863_7, 1e-5);
    close(&set, "propulsion_duration_s", 0.287_136_3 - 0.000_272, 1e-5);
    close(&set, "force_at_bottom_n", 1761.0908, 0.01);
    // The crest falls between samples: W 1.45 (1 - cos(π 0.5 ms / 0.42)) at the most.
    close(&set, "peak_force_n", 1801.9719, 0.008);
    close(&set, "braking_mean_force_n", 1334.1176, 0.01);
    close(&set, "braking_rate_of_force_development_n_s", 5932.95, 0.05);
    // Means over a propulsion 0.27 ms shorter, of force that is nothing by then: up 0.095 %.
    close(&set, "propulsion_mean_force_n", 1316.9803 * (1.0 + 0.000_272 / 0.287_136), 0.2);
    close(&set, "propulsion_work_j", 529.705, 0.02);
    close(&set, "mean_power_w", 1844.786 * (1.0 + 0.000_272 / 0.287_136), 0.2);
    close(&set, "peak_power_w", 2811.504, 0.05);
    close(&set, "braking_peak_power_w", -1430.535, 0.05);
    close(&set, "stiffness_total_n_m", 4529.02, 0.2);
    close(&set, "stiffness_braking_n_m", 6647.07, 0.3);
    // The onset stands 30 ms before the first sample more than 5 N under the weight; the force
    // falls that far in 1.1 ms, so at the second sample.
    close(&set, "onset_s", 2.0 + 0.002 - 0.030, 1e-9);
    let index = get(&set, "reactive_strength_index_modified");
    assert!((0.3048..0.3062).contains(&index), "{index}");
}

#[test]
fn landing_of_the_smooth_jump_is_the_closed_form() {
    let set = metrics(SmoothJump::default().force_n(RATE_HZ));
    close(&set, "landing_peak_force_n", 1838.549, 0.03);
    // The flat top of a half-sine hides half a sample either way; landing is read 0.28 ms late.
    close(&set, "landing_time_to_peak_s", 0.1655, 0.001);
    // Falling v + g 0.27 ms ... at take-off, and 0.28 ms of ground force under 5 N.
    close(&set, "landing_velocity_m_s", -2.2262 - 0.0027, 3e-4);
    close(&set, "landing_depth_m", 0.407_479, 0.001);
    close(&set, "landing_net_impulse_n_s", 166.9644 + 0.2, 0.1);
    // After the half-sine the true velocity is zero; what is left is quadrature, and the 5 %
    // stability band is entered when the sine has come down to it.
    close(&set, "closing_velocity_m_s", 0.0, 5e-4);
    assert!(get(&set, "time_to_stabilisation_s") <= 0.300);
}

#[test]
fn levels_are_read_to_one_sample_at_their_jumps() {
    let set = metrics(rectangular().sample(RATE_HZ));
    // At a jump the samples around it are joined by straight lines, so an event on it is off by
    // up to one sample, and velocity there by a step times the largest acceleration, g (2W - W).
    let (step_s, step_m_s) = (0.001, 9.806_65 * 0.001);
    close(&set, "take_off_s", 2.22, step_s);
    close(&set, "landing_s", 2.76, step_s);
    close(&set, "flight_time_s", 0.540, 2.0 * step_s);
    close(&set, "fastest_descent_m_s", -1.470_997_5, step_m_s);
    close(&set, "take_off_velocity_m_s", 2.647_795_5, step_m_s);
    let height = 2.647_795_5 * step_m_s / 9.806_65;
    close(&set, "height_from_impulse_m", 0.357_452_4, height);
    close(&set, "height_from_flight_time_m", 0.357_452_4, 2.0 * 1.3239e-3);
    close(&set, "countermovement_depth_m", 0.330_974_4, QUADRATURE);
    close(&set, "take_off_rise_m", 0.026_478_0, 2.65 * step_s);
    close(&set, "braking_net_impulse_n_s", 110.3248, 75.0 * step_m_s);
    close(&set, "propulsion_net_impulse_n_s", 198.5847, 75.0 * step_m_s);
    close(&set, "propulsion_duration_s", 0.270, step_s);
    close(&set, "peak_power_w", 3894.901, 2.0 * 735.5 * step_m_s + 0.001);
    close(&set, "landing_peak_weights", 3.0, 1e-9);
}

#[test]
fn every_phase_begins_where_the_one_before_ends() {
    let jump = jump(SmoothJump::default().force_n(RATE_HZ)).value;
    let phases = jump.phases();
    let names: Vec<_> = phases.iter().map(|phase| phase.name).collect();
    let expected = ["weighing", "unweighting", "braking", "propulsion", "flight", "landing"];
    assert_eq!(names, expected);
    assert!(phases[1..].windows(2).all(|pair| pair[0].to == pair[1].from));
}
