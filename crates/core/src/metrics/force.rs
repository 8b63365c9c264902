//! Force on the ground before take-off: gross, as the plate reads it, unless the name says net.

use super::MetricSet;
use super::definition::family;
use crate::signal::{Moment, Trace};

const PHASES: &str = "McMahon et al. 2018, Strength Cond J 40(4):96";

family! {
    "Force";
    PEAK: "peak_force_n", "N", Higher,
        "Largest force from onset (or touch-down) to take-off; in an isometric effort, of the whole effort. Gross: body weight included.",
        PHASES;
    PEAK_RELATIVE: "peak_force_n_kg", "N/kg", Higher,
        "Peak force over system mass.",
        PHASES;
    PEAK_NET: "net_peak_force_n", "N", Higher,
        "Peak force less weight; in an isometric effort, less the baseline.",
        PHASES;
    LEAST: "unweighting_least_force_n", "N", Neither,
        "Smallest force while unweighting.",
        PHASES;
    BRAKING_MEAN: "braking_mean_force_n", "N", Higher,
        "Area under the force while braking, over its duration.",
        PHASES;
    BRAKING_PEAK: "braking_peak_force_n", "N", Higher,
        "Largest force while braking.",
        PHASES;
    AT_BOTTOM: "force_at_bottom_n", "N", Higher,
        "Force at standstill at the bottom.",
        PHASES;
    PROPULSION_MEAN: "propulsion_mean_force_n", "N", Higher,
        "Area under the force during propulsion, over its duration.",
        PHASES;
    PROPULSION_PEAK: "propulsion_peak_force_n", "N", Higher,
        "Largest force during propulsion.",
        PHASES;
    IMPACT_PEAK: "impact_peak_force_n", "N", Lower,
        "Largest force in the first 50 ms after touch-down from a box.",
        "common practice, no source";
    BRAKING_RISE: "braking_rate_of_force_development_n_s", "N/s", Higher,
        "Force at the bottom less force at the fastest descent, over the time between. Unsteady from day to day (Merrigan et al. 2021, Sports 9:4).",
        "Merrigan et al. 2021, Sports 9:4";
}

/// Peak force between two instants, gross, per kg and net.
pub(super) fn of_peak(
    set: &mut MetricSet,
    force: &Trace,
    (from, to): (Moment, Moment),
    weight_n: f64,
    mass_kg: f64,
) {
    let Some((_, peak_n)) = force.peak(from, to) else { return };
    set.put(&PEAK, peak_n);
    set.put(&PEAK_RELATIVE, peak_n / mass_kg);
    set.put(&PEAK_NET, peak_n - weight_n);
}

/// Force while braking and at the bottom.
pub(super) fn of_braking(set: &mut MetricSet, force: &Trace, from: Moment, bottom: Moment) {
    set.put_if(&BRAKING_MEAN, force.mean(from, bottom));
    set.put_if(&BRAKING_PEAK, force.peak(from, bottom).map(|(_, peak)| peak));
    set.put(&AT_BOTTOM, bottom.of(&force.values));
}

/// Force during propulsion.
pub(super) fn of_propulsion(set: &mut MetricSet, force: &Trace, from: Moment, take_off: Moment) {
    set.put_if(&PROPULSION_MEAN, force.mean(from, take_off));
    set.put_if(&PROPULSION_PEAK, force.peak(from, take_off).map(|(_, peak)| peak));
}

/// Mean rise of force while braking.
pub(super) fn of_braking_rise(set: &mut MetricSet, force: &Trace, from: Moment, bottom: Moment) {
    let rise_n = bottom.of(&force.values) - from.of(&force.values);
    set.put(&BRAKING_RISE, rise_n / force.between_s(from, bottom));
}
