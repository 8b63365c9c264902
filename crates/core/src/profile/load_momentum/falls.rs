//! The falls that are weighed, laid out once for every body mass: shapes go by the share of body
//! mass that is loaded, so a body mass of one kilogram stands for all.

use std::sync::LazyLock;

use super::fall::{FallFamily, HeightFall, KNEE_STEP};
use crate::units::Mass;

/// Heaviest load looked at, in body masses.
pub(super) const SEARCH_LIMIT: f64 = 1.25;
/// Steps in which the load of least loss is looked for.
pub(super) const LOSS_STEPS: usize = 100;
/// Shares left at half body mass that are weighed: from 0.30 to 0.95.
const STEEPEST: f64 = 0.30;
const FLATTEST: f64 = 0.95;
/// Steps between them; falls with a knee are many and take every other.
const STEEPNESS_STEPS: usize = 52;
/// A knee this far past the peak, in body masses, says nothing of the peak.
const KNEE_PAST_PEAK: f64 = 0.05;
/// A knee at less height than this share is no longer a jump.
const LOWEST_KNEE: f64 = 0.10;
/// No node stands for more than this on either side, in body masses.
const WIDEST_REACH: f64 = 0.15;
/// The body mass that stands for all.
const ONE: Mass = Mass::kilograms(1.0);

/// One fall, with loads in body masses, and where it puts the peak.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(super) family: FallFamily,
    pub(super) share_at_half: f64,
    fall: HeightFall,
    /// Peak load within the search limit, in body masses.
    pub(crate) peak: f64,
    /// Peak loads of the node's edges, half a step to either side: what the node stands for.
    peak_from: f64,
    peak_to: f64,
    /// Momentum at the peak over unloaded momentum.
    pub(super) peak_gain: f64,
}

impl Node {
    /// Share of the unloaded take-off velocity left at a load in body masses.
    pub(super) fn velocity_share(&self, load: f64) -> f64 {
        self.fall.share(ONE * load).sqrt()
    }

    /// Share of the peak momentum lost by jumping with a load in body masses.
    pub(super) fn loss(&self, load: f64) -> f64 {
        1.0 - self.fall.momentum_gain(ONE * load, ONE) / self.peak_gain
    }

    /// Part of what the node stands for whose peak is at most this load in body masses.
    pub(super) fn part_with_peak_below(&self, load: f64) -> f64 {
        let width = self.peak_to - self.peak_from;
        if width > 0.0 {
            ((load - self.peak_from) / width).clamp(0.0, 1.0)
        } else {
            f64::from(u8::from(load >= self.peak))
        }
    }
}

/// Every fall that is weighed, family by family.
pub(super) fn nodes() -> &'static [Node] {
    static NODES: LazyLock<Vec<Node>> =
        LazyLock::new(|| FallFamily::ALL.into_iter().flat_map(nodes_of).collect());
    &NODES
}

/// Loads in even steps from none to the search limit, in body masses.
pub(super) fn loads() -> impl Iterator<Item = f64> {
    (0..=LOSS_STEPS).map(|step| SEARCH_LIMIT * step as f64 / LOSS_STEPS as f64)
}

/// Loss of every node, load after load.
pub(super) fn losses() -> &'static [f64] {
    static LOSSES: LazyLock<Vec<f64>> = LazyLock::new(|| {
        loads().flat_map(|load| nodes().iter().map(move |node| node.loss(load))).collect()
    });
    &LOSSES
}

fn nodes_of(family: FallFamily) -> Vec<Node> {
    let every = if family == FallFamily::Knee { 2 } else { 1 };
    let step = (FLATTEST - STEEPEST) / STEEPNESS_STEPS as f64;
    let half_step = 0.5 * step * every as f64;
    let shares = (0..=STEEPNESS_STEPS).step_by(every).map(|i| STEEPEST + step * i as f64);
    let nodes_at = |share: f64| {
        let [steeper, flatter] =
            [-half_step, half_step].map(|by| family.falls_through(share + by, ONE));
        let here = family.falls_through(share, ONE);
        let node =
            move |((fall, steeper), flatter)| Node::new(family, share, fall, [steeper, flatter]);
        here.into_iter().zip(steeper).zip(flatter).map(node)
    };
    shares.flat_map(nodes_at).filter(tells_of_its_peak).collect()
}

/// Whether a knee lies where it matters: high enough, and not past the peak.
fn tells_of_its_peak(node: &Node) -> bool {
    match node.fall {
        HeightFall::Knee { knee, turn, .. } => {
            let past_peak = turn > 1.0 && knee.in_kilograms() > node.peak + KNEE_PAST_PEAK;
            !past_peak && node.fall.share(knee) >= LOWEST_KNEE
        }
        _ => true,
    }
}

impl Node {
    fn new(family: FallFamily, share: f64, fall: HeightFall, edges: [HeightFall; 2]) -> Self {
        let peak_of =
            |fall: HeightFall| fall.peak_load_up_to(ONE * SEARCH_LIMIT, ONE).in_kilograms();
        let peak = peak_of(fall);
        let mut reach = edges.map(peak_of);
        if let HeightFall::Knee { knee, .. } = fall {
            // A peak at the knee moves with the knee, not with the steepness.
            if (peak - knee.in_kilograms()).abs() < 1e-9 {
                reach = [peak - 0.5 * KNEE_STEP, (peak + 0.5 * KNEE_STEP).min(SEARCH_LIMIT)];
            }
        }
        // Of two tops the other may be the higher one half a step on: that is no width.
        let [from, to] =
            reach.map(|edge| if (edge - peak).abs() > WIDEST_REACH { peak } else { edge });
        Self {
            family,
            share_at_half: share,
            fall,
            peak,
            peak_from: from.min(peak),
            peak_to: to.max(peak),
            peak_gain: fall.momentum_gain(ONE * peak, ONE),
        }
    }
}
