//! Is the athlete off today? Today's value as a place in the band of the own weeks, not a score.

use crate::estimate::{Interval, Level};
use crate::note::{Note, Noted};
use crate::stats::distributions::{student_t_cdf, student_t_quantile};
use crate::stats::shrinkage::spread_towards;
use crate::working::{Input, Working};

/// Where today lies among the athlete's usual days.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Readiness {
    /// Below all but one usual day in two hundred.
    VeryLow,
    /// Below all but one usual day in twenty.
    Low,
    /// Inside the band.
    Usual,
    /// Above all but one usual day in twenty.
    High,
}

/// Today against the own weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct Today {
    /// Today's value.
    pub value: f64,
    /// Mean of the own earlier days.
    pub usual: f64,
    /// Nine usual days in ten lie here.
    pub band: Interval<f64>,
    /// Probability that a usual day is as low as this or lower.
    pub chance_as_low: f64,
    /// The word.
    pub readiness: Readiness,
    /// Share of the band's width that rests on the own days, the rest on the test's known noise.
    pub own_weight: f64,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// Why there is no band.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum BaselineError {
    /// No earlier day, or one and no known noise.
    #[error("{days} earlier days: a band needs two, or one and the test's known typical error.")]
    TooFewDays {
        /// Earlier days.
        days: usize,
    },
    /// The earlier days agree exactly.
    #[error("All earlier days read the same: copied values give no band.")]
    NoSpread,
    /// A value that is no number.
    #[error("A value is not a number.")]
    NotANumber,
}

const LOW: f64 = 0.05;
const VERY_LOW: f64 = 0.005;
/// Own days below which the band is said to be young. Common practice, no source.
const FEW_DAYS: usize = 6;

/// Today's value against earlier ones made under like conditions.
///
/// Prediction of one more day from the same distribution: Student's t, the spread of the own days
/// weighed with the test's known noise (typical error and degrees of freedom) where that is given.
/// The days are taken as level; a trend widens the band. Fails without enough days.
pub fn today(
    earlier: &[f64],
    value: f64,
    known_noise: Option<(f64, f64)>,
    unit: &str,
) -> Result<Noted<Today>, BaselineError> {
    let days = earlier.len();
    if days < if known_noise.is_some() { 1 } else { 2 } {
        return Err(BaselineError::TooFewDays { days });
    }
    if !(value.is_finite() && earlier.iter().all(|day| day.is_finite())) {
        return Err(BaselineError::NotANumber);
    }
    let n = days as f64;
    let usual = earlier.iter().sum::<f64>() / n;
    let squares: f64 = earlier.iter().map(|day| (day - usual).powi(2)).sum();
    let own = (days > 1).then(|| ((squares / (n - 1.0)).sqrt(), n - 1.0));
    let spread = spread_towards(known_noise.unwrap_or((0.0, 0.0)), own);
    if spread.standard_deviation <= 0.0 {
        return Err(BaselineError::NoSpread);
    }
    let scale = spread.standard_deviation * (1.0 + 1.0 / n).sqrt();
    let df = spread.degrees_of_freedom;
    let reach = student_t_quantile(1.0 - Level::USUAL.tail(), df) * scale;
    let band = Interval { low: usual - reach, high: usual + reach };
    let chance_as_low = student_t_cdf((value - usual) / scale, df);
    let readiness = Readiness::of(chance_as_low);
    let value = Today {
        value,
        usual,
        band,
        chance_as_low,
        readiness,
        own_weight: spread.own_weight,
        sentence: sentence(readiness, value, band, chance_as_low, days, unit),
        working: working(days, usual, spread.standard_deviation, df, scale, unit),
    };
    let young = Note::new(
        "young-baseline",
        format!("The band rests on {days} own days; six or more make it the athlete's own."),
    );
    Ok(Noted { value, notes: if days < FEW_DAYS { vec![young] } else { Vec::new() } })
}

