//! Numbers worked out from a height or a time that somebody typed.
//!
//! They lean on formulas fitted to groups, or on assumptions; none may be mixed with what a plate
//! measured.

use crate::trial::TrialError;

/// Flight times that are believed, seconds (engineering choice): a typed 530 is milliseconds.
const FLIGHT_S: [f64; 2] = [0.10, 1.00];
/// Heights that are believed, metres (engineering choice): a typed 38 is centimetres.
const HEIGHT_M: [f64; 2] = [0.0, 1.2];
/// Push-off distances that are believed, metres (engineering choice).
const PUSH_OFF_M: [f64; 2] = [0.20, 0.60];

fn within(what: &'static str, value: f64, [from, to]: [f64; 2]) -> Result<f64, TrialError> {
    if value > 0.0 && (from..=to).contains(&value) {
        Ok(value)
    } else {
        Err(TrialError::Implausible { what, value, from, to })
    }
}

/// Height from a flight time: g T²/8 (Linthorne 2001, Am J Phys 69:1198).
pub fn height_of_flight_m(flight_s: f64, gravity_m_s2: f64) -> Result<f64, TrialError> {
    let flight_s = within("a flight time in seconds", flight_s, FLIGHT_S)?;
    Ok(gravity_m_s2 * flight_s * flight_s / 8.0)
}

/// Take-off velocity of a height: √(2 g h).
pub fn take_off_velocity_m_s(height_m: f64, gravity_m_s2: f64) -> Result<f64, TrialError> {
    let height_m = within("a jump height in metres", height_m, HEIGHT_M)?;
    Ok((2.0 * gravity_m_s2 * height_m).sqrt())
}

/// Flight time of a height: 2 √(2h/g).
pub fn flight_of_height_s(height_m: f64, gravity_m_s2: f64) -> Result<f64, TrialError> {
    Ok(2.0 * take_off_velocity_m_s(height_m, gravity_m_s2)? / gravity_m_s2)
}

/// Flight time after a take-off at `velocity_m_s` when the centre of mass lands `lower_m` below
/// where it took off: (v + √(v² + 2 g D))/g.
pub fn flight_with_bent_legs_s(velocity_m_s: f64, lower_m: f64, gravity_m_s2: f64) -> f64 {
    let root = (velocity_m_s * velocity_m_s + 2.0 * gravity_m_s2 * lower_m).sqrt();
    (velocity_m_s + root) / gravity_m_s2
}

/// Largest error of height when each event is off by less than a frame, metres:
/// (g/8) ((T + 1/fps)² - T²).
pub fn largest_timing_error_m(flight_s: f64, frames_per_second: f64, gravity_m_s2: f64) -> f64 {
    let frame_s = 1.0 / frames_per_second;
    gravity_m_s2 / 8.0 * ((flight_s + frame_s).powi(2) - flight_s * flight_s)
}

/// Peak power in watts of an unloaded jump from its height and body mass: 60.7 h(cm) + 45.3 m -
/// 2055 (Sayers et al. 1999, Med Sci Sports Exerc 31:572; 108 men and women).
pub fn sayers_peak_power_w(height_m: f64, body_mass_kg: f64) -> f64 {
    60.7 * (height_m * 100.0) + 45.3 * body_mass_kg - 2055.0
}

/// Peak power in watts of an unloaded jump: 61.9 h(cm) + 36.0 m - 1822 (Harman et al. 1991, J
/// Appl Sport Sci Res 5:116).
pub fn harman_peak_power_w(height_m: f64, body_mass_kg: f64) -> f64 {
    61.9 * (height_m * 100.0) + 36.0 * body_mass_kg - 1822.0
}

/// Peak power in watts of an unloaded jump: 65.1 h(cm) + 25.8 m - 1413.1 (Canavan & Vescovi 2004,
/// Med Sci Sports Exerc 36:1589; 20 women).
pub fn canavan_vescovi_peak_power_w(height_m: f64, body_mass_kg: f64) -> f64 {
    65.1 * (height_m * 100.0) + 25.8 * body_mass_kg - 1413.1
}

/// Mean force, velocity and power of a push-off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PushOff {
    /// Mean force, N.
    pub force_n: f64,
    /// Mean velocity, m/s.
    pub velocity_m_s: f64,
    /// Mean power, W.
    pub power_w: f64,
}

/// Mean force, velocity and power from height, push-off distance and system mass, by energy:
/// F = m g (h/d + 1), v = √(g h/2) (Samozino et al. 2008, J Biomech 41:2940).
pub fn push_off(
    mass_kg: f64,
    height_m: f64,
    distance_m: f64,
    gravity_m_s2: f64,
) -> Result<PushOff, TrialError> {
    let height_m = within("a jump height in metres", height_m, HEIGHT_M)?;
    let distance_m = within("a push-off distance in metres", distance_m, PUSH_OFF_M)?;
    let force_n = mass_kg * gravity_m_s2 * (height_m / distance_m + 1.0);
    let velocity_m_s = (gravity_m_s2 * height_m / 2.0).sqrt();
    Ok(PushOff { force_n, velocity_m_s, power_w: force_n * velocity_m_s })
}

/// Mean power a kilogram of repeated jumps: g² Tf T / (4 n (T - Tf)), Tf the summed flight time
/// (Bosco et al. 1983, Eur J Appl Physiol 50:273). `None` without jumps or time on the ground.
pub fn repeated_jump_power_w_kg(
    jumps: usize,
    flight_s: f64,
    total_s: f64,
    gravity_m_s2: f64,
) -> Option<f64> {
    let ground_s = total_s - flight_s;
    (jumps > 0 && flight_s > 0.0 && ground_s > 0.0)
        .then(|| gravity_m_s2.powi(2) * flight_s * total_s / (4.0 * jumps as f64 * ground_s))
}

