//! A falling line that may be bent: what points say of it, and the x at which it reaches a y.
//!
//! Over the stretch that was seen, y is a straight line plus a bend, a sum of the Legendre
//! polynomials of order two to four; beyond it the curve goes on straight, in the direction it had
//! at the end. Three sizes of bend are held possible, none among them, and averaged over by how
//! well each explains the points (Hoeting and others 1999, Stat Sci 14:382); so is the size of the
//! noise (Gelman and others 2013, Bayesian Data Analysis, chapter 3). For the fall every order of
//! size is equally believable beforehand (Jeffreys' prior of a scale): a fall that may as well be
//! slight then leads far out, as it should, and an answer that would have no end is not given.

use super::line::Line;
use super::posterior::{Component, Posterior, bisect};
use crate::estimate::{Estimate, Interval, Level};
use nalgebra::{DMatrix, DVector};

/// Sizes of bend that are held possible, in [`BeforeTheFirst::bend`], each with its probability
/// beforehand. Chosen so that intervals hold on straight, bowed, sigmoid and two-part curves.
const BENDS: [(f64, f64); 3] = [(0.0, 0.25), (1.0, 0.35), (2.5, 0.40)];
/// Standard deviations of the polynomials of order two, three and four, in that size.
const ORDERS: [f64; 3] = [1.0, 0.7, 0.4];
/// Steps of the noise's size and of the fall that are averaged over.
const NOISE_STEPS: u32 = 14;
const FALL_STEPS: u32 = 30;
/// A fall this many standard errors from none is not split: over so narrow a stretch of sizes a
/// normal is as good.
const SURE_FALL: f64 = 10.0;
/// A fall over the stretch seen that is less than this share of y's mean is no fall.
const NO_FALL: f64 = 0.01;
/// What is this much less believable than the most believable is left out.
const NEGLIGIBLE: f64 = 1e-6;
/// What is held possible before the first point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeforeTheFirst {
    /// Usual distance of the middle of a bent curve from the chord between its ends, as a share of
    /// y without x, when the curve falls from there to nothing. It goes with the square of the
    /// fall that was seen.
    pub bend: f64,
    /// Standard deviation of one point about the curve.
    pub noise_sd: f64,
    /// Degrees of freedom that is worth.
    pub noise_degrees_of_freedom: f64,
}

/// The curves were noise and size of bend known: fall, level and bends, added to the line.
#[derive(Clone, Debug)]
struct Possible {
    noise_sd: f64,
    bent: bool,
    /// By how believable each is.
    curves: Vec<(f64, DVector<f64>)>,
    covariance: DMatrix<f64>,
}

/// What is believed of a falling line after its points.
#[derive(Clone, Debug)]
pub struct BentLine {
    line: Line,
    middle: f64,
    half: f64,
    possible: Vec<Possible>,
}

/// The x at which a curve reaches a y cannot be given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotReached {
    /// The curve lies below that y from the start.
    Below,
    /// How fast it falls is not established well enough for an interval with two ends.
    FallNotEstablished,
}

/// The y that is aimed at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goal {
    /// Its value.
    pub y: f64,
    /// Standard deviation of that value, when it is itself only known roughly.
    pub sd: f64,
}

impl BentLine {
    /// From points and their least-squares line; `None` where the line does not fall.
    pub fn through(points: &[(f64, f64)], line: Line, before: BeforeTheFirst) -> Option<Self> {
        let low = points.iter().map(|(x, _)| *x).fold(f64::INFINITY, f64::min);
        let high = points.iter().map(|(x, _)| *x).fold(f64::NEG_INFINITY, f64::max);
        let (middle, half) = (f64::midpoint(low, high), (high - low) / 2.0);
        let unit = bend_unit(&line, half, before.bend)?;
        let least_fall = NO_FALL / 2.0 * line.at(line.mean_x);
        let sizes = noise_sizes(points, &line, before);
        let sums = Sums::of(points, &line, middle, half);
        let possible: Vec<Possible> = sizes
            .iter()
            .flat_map(|noise| BENDS.map(|bend| (*noise, bend)))
            .filter_map(|(noise_sd, (size, probability))| {
                let known = probability.ln() + log_prior(noise_sd, before);
                Some(sums.fit(noise_sd, size * unit)?.by_fall(line.slope * half, least_fall, known))
            })
            .collect();
        Some(Self { line, middle, half, possible: weighed(possible)? })
    }

