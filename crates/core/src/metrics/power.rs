//! Power delivered to the centre of mass: force times its velocity.

use super::MetricSet;
use super::definition::family;
use crate::signal::{Moment, Trace, integral};
use crate::trial::motion::Motion;

const SOURCE: &str = "Owen et al. 2014, J Strength Cond Res 28:1552";

family! {
    "Power and work";
    PEAK: "peak_power_w", "W", Higher,
        "Largest force times velocity of the centre of mass during propulsion. Of a bar: load (a + g) v.",
        SOURCE;
    PEAK_RELATIVE: "peak_power_w_kg", "W/kg", Higher,
        "Peak power over system mass.",
        SOURCE;
    MEAN: "mean_power_w", "W", Higher,
        "Work during propulsion over its duration. Of a bar: work on the load over the time of the way up.",
        SOURCE;
    MEAN_RELATIVE: "mean_power_w_kg", "W/kg", Higher,
        "Mean power over system mass.",
        SOURCE;
    BRAKING_PEAK: "braking_peak_power_w", "W", Neither,
        "Most negative power while braking.",
        SOURCE;
    PROPULSION_WORK: "propulsion_work_j", "J", Higher,
        "Area under power during propulsion.",
        SOURCE;
    PEAK_VELOCITY: "peak_velocity_m_s", "m/s", Higher,
        "Largest upward velocity: of a bar, or of the centre of mass, then a little before take-off, where the force falls through the weight.",
        "McMahon et al. 2018, Strength Cond J 40(4):96";
    FASTEST_DESCENT: "fastest_descent_m_s", "m/s", Neither,
        "Most negative velocity of the centre of mass before the bottom.",
        "McMahon et al. 2018, Strength Cond J 40(4):96";
}

/// Work done on the centre of mass between two instants, joules.
pub fn work_j(force: &Trace, motion: &Motion, from: Moment, to: Moment) -> f64 {
    integral::between(
        &force.sampling,
        from,
        to,
        |moment| moment.of(&force.values) * motion.velocity_at(moment),
        |sample| force.values[sample] * motion.velocity(sample),
    )
}

/// Power and velocity during propulsion.
pub(super) fn of_propulsion(
    set: &mut MetricSet,
    force: &Trace,
    motion: &Motion,
    (from, take_off): (Moment, Moment),
    mass_kg: f64,
) {
    let samples = from.after()..=take_off.before;
    let power = |sample: usize| force.values[sample] * motion.velocity(sample);
    let peak_w = samples.clone().map(power).fold(f64::NEG_INFINITY, f64::max);
    let work_j = work_j(force, motion, from, take_off);
    let mean_w = work_j / force.between_s(from, take_off);
    set.put(&PEAK, peak_w);
    set.put(&PEAK_RELATIVE, peak_w / mass_kg);
    set.put(&MEAN, mean_w);
    set.put(&MEAN_RELATIVE, mean_w / mass_kg);
    set.put(&PROPULSION_WORK, work_j);
    let fastest = samples.map(|sample| motion.velocity(sample)).fold(f64::NEG_INFINITY, f64::max);
    set.put(&PEAK_VELOCITY, fastest);
}

/// Power while braking.
pub(super) fn of_braking(
    set: &mut MetricSet,
    force: &Trace,
    motion: &Motion,
    (from, bottom): (Moment, Moment),
) {
    let power = |sample: usize| force.values[sample] * motion.velocity(sample);
    let least_w = (from.after()..=bottom.before).map(power).fold(f64::INFINITY, f64::min);
    set.put(&BRAKING_PEAK, least_w);
}
