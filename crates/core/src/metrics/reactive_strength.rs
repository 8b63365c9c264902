//! Reactive strength: height for time on the ground, by definitions with names of their own.

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
}
