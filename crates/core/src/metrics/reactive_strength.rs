//! Reactive strength: height for time on the ground, by definitions with names of their own.

use super::MetricSet;
use super::definition::family;

family! {
    "Reactive strength";
    INDEX: "reactive_strength_index", "m/s", Higher,
        "Rebound height over contact time. Height from flight time; the ratio of times has another name.",
        "Comyns et al. 2019, Int J Sports Physiol Perform 14:1200";
    TIME_RATIO: "flight_contact_ratio", "", Higher,
        "Flight time over contact time. The index is this times g T/8, T the flight time.",
        "common practice beside the index";
    MODIFIED: "reactive_strength_index_modified", "m/s", Higher,
        "Height from impulse over time to take-off of a countermovement jump.",
        "Ebben & Petushek 2010, J Strength Cond Res 24:1983; Suchomel et al. 2015, J Strength Cond Res 29:899";
    FLIGHT_TO_CONTRACTION: "flight_contraction_ratio", "", Higher,
        "Flight time over time to take-off of a countermovement jump.",
        "Cormack et al. 2008, Int J Sports Physiol Perform 3:131";
    HOPS: "hops", "", Neither,
        "Hops of the longest unbroken series.",
        super::Definition::COUNT;
    MEAN_ALL: "reactive_strength_index_all_hops", "m/s", Higher,
        "Mean index of all hops of the series; the index itself is the mean of the best five.",
        "Comyns et al. 2019, Int J Sports Physiol Perform 14:1200";
    SPREAD: "reactive_strength_index_spread_percent", "%", Neither,
        "Standard deviation over mean of the best five.",
        "Comyns et al. 2019, Int J Sports Physiol Perform 14:1200";
}

/// Both definitions for one rebound.
pub(super) fn of_rebound(set: &mut MetricSet, flight_s: f64, contact_s: f64, gravity_m_s2: f64) {
    set.put(&INDEX, gravity_m_s2 * flight_s * flight_s / 8.0 / contact_s);
    set.put(&TIME_RATIO, flight_s / contact_s);
}