    /// Where the curve lies at x.
    pub fn at(&self, x: f64) -> Posterior {
        self.at_with(x, |_| 0.0)
    }

    /// Where the mean of so many new points at x will lie.
    pub fn next_at(&self, x: f64, points: u32) -> Posterior {
        let points = f64::from(points.max(1));
        self.at_with(x, |one| one.noise_sd.powi(2) / points)
    }

    /// How believable it is that the line is bent at all.
    pub fn bend_probability(&self) -> f64 {
        self.possible.iter().filter(|one| one.bent).map(Possible::weight).sum()
    }

    /// How believable a bend is before the first point.
    pub fn bend_probability_before() -> f64 {
        BENDS.iter().filter(|(size, _)| *size > 0.0).map(|(_, probability)| probability).sum()
    }

    /// Standard deviation of one point about the curve: the middle of what is believed of it, on
    /// the scale of logarithms.
    pub fn noise_sd(&self) -> f64 {
        self.possible.iter().map(|one| one.weight() * one.noise_sd.ln()).sum::<f64>().exp()
    }

    /// Whether the curve has surely fallen to a y at `furthest`: without that nothing can be said
    /// of where it gets there.
    pub fn has_fallen_to(&self, y: f64, furthest: f64, level: Level) -> bool {
        self.at(furthest).below(y) >= 1.0 - level.tail()
    }

    /// The x between nothing and `furthest` at which the curve falls to a goal: the middle of what
    /// is believed, and its interval, which ends at nothing where it would pass it.
    ///
    /// # Errors
    /// [`NotReached`]: below the goal from the start, or no two ends within `furthest`.
    pub fn falls_to(
        &self,
        goal: Goal,
        furthest: f64,
        level: Level,
    ) -> Result<Estimate<f64>, NotReached> {
        let reached = |x: f64| self.at_with(x, |_| goal.sd.powi(2)).below(goal.y);
        if reached(0.0) >= 0.5 {
            return Err(NotReached::Below);
        }
        if reached(furthest) < 1.0 - level.tail() {
            return Err(NotReached::FallNotEstablished);
        }
        let at = |probability: f64| {
            let passed = reached(0.0) >= probability;
            if passed { 0.0 } else { bisect(0.0, furthest, |x| reached(x) < probability) }
        };
        let (low, value, high) = (at(level.tail()), at(0.5), at(1.0 - level.tail()));
        Ok(Estimate { value, interval: Interval { low, high }, level })
    }

    /// What is believed of the height at x, with more variance for each size of noise.
    fn at_with(&self, x: f64, more: impl Fn(&Possible) -> f64) -> Posterior {
        let row = row((x - self.middle) / self.half);
        let on_the_line = self.line.at(x);
        let components = self.possible.iter().flat_map(|one| {
            let standard_deviation = (one.variance(&row) + more(one)).sqrt();
            one.curves.iter().map(move |(weight, curve)| {
                let mean = on_the_line + curve.iter().zip(row).map(|(c, r)| c * r).sum::<f64>();
                Component { weight: *weight, mean, standard_deviation }
            })
        });
        Posterior::Mixture(components.collect())
    }
}

impl Possible {
    fn weight(&self) -> f64 {
        self.curves.iter().map(|(weight, _)| weight).sum()
    }

    fn variance(&self, row: &[f64; 5]) -> f64 {
        let size = self.covariance.nrows();
        let terms = (0..size).flat_map(|i| (0..size).map(move |j| (i, j)));
        let sum: f64 = terms.map(|(i, j)| row[i] * row[j] * self.covariance[(i, j)]).sum();
        sum.max(f64::MIN_POSITIVE)
    }
}

