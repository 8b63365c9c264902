//! The exact update of (level, change) for one level of the noise, and whether it fits the days.

use super::question::{Prior, Question};
use super::series::Point;
use crate::note::Note;
use crate::stats::distributions::{chi_square_cdf, f_cdf};

/// Posterior of (level, change) for one level of the noise.
pub(super) struct Fit {
    pub(super) change: f64,
    pub(super) variance: f64,
    /// Weighted squares left when level and change are fitted, at the noise as given.
    pub(super) misfit: f64,
    pub(super) log_likelihood: f64,
}

impl Fit {
    /// `scale` multiplies every variance of the tests.
    pub(super) fn of(points: &[Point], scale: f64, prior: &Prior, level_prior: &Prior) -> Self {
        let (change_precision, change_pull) = prior.information();
        let (level_precision, level_pull) = level_prior.information();
        // Values are taken about the first one so that a level of 3000 N costs no digits.
        let origin = points.first().map_or(0.0, |point| point.value);
        let level_pull = level_pull - level_precision * origin;
        let sum = |f: &dyn Fn(&Point) -> f64| -> f64 {
            points.iter().map(|point| f(point) / (scale * point.variance)).sum()
        };
        let a = sum(&|_| 1.0) + level_precision;
        let b = sum(&|p| p.share);
        let d = sum(&|p| p.share * p.share) + change_precision;
        let right = (
            sum(&|p| p.value - origin) + level_pull,
            sum(&|p| p.share * (p.value - origin)) + change_pull,
        );
        let determinant = a * d - b * b;
        let level = (d * right.0 - b * right.1) / determinant;
        let change = (a * right.1 - b * right.0) / determinant;
        let squares = sum(&|p| (p.value - origin).powi(2))
            + level_pull * level_pull / level_precision.max(f64::MIN_POSITIVE)
            + change_pull * change_pull / change_precision.max(f64::MIN_POSITIVE);
        let misfit = (squares - level * right.0 - change * right.1).max(0.0);
        let spread: f64 = points.iter().map(|p| (scale * p.variance).ln()).sum();
        let log_likelihood = -0.5 * (spread + determinant.ln() + misfit);
        Self { change, variance: a / determinant, misfit, log_likelihood }
    }
}

/// Precision the tests bring over precision of the answer.
pub(super) fn weight_of_tests(points: &[Point], question: &Question) -> f64 {
    let alone = Fit::of(points, 1.0, &Prior::Flat, &question.level_prior).variance;
    let (prior_precision, _) = question.prior.information();
    1.0 / (1.0 + prior_precision * alone)
}

/// Warns when the days between do not lie near an even course.
pub(super) fn fit_note(points: &[Point], question: &Question) -> Option<Note> {
    let spare = points.len() as f64 - 2.0;
    if spare < 1.0 {
        return None;
    }
    let misfit = Fit::of(points, 1.0, &Prior::Flat, &Prior::Flat).misfit;
    let by_chance = match question.noise.degrees_of_freedom {
        Some(df) => 1.0 - f_cdf(misfit / spare, spare, df),
        None => 1.0 - chi_square_cdf(misfit, spare),
    };
    (by_chance < 0.01).then(|| {
        Note::new(
            "course-not-even",
            "The days between stray from an even course by more than the test's noise: the change came in steps, or some days were unlike. Look at the single days.",
        )
    })
}
