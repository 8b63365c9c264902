//! Closed forms of the load-momentum peak, against derivations checked numerically by hand
//! (tagged "derived") and group means of Lake et al. 2021 (J Strength Cond Res 35:25-32).

use cornerwork_core::profile::load_momentum::shape::{
    FallFamily, ForceVelocityFall, HeightFall, QuadraticFall, height_from_velocity,
    take_off_velocity,
};
use cornerwork_core::units::{Acceleration, Length, Mass, Velocity};

const GRAVITY: Acceleration = Acceleration::metres_per_second_squared(9.81);
const BODY: Mass = Mass::kilograms(80.0);

fn power(exponent: i32, kg: f64) -> HeightFall {
    HeightFall::Power { exponent, zero_height_load: Mass::kilograms(kg) }
}

fn exponential(kg: f64) -> HeightFall {
    HeightFall::Exponential { decay_load: Mass::kilograms(kg) }
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "found {found}, expected {expected} ± {within}");
}

/// The peak by search, knowing nothing of the closed form.
fn searched_peak_kg(momentum: impl Fn(f64) -> f64, to_kg: f64) -> f64 {
    let (mut low, mut high) = (0.0, to_kg);
    for _ in 0..200 {
        let (left, right) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if momentum(left) < momentum(right) { low = left } else { high = right }
    }
    0.5 * (low + high)
}

#[test]
fn peaks_of_the_falls() {
    // Derived, checked numerically; M = 80 kg: load of the peak, height there over unloaded
    // height, momentum there over unloaded momentum.
    let table = [
        (power(1, 80.0), 26.667, 0.666_67, 1.088_66),
        (power(1, 112.0), 48.0, 0.571_43, 1.209_49),
        (power(1, 160.0), 80.0, 0.5, 2.0_f64.sqrt()),
        (power(1, 400.0), 240.0, 0.4, 2.529_82),
        (exponential(56.0), 32.0, 0.564_72, 1.052_07),
        (exponential(64.0), 48.0, 0.472_37, 1.099_66),
        (exponential(80.0), 80.0, 0.367_88, 1.213_06),
        (power(2, 175.0), 47.5, 0.530_82, 1.161_16),
        (power(4, 300.0), 46.667, 0.508_49, 1.129_05),
    ];
    for (fall, load_kg, share, gain) in table {
        let load = fall.peak_load(BODY);
        near(load.in_kilograms(), load_kg, 5e-4);
        near(fall.share(load), share, 5e-6);
        near(fall.momentum_gain(load, BODY), gain, 5e-6);
        let searched = searched_peak_kg(|kg| fall.momentum_gain(Mass::kilograms(kg), BODY), 399.0);
        near(load.in_kilograms(), searched, 1e-5);
    }
}

/// A search that knows nothing of shapes finds no better load, and every fall of a family keeps
/// the share it was asked for.
#[test]
fn falls_of_every_family_peak_where_a_search_says() {
    for family in FallFamily::ALL {
        for share in [0.45, 0.57, 0.70, 0.85] {
            for fall in family.falls_through(share, BODY) {
                near(fall.share(BODY * 0.5), share, 1e-12);
                near(fall.share(Mass::ZERO), 1.0, 1e-12);
                let limit = BODY * 1.25;
                let peak = fall.peak_load_up_to(limit, BODY);
                let best = (0..=1000)
                    .map(|step| fall.momentum_gain(limit * (f64::from(step) / 1000.0), BODY))
                    .fold(0.0, f64::max);
                let found = fall.momentum_gain(peak, BODY);
                // A tenth of a kilogram from step to step: a cusp between two may be that higher.
                assert!(found >= best - 1e-12 && found <= best + 0.004, "{fall:?}: {found} {best}");
            }
        }
    }
}

#[test]
fn peaks_of_a_dome_a_drop_and_a_knee() {
    // By hand, M = 80 kg. Bell exp(-(L/60)²): L (80 + L) = 60², L = sqrt(1600 + 3600) - 40.
    let bell = HeightFall::Domed { decay_load: Mass::kilograms(60.0), power: 2.0 };
    near(bell.peak_load(BODY).in_kilograms(), 5200.0_f64.sqrt() - 40.0, 1e-6);
    // Knee at 40 kg, from L1 = 160 kg to three times as steep: momentum rises before
    // (1/120 < 2/120) and falls after (3/120 > 2/120).
    let knee = |zero_kg, turn| HeightFall::Knee {
        knee: Mass::kilograms(40.0),
        zero_height_load: Mass::kilograms(zero_kg),
        turn,
    };
    near(knee(160.0, 3.0).peak_load(BODY).in_kilograms(), 40.0, 1e-9);
    // No turn at all is the straight line: (2 × 160 - 80) / 3.
    near(knee(160.0, 1.0).peak_load(BODY).in_kilograms(), 80.0, 1e-9);
    // A quarter as steep after 40 kg from L1 = 80 kg: nothing left at 200 kg, tops at 26.667 kg
    // and (400 - 80) / 3 kg, the second the higher.
    near(knee(80.0, 0.25).peak_load(BODY).in_kilograms(), 320.0 / 3.0, 1e-9);
    let up_to = |kg| knee(80.0, 0.25).peak_load_up_to(Mass::kilograms(kg), BODY).in_kilograms();
    near(up_to(30.0), 80.0 / 3.0, 1e-9);
    // Drop about 60 kg, 10 kg wide: the slope of the logarithm is that of the logistic function.
    let drop = HeightFall::Sigmoid { middle: Mass::kilograms(60.0), width: Mass::kilograms(10.0) };
    let peak = drop.peak_load(BODY).in_kilograms();
    near(0.1 / (1.0 + (-(peak - 60.0) / 10.0).exp()), 2.0 / (80.0 + peak), 1e-9);
}

