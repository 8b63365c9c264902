//! What earlier camps of the same athlete say before a new one begins.

use crate::stats::shrinkage::{Shrunk, ShrunkSpread, spread_towards, towards};
use crate::working::{Input, Working};

/// One earlier camp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camp {
    /// Slope (or any other parameter) found then.
    pub slope: f64,
    /// Its standard error, above zero.
    pub slope_error: f64,
    /// Typical error found then.
    pub typical_error: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
}

/// What the squad says of someone unknown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SquadPrior {
    /// Mean slope.
    pub slope: f64,
    /// Spread of slopes between athletes.
    pub slope_spread: f64,
    /// Spread of one athlete's slope from camp to camp, as far as known; it counts as one camp's
    /// worth of evidence.
    pub between_camps: f64,
    /// Typical error of the squad.
    pub typical_error: f64,
    /// Degrees of freedom it is worth.
    pub degrees_of_freedom: f64,
}

/// Priors for the next camp.
#[derive(Clone, Debug, PartialEq)]
pub struct NextCamp {
    /// Slope expected, its doubt, and the weight of the own camps.
    pub slope: Shrunk,
    /// Typical error expected, and the weight of the own camps.
    pub typical_error: ShrunkSpread,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// The earlier camps hold an unusable number.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("Camp {camp} has a standard error or a typical error that is not above zero.")]
pub struct UnusableCamp {
    /// Which, counted from one.
    pub camp: usize,
}

/// Priors for slope and typical error from own camps, drawn towards the squad while camps are few.
///
/// The camps' slopes are weighed with a spread between camps (moment estimate of DerSimonian and
/// Laird 1986, Control Clin Trials 7:177, steadied by the squad's), and the next camp may differ by
/// that spread again. Without camps the squad's prior stands with weight zero.
pub fn next_camp(camps: &[Camp], squad: &SquadPrior) -> Result<NextCamp, UnusableCamp> {
    let usable = |x: f64| x.is_finite() && x > 0.0;
    if let Some(at) = camps.iter().position(|c| !usable(c.slope_error) || !usable(c.typical_error))
    {
        return Err(UnusableCamp { camp: at + 1 });
    }
    let slope = match own_slope(camps, squad) {
        Some(own) => next_slope(own, squad),
        None => Shrunk {
            value: squad.slope,
            standard_deviation: squad.slope_spread.hypot(squad.between_camps),
            own_weight: 0.0,
        },
    };
    let own_df: f64 = camps.iter().map(|camp| camp.degrees_of_freedom).sum();
    let own_squares: f64 =
        camps.iter().map(|camp| camp.degrees_of_freedom * camp.typical_error.powi(2)).sum();
    let own = (own_df > 0.0).then(|| ((own_squares / own_df).sqrt(), own_df));
    let typical_error = spread_towards((squad.typical_error, squad.degrees_of_freedom), own);
    let count = camps.len();
    let sentence = format!(
        "From {count} own camps: slope {:.4} ± {:.4} ({:.0} % own), typical error {:.3} ({:.0} % own), the rest from the squad.",
        slope.value,
        slope.standard_deviation,
        100.0 * slope.own_weight,
        typical_error.standard_deviation,
        100.0 * typical_error.own_weight,
    );
    let working = working(camps, squad, slope);
    Ok(NextCamp { slope, typical_error, sentence, working })
}

/// Weighted mean of the camps' slopes, its standard error, and the spread between camps.
fn own_slope(camps: &[Camp], squad: &SquadPrior) -> Option<(f64, f64, f64)> {
    let between = between_camps(camps, squad);
    let weights: Vec<f64> =
        camps.iter().map(|camp| 1.0 / (camp.slope_error.powi(2) + between)).collect();
    let total: f64 = weights.iter().sum();
    let mean = camps.iter().zip(&weights).map(|(camp, w)| w * camp.slope).sum::<f64>() / total;
    (total > 0.0).then(|| (mean, total.powf(-0.5), between))
}

fn between_camps(camps: &[Camp], squad: &SquadPrior) -> f64 {
    let prior = squad.between_camps.powi(2);
    let spare = camps.len() as f64 - 1.0;
    if spare < 1.0 {
        return prior;
    }
    let weights: Vec<f64> = camps.iter().map(|camp| camp.slope_error.powi(-2)).collect();
    let total: f64 = weights.iter().sum();
    let mean = camps.iter().zip(&weights).map(|(c, w)| w * c.slope).sum::<f64>() / total;
    let q: f64 = camps.iter().zip(&weights).map(|(c, w)| w * (c.slope - mean).powi(2)).sum();
    let scale = total - weights.iter().map(|w| w * w).sum::<f64>() / total;
    let own = ((q - spare) / scale).max(0.0);
    (prior + spare * own) / (1.0 + spare)
}

fn next_slope((mean, error, between): (f64, f64, f64), squad: &SquadPrior) -> Shrunk {
    let lasting = towards((squad.slope, squad.slope_spread), (mean, error));
    Shrunk { standard_deviation: lasting.standard_deviation.hypot(between.sqrt()), ..lasting }
}

fn working(camps: &[Camp], squad: &SquadPrior, slope: Shrunk) -> Working {
    let of_camp = |(number, camp): (usize, &Camp)| {
        Input::new(
            format!("camp {}", number + 1),
            format!(
                "slope {:.4} ± {:.4}, typical error {:.3}",
                camp.slope, camp.slope_error, camp.typical_error
            ),
        )
    };
    Working {
        title: "what earlier camps say".into(),
        method: "within-athlete-priors",
        version: 1,
        inputs: camps
            .iter()
            .enumerate()
            .map(of_camp)
            .chain([Input::new(
                "squad",
                format!("slope {:.4} ± {:.4}", squad.slope, squad.slope_spread),
            )])
            .collect(),
        steps: vec![format!(
            "own camps weigh {:.2}, squad {:.2}: slope {:.4}",
            slope.own_weight,
            1.0 - slope.own_weight,
            slope.value
        )],
        source: "DerSimonian and Laird 1986, Control Clin Trials 7:177; normal prior, Gelman and others 2013, ch. 2",
        doubt: format!(
            "the next camp's slope is expected within ± {:.4} two times in three",
            slope.standard_deviation
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUAD: SquadPrior = SquadPrior {
        slope: -0.50,
        slope_spread: 0.10,
        between_camps: 0.02,
        typical_error: 1.5,
        degrees_of_freedom: 20.0,
    };

    fn camp(slope: f64) -> Camp {
        Camp { slope, slope_error: 0.04, typical_error: 1.0, degrees_of_freedom: 8.0 }
    }

    #[test]
    fn three_camps_outweigh_the_squad_and_none_leaves_it() {
        let found = next_camp(&[camp(-0.44), camp(-0.46), camp(-0.42)], &SQUAD).unwrap();
        // By hand: slopes agree within their errors, so between-camp variance is 0.02² / 3; each
        // weighs 1 / (0.0016 + 0.000133); standard error of the mean 0.02404; weight
        // 0.01 / (0.01 + 0.000578) = 0.9454; slope -0.44 x 0.9454 - 0.50 x 0.0546 = -0.44328.
        assert!((found.slope.own_weight - 0.945_4).abs() < 1e-4);
        assert!((found.slope.value + 0.443_28).abs() < 1e-5);
        // (20 x 2.25 + 24 x 1) / 44 = 1.56818, weight 24 / 44.
        assert!((found.typical_error.standard_deviation - 1.568_18_f64.sqrt()).abs() < 1e-5);
        assert!((found.typical_error.own_weight - 24.0 / 44.0).abs() < 1e-12);
        let none = next_camp(&[], &SQUAD).unwrap();
        assert_eq!((none.slope.value, none.slope.own_weight), (-0.50, 0.0));
        assert_eq!(none.typical_error.standard_deviation, 1.5);
    }

    #[test]
    fn camps_that_disagree_leave_more_doubt() {
        let steady = next_camp(&[camp(-0.44), camp(-0.46), camp(-0.42)], &SQUAD).unwrap();
        let restless = next_camp(&[camp(-0.30), camp(-0.60), camp(-0.42)], &SQUAD).unwrap();
        assert!(restless.slope.standard_deviation > 1.5 * steady.slope.standard_deviation);
        let broken = Camp { slope_error: 0.0, ..camp(-0.4) };
        assert_eq!(next_camp(&[camp(-0.4), broken], &SQUAD), Err(UnusableCamp { camp: 2 }));
    }
}
