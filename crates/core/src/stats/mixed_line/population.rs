//! A population of lines with every variance parameter averaged over.
//!
//! The likelihood is that of the restricted fit with the residual variance explicit. Weak priors
//! keep it off the boundary: half-t on three degrees of freedom on the standard deviations
//! (Gelman 2006, Bayesian Anal 1:515), LKJ(2) on the correlation (Lewandowski and others 2009,
//! J Multivar Anal 100:1989). The four parameters are averaged over by importance sampling from a
//! multivariate t about the mode, at the points of a Halton sequence: the same data always give
//! the same answer, and no random number is needed.

use nalgebra::{DMatrix, DVector};

use super::belief::{LineBelief, LineComponent, normalise};
use super::criterion::{Factor, Pass, shrinkage};
use super::reml::{
    effects_to_data, expected_covariance, expected_line, inverse, line_covariance, product, pulled,
    scaled,
};
use super::sums::{Sample, Sums, sums};
use super::{Group, MixedLineError};
use crate::note::{Note, Noted};
use crate::stats::distributions::{chi_square_quantile, normal_quantile};
use crate::stats::minimise::{Minimum, minimise};

/// Noise of a point known from repeated trials.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoisePrior {
    /// Standard deviation, in the unit of y.
    pub standard_deviation: f64,
    /// How well it is known.
    pub degrees_of_freedom: f64,
}

/// What a squad says about lines: of its members, and of someone new.
#[derive(Clone, Debug)]
pub struct LinePopulation {
    sample: Sample,
    nodes: Vec<Node>,
}

/// One set of variance parameters, in standard units, with what follows from it.
#[derive(Clone, Debug)]
struct Node {
    weight: f64,
    factor: Factor,
    residual: f64,
    effects: DVector<f64>,
    covariance: DMatrix<f64>,
}

/// Sets of parameters averaged over where groups are few.
const MOST_NODES: usize = 256;
/// Fewest sets, where groups are so many that the parameters are hardly in doubt.
const FEWEST_NODES: usize = 16;
/// Passes over one group that averaging may cost in all.
const NODE_BUDGET: usize = 1_000_000;
/// Degrees of freedom of the proposal: heavy tails, so that no believable set is missed.
const PROPOSAL_DF: f64 = 5.0;
/// Groups with a line below which nothing is pooled, and below which it is said to be few.
const FEWEST_LINES: usize = 4;
const FEW_LINES: usize = 8;

impl LinePopulation {
    /// The population behind groups.
    ///
    /// # Errors
    /// Fewer than four groups with a line; no spare points and no prior on the noise; values that
    /// are not numbers.
    pub fn fit(groups: &[Group], noise: Option<NoisePrior>) -> Result<Noted<Self>, MixedLineError> {
        let sample = Sample::of(groups)?;
        if sample.lines < FEWEST_LINES {
            return Err(MixedLineError::TooFewLines { lines: sample.lines });
        }
        if sample.spare_points == 0 && noise.is_none() {
            return Err(MixedLineError::NoiseNotIdentified);
        }
        let priors = Priors::of(&sample, noise);
        let target = |at: &[f64]| minus_twice_log_posterior(&sample, &priors, at);
        let mode = minimise(&target, &priors.start());
        if !mode.value.is_finite() {
            return Err(MixedLineError::Confounded);
        }
        let nodes = averaged(&sample, &priors, &mode).ok_or(MixedLineError::Confounded)?;
        let notes = notes(&sample, &nodes);
        Ok(Noted { value: Self { sample, nodes }, notes })
    }

