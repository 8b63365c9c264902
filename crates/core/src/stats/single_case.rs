//! One person against a few: where would this value stand in the population behind them?
//!
//! With five or ten others their mean and spread are themselves guesses, so the place is a
//! Student t and carries an interval.

use super::distributions::{normal_cdf, student_t_cdf};
use super::posterior::bisect;
use super::shrinkage::Norm;
use crate::estimate::{Estimate, Interval, Level};

/// Where a single value stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Student t of the value against the others.
    pub t: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
    /// Share of the population expected below the value, in per cent, with the interval of that
    /// share.
    pub percentile: Estimate<f64>,
}

/// Why a value has no standing.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum StandingError {
    /// Too few others.
    #[error("{found} others: a place among them needs five, the person not counted.")]
    TooFew {
        /// Others found.
        found: usize,
    },
    /// The others do not differ.
    #[error("The others all have the same value, so nothing says how far apart people are.")]
    NoSpread,
    /// A value that is no number.
    #[error("A value is not a number.")]
    NotANumber,
}

/// Others needed before a percentile is given. Common practice, no source: below five its interval
/// covers nearly everything.
const FEWEST_OTHERS: usize = 5;

/// A value against the others, the person left out.
///
/// Point: Crawford and Howell 1998, Clin Neuropsychol 12:482. Interval: Crawford and Garthwaite
/// 2002, Neuropsychologia 40:1196, by the non-central t. Fails below five others.
pub fn among(value: f64, others: &[f64], level: Level) -> Result<Standing, StandingError> {
    if others.len() < FEWEST_OTHERS {
        return Err(StandingError::TooFew { found: others.len() });
    }
    let count = others.len() as f64;
    let mean = others.iter().sum::<f64>() / count;
    let variance = others.iter().map(|y| (y - mean).powi(2)).sum::<f64>() / (count - 1.0);
    against(value, &Norm::of_sample(mean, variance.sqrt(), others.len()), level)
}

/// A value against a norm known from so many others. Fails when the norm has no spread.
pub fn against(value: f64, norm: &Norm, level: Level) -> Result<Standing, StandingError> {
    let z = (value - norm.mean) / norm.standard_deviation;
    if norm.standard_deviation == 0.0 {
        return Err(StandingError::NoSpread);
    }
    if !z.is_finite() {
        return Err(StandingError::NotANumber);
    }
    let (worth, df) = (norm.mean_worth, norm.degrees_of_freedom);
    let t = z / (1.0 + 1.0 / worth).sqrt();
    let centre = z * worth.sqrt();
    // The non-centrality at which the observed value would be the p quantile.
    let non_centrality =
        |p: f64| bisect(centre - 40.0, centre + 40.0, |d| non_central_t_cdf(centre, df, d) > p);
    let percent = |d: f64| 100.0 * normal_cdf(d / worth.sqrt());
    let interval = Interval {
        low: percent(non_centrality(1.0 - level.tail())),
        high: percent(non_centrality(level.tail())),
    };
    let value = 100.0 * student_t_cdf(t, df);
    Ok(Standing { t, degrees_of_freedom: df, percentile: Estimate { value, interval, level } })
}

