//! One day of one test: every trial kept, and the conditions it was done under.

use std::collections::BTreeMap;

/// What must be alike before two days may be compared: name and value, in plain words.
///
/// Usual names are `method`, `device`, `arms`, `box`; the rule knows none of them, it only
/// compares what both days state.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Conditions(BTreeMap<String, String>);

impl Conditions {
    /// Nothing stated.
    pub fn none() -> Self {
        Self::default()
    }
    /// The same with one more condition stated.
    #[must_use]
    pub fn with(mut self, name: impl Into<String>, value: impl Into<String>) -> Self {
        self.0.insert(name.into(), value.into());
        self
    }
    /// The first condition that both state and state differently: name, ours, theirs.
    pub fn difference<'a>(&'a self, other: &'a Self) -> Option<(&'a str, &'a str, &'a str)> {
        self.0.iter().find_map(|(name, ours)| {
            let theirs = other.0.get(name)?;
            (ours != theirs).then_some((name.as_str(), ours.as_str(), theirs.as_str()))
        })
    }
    /// The first condition that one states and the other does not.
    pub fn unstated<'a>(&'a self, other: &'a Self) -> Option<&'a str> {
        let missing =
            |one: &'a Self, two: &Self| one.0.keys().find(|name| !two.0.contains_key(*name));
        missing(self, other).or_else(|| missing(other, self)).map(String::as_str)
    }
}

/// All trials of one test on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct TestDay {
    /// Days since any fixed day, the same for all days of a series.
    pub day: f64,
    /// Every trial kept, in order; never empty where a day is used.
    pub trials: Vec<f64>,
    /// What the day was done under.
    pub conditions: Conditions,
    /// Mass of the body that day, where it was weighed.
    pub body_mass_kg: Option<f64>,
    /// Why the day may not be compared whatever its conditions, in words that follow "because":
    /// "it was taken 20 hours before the weigh-in".
    pub not_comparable_because: Option<String>,
    /// Doubt that a conversion between methods added, as a standard deviation; zero when none was made.
    pub conversion_doubt: f64,
}

impl TestDay {
    /// A day with its trials and nothing else stated.
    pub fn new(day: f64, trials: impl Into<Vec<f64>>) -> Self {
        Self {
            day,
            trials: trials.into(),
            conditions: Conditions::none(),
            body_mass_kg: None,
            not_comparable_because: None,
            conversion_doubt: 0.0,
        }
    }
    /// The same day with its conditions.
    #[must_use]
    pub fn under(self, conditions: Conditions) -> Self {
        Self { conditions, ..self }
    }
    /// Mean of the trials: for judging change, as its noise falls with trials and it has no bias.
    pub fn mean(&self) -> Option<f64> {
        let count = self.trials.len();
        (count > 0).then(|| self.trials.iter().sum::<f64>() / count as f64)
    }
    /// Best of the trials, the highest: a mark to beat. It rises with the number of trials, so two
    /// bests compare only when as many were taken.
    pub fn best(&self) -> Option<f64> {
        self.trials.iter().copied().reduce(f64::max)
    }
    /// The day as another method would have read it, when the offset between the two is known.
    #[must_use]
    pub fn converted(mut self, condition: &str, to: &str, offset: f64, offset_doubt: f64) -> Self {
        for trial in &mut self.trials {
            *trial += offset;
        }
        self.conditions = self.conditions.with(condition, to);
        self.conversion_doubt = self.conversion_doubt.hypot(offset_doubt);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mean_and_best_follow_the_trials_that_are_kept() {
        // Arithmetic: 37.9, 38.6, 39.4 average 38.633, best 39.4; without 39.4 38.25 and 38.6.
        let mut day = TestDay::new(0.0, [37.9, 38.6, 39.4]);
        assert!((day.mean().unwrap() - 38.633_333).abs() < 1e-5);
        assert_eq!(day.best(), Some(39.4));
        day.trials.pop();
        assert!((day.mean().unwrap() - 38.25).abs() < 1e-12);
        assert_eq!(day.best(), Some(38.6));
        day.trials.clear();
        assert_eq!((day.mean(), day.best()), (None, None));
    }

    #[test]
    fn conditions_differ_only_where_both_state_them() {
        let mat = Conditions::none().with("method", "flight time").with("arms", "on hips");
        let plate = Conditions::none().with("method", "take-off velocity");
        assert_eq!(mat.difference(&plate), Some(("method", "flight time", "take-off velocity")));
        assert_eq!(mat.unstated(&plate), Some("arms"));
        assert_eq!(mat.difference(&mat.clone()), None);
    }
}
