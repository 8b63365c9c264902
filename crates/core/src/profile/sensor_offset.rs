//! Several athletes shift together within minutes: rather the sensor than the athletes.

use crate::estimate::{Estimate, Interval, Level};
use crate::stats::distributions::{normal_cdf, normal_quantile};
use crate::working::{Input, Working};

/// One athlete's readings within the window, against what was expected of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Shift {
    /// Short code.
    pub code: String,
    /// Mean of the readings minus what was expected.
    pub difference: f64,
    /// Standard deviation of that difference when nothing is wrong, above zero: reps, day and
    /// expectation together.
    pub doubt: f64,
}

/// A shift common to all.
#[derive(Clone, Debug, PartialEq)]
pub struct Offset {
    /// Its size.
    pub offset: Estimate<f64>,
    /// Probability of one this large either way when the sensor is right.
    pub chance: f64,
    /// Whether to warn.
    pub warn: bool,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// Too few athletes, or a number that cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{usable} athletes with usable readings: a common shift needs three.")]
pub struct TooFewAthletes {
    /// Athletes with a finite difference and a doubt above zero.
    pub usable: usize,
}

/// Athletes that must shift together.
const FEWEST: usize = 3;
/// Chance below which it is warned of. Common practice, no source: one quiet window in a hundred.
const WARN_BELOW: f64 = 0.01;

/// The shift that athletes have in common: mean of their differences by precision.
///
/// Warns when it is unlikely by chance and every athlete shifted the same way; a single athlete on
/// a good day moves neither.
pub fn common(shifts: &[Shift], unit: &str, level: Level) -> Result<Offset, TooFewAthletes> {
    let usable: Vec<&Shift> = shifts
        .iter()
        .filter(|s| s.difference.is_finite() && s.doubt.is_finite() && s.doubt > 0.0)
        .collect();
    if usable.len() < FEWEST {
        return Err(TooFewAthletes { usable: usable.len() });
    }
    let precision: f64 = usable.iter().map(|shift| shift.doubt.powi(-2)).sum();
    let value = usable.iter().map(|s| s.difference * s.doubt.powi(-2)).sum::<f64>() / precision;
    let error = precision.powf(-0.5);
    let reach = normal_quantile(1.0 - level.tail()) * error;
    let chance = 2.0 * normal_cdf(-(value / error).abs());
    let together = usable.iter().all(|shift| shift.difference * value > 0.0);
    let warn = together && chance < WARN_BELOW;
    let sentence = if warn {
        format!(
            "All {} athletes read {value:+.2} {unit} against their usual within minutes: check whether the sensor was moved.",
            usable.len()
        )
    } else {
        format!(
            "No common shift: {value:+.2} {unit} on average, which chance gives {:.0} times in 100.",
            100.0 * chance
        )
    };
    let working = Working {
        title: "shift common to several athletes".into(),
        method: "sensor-offset",
        version: 1,
        inputs: usable
            .iter()
            .map(|s| {
                Input::new(s.code.clone(), format!("{:+.3} ± {:.3} {unit}", s.difference, s.doubt))
            })
            .collect(),
        steps: vec![format!(
            "mean by precision {value:+.3} {unit}, standard error {error:.3} {unit}"
        )],
        source: "fixed-effect mean (Hedges and Olkin 1985)",
        doubt: format!(
            "{:.4} by chance; all the same way: {}",
            chance,
            if together { "yes" } else { "no" }
        ),
    };
    let interval = Interval { low: value - reach, high: value + reach };
    Ok(Offset { offset: Estimate { value, interval, level }, chance, warn, sentence, working })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shift(code: &str, difference: f64, doubt: f64) -> Shift {
        Shift { code: code.into(), difference, doubt }
    }

    #[test]
    fn three_athletes_twelve_hundredths_up_are_a_moved_sensor() {
        let shifts = [shift("A03", 0.12, 0.07), shift("A05", 0.12, 0.07), shift("A07", 0.12, 0.08)];
        let found = common(&shifts, "m/s", Level::USUAL).unwrap();
        assert!(found.warn && (found.offset.value - 0.12).abs() < 1e-12, "{found:?}");
        // By hand: precision 2 / 0.0049 + 1 / 0.0064 = 564.4, z = 0.12 x 23.76 = 2.851, chance 0.0044.
        assert!((found.chance - 0.0044).abs() < 1e-4);
    }

    #[test]
    fn one_good_day_or_mixed_signs_are_not() {
        let one = [shift("A03", 0.30, 0.07), shift("A05", -0.02, 0.07), shift("A07", 0.01, 0.08)];
        assert!(!common(&one, "m/s", Level::USUAL).unwrap().warn);
        let two = [shift("A03", 0.12, 0.07), shift("A05", 0.12, 0.07)];
        assert_eq!(common(&two, "m/s", Level::USUAL), Err(TooFewAthletes { usable: 2 }));
    }
}
