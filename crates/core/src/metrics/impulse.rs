//! Net impulse: the area between force and weight.

use super::MetricSet;
use super::definition::family;
use crate::signal::{Moment, Trace};

const SOURCE: &str = "impulse-momentum theorem; Linthorne 2001, Am J Phys 69:1198";

family! {
    "Net impulse";
    NET: "net_impulse_n_s", "N s", Higher,
        "Area between force and weight from onset to take-off; from standing, the momentum of body and load at take-off. After a drop, from touch-down: the change of momentum.",
        SOURCE;
    UNWEIGHTING: "unweighting_net_impulse_n_s", "N s", Neither,
        "The same while unweighting; negative, and cancelled by braking.",
        SOURCE;
    BRAKING: "braking_net_impulse_n_s", "N s", Neither,
        "The same while braking. After a drop, from touch-down to standstill.",
        SOURCE;
    PROPULSION: "propulsion_net_impulse_n_s", "N s", Higher,
        "The same during propulsion; alone it equals the momentum at take-off.",
        SOURCE;
}

/// Area between force and weight between two instants, N s.
pub fn net_n_s(force: &Trace, from: Moment, to: Moment, weight_n: f64) -> f64 {
    force.integral(from, to) - weight_n * force.between_s(from, to)
}

/// Net impulse while braking and during propulsion.
pub(super) fn of_contact(
    set: &mut MetricSet,
    force: &Trace,
    (from, bottom, take_off): (Moment, Moment, Moment),
    weight_n: f64,
) {
    set.put(&BRAKING, net_n_s(force, from, bottom, weight_n));
    set.put(&PROPULSION, net_n_s(force, bottom, take_off, weight_n));
}
