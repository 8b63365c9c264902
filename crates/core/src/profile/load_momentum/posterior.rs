//! The Bayesian estimator: a grid of falls, each updated exactly.
//!
//! Given a fall `s(L)`, the heights are a straight line through the origin in `s` with slope the
//! unloaded height `h0`: `y = h0 s(L) + e`. With a normal-inverse-gamma prior on `h0` and the
//! noise variance the update, the marginal likelihood and the predictive (a Student's t) are in
//! closed form (Gelman et al., Bayesian Data Analysis, 3rd ed., ch. 14). The fall itself is
//! weighed over families and steepness, so no one curve has to be believed.

use std::sync::{Arc, OnceLock};

use super::mixture::{Component, StudentMixture, StudentTable, bisect};
use super::priors::LoadMomentumPriors;
use super::shape::{FallFamily, HeightFall};
use crate::units::{Length, Mass};

/// Shares left at half body mass that are weighed: 45 steps from 0.30 to 0.85.
const STEEPNESSES: usize = 45;
const FLATTEST: f64 = 0.85;
const STEEPEST: f64 = 0.30;
/// Steps in which the load of least loss is looked for.
const LOSS_STEPS: usize = 100;
/// Heaviest load looked at, in body masses.
pub(super) const SEARCH_LIMIT_BODY_MASSES: f64 = 1.25;

/// One fall with where it puts the peak.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(super) family: FallFamily,
    pub(super) share_at_half: f64,
    pub(super) fall: HeightFall,
    prior: f64,
    /// Peak load within the search limits, in kg.
    pub(crate) peak_kg: f64,
    /// Peak loads of the node's edges, half a step steeper and flatter: what the node stands for.
    peak_from_kg: f64,
    peak_to_kg: f64,
    /// Momentum gain over unloaded at the peak.
    pub(super) peak_gain: f64,
}

impl Node {
    /// Part of the node's step of steepness whose peak is at most this load.
    fn part_with_peak_below(&self, load_kg: f64) -> f64 {
        let width = self.peak_to_kg - self.peak_from_kg;
        if width > 0.0 {
            ((load_kg - self.peak_from_kg) / width).clamp(0.0, 1.0)
        } else {
            f64::from(u8::from(load_kg >= self.peak_kg))
        }
    }
}

/// The posterior of one node: `h0` is Student's t about `height_m`.
#[derive(Clone, Copy, Debug)]
struct Update {
    weight: f64,
    height_m: f64,
    precision: f64,
    noise_rate_m2: f64,
}

/// The grid of falls for one body mass, before any jump.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    pub(super) body_mass: Mass,
    priors: LoadMomentumPriors,
    pub(super) nodes: Vec<Node>,
    /// Losses of all nodes at [`LOSS_STEPS`] loads, made when the load of least loss is asked for.
    losses: OnceLock<Vec<f64>>,
}

impl Grid {
    pub(super) fn new(body_mass: Mass, priors: &LoadMomentumPriors) -> Self {
        let family_sum: f64 = priors.families.iter().map(|(_, weight)| weight).sum();
        let step = (FLATTEST - STEEPEST) / (STEEPNESSES - 1) as f64;
        let shares: Vec<f64> = (0..STEEPNESSES).map(|i| STEEPEST + step * i as f64).collect();
        let density = |share: f64| {
            let z = (share - priors.share_at_half_body_mass) / priors.share_sd;
            (-0.5 * z * z).exp()
        };
        let density_sum: f64 = shares.iter().map(|share| density(*share)).sum();
        let limit_kg = SEARCH_LIMIT_BODY_MASSES * body_mass.in_kilograms();
        let node = |family: FallFamily, weight: f64, share: f64| {
            let fall = family.through_half_body_mass(share, body_mass);
            let peak_of = |share: f64| {
                let fall = family.through_half_body_mass(share, body_mass);
                fall.peak_load(body_mass).in_kilograms().min(limit_kg)
            };
            let peak_kg = peak_of(share);
            Node {
                family,
                share_at_half: share,
                fall,
                prior: weight / family_sum * density(share) / density_sum,
                peak_kg,
                peak_from_kg: peak_of(share - 0.5 * step),
                peak_to_kg: peak_of(share + 0.5 * step),
                peak_gain: fall.momentum_gain(Mass::kilograms(peak_kg), body_mass),
            }
        };
        let nodes = (priors.families.iter())
            .flat_map(|&(family, weight)| shares.iter().map(move |&share| (family, weight, share)))
            .map(|(family, weight, share)| node(family, weight, share))
            .collect();
        Self { body_mass, priors: priors.clone(), nodes, losses: OnceLock::new() }
    }

