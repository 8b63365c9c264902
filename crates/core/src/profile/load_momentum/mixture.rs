//! Mixtures of Student's t distributions that share their degrees of freedom.

use crate::stats::distributions::{normal_quantile, student_t_cdf};
use crate::stats::posterior::rising_root;

use std::sync::OnceLock;

use crate::estimate::{Estimate, Interval, Level};

/// The distribution function of Student's t, tabulated: a mixture asks for it thousands of times.
#[derive(Clone, Debug)]
pub(crate) struct StudentTable {
    degrees: f64,
    upper_half: Vec<f64>,
}

impl StudentTable {
    const STEPS: usize = 256;

    /// A table for these degrees of freedom, even in `t / sqrt(degrees + t²)`, where the function
    /// is smooth to the very ends; linear between, right to 1e-5.
    pub(crate) fn new(degrees: f64) -> Self {
        let upper_half = (0..=Self::STEPS)
            .map(|step| {
                let sine = step as f64 / Self::STEPS as f64;
                let t = sine * (degrees / (1.0 - sine * sine)).sqrt();
                if t.is_finite() { student_t_cdf(t, degrees) } else { 1.0 }
            })
            .collect();
        Self { degrees, upper_half }
    }

    /// The function and its slope, which is that of the straight piece.
    pub(crate) fn cdf_and_slope(&self, t: f64) -> (f64, f64) {
        let root = (self.degrees + t * t).sqrt();
        let place = (t.abs() / root).min(1.0) * Self::STEPS as f64;
        let below = (place as usize).min(Self::STEPS - 1);
        let part = place - below as f64;
        let (from, to) = (self.upper_half[below], self.upper_half[below + 1]);
        let upper = from * (1.0 - part) + to * part;
        let slope = (to - from) * Self::STEPS as f64 * self.degrees / root.powi(3);
        (if t < 0.0 { 1.0 - upper } else { upper }, slope)
    }
}

/// One Student's t of a mixture.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Component {
    pub(crate) weight: f64,
    pub(crate) location: f64,
    pub(crate) scale: f64,
}

/// A mixture with weights that sum to 1.
pub(crate) struct StudentMixture<'a> {
    pub(crate) degrees: f64,
    pub(crate) table: &'a OnceLock<StudentTable>,
    pub(crate) components: Vec<Component>,
}

impl StudentMixture<'_> {
    pub(crate) fn mean(&self) -> f64 {
        self.components.iter().map(|part| part.weight * part.location).sum()
    }

    pub(crate) fn sd(&self) -> f64 {
        let mean = self.mean();
        let widening = self.degrees / (self.degrees - 2.0);
        let variance: f64 = (self.components.iter())
            .map(|part| {
                let between = part.location - mean;
                part.weight * (part.scale * part.scale * widening + between * between)
            })
            .sum();
        variance.sqrt()
    }

    pub(crate) fn cdf(&self, value: f64) -> f64 {
        self.cdf_and_slope(value).0
    }

    fn cdf_and_slope(&self, value: f64) -> (f64, f64) {
        let table = self.table.get_or_init(|| StudentTable::new(self.degrees));
        self.components.iter().fold((0.0, 0.0), |(below, slope), part| {
            if part.scale <= 0.0 {
                let reached = f64::from(u8::from(value >= part.location));
                return (below + part.weight * reached, slope);
            }
            let of_part = table.cdf_and_slope((value - part.location) / part.scale);
            (below + part.weight * of_part.0, slope + part.weight * of_part.1 / part.scale)
        })
    }

    pub(crate) fn quantile(&self, probability: f64) -> f64 {
        let (mean, sd) = (self.mean(), self.sd());
        let between = Interval { low: mean - 40.0 * sd, high: mean + 40.0 * sd };
        rising_root(between, mean + sd * normal_quantile(probability), |value| {
            let (below, slope) = self.cdf_and_slope(value);
            (below - probability, slope)
        })
    }

    /// Mean with the central interval, which reaches to the mean where the mixture is lopsided.
    pub(crate) fn estimate(&self, level: Level) -> Estimate<f64> {
        let low = self.quantile(level.tail());
        let high = self.quantile(1.0 - level.tail());
        let value = self.mean();
        Estimate { value, interval: Interval { low, high }.reaching(value), level }
    }
}

/// Where a condition that holds at the low end stops holding.
pub(crate) fn bisect(low: f64, high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..48 {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