/// Logarithms of weights made weights that sum to one, without what is negligible.
fn weighed(mut possible: Vec<Possible>) -> Option<Vec<Possible>> {
    let logs = possible.iter().flat_map(|one| one.curves.iter().map(|(log, _)| *log));
    let most = logs.fold(f64::NEG_INFINITY, f64::max);
    for one in &mut possible {
        one.curves.retain(|(log, _)| *log > most + NEGLIGIBLE.ln());
        one.curves.iter_mut().for_each(|(weight, _)| *weight = (*weight - most).exp());
    }
    possible.retain(|one| !one.curves.is_empty());
    let sum: f64 = possible.iter().map(Possible::weight).sum();
    for one in &mut possible {
        one.curves.iter_mut().for_each(|(weight, _)| *weight /= sum);
    }
    (sum > 0.0).then_some(possible)
}

/// What the points say, before any size of noise.
struct Sums {
    /// How many points.
    count: f64,
    /// Squares about the least-squares line.
    squares: f64,
    /// Sums of the products of the places' rows, and of those with the distances from the line.
    information: DMatrix<f64>,
    moment: DVector<f64>,
}

/// Fall, level and bends, as a normal; all of them added to the least-squares line.
struct Fit {
    noise_sd: f64,
    bent: bool,
    evidence: f64,
    /// The fall first, then the level, then bends.
    mean: DVector<f64>,
    covariance: DMatrix<f64>,
}

impl Sums {
    fn of(points: &[(f64, f64)], line: &Line, middle: f64, half: f64) -> Self {
        let mut information = DMatrix::zeros(5, 5);
        let mut moment = DVector::zeros(5);
        for (x, y) in points {
            let point = DVector::from_column_slice(&row((x - middle) / half));
            moment += &point * (y - line.at(*x));
            information += &point * point.transpose();
        }
        let count = points.len() as f64;
        Self { count, squares: line.residual_sum_squares, information, moment }
    }

    /// Least squares with a bend that is drawn towards none; flat beforehand in level and fall.
    fn fit(&self, noise_sd: f64, bend_sd: f64) -> Option<Fit> {
        let bent = bend_sd > 0.0;
        let size = if bent { 5 } else { 2 };
        let precision = noise_sd.powi(-2);
        let mut information = self.information.view((0, 0), (size, size)) * precision;
        let moment = self.moment.rows(0, size) * precision;
        let mut evidence = -self.count * noise_sd.ln() - 0.5 * precision * self.squares;
        for (order, share) in ORDERS.iter().enumerate().take(size - 2) {
            let sd = share * bend_sd;
            information[(2 + order, 2 + order)] += sd.powi(-2);
            evidence -= sd.ln();
        }
        let factor = information.cholesky()?;
        let log_root: f64 = factor.l_dirty().diagonal().iter().map(|one| one.ln()).sum();
        let mean = factor.solve(&moment);
        evidence += 0.5 * moment.dot(&mean) - log_root;
        Some(Fit { noise_sd, bent, evidence, mean, covariance: factor.inverse() })
    }
}

