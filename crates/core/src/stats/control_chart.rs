//! A series watched for a shift: is the next value one of the usual ones?
//!
//! Few values: limits by Student's t about their mean. Eight or more: the individuals chart with
//! its moving range, and the weighted average that finds small shifts sooner.

use super::distributions::student_t_quantile;
use crate::estimate::{Interval, Level};

/// What a baseline says about the next value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Mean of the baseline.
    pub centre: f64,
    /// Standard deviation the limits are made from.
    pub standard_deviation: f64,
    /// Where the next value lies when nothing has changed.
    pub limits: Interval<f64>,
}

/// Why a baseline gives no limits.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ChartError {
    /// Too few values.
    #[error("{found} values: {needed} are needed.")]
    TooFew {
        /// Values found.
        found: usize,
        /// Values needed.
        needed: usize,
    },
    /// Nothing varies.
    #[error("All {found} values are the same: copied, or a coarse device.")]
    NoSpread {
        /// Values found.
        found: usize,
    },
}

/// Values before an individuals chart is drawn. Common practice, no source.
pub const FEWEST_FOR_CHART: usize = 8;
/// Mean range of two normal values in standard deviations: 2 over root pi.
const MEAN_RANGE_OF_TWO: f64 = std::f64::consts::FRAC_2_SQRT_PI;

/// Limits for the next value by Student's t: mean ± t s root(1 + 1/n).
///
/// With two or three values they are so wide that they say "not known". Fails below two.
pub fn prediction_limits(baseline: &[f64], level: Level) -> Result<Limits, ChartError> {
    let count = baseline.len();
    if count < 2 {
        return Err(ChartError::TooFew { found: count, needed: 2 });
    }
    let (centre, sd) = mean_and_sd(baseline);
    if sd == 0.0 {
        return Err(ChartError::NoSpread { found: count });
    }
    let n = count as f64;
    let reach = student_t_quantile(1.0 - level.tail(), n - 1.0) * sd * (1.0 + 1.0 / n).sqrt();
    Ok(Limits { centre, standard_deviation: sd, limits: around(centre, reach) })
}

/// Individuals chart: mean ± 3 sigma, sigma the mean moving range over 1.128.
///
/// Shewhart 1931; constants as in Montgomery 2009, Statistical Quality Control. Fails below eight.
pub fn individuals(baseline: &[f64]) -> Result<Limits, ChartError> {
    let count = baseline.len();
    if count < FEWEST_FOR_CHART {
        return Err(ChartError::TooFew { found: count, needed: FEWEST_FOR_CHART });
    }
    let moving_range =
        baseline.windows(2).map(|pair| (pair[1] - pair[0]).abs()).sum::<f64>() / (count - 1) as f64;
    if moving_range == 0.0 {
        return Err(ChartError::NoSpread { found: count });
    }
    let (centre, _) = mean_and_sd(baseline);
    let sigma = moving_range / MEAN_RANGE_OF_TWO;
    Ok(Limits { centre, standard_deviation: sigma, limits: around(centre, 3.0 * sigma) })
}

/// An exponentially weighted moving average against its own widening limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeightedAverage {
    /// Weight of the newest value. With 0.3 and a reach of 2.7, an unchanged series is flagged once
    /// in about 193 values and a shift of one sigma found after about 8.9 (own simulation).
    pub newest_weight: f64,
    /// Reach of the limits in standard deviations of the average.
    pub reach: f64,
}

impl Default for WeightedAverage {
    fn default() -> Self {
        Self { newest_weight: 0.3, reach: 2.7 }
    }
}

/// One step of the average.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AveragedPoint {
    /// Average after this value.
    pub average: f64,
    /// Its limits while nothing has changed.
    pub limits: Interval<f64>,
}

impl WeightedAverage {
    /// The average after each value, from a baseline's centre and sigma (Roberts 1959,
    /// Technometrics 1:239; limits by Lucas and Saccucci 1990, Technometrics 32:1).
    pub fn over(&self, baseline: &Limits, values: &[f64]) -> Vec<AveragedPoint> {
        let weight = self.newest_weight;
        let mut average = baseline.centre;
        let mut forgotten = 1.0;
        values
            .iter()
            .map(|value| {
                average = weight * value + (1.0 - weight) * average;
                forgotten *= (1.0 - weight) * (1.0 - weight);
                let variance = weight / (2.0 - weight) * (1.0 - forgotten);
                let reach = self.reach * baseline.standard_deviation * variance.sqrt();
                AveragedPoint { average, limits: around(baseline.centre, reach) }
            })
            .collect()
    }
}

fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|y| (y - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt())
}

fn around(centre: f64, reach: f64) -> Interval<f64> {
    Interval { low: centre - reach, high: centre + reach }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WEEKLY: [f64; 8] = [37.2, 38.1, 36.9, 37.8, 38.4, 37.0, 37.6, 38.2];

    #[test]
    fn the_individuals_chart_has_the_limits_worked_by_hand() {
        // Mean 37.65, mean moving range 6.2 / 7 = 0.885714, sigma 0.785: limits 35.294 to 40.006.
        let chart = individuals(&WEEKLY).unwrap();
        assert!((chart.centre - 37.65).abs() < 1e-12);
        assert!((chart.standard_deviation - 0.784_944).abs() < 1e-6);
        assert!((chart.limits.low - 35.295_169).abs() < 1e-6);
        assert!((chart.limits.high - 40.004_831).abs() < 1e-6);
        assert!(matches!(individuals(&WEEKLY[..7]), Err(ChartError::TooFew { .. })));
        assert!(matches!(individuals(&[37.0; 9]), Err(ChartError::NoSpread { .. })));
    }

    #[test]
    fn limits_from_few_values_are_as_wide_as_t_makes_them() {
        // Multipliers of s at 95 %: 15.56, 4.97, 3.56, 3.04, 2.78 for n 2 to 6 (scipy 1.17.1).
        for (n, expected) in [(2, 15.56), (3, 4.97), (4, 3.56), (5, 3.04), (6, 2.78)] {
            let found = prediction_limits(&WEEKLY[..n], Level::new(0.95).unwrap()).unwrap();
            let multiplier = (found.limits.high - found.centre) / found.standard_deviation;
            assert!((multiplier - expected).abs() < 5e-3, "{multiplier} for {expected}");
        }
    }

    #[test]
    fn the_weighted_average_moves_and_widens_as_worked_by_hand() {
        // Centre 37.65, sigma 0.8: averages 37.455, 37.2585, 37.03095, 36.781665; limits at the
        // first 37.002 to 38.298, at the fourth 36.769161 to 38.530839.
        let baseline = Limits {
            centre: 37.65,
            standard_deviation: 0.8,
            limits: Interval { low: 35.25, high: 40.05 },
        };
        let points = WeightedAverage::default().over(&baseline, &[37.0, 36.8, 36.5, 36.2]);
        for (point, expected) in points.iter().zip([37.455, 37.2585, 37.030_95, 36.781_665]) {
            assert!((point.average - expected).abs() < 1e-9);
        }
        assert!((points[0].limits.low - 37.002).abs() < 1e-9);
        assert!((points[3].limits.low - 36.769_161).abs() < 1e-6);
        assert!((points[3].limits.high - 38.530_839).abs() < 1e-6);
    }
}