    /// Groups in the fit.
    pub fn groups(&self) -> usize {
        self.sample.groups.len()
    }
    /// Points in the fit.
    pub fn points(&self) -> usize {
        self.sample.points
    }
    /// Sets of variance parameters that carry the average: few of many means it is rough.
    pub fn effective_nodes(&self) -> f64 {
        1.0 / self.nodes.iter().map(|node| node.weight.powi(2)).sum::<f64>()
    }
    /// Fixed effects averaged over the parameters: intercept, slope, covariates.
    pub fn effects(&self) -> Vec<f64> {
        let mut mean = DVector::zeros(self.sample.effects());
        for node in &self.nodes {
            mean += &node.effects * node.weight;
        }
        let line = self.sample.axes.line([mean[0], mean[1]]);
        let mut effects: Vec<f64> =
            (effects_to_data(&self.sample) * mean).iter().copied().collect();
        effects[..2].copy_from_slice(&line);
        effects
    }
    /// Standard deviations between groups, averaged over the parameters: of the line's height at
    /// x, and of its slope.
    pub fn spread_at(&self, x: f64) -> (f64, f64) {
        let axes = self.sample.axes;
        let mean = |of: &dyn Fn([f64; 3]) -> f64| {
            self.nodes
                .iter()
                .map(|n| n.weight * of(axes.covariance(scaled(product(n.factor), n.residual))))
                .sum::<f64>()
        };
        let height = mean(&|[aa, ab, bb]| (aa + 2.0 * ab * x + bb * x * x).max(0.0).sqrt());
        (height, mean(&|[_, _, bb]| bb.sqrt()))
    }
    /// The line of someone of whom only the covariates are known.
    pub fn newcomer(&self, covariates: &[f64]) -> LineBelief {
        let group = Group { points: Vec::new(), covariates: covariates.to_vec() };
        let sums = sums(&group, &self.sample.axes);
        self.belief(|node| {
            let [v11, v12, v22] = expected_covariance(&sums, &node.covariance);
            let [aa, ab, bb] = scaled(product(node.factor), node.residual);
            (expected_line(&sums, &node.effects), [aa + v11, ab + v12, bb + v22])
        })
    }
    /// The line of a group in the fit; nothing beyond the last.
    pub fn member(&self, group: usize) -> Option<LineBelief> {
        let sums = self.sample.groups.get(group)?;
        Some(self.belief(|node| member_line(sums, node)))
    }

    fn belief(&self, of: impl Fn(&Node) -> ([f64; 2], [f64; 3])) -> LineBelief {
        let axes = self.sample.axes;
        let mut components: Vec<LineComponent> = self
            .nodes
            .iter()
            .map(|node| {
                let (mean, covariance) = of(node);
                LineComponent {
                    weight: node.weight,
                    mean: axes.line(mean),
                    covariance: axes.covariance(covariance),
                    residual_variance: node.residual * axes.scale_y.powi(2),
                }
            })
            .collect();
        normalise(&mut components);
        LineBelief { components }
    }
}

fn member_line(sums: &Sums, node: &Node) -> ([f64; 2], [f64; 3]) {
    let (shrink, _) = shrinkage(sums, node.factor);
    let expected = expected_line(sums, &node.effects);
    let own = pulled(sums, shrink, expected);
    let covariance = line_covariance(sums, shrink, node.residual, &node.covariance);
    ([expected[0] + own[0], expected[1] + own[1]], covariance)
}

/// Scales of the weak priors, in standard units.
struct Priors {
    intercept: f64,
    slope: f64,
    residual: f64,
    noise: Option<NoisePrior>,
}

impl Priors {
    fn of(sample: &Sample, noise: Option<NoisePrior>) -> Self {
        let groups = || sample.groups.iter().filter(|g| g.count > 0.0);
        let means: Vec<f64> = groups().map(|g| g.y / g.count).collect();
        let centre = means.iter().sum::<f64>() / means.len() as f64;
        let spread =
            (means.iter().map(|m| (m - centre).powi(2)).sum::<f64>() / means.len() as f64).sqrt();
        let within = |f: &dyn Fn(&Sums) -> f64| groups().map(f).sum::<f64>();
        let xx = within(&|g| g.xx - g.x * g.x / g.count);
        let slope = within(&|g| g.xy - g.x * g.y / g.count) / xx;
        let left = within(&|g| {
            let (gxx, gxy) = (g.xx - g.x * g.x / g.count, g.xy - g.x * g.y / g.count);
            let taken = if gxx > 1e-12 { gxy * gxy / gxx } else { 0.0 };
            (g.yy - g.y * g.y / g.count - taken).max(0.0)
        });
        let noise = noise.map(|noise| NoisePrior {
            standard_deviation: noise.standard_deviation / sample.axes.scale_y,
            ..noise
        });
        let rough = (left / sample.spare_points.max(1) as f64).sqrt();
        let residual = noise.map_or(rough, |noise| noise.standard_deviation).max(1e-6);
        // Floors of a tenth of the data's spread keep a chance agreement from shutting a door.
        Self {
            intercept: (2.0 * spread).max(0.1),
            slope: (0.5 * slope.abs()).max(0.1),
            residual,
            noise,
        }
    }

    fn start(&self) -> [f64; 4] {
        [(0.4 * self.intercept).ln(), (0.4 * self.slope).ln(), 0.0, self.residual.ln()]
    }

