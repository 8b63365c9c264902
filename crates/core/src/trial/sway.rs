//! Standing still is swaying: the weight under a stance and the velocity at its edge, with doubt.
//!
//! Breathing, balance and the heart move the centre of mass a few millimetres up and down, slowly.
//! Over a second or two the mean force is then not the weight, and the velocity when a jump begins
//! is not nothing. Both are read from the stance by the best linear predictor under a model: the
//! height of the centre of mass is a stationary Gaussian process of Matérn covariance 5/2 (the
//! smoothest of the usual ones that still has a rough force; Rasmussen & Williams 2006, Gaussian
//! Processes for Machine Learning, MIT Press, section 4.2.1), so its velocity is nothing on average
//! and its force is sixteen differences of velocity. How much this athlete sways is not known: a
//! few sizes, nothing among them, are weighed by how well each explains the stance (Bayesian model
//! averaging, Hoeting et al. 1999, Stat Sci 14:382).

use crate::signal::window;

/// The model of sway.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Rate of the covariance, per second: most of the force then lies at 0.2 to 2 Hz, about a peak
    /// at √2 times this, 0.54 Hz (engineering choice, held by simulations of other models).
    pub rate_per_s: f64,
    /// Sizes that are thought possible, as the standard deviation of the force over the weight
    /// (engineering choice: from none to 5 mm of the centre of mass, more is not standing still).
    pub sizes: [f64; SIZES],
}

impl Default for Rules {
    fn default() -> Self {
        Self { rate_per_s: 2.4, sizes: [0.0, 0.0002, 0.0006, 0.002, 0.006] }
    }
}

const SIZES: usize = 5;
/// Stretches a stance is cut into. Their means hold what sway there is; sixteen keep it fast.
const PARTS: usize = 16;
/// Variance of a part's mean over the weight squared that even a noise-free file has: rounding.
const LEAST_VARIANCE: f64 = 1e-14;

/// Which end of a stance the velocity is asked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Edge {
    /// Where a movement begins.
    End,
    /// Where one has ended.
    Start,
}

/// Variances of a relative weight and of a velocity in m/s, and their covariance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Doubt {
    /// Of the weight, over the weight squared.
    pub weight: f64,
    /// Of the velocity, m²/s².
    pub velocity: f64,
    /// Of both together, m/s.
    pub both: f64,
}

impl Doubt {
    /// Variance of what changes by these much for a unit of relative weight and of velocity.
    pub fn carried_to(&self, (by_weight, by_velocity): (f64, f64)) -> f64 {
        by_weight * by_weight * self.weight
            + 2.0 * by_weight * by_velocity * self.both
            + by_velocity * by_velocity * self.velocity
    }

    /// The same doubt, so many times the variance.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            weight: self.weight * factor,
            velocity: self.velocity * factor,
            both: self.both * factor,
        }
    }
}

/// What a stance says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stance {
    /// The weight, newtons.
    pub weight_n: f64,
    /// Velocity of the centre of mass at the edge, m/s.
    pub velocity_m_s: f64,
    /// The doubt of both.
    pub doubt: Doubt,
    /// Standard deviation of a sample about its neighbours, newtons: the sensor's noise.
    pub noise_n: f64,
}

/// Reads a stance sampled every `step_s`, the edge `gap_s` beyond it. `None` when it is too short
/// or nobody stands there.
pub(super) fn read(
    force_n: &[f64],
    (step_s, gap_s): (f64, f64),
    edge: Edge,
    gravity_m_s2: f64,
    rules: &Rules,
) -> Option<Stance> {
    let size = force_n.len() / PARTS;
    if size < 2 {
        return None;
    }
    let (mut means_n, variance_n2) = parts(force_n, size, edge)?;
    let middle_n = means_n.iter().sum::<f64>() / PARTS as f64;
    if middle_n <= 0.0 {
        return None;
    }
    means_n.iter_mut().for_each(|mean| *mean = *mean / middle_n - 1.0);
    let noise = (variance_n2 / size as f64 / (middle_n * middle_n)).max(LEAST_VARIANCE);
    let model = Model::of(size as f64 * step_s, gap_s, gravity_m_s2, rules.rate_per_s);
    let found = average(rules.sizes.map(|size| model.fit(&means_n, size * size, noise)));
    let sign = if edge == Edge::End { 1.0 } else { -1.0 };
    Some(Stance {
        weight_n: middle_n * (1.0 + found.weight),
        velocity_m_s: sign * found.velocity,
        doubt: Doubt { both: sign * found.doubt.both, ..found.doubt },
        noise_n: variance_n2.sqrt(),
    })
}

/// Means of equal parts in the order of their distance from the edge, the furthest first, and the
/// mean variance inside them. Looked at from after a movement, time runs backward.
fn parts(force_n: &[f64], size: usize, edge: Edge) -> Option<([f64; PARTS], f64)> {
    let (mut means, mut variance) = ([0.0; PARTS], 0.0);
    let used = match edge {
        Edge::End => &force_n[force_n.len() - PARTS * size..],
        Edge::Start => &force_n[..PARTS * size],
    };
    for (place, part) in used.chunks_exact(size).enumerate() {
        let (mean, sd) = window::mean_and_sd(part)?;
        means[if edge == Edge::End { place } else { PARTS - 1 - place }] = mean;
        variance += sd * sd / PARTS as f64;
    }
    Some((means, variance))
}

/// Sway of unit size over a stance.
struct Model {
    /// Covariance of the means of two parts so many apart, relative to the weight.
    apart: [f64; PARTS],
    /// Covariance of each part's mean with the velocity at the edge, m/s.
    with_velocity: [f64; PARTS],
    /// Variance of the velocity, m²/s².
    velocity: f64,
}

