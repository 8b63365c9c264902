//! The Bayesian estimator: many falls, each updated exactly.
//!
//! Given a fall `s(L)`, take-off velocities are a straight line through the origin in
//! `u = sqrt(s)` with slope the unloaded velocity `v0`: `v = v0 u(L) + e`. With a
//! normal-inverse-gamma prior on `v0` and the noise variance the update, the marginal likelihood
//! and the predictive (a Student's t) are in closed form (Gelman et al., Bayesian Data Analysis,
//! 3rd ed., ch. 14). The fall itself is weighed over families, steepness and knees, so no one
//! curve has to be believed. Velocity, not height, is what strays alike at every load: heights
//! stray less the lower the jump, in proportion to velocity; and momentum is in proportion to it.

use std::sync::OnceLock;

use super::fall::FallFamily;
use super::falls::{self, Node, SEARCH_LIMIT};
use super::mixture::{Component, StudentMixture, StudentTable, bisect};
use super::priors::LoadMomentumPriors;
use crate::units::{Acceleration, Mass, Velocity};

/// Falls less probable than this are left out of mixtures: thousands that nobody would miss.
const NEGLIGIBLE: f64 = 1e-9;

/// The posterior of one node: `v0` is Student's t about `velocity`, in m/s.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Update {
    weight: f64,
    velocity: f64,
    precision: f64,
    noise_rate: f64,
}

/// What is known of one body mass before any jump; velocities in m/s.
#[derive(Clone, Debug)]
pub(super) struct Before {
    pub(super) body_mass: Mass,
    /// Weight of each node.
    weights: Vec<f64>,
    velocity: f64,
    /// Variance of the unloaded velocity in units of the noise variance.
    spread_ratio: f64,
    noise_shape: f64,
    /// Rate of the inverse gamma, so that the mean noise variance is the typical one.
    noise_rate: f64,
}

impl Before {
    pub(super) fn new(body_mass: Mass, priors: &LoadMomentumPriors, gravity: Acceleration) -> Self {
        let noise = priors.noise_of_velocity(gravity).in_metres_per_second();
        let spread = priors.unloaded_velocity_sd(gravity).in_metres_per_second();
        Self {
            body_mass,
            weights: weights(priors),
            velocity: priors.unloaded_velocity(gravity).in_metres_per_second(),
            spread_ratio: (spread / noise).powi(2),
            noise_shape: priors.noise_shape,
            noise_rate: (priors.noise_shape - 1.0) * noise * noise,
        }
    }

    pub(super) fn limit(&self) -> Mass {
        self.body_mass * SEARCH_LIMIT
    }

    /// What is known after these jumps; none gives the starting knowledge.
    pub(super) fn posterior(&self, evidence: &Evidence) -> Posterior {
        let noise_shape = self.noise_shape + 0.5 * evidence.jumps;
        let mut updates: Vec<Update> = (self.weights.iter().zip(&evidence.sums))
            .map(|(weight, sums)| self.update(*weight, sums, evidence.square_velocities))
            .collect();
        let logs: Vec<f64> = (updates.iter())
            .map(|update| {
                update.weight.ln()
                    - 0.5 * update.precision.ln()
                    - noise_shape * update.noise_rate.ln()
            })
            .collect();
        let largest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = logs.iter().map(|log| (log - largest).exp()).sum();
        for (update, log) in updates.iter_mut().zip(&logs) {
            update.weight = (log - largest).exp() / sum;
        }
        Posterior { updates, noise_shape, table: OnceLock::new() }
    }

    /// The conjugate update of one node, its weight still that of before.
    fn update(&self, weight: f64, sums: &Sums, square_velocities: f64) -> Update {
        let prior_precision = 1.0 / self.spread_ratio;
        let precision = prior_precision + sums.square_shares;
        let velocity = (prior_precision * self.velocity + sums.share_velocities) / precision;
        let squares = square_velocities - 2.0 * velocity * sums.share_velocities
            + velocity * velocity * sums.square_shares;
        let from_prior = prior_precision * (velocity - self.velocity).powi(2);
        let noise_rate = self.noise_rate + 0.5 * (squares.max(0.0) + from_prior);
        Update { weight, velocity, precision, noise_rate }
    }
}