    /// Share of the node's peak momentum lost by jumping with this load.
    pub(super) fn loss(&self, node: &Node, load: Mass) -> f64 {
        1.0 - node.fall.momentum_gain(load, self.body_mass) / node.peak_gain
    }

    /// Loads in even steps of about a kilogram from none to the search limit.
    fn loads(&self) -> impl Iterator<Item = Mass> {
        let limit = Mass::kilograms(self.limit_kg());
        (0..=LOSS_STEPS).map(move |step| limit * (step as f64 / LOSS_STEPS as f64))
    }

    /// Loss of each node, load after load.
    fn losses(&self) -> &[f64] {
        self.losses.get_or_init(|| {
            let at = |load: Mass| self.nodes.iter().map(move |node| self.loss(node, load));
            self.loads().flat_map(at).collect()
        })
    }

    pub(super) fn limit_kg(&self) -> f64 {
        SEARCH_LIMIT_BODY_MASSES * self.body_mass.in_kilograms()
    }

    /// What is known after these jumps; none gives the starting knowledge.
    pub(super) fn posterior(self: &Arc<Self>, evidence: &Evidence) -> Posterior {
        let noise_shape = self.priors.noise_shape + 0.5 * evidence.jumps;
        let updates: Vec<Update> = (self.nodes.iter().zip(&evidence.sums))
            .map(|(node, sums)| self.update(node, sums, evidence.square_heights))
            .collect();
        let log_evidence = |update: &Update| {
            update.weight.ln()
                - 0.5 * update.precision.ln()
                - noise_shape * update.noise_rate_m2.ln()
        };
        let logs: Vec<f64> = updates.iter().map(log_evidence).collect();
        let largest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = logs.iter().map(|log| (log - largest).exp()).sum();
        let updates = (updates.iter().zip(&logs))
            .map(|(update, log)| Update { weight: (log - largest).exp() / sum, ..*update })
            .collect();
        Posterior { grid: Arc::clone(self), updates, noise_shape, table: OnceLock::new() }
    }

    /// The conjugate update of one node, its weight still the prior's.
    fn update(&self, node: &Node, sums: &Sums, square_heights: f64) -> Update {
        let prior_precision = 1.0 / self.priors.height_spread_ratio();
        let prior_height_m = self.priors.unloaded_height.in_metres();
        let precision = prior_precision + sums.square_shares;
        let height_m = (prior_precision * prior_height_m + sums.share_heights) / precision;
        let squares = square_heights - 2.0 * height_m * sums.share_heights
            + height_m * height_m * sums.square_shares;
        let from_prior = prior_precision * (height_m - prior_height_m).powi(2);
        let noise_rate_m2 = self.priors.noise_rate_m2() + 0.5 * (squares.max(0.0) + from_prior);
        Update { weight: node.prior, height_m, precision, noise_rate_m2 }
    }
}

/// What jumps add to a node: `Σ s²` and `Σ s y`.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    square_shares: f64,
    share_heights: f64,
}

/// All that the estimator needs of jumps. Jumps are put in and taken out one at a time, so that
/// leaving each out in turn costs no more than fitting all.
#[derive(Clone, Debug)]
pub(super) struct Evidence {
    jumps: f64,
    square_heights: f64,
    sums: Vec<Sums>,
}

impl Evidence {
    pub(super) fn none(grid: &Grid) -> Self {
        Self { jumps: 0.0, square_heights: 0.0, sums: vec![Sums::default(); grid.nodes.len()] }
    }

    pub(super) fn with(self, grid: &Grid, load: Mass, height: Length) -> Self {
        self.counted(grid, load, height, 1.0)
    }

    pub(super) fn without(self, grid: &Grid, load: Mass, height: Length) -> Self {
        self.counted(grid, load, height, -1.0)
    }

    fn counted(mut self, grid: &Grid, load: Mass, height: Length, times: f64) -> Self {
        let height_m = height.in_metres();
        self.jumps += times;
        self.square_heights += times * height_m * height_m;
        for (sums, node) in self.sums.iter_mut().zip(&grid.nodes) {
            let share = node.fall.share(load);
            sums.square_shares += times * share * share;
            sums.share_heights += times * share * height_m;
        }
        self
    }
}