impl Model {
    fn of(part_s: f64, gap_s: f64, gravity_m_s2: f64, rate_per_s: f64) -> Self {
        // Covariance of velocity a time apart, per unit variance of acceleration over gravity: minus
        // the second derivative of σ² (1 + x + x²/3) e^-x, whose fourth is σ² rate⁴ at nothing.
        let scale = (gravity_m_s2 / rate_per_s).powi(2) / 3.0;
        let velocity = |apart_s: f64| {
            let x = rate_per_s * apart_s.abs();
            scale * (1.0 + x - x * x) * (-x).exp()
        };
        let by_part = gravity_m_s2 * part_s;
        let mut lags = [0.0; PARTS + 1];
        let mut edges = [0.0; PARTS + 1];
        for lag in 0..=PARTS {
            lags[lag] = velocity(lag as f64 * part_s);
            edges[lag] =
                if gap_s == 0.0 { lags[lag] } else { velocity(lag as f64 * part_s + gap_s) };
        }
        let mut model =
            Self { apart: [0.0; PARTS], with_velocity: [0.0; PARTS], velocity: lags[0] };
        for place in 0..PARTS {
            let before = if place == 0 { lags[1] } else { lags[place - 1] };
            model.apart[place] = (2.0 * lags[place] - before - lags[place + 1]) / by_part.powi(2);
            let from_edge = PARTS - 1 - place;
            model.with_velocity[place] = (edges[from_edge] - edges[from_edge + 1]) / by_part;
        }
        model
    }

    /// The best linear predictor of weight and velocity for one size of sway.
    fn fit(&self, means: &[f64; PARTS], sway: f64, noise: f64) -> Fit {
        let covariance = self.apart.map(|apart| sway * apart);
        let with_velocity = self.with_velocity.map(|both| sway * both);
        let (whitened, log_root) =
            whiten(&covariance, noise, [[1.0; PARTS], *means, with_velocity]);
        let [ones, means, with_velocity] = &whitened;
        let information = dot(ones, ones);
        let weight = dot(ones, means) / information;
        let mut left = *means;
        for place in 0..PARTS {
            left[place] -= weight * ones[place];
        }
        let leaning = dot(with_velocity, ones);
        Fit {
            log_evidence: -log_root - 0.5 * information.ln() - 0.5 * dot(&left, &left),
            weight,
            velocity: dot(with_velocity, &left),
            doubt: Doubt {
                weight: 1.0 / information,
                velocity: sway * self.velocity - dot(with_velocity, with_velocity)
                    + leaning * leaning / information,
                both: -leaning / information,
            },
        }
    }
}

/// Weight over the mean force less one, and velocity, as one size of sway has them.
#[derive(Clone, Copy)]
struct Fit {
    log_evidence: f64,
    weight: f64,
    velocity: f64,
    doubt: Doubt,
}

/// The mean over sizes by their evidence, and the doubt with what they differ by.
fn average(fits: [Fit; SIZES]) -> Fit {
    let best = fits.iter().map(|fit| fit.log_evidence).fold(f64::NEG_INFINITY, f64::max);
    let shares = fits.map(|fit| (fit.log_evidence - best).exp());
    let all: f64 = shares.iter().sum();
    let mean = |of: &dyn Fn(&Fit) -> f64| {
        fits.iter().zip(shares).map(|(fit, share)| share / all * of(fit)).sum::<f64>()
    };
    let (weight, velocity) = (mean(&|fit| fit.weight), mean(&|fit| fit.velocity));
    let doubt = Doubt {
        weight: mean(&|fit| fit.doubt.weight + (fit.weight - weight).powi(2)),
        velocity: mean(&|fit| fit.doubt.velocity + (fit.velocity - velocity).powi(2)),
        both: mean(&|fit| fit.doubt.both + (fit.weight - weight) * (fit.velocity - velocity)),
    };
    Fit { log_evidence: best, weight, velocity, doubt }
}

/// Takes the lower triangular root of a covariance off three vectors (Cholesky; forward
/// substitution), and the logarithm of the root of its determinant. Entries depend on how far
/// apart they stand; `noise` is added on the diagonal.
fn whiten(
    apart: &[f64; PARTS],
    noise: f64,
    mut vectors: [[f64; PARTS]; 3],
) -> ([[f64; PARTS]; 3], f64) {
    let mut root = [[0.0; PARTS]; PARTS];
    let mut product = 1.0;
    let mut log_root = 0.0;
    for row in 0..PARTS {
        let (above, here) = root.split_at_mut(row);
        let here = &mut here[0];
        for column in 0..row {
            let other = &above[column];
            let known: f64 = (0..column).map(|k| here[k] * other[k]).sum();
            here[column] = (apart[row - column] - known) * other[column];
        }
        let known: f64 = here[..row].iter().map(|value| value * value).sum();
        let diagonal = (apart[0] + noise - known).max(f64::MIN_POSITIVE);
        // The diagonal is kept as one over itself: divisions are slow.
        let inverse = 1.0 / diagonal.sqrt();
        here[row] = inverse;
        product *= inverse;
        if row % 4 == 3 {
            log_root -= product.ln();
            product = 1.0;
        }
        for vector in &mut vectors {
            let known: f64 = (0..row).map(|k| here[k] * vector[k]).sum();
            vector[row] = (vector[row] - known) * inverse;
        }
    }
    (vectors, log_root)
}

fn dot(one: &[f64; PARTS], other: &[f64; PARTS]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}
