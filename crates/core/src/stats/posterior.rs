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
                bisect(low, high, |x| self.below(x) < p)
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
    /// Mean with the central interval.
    pub fn estimate(&self, level: Level) -> Estimate<f64> {
        let interval =
            Interval { low: self.quantile(level.tail()), high: self.quantile(1.0 - level.tail()) };
        Estimate { value: self.mean(), interval, level }
    }
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
