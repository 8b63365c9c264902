//! Values that do not belong: offered for a look, never dropped.
//!
//! A rule from the handful of trials itself is useless: with three clean values the median rule
//! flags every third set. What a value is held against is the distribution that foretold it.

use super::posterior::Posterior;

/// How a value sits in the distribution that foretold it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// Distance from the expected value in standard deviations of the prediction.
    pub distance: f64,
    /// Probability of a value at least as far out on either side.
    pub probability: f64,
    /// Whether to ask.
    pub suspect: bool,
}

/// Distance at which a value is asked about. Common practice, no source; one clean value in about
/// 16 000 is asked about when the prediction is a good one.
pub const SUSPECT_DISTANCE: f64 = 4.0;
/// A value against the distribution that foretold it, measurement noise included.
pub fn judge(value: f64, foretold: &Posterior) -> Judged {
    let spread = foretold.standard_deviation().max(f64::MIN_POSITIVE);
    let distance = (value - foretold.mean()) / spread;
    let below = foretold.below(value);
    Judged {
        distance,
        probability: 2.0 * below.min(1.0 - below),
        suspect: distance.abs() > SUSPECT_DISTANCE,
    }
}

/// Which of a few trials lie more than four typical errors from their median: of three clean
/// trials one set in a thousand has one. Places from zero.
pub fn far_from_median(trials: &[f64], typical_error: f64) -> Vec<usize> {
    let mut sorted = trials.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    let median = match sorted.len() {
        0 => return Vec::new(),
        n if n % 2 == 1 => sorted[middle],
        _ => 0.5 * (sorted[middle - 1] + sorted[middle]),
    };
    let far = |trial: &f64| (trial - median).abs() > SUSPECT_DISTANCE * typical_error;
    (0..trials.len()).filter(|&place| far(&trials[place])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn foretold(mean: f64, standard_deviation: f64) -> Posterior {
        Posterior::Normal { mean, standard_deviation }
    }

    #[test]
    fn an_odd_value_is_asked_about_and_a_good_one_is_not() {
        assert!(judge(27.5, &foretold(38.0, 1.6)).suspect);
        assert!(!judge(41.0, &foretold(38.0, 1.6)).suspect);
        // Two-sided normal tail at 1.96.
        assert!((judge(1.959_964, &foretold(0.0, 1.0)).probability - 0.05).abs() < 1e-6);
    }

    #[test]
    fn trials_are_held_against_their_median_and_the_known_noise() {
        assert_eq!(far_from_median(&[27.9, 27.1, 275.0, 28.3, 27.6], 0.8), [2]);
        assert_eq!(far_from_median(&[37.9, 38.6, 34.6], 0.8), [2]);
        assert!(far_from_median(&[37.9, 38.6, 35.0], 0.8).is_empty());
        assert!(far_from_median(&[], 0.8).is_empty());
    }
}