/// Each family's weight, shared out among its falls by how probable their steepness is.
fn weights(priors: &LoadMomentumPriors) -> Vec<f64> {
    let all: f64 = priors.families.iter().map(|(_, weight)| weight).sum();
    let of_family = |family: FallFamily| -> Vec<f64> {
        let named = priors.families.iter().filter(|(other, _)| *other == family);
        let weight = named.map(|(_, weight)| weight).sum::<f64>() / all;
        let densities: Vec<f64> = (falls::nodes().iter())
            .filter(|node| node.family == family)
            .map(|node| priors.density_of_share(node.share_at_half))
            .collect();
        let sum: f64 = densities.iter().sum();
        densities.into_iter().map(|density| weight * density / sum).collect()
    };
    // Nodes are laid out family by family, in this order.
    FallFamily::ALL.into_iter().flat_map(of_family).collect()
}

/// What jumps add to a node: `Σ u²` and `Σ u v`.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    square_shares: f64,
    share_velocities: f64,
}

/// All that the estimator needs of jumps. Jumps are put in and taken out one at a time, so that
/// leaving each out in turn costs no more than fitting all.
#[derive(Clone, Debug)]
pub(super) struct Evidence {
    jumps: f64,
    square_velocities: f64,
    sums: Vec<Sums>,
}

impl Evidence {
    pub(super) fn none() -> Self {
        Self {
            jumps: 0.0,
            square_velocities: 0.0,
            sums: vec![Sums::default(); falls::nodes().len()],
        }
    }

    /// With one jump more; the load in body masses.
    pub(super) fn with(self, load: f64, velocity: Velocity) -> Self {
        self.counted(load, velocity, 1.0)
    }

    pub(super) fn without(self, load: f64, velocity: Velocity) -> Self {
        self.counted(load, velocity, -1.0)
    }

    fn counted(mut self, load: f64, velocity: Velocity, times: f64) -> Self {
        let velocity = velocity.in_metres_per_second();
        self.jumps += times;
        self.square_velocities += times * velocity * velocity;
        for (sums, node) in self.sums.iter_mut().zip(falls::nodes()) {
            let share = node.velocity_share(load);
            sums.square_shares += times * share * share;
            sums.share_velocities += times * share * velocity;
        }
        self
    }
}

/// What is known after some jumps. Loads here are in body masses, velocities in m/s.
#[derive(Clone, Debug)]
pub(crate) struct Posterior {
    updates: Vec<Update>,
    noise_shape: f64,
    /// Made when the first interval is asked for.
    table: OnceLock<StudentTable>,
}

impl Posterior {
    fn weighted_nodes(&self) -> impl Iterator<Item = (f64, &'static Node)> {
        self.updates.iter().map(|update| update.weight).zip(falls::nodes())
    }

    /// The nodes that count, in the order of a mixture's components.
    pub(super) fn likely(&self) -> impl Iterator<Item = (&Update, &'static Node)> {
        self.updates.iter().zip(falls::nodes()).filter(|(update, _)| update.weight > NEGLIGIBLE)
    }

    /// Mean over the nodes.
    pub(super) fn expectation(&self, of: impl Fn(&Node) -> f64) -> f64 {
        self.weighted_nodes().map(|(weight, node)| weight * of(node)).sum()
    }

    pub(super) fn family_weight(&self, family: FallFamily) -> f64 {
        self.expectation(|node| if node.family == family { 1.0 } else { 0.0 })
    }

    /// Mean of the unloaded velocity.
    pub(super) fn unloaded_velocity(&self) -> f64 {
        self.updates.iter().map(|update| update.weight * update.velocity).sum()
    }

    /// Root of the mean noise variance.
    pub(super) fn noise_sd(&self) -> f64 {
        let rate: f64 = self.updates.iter().map(|update| update.weight * update.noise_rate).sum();
        (rate / (self.noise_shape - 1.0)).sqrt()
    }

