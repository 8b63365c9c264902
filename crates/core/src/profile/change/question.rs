//! What is asked of a series: its noise, what was thought before, what matters.

use super::error::ChangeError;
use crate::estimate::Level;
use crate::profile::test_day::TestDay;

/// How far a day's mean strays from the athlete's true value when nothing has changed.
#[derive(Clone, Debug, PartialEq)]
pub struct TestNoise {
    /// Standard deviation from day to day that more trials do not remove.
    pub day: f64,
    /// Standard deviation of one trial inside a day, where it is known apart; zero otherwise.
    pub trial: f64,
    /// How much is known about it; nothing when it is taken as given. Zero: nothing is known beyond
    /// a rough size, and the series itself must show it.
    pub degrees_of_freedom: Option<f64>,
    /// Where it is from, in plain words.
    pub source: String,
}

impl TestNoise {
    /// A typical error of the day's mean, as published or as stated by the coach.
    pub fn of_day_mean(typical_error: f64, source: impl Into<String>) -> Self {
        Self { day: typical_error, trial: 0.0, degrees_of_freedom: None, source: source.into() }
    }
    /// The same, known on so many degrees of freedom.
    #[must_use]
    pub fn known_on(self, degrees_of_freedom: f64) -> Self {
        Self { degrees_of_freedom: Some(degrees_of_freedom), ..self }
    }
    /// Standard deviation of the mean of so many trials of a day: the typical error of that mean.
    pub fn of_mean(&self, trials: usize) -> f64 {
        self.variance_of_mean(trials).sqrt()
    }
    /// Variance of the mean of so many trials.
    pub(super) fn variance_of_mean(&self, trials: usize) -> f64 {
        self.day.powi(2) + self.trial.powi(2) / trials.max(1) as f64
    }
}

/// What was thought before these tests.
#[derive(Clone, Debug, PartialEq)]
pub enum Prior {
    /// Nothing: any value as believable as any other.
    Flat,
    /// A normal with where it is from.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation, above zero.
        standard_deviation: f64,
        /// Where it is from, in plain words: "14 athletes over the same block".
        source: String,
    },
}

impl Prior {
    /// Precision and precision times mean.
    pub(super) fn information(&self) -> (f64, f64) {
        match self {
            Self::Flat => (0.0, 0.0),
            Self::Normal { mean, standard_deviation, .. } => {
                let precision = standard_deviation.powi(-2);
                (precision, precision * mean)
            }
        }
    }
    pub(super) fn is_flat(&self) -> bool {
        matches!(self, Self::Flat)
    }
}

/// What is asked of a series.
#[derive(Clone, Debug, PartialEq)]
pub struct Question<'a> {
    /// Name of the measure and its unit, for the sentence.
    pub measure: &'a str,
    /// Unit of every value.
    pub unit: &'a str,
    /// The day the block began: days up to it are baseline, today is the last day.
    pub since_day: f64,
    /// The smallest change that matters, zero or more.
    pub smallest_worthwhile: f64,
    /// Noise of the test.
    pub noise: TestNoise,
    /// Belief about the change before these tests.
    pub prior: Prior,
    /// Belief about the athlete's level before these tests. Give the squad's mean and true spread
    /// for an athlete picked because a test was unusual: it allows for regression to the mean.
    pub level_prior: Prior,
    /// Probability of the interval.
    pub level: Level,
}

pub(super) fn check(days: &[TestDay], question: &Question) -> Result<(), ChangeError> {
    let TestNoise { day, trial, .. } = question.noise;
    let typical_error = if day.min(trial) < 0.0 { day.min(trial) } else { day.hypot(trial) };
    if !(typical_error.is_finite() && typical_error > 0.0) {
        return Err(ChangeError::NoNoise { typical_error });
    }
    let finite = |day: &TestDay| day.day.is_finite() && day.trials.iter().all(|y| y.is_finite());
    if !days.iter().all(finite) {
        return Err(ChangeError::NotANumber { what: "A day or a trial" });
    }
    if !(question.smallest_worthwhile.is_finite() && question.smallest_worthwhile >= 0.0) {
        return Err(ChangeError::NotANumber { what: "The smallest change that matters" });
    }
    for prior in [&question.prior, &question.level_prior] {
        if let Prior::Normal { mean, standard_deviation, .. } = prior
            && !(mean.is_finite() && standard_deviation.is_finite() && *standard_deviation > 0.0)
        {
            return Err(ChangeError::NotANumber { what: "The prior" });
        }
    }
    if question.noise.degrees_of_freedom.is_some_and(|df| !(df.is_finite() && df >= 0.0)) {
        return Err(ChangeError::NotANumber { what: "The typical error's degrees of freedom" });
    }
    Ok(())
}