/// What is known after some jumps.
#[derive(Clone, Debug)]
pub(crate) struct Posterior {
    grid: Arc<Grid>,
    updates: Vec<Update>,
    noise_shape: f64,
    /// Made when the first interval is asked for.
    table: OnceLock<StudentTable>,
}

impl Posterior {
    pub(crate) fn weighted_nodes(&self) -> impl Iterator<Item = (f64, &Node)> {
        self.updates.iter().map(|update| update.weight).zip(&self.grid.nodes)
    }

    /// Mean over the nodes.
    pub(super) fn expectation(&self, of: impl Fn(&Node) -> f64) -> f64 {
        self.weighted_nodes().map(|(weight, node)| weight * of(node)).sum()
    }

    pub(super) fn family_weight(&self, family: FallFamily) -> f64 {
        self.expectation(|node| if node.family == family { 1.0 } else { 0.0 })
    }

    /// Mean of the unloaded height, in m.
    pub(super) fn unloaded_height_m(&self) -> f64 {
        self.updates.iter().map(|update| update.weight * update.height_m).sum()
    }

    /// Root of the mean noise variance, in m.
    pub(super) fn noise_sd_m(&self) -> f64 {
        let rate: f64 = self.updates.iter().map(|up| up.weight * up.noise_rate_m2).sum();
        (rate / (self.noise_shape - 1.0)).sqrt()
    }

    /// Probability that the peak load is at most this.
    pub(super) fn peak_cdf(&self, load_kg: f64) -> f64 {
        self.expectation(|node| node.part_with_peak_below(load_kg))
    }

    /// Quantile of the peak load, in kg; each node stands for its whole step of steepness.
    pub(super) fn peak_quantile_kg(&self, probability: f64) -> f64 {
        let limit = self.grid.limit_kg();
        bisect(0.0, limit, |load_kg| self.peak_cdf(load_kg) < probability)
    }

    /// Expected share of the peak momentum lost by jumping with this load.
    pub(crate) fn expected_loss(&self, load: Mass) -> f64 {
        self.expectation(|node| self.grid.loss(node, load))
    }

    /// The load that in expectation loses least, the lighter of equals.
    pub(super) fn load_of_least_loss(&self) -> Mass {
        let expected = self.grid.losses().chunks(self.updates.len()).map(|losses| {
            self.updates.iter().zip(losses).map(|(update, loss)| update.weight * loss).sum::<f64>()
        });
        let least = self.grid.loads().zip(expected).reduce(|a, b| if b.1 < a.1 { b } else { a });
        least.map_or(Mass::ZERO, |(load, _)| load)
    }

    /// Probability that this load loses more than a fraction of the peak momentum.
    pub(crate) fn chance_of_losing(&self, fraction: f64, load: Mass) -> f64 {
        self.expectation(|node| f64::from(u8::from(self.grid.loss(node, load) > fraction)))
    }

    /// Doubt about the mean height at a load, in m.
    pub(super) fn mean_height(&self, load: Mass) -> StudentMixture<'_> {
        self.mixture(|node, update| {
            let share = node.fall.share(load);
            (update.height_m * share, share * share / update.precision)
        })
    }

    /// Where the next jump at a load will fall, noise included, in m.
    pub(crate) fn next_height(&self, load: Mass) -> StudentMixture<'_> {
        self.mixture(|node, update| {
            let share = node.fall.share(load);
            (update.height_m * share, 1.0 + share * share / update.precision)
        })
    }

    /// A mixture from each node's location and variance in units of the noise variance.
    fn mixture(&self, of: impl Fn(&Node, &Update) -> (f64, f64)) -> StudentMixture<'_> {
        let component = |(update, node): (&Update, &Node)| {
            let (location, variance_ratio) = of(node, update);
            let noise_m2 = update.noise_rate_m2 / self.noise_shape;
            let scale = (noise_m2 * variance_ratio).sqrt();
            Component { weight: update.weight, location, scale }
        };
        let components = self.updates.iter().zip(&self.grid.nodes).map(component).collect();
        StudentMixture { degrees: 2.0 * self.noise_shape, table: &self.table, components }
    }
}