    /// Probability that the peak load is at most this.
    pub(super) fn peak_cdf(&self, load: f64) -> f64 {
        self.expectation(|node| node.part_with_peak_below(load))
    }

    /// Quantile of the peak load; each node stands for its whole step.
    pub(super) fn peak_quantile(&self, probability: f64) -> f64 {
        let likely: Vec<(f64, &Node)> =
            self.likely().map(|(update, node)| (update.weight, node)).collect();
        let cdf = |load: f64| -> f64 {
            likely.iter().map(|(weight, node)| weight * node.part_with_peak_below(load)).sum()
        };
        bisect(0.0, SEARCH_LIMIT, |load| cdf(load) < probability)
    }

    /// Expected share of the peak momentum lost by jumping with this load.
    pub(super) fn expected_loss(&self, load: f64) -> f64 {
        self.expectation(|node| node.loss(load))
    }

    /// The load from `from` to `to` that in expectation loses least, the lighter of equals.
    pub(super) fn load_of_least_loss(&self, from: f64, to: f64) -> f64 {
        let expected = falls::losses().chunks(self.updates.len()).map(|losses| {
            self.updates.iter().zip(losses).map(|(update, loss)| update.weight * loss).sum::<f64>()
        });
        let ends = [from, to].map(|load| (load, self.expected_loss(load)));
        let between = falls::loads().zip(expected).filter(|(load, _)| from < *load && *load < to);
        let lower = |a: (f64, f64), b: (f64, f64)| if b.1 < a.1 { b } else { a };
        [ends[0]]
            .into_iter()
            .chain(between)
            .chain([ends[1]])
            .reduce(lower)
            .map_or(from, |best| best.0)
    }

    /// Probability that this load loses more than a fraction of the peak momentum.
    pub(super) fn chance_of_losing(&self, fraction: f64, load: f64) -> f64 {
        self.expectation(|node| f64::from(u8::from(node.loss(load) > fraction)))
    }

    /// Doubt about the mean velocity at a load.
    pub(super) fn mean_velocity(&self, load: f64) -> StudentMixture<'_> {
        self.mixture(|node, update| {
            let share = node.velocity_share(load);
            (update.velocity * share, share * share / update.precision)
        })
    }

    /// Mean of that, without its doubt.
    pub(super) fn expected_velocity(&self, load: f64) -> f64 {
        let of = |(update, node): (&Update, &Node)| {
            update.weight * update.velocity * node.velocity_share(load)
        };
        self.updates.iter().zip(falls::nodes()).map(of).sum()
    }

    /// Where the next jump at a load will fall, noise included.
    pub(super) fn next_velocity(&self, load: f64) -> StudentMixture<'_> {
        self.mixture(|node, update| {
            let share = node.velocity_share(load);
            (update.velocity * share, 1.0 + share * share / update.precision)
        })
    }

    /// Doubt about the momentum of each fall at its own peak, over body mass.
    pub(super) fn peak_momentum(&self) -> StudentMixture<'_> {
        self.mixture(|node, update| {
            let gain = node.peak_gain;
            (update.velocity * gain, gain * gain / update.precision)
        })
    }

    /// A mixture from each node's location and variance in units of the noise variance.
    fn mixture(&self, of: impl Fn(&Node, &Update) -> (f64, f64)) -> StudentMixture<'_> {
        let component = |(update, node): (&Update, &Node)| {
            let (location, variance_ratio) = of(node, update);
            let scale = (update.noise_rate / self.noise_shape * variance_ratio).sqrt();
            Component { weight: update.weight, location, scale }
        };
        let mut components: Vec<Component> = self.likely().map(component).collect();
        let kept: f64 = components.iter().map(|part| part.weight).sum();
        components.iter_mut().for_each(|part| part.weight /= kept);
        StudentMixture { degrees: 2.0 * self.noise_shape, table: &self.table, components }
    }
}
