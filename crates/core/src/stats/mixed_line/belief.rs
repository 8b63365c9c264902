//! What is believed about one line: a weighted mixture of normal lines.

use crate::estimate::{Estimate, Interval, Level};
use crate::stats::distributions::{normal_cdf, normal_quantile};
use crate::stats::posterior::{Component, Posterior, normal_density, rising_root};

/// A belief about the line of one group, in data units.
#[derive(Clone, Debug, PartialEq)]
pub struct LineBelief {
    pub(super) components: Vec<LineComponent>,
}

/// The line were the variances known, with how believable they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LineComponent {
    pub(super) weight: f64,
    /// Intercept and slope.
    pub(super) mean: [f64; 2],
    /// Variance of the intercept, covariance, variance of the slope.
    pub(super) covariance: [f64; 3],
    pub(super) residual_variance: f64,
}

/// The line may as well not fall, so nowhere does it surely reach a lower value.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error(
    "The line falls with a probability of {falling:.2} only, so there is no saying where it \
     reaches a value. Test another load, far from the others."
)]
pub struct SlopeInDoubt {
    /// Probability that the line falls.
    pub falling: f64,
}

impl LineComponent {
    fn height(&self, x: f64) -> (f64, f64) {
        let [aa, ab, bb] = self.covariance;
        (self.mean[0] + self.mean[1] * x, aa + 2.0 * ab * x + bb * x * x)
    }
    /// The component after one more point, and the logarithm of that point's density under it.
    fn updated(&self, x: f64, y: f64) -> (Self, f64) {
        let (expected, variance) = self.height(x);
        let [aa, ab, bb] = self.covariance;
        let total = variance + self.residual_variance;
        let (to_intercept, to_slope) = ((aa + ab * x) / total, (ab + bb * x) / total);
        let surprise = y - expected;
        let next = Self {
            mean: [self.mean[0] + to_intercept * surprise, self.mean[1] + to_slope * surprise],
            covariance: [
                aa - to_intercept * to_intercept * total,
                ab - to_intercept * to_slope * total,
                bb - to_slope * to_slope * total,
            ],
            ..*self
        };
        (next, -0.5 * (total.ln() + surprise * surprise / total))
    }
}