#[test]
fn peak_of_a_quadratic_fall() {
    // Derived, checked numerically: a = 1/70, b = 5e-5.
    let fall = QuadraticFall { linear_per_kg: 1.0 / 70.0, square_per_kg2: 5e-5 };
    let load = fall.peak_load(BODY).unwrap().in_kilograms();
    near(load, 29.626_22, 5e-6);
    near(1.0 - load / 70.0 + 5e-5 * load * load, 0.620_65, 5e-6);
    // 1 - L/100 + L²/20000 never lets momentum peak.
    let endless = QuadraticFall { linear_per_kg: 0.01, square_per_kg2: 5e-5 };
    assert_eq!(endless.peak_load(BODY), None);
}

#[test]
fn no_peak_above_unloaded_stands_at_no_load() {
    // Derived: the straight line needs L0 > M/2 for a peak with load, the exponential λ > M/2.
    assert_eq!(power(1, 39.0).peak_load(BODY), Mass::ZERO);
    assert_eq!(exponential(39.0).peak_load(BODY), Mass::ZERO);
    assert!(power(1, 41.0).peak_load(BODY) > Mass::ZERO);
}

#[test]
fn height_velocity_and_momentum_without_load() {
    // Derived: M 80 kg, h 0.38 m, g 9.81: v 2.7305 m/s, p 218.44 N s.
    let velocity = take_off_velocity(Length::metres(0.38), GRAVITY);
    near(velocity.in_metres_per_second(), 2.730_5, 5e-5);
    near((BODY * velocity).in_kilogram_metres_per_second(), 218.44, 5e-3);
    near(height_from_velocity(velocity, GRAVITY).in_metres(), 0.38, 1e-12);
}

#[test]
fn peak_from_the_height_left_at_half_body_mass() {
    // Derived: load of the peak in body masses and height there, from r = h(M/2)/h(0).
    let table = [
        (0.45, [(0.273, 0.700), (0.259, 0.688), (0.254, 0.680), (0.252, 0.668)]),
        (0.50, [(0.333, 0.667), (0.354, 0.629), (0.381, 0.596), (0.443, 0.541)]),
        (0.55, [(0.407, 0.633), (0.468, 0.575), (0.534, 0.526), (0.673, 0.447)]),
        (0.60, [(0.500, 0.600), (0.609, 0.526), (0.724, 0.467), (0.958, 0.376)]),
        (0.65, [(0.619, 0.567), (0.790, 0.481), (0.966, 0.415), (1.321, 0.320)]),
    ];
    for (share, row) in table {
        for (family, (load, height)) in FallFamily::ALL.into_iter().zip(row) {
            let [fall] = family.falls_through(share, BODY)[..] else { panic!("one fall each") };
            near(fall.share(Mass::kilograms(40.0)), share, 1e-12);
            near(fall.peak_load(BODY) / BODY, load, 6e-4);
            near(fall.share(fall.peak_load(BODY)), height, 6e-4);
        }
    }
}

#[test]
fn the_peak_is_flat() {
    // Derived, M 80 kg, both peaks at 48 kg: loads that keep 99 and 98 % of the peak.
    let kept = |fall: HeightFall, kg: f64| {
        let peak = fall.momentum_gain(fall.peak_load(BODY), BODY);
        fall.momentum_gain(Mass::kilograms(kg), BODY) / peak
    };
    let table = [
        (power(1, 112.0), 0.99, 37.3, 58.2),
        (power(1, 112.0), 0.98, 32.7, 62.2),
        (exponential(64.0), 0.99, 30.7, 67.0),
        (exponential(64.0), 0.98, 24.0, 75.5),
    ];
    for (fall, share, from_kg, to_kg) in table {
        // The edges are printed to 0.1 kg; the slope there is below 0.2 % a kilogram.
        near(kept(fall, from_kg), share, 2e-4);
        near(kept(fall, to_kg), share, 2e-4);
    }
}