impl Fit {
    /// Each order of size of the fall is as believable as another beforehand: a normal that has
    /// moved a little where the fall is sure, else a curve for each of many falls. Weights are
    /// logarithms still.
    fn by_fall(self, line_fall: f64, least: f64, known: f64) -> Possible {
        let Self { noise_sd, bent, mean, covariance, .. } = &self;
        let (noise_sd, bent) = (*noise_sd, *bent);
        let (fall, sd) = (-(line_fall + mean[0]), covariance[(0, 0)].sqrt());
        let tilt = covariance.column(0) / covariance[(0, 0)];
        let log_weight = self.evidence + known;
        if fall > SURE_FALL * sd {
            // The density times 1 / fall: to first order the same normal, this much nearer none.
            let curve = mean + &tilt * (sd.powi(2) / fall);
            let curves = vec![(log_weight - fall.ln(), curve)];
            return Possible { noise_sd, bent, curves, covariance: self.covariance };
        }
        let (low, high) = ((fall - 5.0 * sd).max(least), (fall + 5.0 * sd).max(2.0 * least));
        let step = (high / low).ln() / f64::from(FALL_STEPS);
        let curves = (0..=FALL_STEPS).map(|number| {
            let size = low * (step * f64::from(number)).exp();
            let away = fall - size;
            // Height of the normal density at this size, over a step of the fall's logarithm.
            let height = -0.5 * (away / sd).powi(2) - (sd * std::f64::consts::TAU.sqrt()).ln();
            (log_weight + height + step.ln(), mean + &tilt * away)
        });
        let curves = curves.collect();
        let known_fall = covariance - &tilt * tilt.transpose() * covariance[(0, 0)];
        Possible { noise_sd, bent, curves, covariance: known_fall }
    }
}

/// Fall, level and the bends at a place, going on straight beyond the ends.
fn row(along: f64) -> [f64; 5] {
    let u = along.clamp(-1.0, 1.0);
    let beyond = along - u;
    let squared = u * u;
    [
        along,
        1.0,
        (3.0 * squared - 1.0) / 2.0 + beyond * 3.0 * u,
        (5.0 * squared - 3.0) * u / 2.0 + beyond * (15.0 * squared - 3.0) / 2.0,
        ((35.0 * squared - 30.0) * squared + 3.0) / 8.0
            + beyond * (35.0 * squared - 15.0) * u / 2.0,
    ]
}

/// The size of a bend in the unit of y, for the fall that was seen; `None` where there is none.
fn bend_unit(line: &Line, half: f64, bend: f64) -> Option<f64> {
    let fall = -line.slope * 2.0 * half;
    // From the middle to the ends the polynomial of order two rises by one and a half.
    (fall > 0.0 && line.intercept > 0.0).then(|| bend * fall.powi(2) / line.intercept / 1.5)
}

/// Sizes of noise to average over: evenly by ratio, from far below what the points show about
/// their means at one x to far above what they show about the line.
fn noise_sizes(points: &[(f64, f64)], line: &Line, before: BeforeTheFirst) -> Vec<f64> {
    let worth = before.noise_degrees_of_freedom;
    let size = |squares: f64, degrees: f64| {
        let sd = ((squares + worth * before.noise_sd.powi(2)) / (degrees + worth)).sqrt();
        (sd, (4.0 / (2.0 * (degrees + worth)).sqrt()).exp())
    };
    let (about_line, far) = size(line.residual_sum_squares, (points.len() - 2) as f64);
    let (squares, degrees) = about_own_means(points);
    let (about_means, near) = size(squares, degrees);
    let low = about_line.min(about_means) / near;
    let high = about_line.max(about_means) * far;
    let ratio = (high / low).ln() / f64::from(NOISE_STEPS);
    (0..=NOISE_STEPS).map(|step| low * (ratio * f64::from(step)).exp()).collect()
}

/// Squares of the points about the mean of those at the same x, and their degrees of freedom.
fn about_own_means(points: &[(f64, f64)]) -> (f64, f64) {
    let mut sorted = points.to_vec();
    sorted.sort_by(|one, other| one.0.total_cmp(&other.0));
    sorted
        .chunk_by(|one, other| one.0 == other.0)
        .map(|same| {
            let mean = same.iter().map(|(_, y)| y).sum::<f64>() / same.len() as f64;
            let squares: f64 = same.iter().map(|(_, y)| (y - mean).powi(2)).sum();
            (squares, (same.len() - 1) as f64)
        })
        .fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
}

/// Logarithm of the density of the noise's logarithm beforehand: scaled inverse chi-square.
fn log_prior(noise_sd: f64, before: BeforeTheFirst) -> f64 {
    let worth = before.noise_degrees_of_freedom;
    -worth * noise_sd.ln() - 0.5 * worth * (before.noise_sd / noise_sd).powi(2)
}