/// Countermovement over squat jump, same measure, method and session (McGuigan et al. 2006, J
/// Strength Cond Res 20:992). `None` when either is not positive.
pub fn eccentric_utilisation(countermovement: f64, squat: f64) -> Option<f64> {
    (countermovement > 0.0 && squat > 0.0).then(|| countermovement / squat)
}

#[cfg(test)]
mod tests {
    use super::*;

    const G: f64 = 9.806_65;

    /// Published or closed-form values are compared to half of their last printed figure.
    #[track_caller]
    fn printed(found: f64, expected: f64, half: f64) {
        assert!((found - expected).abs() <= half, "{found} is not {expected}");
    }

    #[test]
    fn heights_times_and_velocities_belong_together() {
        // g T²/8 and g T/2 evaluated by hand with g = 9.80665.
        for (flight_s, height_m, velocity) in [
            (0.400, 0.196_133, 1.961_330),
            (0.500, 0.306_458, 2.451_663),
            (0.540, 0.357_452, 2.647_796),
            (0.600, 0.441_299, 2.941_995),
        ] {
            let found = height_of_flight_m(flight_s, G).unwrap();
            printed(found, height_m, 5.1e-7);
            printed(take_off_velocity_m_s(found, G).unwrap(), velocity, 5.1e-7);
            printed(flight_of_height_s(found, G).unwrap(), flight_s, 1e-12);
        }
        printed(take_off_velocity_m_s(0.35, G).unwrap(), 2.620_049, 5.1e-7);
        printed(flight_of_height_s(0.40, G).unwrap(), 0.571_235, 5.1e-7);
    }

    #[test]
    fn slips_of_unit_are_refused() {
        for slip in [530.0, 53.0, 0.0, -0.5, f64::NAN] {
            assert!(height_of_flight_m(slip, G).is_err(), "{slip}");
        }
        for slip in [38.0, 15.0, 0.0, -0.1, f64::INFINITY] {
            assert!(take_off_velocity_m_s(slip, G).is_err(), "{slip}");
        }
    }

    #[test]
    fn landing_lower_lengthens_the_flight() {
        // Yamashita et al. 2020 measured 0.025 m for 0.053 m; the closed form gives 0.026131.
        let velocity = take_off_velocity_m_s(0.45, G).unwrap();
        let flight_s = flight_with_bent_legs_s(velocity, 0.053, G);
        printed(flight_s, 0.623_230, 5.1e-7);
        printed(height_of_flight_m(flight_s, G).unwrap() - 0.45, 0.026_131, 5.1e-7);
        let velocity = take_off_velocity_m_s(0.35, G).unwrap();
        let flight_s = flight_with_bent_legs_s(velocity, 0.05, G);
        printed(height_of_flight_m(flight_s, G).unwrap() - 0.35, 0.024_583, 5.1e-7);
    }

    #[test]
    fn timing_errors_are_those_of_the_frame() {
        let frames = [30.0, 60.0, 120.0, 240.0, 480.0, 1000.0];
        let largest = [42.22, 20.77, 10.30, 5.13, 2.56, 1.23];
        let typical = [16.68, 8.34, 4.17, 2.09, 1.04, 0.50];
        for ((fps, most_mm), typical_mm) in frames.into_iter().zip(largest).zip(typical) {
            printed(1000.0 * largest_timing_error_m(0.5, fps, G), most_mm, 0.0051);
            let (_, error_m) = super::super::height::from_flight_time_m(0.5, 1.0 / fps, G);
            printed(1000.0 * error_m, typical_mm, 0.0051);
        }
    }

    #[test]
    fn regressions_give_the_published_examples() {
        // Sayers et al. 1999: 55 cm and 80 kg give 4907.5 W; others by the printed equations.
        printed(sayers_peak_power_w(0.55, 80.0), 4907.5, 1e-9);
        printed(sayers_peak_power_w(0.40, 75.0), 3770.5, 1e-9);
        printed(sayers_peak_power_w(0.38, 80.0), 3875.6, 1e-9);
        printed(harman_peak_power_w(0.38, 80.0), 3410.2, 1e-9);
        printed(canavan_vescovi_peak_power_w(0.25, 60.0), 1762.4, 1e-9);
    }

    #[test]
    fn push_off_follows_from_energy() {
        let push = push_off(75.0, 0.35, 0.40, G).unwrap();
        printed(push.force_n, 1379.060, 5.1e-4);
        printed(push.velocity_m_s, 1.310_024, 5.1e-7);
        printed(push.power_w, 1806.602, 5.1e-4);
        // Force over distance is the energy gained: m g (d + h).
        printed(push.force_n * 0.40, 75.0 * G * 0.75, 1e-9);
        assert!(push_off(75.0, 0.35, 4.0, G).is_err());
        // With g = 9.81: 80 kg, 0.38 m, 0.40 m.
        printed(push_off(80.0, 0.38, 0.40, 9.81).unwrap().power_w, 2089.3, 0.051);
    }

    #[test]
    fn series_and_ratios() {
        printed(repeated_jump_power_w_kg(20, 9.0, 15.0, G).unwrap(), 27.0479, 5.1e-5);
        assert_eq!(repeated_jump_power_w_kg(20, 15.0, 15.0, G), None);
        assert_eq!(repeated_jump_power_w_kg(0, 9.0, 15.0, G), None);
        printed(eccentric_utilisation(38.0, 35.0).unwrap(), 1.085_714, 5.1e-7);
        assert_eq!(eccentric_utilisation(38.0, 0.0), None);
    }
}
