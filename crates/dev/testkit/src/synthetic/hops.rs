//! Hops on the spot: half-sines of contact with flights between.

use super::{GRAVITY, Shape};
use std::f64::consts::PI;

/// Hops as pairs of contact and flight time in seconds, each contact a half-sine whose mean over
/// the whole hop is the weight, and one more contact at the end to bound the last flight.
pub fn half_sines(mass_kg: f64, hops: &[(f64, f64)], rate_hz: f64) -> Vec<f64> {
    let Some(&last) = hops.last() else { return Vec::new() };
    let contact = |(contact_s, flight_s): (f64, f64)| {
        let peak_n = mass_kg * GRAVITY * PI / 2.0 * (flight_s / contact_s + 1.0);
        move |u: f64| peak_n * (PI * u / contact_s).sin()
    };
    hops.iter()
        .fold(Shape::new(), |shape, &hop| shape.then(hop.0, contact(hop)).hold(hop.1, 0.0))
        .then(last.0, contact(last))
        .sample(rate_hz)
}

/// Times of a hop on a linear spring of `stiffness_n_m` met at `velocity_m_s`: contact
/// 2 (π - atan(v ω/g))/ω and flight 2 v/g, ω = √(k/m).
pub fn spring_times_s(mass_kg: f64, stiffness_n_m: f64, velocity_m_s: f64) -> (f64, f64) {
    let omega = (stiffness_n_m / mass_kg).sqrt();
    let contact_s = 2.0 * (PI - (velocity_m_s * omega / GRAVITY).atan()) / omega;
    (contact_s, 2.0 * velocity_m_s / GRAVITY)
}