    /// Logarithm of the prior density of (ln sd, ln sd, atanh correlation, ln residual).
    fn log_density(&self, at: &[f64]) -> f64 {
        let half_t = |log_sd: f64, scale: f64| {
            log_sd - 2.0 * (1.0 + (log_sd.exp() / scale).powi(2) / 3.0).ln()
        };
        let correlation = 2.0 * (1.0 - at[2].tanh().powi(2)).ln();
        let residual = match self.noise {
            Some(NoisePrior { standard_deviation, degrees_of_freedom: df }) => {
                -df * at[3] - 0.5 * df * (standard_deviation / at[3].exp()).powi(2)
            }
            None => half_t(at[3], 2.0 * self.residual),
        };
        half_t(at[0], self.intercept) + half_t(at[1], self.slope) + correlation + residual
    }
}

/// Cholesky factor over the residual, and the residual variance, of one set of parameters.
fn parameters(at: &[f64]) -> (Factor, f64) {
    let [intercept, slope, residual] = [at[0], at[1], at[3]].map(f64::exp);
    let correlation = at[2].tanh();
    let rest = (1.0 - correlation * correlation).max(0.0).sqrt();
    let factor = [intercept / residual, correlation * slope / residual, rest * slope / residual];
    (factor, residual * residual)
}

fn minus_twice_log_posterior(sample: &Sample, priors: &Priors, at: &[f64]) -> f64 {
    let (factor, residual) = parameters(at);
    let spare = (sample.points - sample.effects()) as f64;
    Pass::over(sample, factor).map_or(f64::INFINITY, |pass| {
        let value = pass.log_blocks
            + pass.log_information
            + spare * residual.ln()
            + pass.squares / residual
            - 2.0 * priors.log_density(at);
        if value.is_nan() { f64::INFINITY } else { value }
    })
}

/// The nodes with their weights; nothing when the mode has no curvature.
fn averaged(sample: &Sample, priors: &Priors, mode: &Minimum) -> Option<Vec<Node>> {
    let covariance = (&mode.curvature * 0.5).cholesky()?.inverse();
    let spread = covariance.cholesky()?.l();
    let count = (NODE_BUDGET / sample.groups.len()).clamp(FEWEST_NODES, MOST_NODES);
    let mut nodes = Vec::with_capacity(count);
    let mut logs = Vec::with_capacity(count);
    for index in 1..=count {
        let normal = DVector::from_fn(4, |i, _| normal_quantile(halton(index, [2, 3, 5, 7][i])));
        let stretch = PROPOSAL_DF / chi_square_quantile(halton(index, 11), PROPOSAL_DF);
        let at = &mode.at + &spread * &normal * stretch.sqrt();
        let distance = normal.norm_squared() * stretch;
        let log_proposal = -0.5 * (PROPOSAL_DF + 4.0) * (1.0 + distance / PROPOSAL_DF).ln();
        let deviance = minus_twice_log_posterior(sample, priors, at.as_slice());
        if deviance.is_finite()
            && let Some(node) = node(sample, at.as_slice())
        {
            logs.push(-0.5 * (deviance - mode.value) - log_proposal);
            nodes.push(node);
        }
    }
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = logs.iter().map(|log| (log - best).exp()).collect();
    let total: f64 = weights.iter().sum();
    for (node, weight) in nodes.iter_mut().zip(&weights) {
        node.weight = weight / total;
    }
    nodes.retain(|node| node.weight > 1e-7);
    (!nodes.is_empty()).then_some(nodes)
}

fn node(sample: &Sample, at: &[f64]) -> Option<Node> {
    let (factor, residual) = parameters(at);
    let pass = Pass::over(sample, factor)?;
    let covariance = inverse(&pass.information) * residual;
    Some(Node { weight: 0.0, factor, residual, effects: pass.effects, covariance })
}

/// Point of the Halton sequence in one base (Halton 1960, Numer Math 2:84).
fn halton(mut index: usize, base: usize) -> f64 {
    let (mut value, mut digit) = (0.0, 1.0 / base as f64);
    while index > 0 {
        value += digit * (index % base) as f64;
        index /= base;
        digit /= base as f64;
    }
    value
}

fn notes(sample: &Sample, nodes: &[Node]) -> Vec<Note> {
    let mut notes = Vec::new();
    if sample.lines < FEW_LINES {
        notes.push(Note::new(
            "small-squad",
            format!("Only {} athletes have two loads or more: what is borrowed from them is itself in doubt, and the intervals say so.", sample.lines),
        ));
    }
    let effective = 1.0 / nodes.iter().map(|node| node.weight.powi(2)).sum::<f64>();
    if effective < 10.0_f64.min(nodes.len() as f64 / 2.0) {
        notes.push(Note::new(
            "average-is-rough",
            format!("The doubt about the squad's spread was averaged over {effective:.0} effective sets of values only: take the intervals as rough."),
        ));
    }
    notes
}
