//! Gravity where the plate stands.

use super::TrialError;
use crate::units::Acceleration;

/// Normal gravity of the WGS 84 ellipsoid at a latitude in degrees and a height in metres
/// (NIMA TR8350.2, 3rd ed., 2000, equations 4-1 and 4-3). Local anomalies, about 1 part in
/// 10 000, are left out.
///
/// Fails outside 90° and -500 to 9000 m.
pub fn at(latitude_degrees: f64, altitude_m: f64) -> Result<Acceleration, TrialError> {
    within("a latitude in degrees", latitude_degrees, -90.0, 90.0)?;
    within("an altitude in metres", altitude_m, -500.0, 9000.0)?;
    let sin_squared = latitude_degrees.to_radians().sin().powi(2);
    let at_sea_level = 9.780_325_335_9 * (1.0 + 0.001_931_852_652_41 * sin_squared)
        / (1.0 - 0.006_694_379_990_13 * sin_squared).sqrt();
    let (radius_m, flattening, rotation) =
        (6_378_137.0, 1.0 / 298.257_223_563, 0.003_449_786_506_84);
    let height = altitude_m / radius_m;
    let slope = 1.0 + flattening + rotation - 2.0 * flattening * sin_squared;
    let aloft = at_sea_level * (1.0 - 2.0 * slope * height + 3.0 * height * height);
    Ok(Acceleration::metres_per_second_squared(aloft))
}

fn within(what: &'static str, value: f64, from: f64, to: f64) -> Result<(), TrialError> {
    if (from..=to).contains(&value) {
        Ok(())
    } else {
        Err(TrialError::Implausible { what, value, from, to })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gravity_is_that_of_the_ellipsoid() {
        // NIMA TR8350.2, table 3.4: 9.7803253359 at the equator, 9.8321849378 at the poles; the
        // others by the same closed form, printed to six decimals.
        for (latitude, altitude, expected) in [
            (0.0, 0.0, 9.780_325_335_9),
            (30.0, 0.0, 9.793_247),
            (45.0, 0.0, 9.806_198),
            (51.5, 0.0, 9.812_034),
            (60.0, 0.0, 9.819_177),
            (-90.0, 0.0, 9.832_184_937_8),
            (45.0, 1000.0, 9.803_113),
            (19.43, 2240.0, 9.779_130),
        ] {
            let found = at(latitude, altitude).unwrap().in_metres_per_second_squared();
            assert!((found - expected).abs() < 5.1e-7, "{latitude}°: {found}");
        }
    }

    #[test]
    fn places_that_are_not_are_refused() {
        assert!(at(91.0, 0.0).is_err());
        assert!(at(45.0, -501.0).is_err());
        assert!(at(f64::NAN, 0.0).is_err());
    }
}