impl LineBelief {
    /// The belief after one more point: every component learns, and those that foresaw the point
    /// gain weight. Costs the same whatever came before.
    #[must_use]
    pub fn updated(&self, x: f64, y: f64) -> Self {
        let (mut components, logs): (Vec<LineComponent>, Vec<f64>) =
            self.components.iter().map(|component| component.updated(x, y)).unzip();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for (component, log) in components.iter_mut().zip(&logs) {
            component.weight *= (log - best).exp();
        }
        normalise(&mut components);
        Self { components }
    }
    /// The belief after several more points.
    #[must_use]
    pub fn updated_with(&self, points: &[(f64, f64)]) -> Self {
        points.iter().fold(self.clone(), |belief, &(x, y)| belief.updated(x, y))
    }
    /// Height of the line at x.
    pub fn at(&self, x: f64) -> Posterior {
        self.mixture(x, 0.0)
    }
    /// Mean of so many new points at x.
    pub fn mean_of_next(&self, points: u32, x: f64) -> Posterior {
        self.mixture(x, 1.0 / f64::from(points.max(1)))
    }
    /// Logarithm of the density of one point.
    pub fn log_density(&self, x: f64, y: f64) -> f64 {
        let logs: Vec<f64> = self
            .components
            .iter()
            .map(|c| c.weight.ln() + c.updated(x, y).1 - 0.5 * std::f64::consts::TAU.ln())
            .collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        best + logs.iter().map(|log| (log - best).exp()).sum::<f64>().ln()
    }
    /// Mean intercept and slope.
    pub fn line(&self) -> [f64; 2] {
        let mean = |part: usize| self.components.iter().map(|c| c.weight * c.mean[part]).sum();
        [mean(0), mean(1)]
    }
    /// Slope.
    pub fn slope(&self) -> Posterior {
        let of = |c: &LineComponent| Component {
            weight: c.weight,
            mean: c.mean[1],
            standard_deviation: c.covariance[2].max(0.0).sqrt(),
        };
        Posterior::Mixture(self.components.iter().map(of).collect())
    }
    /// Standard deviation of a point about the line: root of the mean variance.
    pub fn residual_standard_deviation(&self) -> f64 {
        self.components.iter().map(|c| c.weight * c.residual_variance).sum::<f64>().sqrt()
    }
    /// Share of what is known about the line at x that comes from points learned since `before`:
    /// 0 when everything is borrowed, 1 when nothing is.
    pub fn own_share(&self, before: &Self, x: f64) -> f64 {
        let now = self.at(x).standard_deviation() / before.at(x).standard_deviation();
        (1.0 - now * now).clamp(0.0, 1.0)
    }
    /// Probability that a falling line has reached `y` by `x`.
    pub fn reached_by(&self, y: f64, x: f64) -> f64 {
        self.reached_and_density(y, x).0
    }
    /// The x at which the falling line reaches `y`: median and central interval.
    ///
    /// Each component's probability is in closed form, so no ratio of means is ever taken.
    ///
    /// # Errors
    /// [`SlopeInDoubt`] when the line may rise with more than the interval's tail probability.
    pub fn falls_to(&self, y: f64, level: Level) -> Result<Estimate<f64>, SlopeInDoubt> {
        let falling = self.slope().below(0.0);
        if 1.0 - falling >= level.tail() {
            return Err(SlopeInDoubt { falling });
        }
        let [intercept, slope] = self.line();
        let centre = (y - intercept) / slope;
        // How far the crossing strays for each standard deviation of the line's height there.
        let stray = self.at(centre).standard_deviation() / slope.abs();
        let quantile = |p: f64| {
            let between = self.closed_in(y, p, centre)?;
            let guess = centre + normal_quantile(p) * stray;
            Some(rising_root(between, guess, |x| {
                let (reached, density) = self.reached_and_density(y, x);
                (reached - p, density)
            }))
        };
        let tail = level.tail();
        match (quantile(0.5), quantile(tail), quantile(1.0 - tail)) {
            (Some(value), Some(low), Some(high)) => {
                Ok(Estimate { value, interval: Interval { low, high }, level })
            }
            _ => Err(SlopeInDoubt { falling }),
        }
    }

    /// A stretch about `centre` inside which the probability of having reached `y` passes `p`.
    fn closed_in(&self, y: f64, p: f64, centre: f64) -> Option<Interval<f64>> {
        (0..60).map(|doubling| (1.0 + centre.abs()) * f64::from(doubling).exp2()).find_map(
            |reach| {
                let between = Interval { low: centre - reach, high: centre + reach };
                let closed =
                    self.reached_by(y, between.low) <= p && self.reached_by(y, between.high) >= p;
                closed.then_some(between)
            },
        )
    }

    /// Probability that the line has reached `y` by `x`, and how fast that rises with `x`.
    fn reached_and_density(&self, y: f64, x: f64) -> (f64, f64) {
        self.components.iter().fold((0.0, 0.0), |(reached, density), c| {
            let (height, variance) = c.height(x);
            let spread = variance.max(0.0).sqrt();
            let z = (y - height) / spread;
            let spread_rises = (c.covariance[1] + c.covariance[2] * x) / spread;
            let z_rises = (-c.mean[1] - z * spread_rises) / spread;
            (reached + c.weight * normal_cdf(z), density + c.weight * normal_density(z) * z_rises)
        })
    }

    fn mixture(&self, x: f64, noise: f64) -> Posterior {
        let of = |c: &LineComponent| {
            let (mean, variance) = c.height(x);
            let variance = variance.max(0.0) + noise * c.residual_variance;
            Component { weight: c.weight, mean, standard_deviation: variance.sqrt() }
        };
        Posterior::Mixture(self.components.iter().map(of).collect())
    }
}

/// Weights that sum to one, components of no weight dropped.
pub(super) fn normalise(components: &mut Vec<LineComponent>) {
    let total: f64 = components.iter().map(|component| component.weight).sum();
    for component in components.iter_mut() {
        component.weight /= total;
    }
    components.retain(|component| component.weight > 1e-9);
}