/// P(T <= t) of the non-central t: the normal probability averaged over the estimated scale, by
/// Gauss-Legendre panels over the scale's whole believable range.
pub fn non_central_t_cdf(t: f64, degrees_of_freedom: f64, non_centrality: f64) -> f64 {
    const PANELS: usize = 40;
    // Abscissas and weights of five points on -1 to 1 (Abramowitz and Stegun, table 25.4).
    const POINTS: [(f64, f64); 5] = [
        (-0.906_179_845_938_664, 0.236_926_885_056_189),
        (-0.538_469_310_105_683, 0.478_628_670_499_366),
        (0.0, 0.568_888_888_888_889),
        (0.538_469_310_105_683, 0.478_628_670_499_366),
        (0.906_179_845_938_664, 0.236_926_885_056_189),
    ];
    let df = degrees_of_freedom;
    let reach = 12.0 / (2.0 * df).sqrt();
    let (from, to) = ((1.0 - reach).max(0.0), 1.0 + reach);
    // Density of S = root(chi-square / df), up to its constant.
    let constant = std::f64::consts::LN_2 + 0.5 * df * (0.5 * df).ln()
        - statrs::function::gamma::ln_gamma(0.5 * df);
    let density = |s: f64| (constant + (df - 1.0) * s.ln() - 0.5 * df * s * s).exp();
    let width = (to - from) / PANELS as f64;
    (0..PANELS)
        .flat_map(|panel| {
            let middle = from + (panel as f64 + 0.5) * width;
            POINTS.map(|(at, weight)| (middle + 0.5 * width * at, 0.5 * width * weight))
        })
        .map(|(s, weight)| weight * density(s) * normal_cdf(t * s - non_centrality))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn near(found: f64, expected: f64, tolerance: f64) {
        assert!((found - expected).abs() < tolerance, "{found} for {expected}");
    }

    #[test]
    fn the_non_central_t_is_that_of_r() {
        // R 4.2, pt(t, df, ncp).
        near(non_central_t_cdf(1.0, 10.0, 0.5), 0.678_630_638_691, 1e-10);
        near(non_central_t_cdf(3.0, 5.0, 2.0), 0.731_109_843_508, 1e-10);
        near(non_central_t_cdf(-1.0, 20.0, -2.0), 0.841_381_153_999, 1e-10);
        near(non_central_t_cdf(0.0, 4.0, 1.0), 0.158_655_253_931, 1e-9);
    }

    #[test]
    fn a_case_against_few_controls_stands_where_the_papers_put_it() {
        let at_95 = Level::new(0.95).unwrap();
        // Six controls and a case of 61: t(5) = -3.11, one-sided 1.3 % (Crawford and Howell 1998 as
        // computed by a published package); z limits -5.52 to -1.19 (Crawford and Garthwaite 2002).
        let found = among(61.0, &[86.0, 100.0, 112.0, 95.0, 121.0, 102.0], at_95).unwrap();
        near(found.t, -3.113_926, 1e-6);
        near(found.percentile.value, 1.321_66, 1e-5);
        near(found.percentile.interval.high, 100.0 * normal_cdf(-1.1886), 2e-3);
        // n 28, z -1.754857: 4.80 %, limits 0.96 to 12.44 (the same package prints 0.95 to 12.47
        // by a grid).
        let norm = Norm::of_sample(0.0, 1.0, 28);
        let found = against(-1.754_857, &norm, at_95).unwrap();
        near(found.t, -1.724_335, 1e-6);
        near(found.percentile.value, 4.804_007, 1e-5);
        near(found.percentile.interval.low, 0.955_77, 1e-4);
        near(found.percentile.interval.high, 12.438_04, 1e-4);
        // z +1 with n 5, 10, 50: 79.35 (44.5 to 98.1), 81.74 (58.5 to 96.0), 83.65 (74.4 to 90.9).
        for (n, at, low, high) in
            [(5, 79.35, 44.5, 98.1), (10, 81.74, 58.5, 96.0), (50, 83.65, 74.4, 90.9)]
        {
            let found = against(1.0, &Norm::of_sample(0.0, 1.0, n), at_95).unwrap().percentile;
            near(found.value, at, 5e-3);
            near(found.interval.low, low, 0.06);
            near(found.interval.high, high, 0.06);
        }
    }

    #[test]
    fn too_few_and_equal_others_give_no_standing() {
        assert_eq!(
            among(40.0, &[38.0, 39.0, 41.0, 36.0], Level::USUAL),
            Err(StandingError::TooFew { found: 4 })
        );
        assert_eq!(among(40.0, &[38.0; 6], Level::USUAL), Err(StandingError::NoSpread));
        assert_eq!(
            among(f64::NAN, &[38.0, 39.0, 41.0, 36.0, 40.0], Level::USUAL),
            Err(StandingError::NotANumber)
        );
    }
}
