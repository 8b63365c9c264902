//! Landing after a jump.

use super::definition::family;
use super::{MetricSet, impulse};
use crate::signal::{Moment, Trace, crossing};
use crate::trial::flight::Flight;
use crate::trial::landing::Landing;
use crate::trial::motion::Motion;
use crate::trial::recording::{Recording, Sides};

const COMMON: &str = "common practice, no source";

family! {
    "Landing";
    PEAK: "landing_peak_force_n", "N", Lower,
        "Largest force from landing until the centre of mass stops falling.",
        COMMON;
    PEAK_WEIGHTS: "landing_peak_weights", "", Lower,
        "The same in multiples of weight.",
        COMMON;
    TIME_TO_PEAK: "landing_time_to_peak_s", "s", Neither,
        "Landing to that force.",
        COMMON;
    LOADING_RATE: "landing_loading_rate_n_s", "N/s", Lower,
        "That force over that time.",
        COMMON;
    MIDDLE_RATE: "landing_middle_rate_n_s", "N/s", Lower,
        "Slope of the rise to that force between a fifth and four fifths of it.",
        COMMON;
    LAG: "landing_lag_s", "s", Neither,
        "How long after the left foot the right one lands (negative: before it), each by the threshold of the empty plate on its own plate.",
        COMMON;
    IMPULSE: "landing_net_impulse_n_s", "N s", Neither,
        "Area between force and weight from landing to standstill.",
        "impulse-momentum theorem";
    DEPTH: "landing_depth_m", "m", Neither,
        "Drop of the centre of mass from landing to its lowest.",
        COMMON;
    VELOCITY: "landing_velocity_m_s", "m/s", Neither,
        "Velocity at landing from the force before (negative: down).",
        "impulse-momentum theorem";
    VELOCITY_FROM_FLIGHT: "landing_velocity_from_flight_m_s", "m/s", Neither,
        "Velocity at landing from take-off velocity and flight time: v - g T.",
        "free fall";
    STABLE: "time_to_stabilisation_s", "s", Lower,
        "Landing to the start of one second within 5 % of weight.",
        COMMON;
    CLOSURE: "closing_velocity_m_s", "m/s", Neither,
        "Integrated velocity when standing still again: zero in truth, so it tells how far the integration can be trusted.",
        "consistency check, engineering choice";
}

/// Force in a landing whose peak was within the plate's range.
pub(super) fn of_force(
    set: &mut MetricSet,
    force: &Trace,
    flight: &Flight,
    landing: &Landing,
    weight_n: f64,
) {
    let to_peak_s = force.between_s(flight.landing, Moment::at(landing.peak));
    set.put(&PEAK, landing.peak_force_n);
    set.put(&PEAK_WEIGHTS, landing.peak_force_n / weight_n);
    set.put(&TIME_TO_PEAK, to_peak_s);
    set.put(&LOADING_RATE, landing.peak_force_n / to_peak_s);
    let reaches = |fraction: f64| {
        let level_n = fraction * landing.peak_force_n;
        crossing::first_rise(&force.values, flight.landing.before..landing.peak + 1, level_n)
            .map(|moment| (force.time_s(moment), level_n))
    };
    let middle = reaches(0.2).zip(reaches(0.8));
    set.put_if(&MIDDLE_RATE, middle.map(|((a_s, a_n), (b_s, b_n))| (b_n - a_n) / (b_s - a_s)));
}

/// Right foot after left, seconds, each by the threshold on its own plate, from half a flight
/// before the landing to half a flight after it; `None` when a foot is not seen to land.
pub(super) fn lag_s(recording: &Recording, sides: &Sides, flight: &Flight) -> Option<f64> {
    let trace = &recording.total;
    let half_s = flight.duration_s(recording) / 2.0;
    let from = trace.later(flight.take_off, half_s)?.before;
    let to = trace.later(flight.landing, half_s).unwrap_or_else(|| trace.end()).before;
    let touch = |values: &[f64]| crossing::first_rise(values, from..to + 1, flight.threshold_n);
    let (left, right) = (touch(&sides.left_n)?, touch(&sides.right_n)?);
    Some(trace.between_s(left, right))
}

/// Motion in a landing.
pub(super) fn of_motion(
    set: &mut MetricSet,
    force: &Trace,
    flight: &Flight,
    landing: &Landing,
    motion: &Motion,
    weight_n: f64,
    gravity_m_s2: f64,
) {
    let take_off_m_s = motion.velocity_at(flight.take_off);
    set.put(&VELOCITY, motion.velocity_at(flight.landing));
    let flight_s = force.between_s(flight.take_off, flight.landing);
    set.put(&VELOCITY_FROM_FLIGHT, take_off_m_s - gravity_m_s2 * flight_s);
    if let Some(stop) = landing.stop {
        set.put(&IMPULSE, impulse::net_n_s(force, flight.landing, stop, weight_n));
        let lowest = motion.lowest(flight.landing, stop);
        set.put(&DEPTH, motion.displacement_at(flight.landing) - lowest);
    }
    set.put_if(&CLOSURE, landing.standing_again.as_ref().map(|again| again.velocity_m_s));
}
