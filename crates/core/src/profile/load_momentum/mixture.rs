//! Mixtures of Student's t distributions that share their degrees of freedom.

use crate::stats::distributions::student_t_cdf;

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

    pub(crate) fn cdf(&self, t: f64) -> f64 {
        let place = (t.abs() / (self.degrees + t * t).sqrt()).min(1.0) * Self::STEPS as f64;
        let below = (place as usize).min(Self::STEPS - 1);
        let part = place - below as f64;
        let upper = self.upper_half[below] * (1.0 - part) + self.upper_half[below + 1] * part;
        if t < 0.0 { 1.0 - upper } else { upper }
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
        let table = self.table.get_or_init(|| StudentTable::new(self.degrees));
        let below = |part: &Component| match part.scale > 0.0 {
            true => table.cdf((value - part.location) / part.scale),
            false => f64::from(u8::from(value >= part.location)),
        };
        self.components.iter().map(|part| part.weight * below(part)).sum()
    }

    pub(crate) fn quantile(&self, probability: f64) -> f64 {
        let (mean, reach) = (self.mean(), 40.0 * self.sd());
        bisect(mean - reach, mean + reach, |value| self.cdf(value) < probability)
    }

    /// Mean with the central interval.
    pub(crate) fn estimate(&self, level: Level) -> Estimate<f64> {
        let low = self.quantile(level.tail());
        let high = self.quantile(1.0 - level.tail());
        Estimate { value: self.mean(), interval: Interval { low, high }, level }
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
