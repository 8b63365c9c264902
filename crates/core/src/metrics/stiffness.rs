//! Vertical stiffness, in variants that are never mixed.

use super::MetricSet;
use super::definition::family;
use crate::note::Note;
use crate::signal::{Moment, Trace};
use crate::trial::motion::Motion;
use std::f64::consts::PI;

const SPREAD: &str = "Moir et al. 2009, Int J Sports Physiol Perform 4:317 (reliability)";

family! {
    "Stiffness";
    TOTAL: "stiffness_total_n_m", "N/m", Neither,
        "Force at the bottom over the whole drop of the centre of mass before it.",
        SPREAD;
    BRAKING: "stiffness_braking_n_m", "N/m", Neither,
        "Force at the bottom less weight, over the drop while braking.",
        SPREAD;
    FITTED: "stiffness_fitted_n_m", "N/m", Neither,
        "Least-squares slope of force on drop while braking, from 20 samples or more.",
        SPREAD;
    FITTED_FIT: "stiffness_fitted_r_squared", "", Neither,
        "Share of the variance of force that slope explains: near 1, the leg acts like a spring.",
        SPREAD;
    CONTACT: "stiffness_contact_n_m", "N/m", Neither,
        "Largest force of a rebound contact over the drop from touch-down to the bottom.",
        "McMahon & Cheng 1990, J Biomech 23(Suppl 1):65";
    FROM_TIMES: "stiffness_from_times_n_m", "N/m", Neither,
        "From mass, contact and flight time of steady hops, or of a drop jump that rises as far as it fell: m π (Tf + Tc) / (Tc² ((Tf + Tc)/π - Tc/4)).",
        "Dalleau et al. 2004, Int J Sports Med 25:170";
}

/// Fewest samples a slope is fitted to (engineering choice).
const LEAST_SAMPLES: usize = 20;
/// Peak and bottom force further apart than this fraction: not a spring (engineering choice).
const SPRING_TOLERANCE: f64 = 0.10;

/// Contact times the half-sine model is meant for, seconds (Dalleau et al. 2004, Int J Sports Med
/// 25:170, for hops and running).
pub const MODEL_CONTACT_S: [f64; 2] = [0.10, 0.35];
/// How far the half-sine itself is from a linear spring: 0.95 % at 70 kg, 20 kN/m and 2 m/s, by
/// the spring's closed form.
const MODEL_ERROR: f64 = 0.01;

/// Stiffness of a drop jump from its times, and a caveat when it was met faster or slower than it
/// was left: the model takes the two for equal, so its largest force, of which stiffness is a
/// multiple, is off as the change of velocity is: (2 v + g T) over (v + u + g T), v at take-off, u
/// at touch-down.
pub(super) fn of_drop(
    set: &mut MetricSet,
    mass_kg: f64,
    (flight_s, contact_s): (f64, f64),
    (touch_down_m_s, take_off_m_s): (f64, f64),
    gravity_m_s2: f64,
) {
    let [shortest, longest] = MODEL_CONTACT_S;
    if !(shortest..=longest).contains(&contact_s) {
        set.notes.push(Note::new(
            "contact-outside-model",
            format!(
                "A contact of {contact_s:.2} s is no rebound for the model of stiffness from times \
                 ({shortest:.2} to {longest:.2} s); it is withheld."
            ),
        ));
        return;
    }
    set.put_if(&FROM_TIMES, from_times_n_m(mass_kg, flight_s, contact_s));
    let falling_m_s = gravity_m_s2 * contact_s;
    let off = (2.0 * take_off_m_s + falling_m_s) / (take_off_m_s - touch_down_m_s + falling_m_s);
    if (off - 1.0).abs() > MODEL_ERROR {
        set.notes.push(Note::new(
            "asymmetric-contact",
            format!(
                "Stiffness from times takes touch-down ({:.2} m/s) and take-off \
                 ({take_off_m_s:.2} m/s) for equally fast; its force is off by {:+.0} %. Use \
                 stiffness of contact.",
                touch_down_m_s.abs(),
                100.0 * (off - 1.0)
            ),
        ));
    }
}

/// Stiffness of steady hops from mass and times, N/m, after a half-sine contact force.
///
/// `None` where the model has no answer: a contact so long, or a flight so short, that the centre
/// of mass would not drop.
pub fn from_times_n_m(mass_kg: f64, flight_s: f64, contact_s: f64) -> Option<f64> {
    let cycle_s = flight_s + contact_s;
    let drop = contact_s * contact_s * (cycle_s / PI - contact_s / 4.0);
    (mass_kg > 0.0 && flight_s > 0.0 && contact_s > 0.0 && drop > 0.0)
        .then(|| mass_kg * PI * cycle_s / drop)
}

/// The three variants of a countermovement jump, and what to think of them.
pub(super) fn of_countermovement(
    set: &mut MetricSet,
    force: &Trace,
    motion: &Motion,
    (from, bottom, take_off): (Moment, Moment, Moment),
    weight_n: f64,
) {
    let bottom_n = bottom.of(&force.values);
    let (low, high) = (motion.displacement_at(bottom), motion.displacement_at(from));
    set.put(&TOTAL, bottom_n / -low);
    set.put(&BRAKING, (bottom_n - weight_n) / (high - low));
    if let Some((slope, fit)) = fitted(force, motion, from, bottom) {
        set.put(&FITTED, slope);
        set.put(&FITTED_FIT, fit);
    }
    set.notes.push(Note::new(
        "stiffness-unreliable",
        "Stiffness of a countermovement jump varies by up to 40 % from day to day; do not read \
         single changes (Moir et al. 2009).",
    ));
    let peak_n = force.peak(from, take_off).map_or(bottom_n, |(_, peak)| peak);
    if (peak_n / bottom_n - 1.0).abs() > SPRING_TOLERANCE {
        set.notes.push(Note::new(
            "not-spring-like",
            "The largest force is not at the bottom: the legs did not act like a spring.",
        ));
    }
}

/// Slope of force on drop, N/m, and its R².
fn fitted(force: &Trace, motion: &Motion, from: Moment, bottom: Moment) -> Option<(f64, f64)> {
    let samples = from.after()..bottom.before + 1;
    let count = samples.len() as f64;
    if samples.len() < LEAST_SAMPLES {
        return None;
    }
    let point = |sample: usize| (-motion.displacement(sample), force.values[sample]);
    let (sum_x, sum_y) =
        samples.clone().map(point).fold((0.0, 0.0), |(sx, sy), (x, y)| (sx + x, sy + y));
    let (mean_x, mean_y) = (sum_x / count, sum_y / count);
    let (sxx, sxy, syy) = samples.map(point).fold((0.0, 0.0, 0.0), |(xx, xy, yy), (x, y)| {
        let (dx, dy) = (x - mean_x, y - mean_y);
        (xx + dx * dx, xy + dx * dy, yy + dy * dy)
    });
    Some((sxy / sxx, sxy * sxy / (sxx * syy)))
}
