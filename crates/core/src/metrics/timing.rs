//! When things happen and how long they take.

use super::MetricSet;
use super::definition::family;
use crate::trial::Phase;
use crate::trial::recording::Recording;

const PHASES: &str = "McMahon et al. 2018, Strength Cond J 40(4):96";
const OWEN: &str = "Owen et al. 2014, J Strength Cond Res 28:1552";
const EMPTY_PLATE: &str =
    "five standard deviations of the empty plate: McMahon et al. 2018, Strength Cond J 40(4):96";

family! {
    "Times";
    ONSET: "onset_s", "s", Neither,
        "Time in the recording at which the movement begins: 30 ms before the force leaves the weight by five standard deviations. In an isometric effort, where it leaves the baseline, without stepping back.",
        OWEN;
    TAKE_OFF: "take_off_s", "s", Neither,
        "Time in the recording at which the force falls through the threshold of the empty plate.",
        EMPTY_PLATE;
    LANDING: "landing_s", "s", Neither,
        "Time in the recording at which it rises through it again.",
        EMPTY_PLATE;
    TOUCH_DOWN: "touch_down_s", "s", Neither,
        "Time in the recording at which the athlete comes down from the box.",
        EMPTY_PLATE;
    TIME_TO_TAKE_OFF: "time_to_take_off_s", "s", Lower,
        "Onset to take-off. The onset is set 30 ms back, where the force still is the weight, so it is about 27 ms longer than the movement and indices over it read 3 % low against a clean onset; kept as published, for comparison.",
        "Ebben & Petushek 2010, J Strength Cond Res 24:1983";
    UNWEIGHTING: "unweighting_duration_s", "s", Neither,
        "Onset to the fastest descent, where the force is back at the weight.",
        PHASES;
    BRAKING: "braking_duration_s", "s", Lower,
        "Fastest descent to standstill at the bottom. In a drop jump, from touch-down.",
        PHASES;
    PROPULSION: "propulsion_duration_s", "s", Lower,
        "Standstill at the bottom to take-off. In a squat jump, onset to take-off.",
        PHASES;
    CONTACT: "contact_time_s", "s", Lower,
        "Touch-down to take-off, after a drop or between hops. A jump from standing has no contact time; see time to take-off.",
        EMPTY_PLATE;
}

/// Durations of the phases by name.
pub(super) fn of_phases(set: &mut MetricSet, recording: &Recording, phases: &[Phase]) {
    for phase in phases {
        let duration_s = recording.total.between_s(phase.from, phase.to);
        match phase.name {
            "unweighting" => set.put(&UNWEIGHTING, duration_s),
            "braking" => set.put(&BRAKING, duration_s),
            "propulsion" => set.put(&PROPULSION, duration_s),
            _ => {}
        }
    }
}