#[test]
fn group_means_of_lake_2021_put_the_peak_between_half_and_two_thirds_of_body_mass() {
    // Lake et al. 2021: height fell by 26 % with a quarter of body mass and by 71 % with all of
    // it. Fits to these two: exponential 0.814 M, peak 0.628 M at 0.462 of the unloaded height.
    let fall = exponential(0.814 * 80.0);
    near(fall.share(Mass::kilograms(20.0)), 0.74, 0.006);
    near(fall.share(Mass::kilograms(80.0)), 0.29, 0.006);
    near(fall.peak_load(BODY) / BODY, 0.628, 5e-4);
    near(fall.share(fall.peak_load(BODY)), 0.462, 5e-4);
    // Take-off velocity in a straight line: zero at 2.102 M, peak 0.551 M at 0.545.
    let fall = power(2, 2.102 * 80.0);
    near(fall.peak_load(BODY) / BODY, 0.551, 5e-4);
    near(fall.share(fall.peak_load(BODY)), 0.545, 6e-4);
    // Straight line: zero at 1.371 M, peak 0.581 M at 0.576; the worst of the fits.
    let fall = power(1, 1.371 * 80.0);
    near(fall.peak_load(BODY) / BODY, 0.581, 5e-4);
    near(fall.share(fall.peak_load(BODY)), 0.576, 5e-4);
    // The paper's own impulse gain at a quarter and all of body mass, +6 to 9 %.
    near(1.25 * 0.74_f64.sqrt(), 1.0753, 5e-5);
}

fn force_velocity(height_m: f64, v0: f64, push_off_m: f64) -> ForceVelocityFall {
    ForceVelocityFall::through_unloaded_height(
        BODY,
        Length::metres(height_m),
        Velocity::metres_per_second(v0),
        Length::metres(push_off_m),
        GRAVITY,
    )
}

#[test]
fn peak_height_of_a_force_velocity_line_is_free_of_strength() {
    // Derived closed form, g 9.81: height at the peak by V0 and push-off distance.
    let push_offs = [0.30, 0.35, 0.40, 0.45, 0.50];
    let table = [
        (2.5, [0.1177, 0.1281, 0.1373, 0.1457, 0.1532]),
        (3.0, [0.1364, 0.1499, 0.1622, 0.1734, 0.1836]),
        (3.5, [0.1520, 0.1683, 0.1833, 0.1971, 0.2100]),
        (4.0, [0.1650, 0.1838, 0.2013, 0.2176, 0.2328]),
        (5.0, [0.1855, 0.2084, 0.2300, 0.2505, 0.2699]),
    ];
    for (v0, row) in table {
        for (push_off_m, height_m) in push_offs.into_iter().zip(row) {
            for unloaded_m in [0.30, 0.38, 0.50] {
                let line = force_velocity(unloaded_m, v0, push_off_m);
                let peak = line.height(line.peak_system_mass());
                near(peak.in_metres(), height_m, 6e-5);
            }
        }
    }
}

#[test]
fn a_force_velocity_line_in_full() {
    // Derived: M 80, h0 0.38, push-off 0.40, V0 3.0, g 9.81.
    let line = force_velocity(0.38, 3.0, 0.40);
    near(line.maximum_force.in_newtons() / 80.0, 35.105, 5e-4);
    near(line.peak_take_off_velocity().in_metres_per_second(), 1.7837, 5e-5);
    let peak = line.peak_system_mass();
    near(line.height(peak).in_metres(), 0.162_17, 5e-6);
    near(line.height(peak).in_metres() / 0.38, 0.427, 5e-4);
    near((peak - BODY) / BODY, 0.789, 5e-4);
    near(line.momentum(peak) / line.momentum(BODY), 1.1689, 5e-5);
    let searched = searched_peak_kg(
        |kg| line.momentum(Mass::kilograms(80.0 + kg)).in_kilogram_metres_per_second(),
        200.0,
    );
    near((peak - BODY).in_kilograms(), searched, 1e-5);
    // Heights and momentum of the same athlete with 0 to 80 kg.
    let heights_m = [0.380_00, 0.289_93, 0.222_20, 0.169_41, 0.127_24];
    let momenta = [218.44, 238.50, 250.55, 255.24, 252.80];
    for (step, (height_m, momentum)) in heights_m.into_iter().zip(momenta).enumerate() {
        let system = Mass::kilograms(80.0 + 20.0 * step as f64);
        near(line.height(system).in_metres(), height_m, 6e-6);
        near(line.momentum(system).in_kilogram_metres_per_second(), momentum, 6e-3);
    }
    // Quicker, weaker and springier athletes.
    for (height_m, v0, load, share) in
        [(0.38, 4.0, 0.480, 0.530), (0.30, 3.0, 0.469, 0.541), (0.50, 3.0, 1.354, 0.324)]
    {
        let line = force_velocity(height_m, v0, 0.40);
        near((line.peak_system_mass() - BODY) / BODY, load, 6e-4);
        near(line.height(line.peak_system_mass()).in_metres() / height_m, share, 6e-4);
    }
    // More than the line can lift.
    assert_eq!(line.take_off_velocity(Mass::kilograms(290.0)), Velocity::ZERO);
}
