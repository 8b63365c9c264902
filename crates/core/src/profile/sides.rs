//! Lead against rear, left against right: is the gap more than the test's noise?

use crate::estimate::{Estimate, Interval, Level};
use crate::stats::distributions::{normal_cdf, normal_quantile};
use crate::words;
use crate::working::{Input, Working};

/// One side's mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side<'a> {
    /// "lead", "rear", "left", "right".
    pub name: &'a str,
    /// Mean of its trials, above zero.
    pub mean: f64,
    /// How many trials.
    pub trials: u32,
}

/// The gap between two sides.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// Larger minus smaller over the larger, in per cent: for showing.
    pub percent_of_larger: f64,
    /// 100 ln(second / first): for reckoning, the same size whichever side leads.
    pub log_ratio_percent: Estimate<f64>,
    /// Whether the interval leaves out zero.
    pub outside_noise: bool,
    /// Mean gap, in log per cent, that two equal sides would show by noise alone.
    pub gap_of_equal_sides: f64,
    /// Probability that two equal sides show a gap this large.
    pub chance_if_equal: f64,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// Why no gap can be judged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SidesError {
    /// A side without a positive mean.
    #[error(
        "The {side} side reads {mean} from {trials} trials: both sides need a value above zero."
    )]
    NoValue {
        /// Which.
        side: String,
        /// Its mean.
        mean: f64,
        /// Its trials.
        trials: u32,
    },
    /// Noise that is no positive number.
    #[error("The typical error is {percent} %: it must be above zero.")]
    NoNoise {
        /// As given.
        percent: f64,
    },
}

/// The gap against its noise: the typical error of one trial of one side, in per cent.
///
/// Standard error of the log ratio: CV root(1/k1 + 1/k2). A rule of "10 or 15 % is a risk" is not
/// applied: it lacks prospective evidence (Bishop and others 2018, Strength Cond J 40(4):1).
pub fn gap(
    first: Side,
    second: Side,
    typical_error_percent: f64,
    level: Level,
) -> Result<Gap, SidesError> {
    for side in [first, second] {
        if !(side.mean.is_finite() && side.mean > 0.0 && side.trials > 0) {
            let (mean, trials) = (side.mean, side.trials);
            return Err(SidesError::NoValue { side: side.name.into(), mean, trials });
        }
    }
    if !(typical_error_percent.is_finite() && typical_error_percent > 0.0) {
        return Err(SidesError::NoNoise { percent: typical_error_percent });
    }
    let shares = 1.0 / f64::from(first.trials) + 1.0 / f64::from(second.trials);
    let error = typical_error_percent * shares.sqrt();
    let value = 100.0 * (second.mean / first.mean).ln();
    let reach = normal_quantile(1.0 - level.tail()) * error;
    let interval = Interval { low: value - reach, high: value + reach };
    let larger = first.mean.max(second.mean);
    let percent_of_larger = 100.0 * (larger - first.mean.min(second.mean)) / larger;
    let outside_noise = !interval.contains(0.0);
    let gap_of_equal_sides = error * (2.0 / std::f64::consts::PI).sqrt();
    let leader = if second.mean >= first.mean { second.name } else { first.name };
    let judgement = if outside_noise { "more" } else { "no more" };
    let upper_leader = words::capitalised(leader);
    Ok(Gap {
        percent_of_larger,
        log_ratio_percent: Estimate { value, interval, level },
        outside_noise,
        gap_of_equal_sides,
        chance_if_equal: 2.0 * normal_cdf(-(value / error).abs()),
        sentence: format!(
            "{upper_leader} {percent_of_larger:.0} % higher, {judgement} than test noise (two equal sides differ by about {gap_of_equal_sides:.0} %)."
        ),
        working: Working {
            title: "gap between sides".into(),
            method: "sides-log-ratio",
            version: 1,
            inputs: [first, second]
                .map(|side| {
                    Input::new(side.name, format!("{} from {} trials", side.mean, side.trials))
                })
                .into_iter()
                .chain([Input::new(
                    "typical error of one trial",
                    format!("{typical_error_percent} %"),
                )])
                .collect(),
            steps: vec![
                format!("100 ln({} / {}) = {value:.2} %", second.mean, first.mean),
                format!(
                    "standard error {typical_error_percent} × root({shares:.3}) = {error:.2} %"
                ),
            ],
            source: "log ratio and its normal interval; formulas in use compared in Bishop and others 2016, Strength Cond J 38(6):27",
            doubt: format!(
                "between {:.1} and {:.1} %; the side that leads often changes from day to day",
                interval.low, interval.high
            ),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(name: &str, mean: f64, trials: u32) -> Side<'_> {
        Side { name, mean, trials }
    }

    #[test]
    #[allow(clippy::approx_constant, reason = "3.14 m/s is a throw, not a circle")]
    fn a_gap_of_seven_per_cent_is_inside_a_noise_of_five() {
        let found = gap(side("lead", 3.14, 1), side("rear", 3.38, 1), 5.0, Level::USUAL).unwrap();
        assert!((found.percent_of_larger - 7.1).abs() < 0.05);
        assert!(!found.outside_noise);
        assert!(found.sentence.starts_with("Rear 7 % higher, no more than test noise"));
        // Half-normal mean: 5 root 2 x 0.7979 = 5.64; over 10 % in 15.7 % of equal pairs.
        assert!((found.gap_of_equal_sides - 5.642).abs() < 1e-3);
    }

    #[test]
    fn three_trials_a_side_show_a_gap_of_eight_per_cent() {
        // By hand: 31.2 and 33.9, error 1.2 of mean 32.55, three trials: 8.30 (2.40 to 14.20) at 95 %.
        let percent = 100.0 * 1.2 / 32.55;
        let level = Level::new(0.95).unwrap();
        let found = gap(side("left", 31.2, 3), side("right", 33.9, 3), percent, level).unwrap();
        assert!((found.log_ratio_percent.value - 8.299_7).abs() < 1e-3);
        assert!((found.log_ratio_percent.interval.low - 2.400).abs() < 2e-3);
        assert!((found.log_ratio_percent.interval.high - 14.200).abs() < 2e-3);
        assert!(found.outside_noise && (found.percent_of_larger - 7.964_6).abs() < 1e-3);
    }

    #[test]
    fn a_missing_side_or_noise_is_refused() {
        let refused = gap(side("left", 0.0, 1), side("right", 3.0, 1), 5.0, Level::USUAL);
        assert!(matches!(refused, Err(SidesError::NoValue { .. })));
        let refused = gap(side("left", 2.0, 1), side("right", 3.0, 1), 0.0, Level::USUAL);
        assert_eq!(refused, Err(SidesError::NoNoise { percent: 0.0 }));
    }
}
