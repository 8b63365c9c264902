//! What is believed about one number: a normal, a Student t, or a weighted mixture of normals.
//!
//! A mixture is how the doubt about a noise level or a squad's spread is carried into an answer:
//! each component is the answer were that level known, its weight how believable the level is.

use super::distributions::{normal_cdf, normal_quantile, student_t_cdf, student_t_quantile};
use crate::estimate::{Estimate, Interval, Level};

/// One normal of a mixture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Component {
    /// Weight; the weights of a mixture sum to one.
    pub weight: f64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub standard_deviation: f64,
}

/// A distribution of belief on the real line.
#[derive(Clone, Debug, PartialEq)]
pub enum Posterior {
    /// Everything but the value is known.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        standard_deviation: f64,
    },
    /// The noise was estimated on few degrees of freedom and nothing was known before.
    StudentT {
        /// Centre.
        centre: f64,
        /// Scale.
        scale: f64,
        /// Degrees of freedom.
        degrees_of_freedom: f64,
    },
    /// Several levels of the unknown are averaged over.
    Mixture(Vec<Component>),
}

impl Posterior {
    /// Probability of a value at or below `x`.
    pub fn below(&self, x: f64) -> f64 {
        match self {
            Self::Normal { mean, standard_deviation } => {
                normal_cdf((x - mean) / standard_deviation)
            }
            Self::StudentT { centre, scale, degrees_of_freedom } => {
                student_t_cdf((x - centre) / scale, *degrees_of_freedom)
            }
            Self::Mixture(components) => components
                .iter()
                .map(|c| c.weight * normal_cdf((x - c.mean) / c.standard_deviation))
                .sum(),
        }
    }
    /// The value with probability `p` below it.
    pub fn quantile(&self, p: f64) -> f64 {
        match self {
            Self::Normal { mean, standard_deviation } => {
                mean + standard_deviation * normal_quantile(p)
            }
            Self::StudentT { centre, scale, degrees_of_freedom } => {
                centre + scale * student_t_quantile(p, *degrees_of_freedom)
            }
            Self::Mixture(components) => {
                let z = normal_quantile(p);
                let of = |c: &Component| c.mean + z * c.standard_deviation;
                let low = components.iter().map(of).fold(f64::INFINITY, f64::min);
                let high = components.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
                rising_root(
                    Interval { low, high },
                    self.mean() + z * self.standard_deviation(),
                    |x| {
                        let (below, density) = below_and_density(components, x);
                        (below - p, density)
                    },
                )
            }
        }
    }
    /// Mean of the belief.
    pub fn mean(&self) -> f64 {
        match self {
            Self::Normal { mean, .. } => *mean,
            Self::StudentT { centre, .. } => *centre,
            Self::Mixture(components) => components.iter().map(|c| c.weight * c.mean).sum(),
        }
    }
    /// Standard deviation of the belief; infinite for a Student t of two degrees of freedom or fewer.
    pub fn standard_deviation(&self) -> f64 {
        match self {
            Self::Normal { standard_deviation, .. } => *standard_deviation,
            Self::StudentT { scale, degrees_of_freedom: df, .. } => {
                if *df > 2.0 {
                    scale * (df / (df - 2.0)).sqrt()
                } else {
                    f64::INFINITY
                }
            }
            Self::Mixture(components) => {
                let mean = self.mean();
                let square = |c: &Component| c.standard_deviation.powi(2) + (c.mean - mean).powi(2);
                components.iter().map(|c| c.weight * square(c)).sum::<f64>().sqrt()
            }
        }
    }
    /// Mean with the central interval, which reaches to the mean where the belief is lopsided.
    pub fn estimate(&self, level: Level) -> Estimate<f64> {
        let (low, high) = (self.quantile(level.tail()), self.quantile(1.0 - level.tail()));
        let value = self.mean();
        Estimate { value, interval: Interval { low, high }.reaching(value), level }
    }
}

/// Probability at or below `x`, and the density there.
fn below_and_density(components: &[Component], x: f64) -> (f64, f64) {
    components.iter().fold((0.0, 0.0), |(below, density), c| {
        let z = (x - c.mean) / c.standard_deviation;
        (
            below + c.weight * normal_cdf(z),
            density + c.weight * normal_density(z) / c.standard_deviation,
        )
    })
}

/// Density of a standard normal.
pub(crate) fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// Where a rising function passes zero between two ends: Newton's method from a guess, halving the
/// stretch that is left whenever a step would leave it. `at` gives the value and its slope.
pub(crate) fn rising_root(
    between: Interval<f64>,
    guess: f64,
    at: impl Fn(f64) -> (f64, f64),
) -> f64 {
    let Interval { mut low, mut high } = between;
    let halfway = |low: f64, high: f64| low + (high - low) / 2.0;
    let mut x = if between.contains(guess) { guess } else { halfway(low, high) };
    for _ in 0..200 {
        let (value, slope) = at(x);
        if value < 0.0 {
            low = x;
        } else {
            high = x;
        }
        let step = value / slope;
        let next = x - step;
        // Below this a step changes nothing that a double could show.
        if step.abs() <= 1e-14 * (1.0 + x.abs()) || high - low <= f64::EPSILON * x.abs() {
            break;
        }
        x = if low < next && next < high { next } else { halfway(low, high) };
    }
    x
}

/// The point between two ends where a condition stops holding, to the last bits of a double.
pub(crate) fn bisect(mut low: f64, mut high: f64, still_below: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if still_below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low + (high - low) / 2.0
}
