//! Left against right, phase by phase.

use crate::signal::{integral, window};
use crate::trial::Phase;
use crate::trial::recording::{Recording, Sides};
use crate::trial::weighing::Weighing;

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Mean force, newtons.
    MeanForce,
    /// Largest force, newtons.
    PeakForce,
    /// Net impulse, each side over its own share of the weight, N s.
    NetImpulse,
}

impl Quantity {
    /// Key in JSON, unit last.
    pub const fn id(self) -> &'static str {
        match self {
            Self::MeanForce => "mean_force_n",
            Self::PeakForce => "peak_force_n",
            Self::NetImpulse => "net_impulse_n_s",
        }
    }
}

/// One quantity of one phase on both sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asymmetry {
    /// Name of the phase.
    pub phase: &'static str,
    /// What is compared.
    pub quantity: Quantity,
    /// Left side.
    pub left: f64,
    /// Right side.
    pub right: f64,
}

impl Asymmetry {
    /// 100 (left - right) / (left + right): positive when the left does more. The equation for
    /// tests on both legs (Bishop et al. 2018, Strength Cond J 40(4):1, argue that tests on both
    /// legs and on one need different ones). `None` when the sides cancel.
    pub fn index_percent(&self) -> Option<f64> {
        bilateral_percent(self.left, self.right)
    }
}

/// The asymmetry of a test done on both legs at once, as a signed percentage of the total.
pub fn bilateral_percent(left: f64, right: f64) -> Option<f64> {
    let total = left + right;
    (total != 0.0).then(|| 100.0 * (left - right) / total)
}

/// The asymmetry of a test done on one leg after the other, as a percentage of the stronger.
pub fn unilateral_percent(one: f64, other: f64) -> Option<f64> {
    let most = one.max(other);
    (most > 0.0).then(|| 100.0 * (most - one.min(other)) / most)
}

/// Mean weight on each side in the weighing, newtons.
pub fn weights_n(sides: &Sides, weighing: &Weighing) -> (f64, f64) {
    let mean = |values: &[f64]| {
        values[weighing.window.clone()].iter().sum::<f64>() / weighing.window.len() as f64
    };
    (mean(&sides.left_n), mean(&sides.right_n))
}

/// Every quantity in every phase spent on the ground.
pub(super) fn of_phases(
    recording: &Recording,
    sides: &Sides,
    phases: &[Phase],
    weighing: &Weighing,
) -> Vec<Asymmetry> {
    let weights = weights_n(sides, weighing);
    let sampling = &recording.total.sampling;
    let mut found = Vec::new();
    for phase in phases.iter().filter(|phase| phase.name != "flight") {
        let (from, to) = (phase.from, phase.to);
        let mut compare = |quantity, both: Option<(f64, f64)>| {
            found.extend(both.map(|(left, right)| Asymmetry {
                phase: phase.name,
                quantity,
                left,
                right,
            }));
        };
        let duration_s = recording.total.between_s(from, to);
        let area = |values| integral::under(sampling, values, from, to);
        let areas = (area(&sides.left_n), area(&sides.right_n));
        let means = (areas.0 / duration_s, areas.1 / duration_s);
        compare(Quantity::MeanForce, (duration_s > 0.0).then_some(means));
        if phase.name == "weighing" {
            continue;
        }
        let peak = |values| window::peak(values, from, to).map(|(_, peak)| peak);
        compare(Quantity::PeakForce, peak(&sides.left_n).zip(peak(&sides.right_n)));
        let net = |area: f64, weight_n: f64| area - weight_n * duration_s;
        compare(Quantity::NetImpulse, Some((net(areas.0, weights.0), net(areas.1, weights.1))));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_equations_differ_on_the_same_forces() {
        // 600 against 500 N: 100/1100 and 100/600.
        assert!((bilateral_percent(600.0, 500.0).unwrap() - 100.0 / 11.0).abs() < 1e-12);
        assert!((unilateral_percent(500.0, 600.0).unwrap() - 100.0 / 6.0).abs() < 1e-12);
        assert_eq!(bilateral_percent(0.0, 0.0), None);
        assert_eq!(unilateral_percent(0.0, -1.0), None);
    }
}
