//! Isometric efforts of three forms.

use super::Shape;
use std::f64::consts::PI;

/// Baseline for 2 s, then a rise of `rise_n` with a time constant, held for 2 s.
pub fn exponential(baseline_n: f64, rise_n: f64, time_constant_s: f64) -> Shape {
    Shape::new()
        .hold(2.0, baseline_n)
        .then(2.0, move |u| baseline_n + rise_n * (1.0 - (-u / time_constant_s).exp()))
}

/// How a held effort fades, N/s: a force that stands still to the last digit is a plate at the end
/// of its range, and is read as such.
const FADING_N_S: f64 = 1.0;

/// Baseline for 2 s, then a straight rise to a plateau that fades for 1 s.
pub fn ramp(baseline_n: f64, slope_n_s: f64, plateau_n: f64) -> Shape {
    Shape::new()
        .hold(2.0, baseline_n)
        .then((plateau_n - baseline_n) / slope_n_s, move |u| baseline_n + slope_n_s * u)
        .then(1.0, move |u| plateau_n - FADING_N_S * u)
}

/// Baseline for 2 s, then a half-cosine rise of `rise_n` over `rise_s`, and a plateau that
/// fades for 1 s.
pub fn half_cosine(baseline_n: f64, rise_n: f64, rise_s: f64) -> Shape {
    Shape::new()
        .hold(2.0, baseline_n)
        .then(rise_s, move |u| baseline_n + rise_n / 2.0 * (1.0 - (PI * u / rise_s).cos()))
        .then(1.0, move |u| baseline_n + rise_n - FADING_N_S * u)
}