impl Readiness {
    fn of(chance_as_low: f64) -> Self {
        match chance_as_low {
            chance if chance < VERY_LOW => Self::VeryLow,
            chance if chance < LOW => Self::Low,
            chance if chance > 1.0 - LOW => Self::High,
            _ => Self::Usual,
        }
    }
    /// Whether someone should decide what to do about it.
    pub const fn asks_for_a_decision(self) -> bool {
        matches!(self, Self::Low | Self::VeryLow)
    }
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::VeryLow => "very low",
            Self::Low => "low",
            Self::Usual => "usual",
            Self::High => "high",
        }
    }
}

fn sentence(
    readiness: Readiness,
    value: f64,
    band: Interval<f64>,
    chance: f64,
    days: usize,
    unit: &str,
) -> String {
    format!(
        "Today {value:.1} {unit} is {}: nine usual days in ten lie between {:.1} and {:.1}, and {:.0} in 100 are this low or lower ({days} own days).",
        readiness.word(),
        band.low,
        band.high,
        100.0 * chance,
    )
}

fn working(days: usize, usual: f64, sd: f64, df: f64, scale: f64, unit: &str) -> Working {
    Working {
        title: "today against the own weeks".into(),
        method: "baseline-prediction",
        version: 1,
        inputs: vec![
            Input::new("own earlier days", days.to_string()),
            Input::new("their mean", format!("{usual:.2} {unit}")),
            Input::new(
                "spread of usual days",
                format!("{sd:.2} {unit} on {df:.0} degrees of freedom"),
            ),
        ],
        steps: vec![format!(
            "spread of one more day = {sd:.3} × root(1 + 1/{days}) = {scale:.3} {unit}"
        )],
        source: "prediction interval of one value by Student's t (Hahn and Meeker 1991, Statistical Intervals)",
        doubt:
            "low means unusual for this athlete, not why: sleep, sparring, mass and mood are asked"
                .into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Twelve values with mean 33 and standard deviation 1 exactly.
    fn twelve() -> Vec<f64> {
        let pattern = [-1.5, 1.5, -0.5, 0.5, -1.0, 1.0, -0.8, 0.8, -1.2, 1.2, -0.3, 0.3];
        let sd = (pattern.iter().map(|x: &f64| x * x).sum::<f64>() / 11.0).sqrt();
        pattern.iter().map(|x| 33.0 + x / sd).collect()
    }

    #[test]
    fn nearly_two_deviations_below_twelve_own_days_is_low() {
        let found = today(&twelve(), 33.0 - 1.9, None, "cm").unwrap();
        assert_eq!(found.value.readiness, Readiness::Low);
        assert!(found.notes.is_empty());
        // scipy 1.17.1: t.cdf(-1.9 / sqrt(13/12), 11) = 0.0476, t.ppf(0.95, 11) sqrt(13/12) = 1.8692.
        assert!((found.value.chance_as_low - 0.0476).abs() < 1e-4);
        assert!((found.value.band.low - (33.0 - 1.8692)).abs() < 1e-3);
        assert_eq!(today(&twelve(), 33.4, None, "cm").unwrap().value.readiness, Readiness::Usual);
        assert_eq!(today(&twelve(), 29.0, None, "cm").unwrap().value.readiness, Readiness::VeryLow);
    }

    #[test]
    fn few_own_days_lean_on_the_known_noise() {
        let alone = today(&[33.0, 33.4], 31.5, None, "cm").unwrap().value;
        let helped = today(&[33.0, 33.4], 31.5, Some((0.8, 20.0)), "cm").unwrap();
        assert!(helped.has("young-baseline"));
        assert!((helped.value.own_weight - 1.0 / 21.0).abs() < 1e-12);
        assert!(alone.band.high - alone.band.low > 2.0, "{:?}", alone.band);
        assert!(helped.value.chance_as_low < 0.10);
    }

    #[test]
    fn without_days_or_spread_there_is_no_band() {
        assert_eq!(
            today(&[], 33.0, Some((0.8, 20.0)), "cm"),
            Err(BaselineError::TooFewDays { days: 0 })
        );
        assert_eq!(today(&[33.0], 33.0, None, "cm"), Err(BaselineError::TooFewDays { days: 1 }));
        assert_eq!(today(&[33.0; 5], 33.0, None, "cm"), Err(BaselineError::NoSpread));
        assert_eq!(today(&[33.0, f64::NAN], 33.0, None, "cm"), Err(BaselineError::NotANumber));
    }
}
