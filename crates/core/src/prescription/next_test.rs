//! Which test is worth doing now: the one most likely to change a decision that is waiting.
//!
//! A test that cannot move any decision is not worth the minutes, however stale its number.

use crate::stats::distributions::normal_cdf;
use crate::working::{Input, Working};

/// A stored number, the decision that hangs on it, and the test that would renew it.
#[derive(Clone, Debug, PartialEq)]
pub struct Pending {
    /// Name of the test.
    pub test: String,
    /// The decision, in words that follow "whether": "to stay with 40 kg".
    pub decision: String,
    /// What the stored number says now.
    pub value: f64,
    /// Its doubt on the day it was measured, as a standard deviation.
    pub doubt: f64,
    /// Weeks since then.
    pub weeks_old: f64,
    /// How far the true value wanders in a week, as a standard deviation.
    pub wander_a_week: f64,
    /// Where the decision turns.
    pub threshold: f64,
    /// Noise of the test if done now, above zero.
    pub test_noise: f64,
    /// Minutes it takes.
    pub minutes: f64,
}

/// One test with what it may bring.
#[derive(Clone, Debug, PartialEq)]
pub struct WorthDoing {
    /// Name of the test.
    pub test: String,
    /// Probability that the decision turns once the result is in.
    pub chance_of_turning: f64,
    /// Amount by which the decision is expected to be better, in the unit of the value.
    pub expected_gain: f64,
    /// Minutes it takes.
    pub minutes: f64,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// Most tests listed.
const MOST_LISTED: usize = 3;
/// Chance of turning a decision below which a test is not worth naming. Common practice, no source.
const WORTH_NAMING: f64 = 0.05;

/// Up to three tests that fit the minutes, the likeliest to turn a decision first, each with whose
/// it is.
///
/// Preposterior analysis with a linear loss (Raiffa and Schlaifer 1961, Applied Statistical
/// Decision Theory, ch. 5): the mean after the test is normal about the mean now, with the
/// variance that the test takes away. Entries with unusable numbers are passed over.
pub fn worth_doing<W>(
    pending: impl IntoIterator<Item = (W, Pending)>,
    minutes: f64,
) -> Vec<(W, WorthDoing)> {
    let mut found: Vec<(W, WorthDoing)> = pending
        .into_iter()
        .filter(|(_, test)| usable(test) && test.minutes <= minutes)
        .map(|(whose, test)| (whose, judged(&test)))
        .filter(|(_, test)| test.chance_of_turning >= WORTH_NAMING)
        .collect();
    found.sort_by(|(_, one), (_, other)| other.chance_of_turning.total_cmp(&one.chance_of_turning));
    let mut left = minutes;
    found.retain(|(_, test)| {
        let fits = test.minutes <= left;
        if fits {
            left -= test.minutes;
        }
        fits
    });
    found.truncate(MOST_LISTED);
    found
}

fn usable(test: &Pending) -> bool {
    let numbers = [test.value, test.doubt, test.weeks_old, test.wander_a_week, test.threshold];
    numbers.iter().all(|number| number.is_finite())
        && test.weeks_old >= 0.0
        && test.test_noise.is_finite()
        && test.test_noise > 0.0
        && test.minutes > 0.0
}

fn judged(test: &Pending) -> WorthDoing {
    let variance = test.doubt.powi(2) + test.weeks_old * test.wander_a_week.powi(2);
    // How far the mean may move once the result is in.
    let movement = variance / (variance + test.test_noise.powi(2)).sqrt();
    let distance = (test.value - test.threshold).abs();
    let (chance_of_turning, expected_gain) = if movement > 0.0 {
        let z = distance / movement;
        (normal_cdf(-z), movement * (normal_density(z) - z * normal_cdf(-z)))
    } else {
        (0.0, 0.0)
    };
    WorthDoing {
        test: test.test.clone(),
        chance_of_turning,
        expected_gain,
        minutes: test.minutes,
        sentence: format!(
            "{} ({:.0} min): {:.0} % chance to change whether {}; {}.",
            test.test,
            test.minutes,
            100.0 * chance_of_turning,
            test.decision,
            age(test.weeks_old)
        ),
        working: working(test, variance, movement),
    }
}

fn age(weeks: f64) -> String {
    match weeks.round() {
        0.0 => "its number is of this week".to_owned(),
        1.0 => "its number is a week old".to_owned(),
        weeks => format!("its number is {weeks:.0} weeks old"),
    }
}

fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

fn working(test: &Pending, variance: f64, movement: f64) -> Working {
    Working {
        title: format!("worth of {}", test.test),
        method: "value-of-information",
        version: 1,
        inputs: vec![
            Input::new(
                "number now",
                format!("{:.2} ± {:.2}, {:.0} weeks old", test.value, test.doubt, test.weeks_old),
            ),
            Input::new("decision turns at", format!("{:.2}", test.threshold)),
            Input::new("noise of the test", format!("{:.2}", test.test_noise)),
        ],
        steps: vec![
            format!(
                "doubt today = root({:.2}² + {:.0} × {:.2}²) = {:.3}",
                test.doubt,
                test.weeks_old,
                test.wander_a_week,
                variance.sqrt()
            ),
            format!(
                "the result may move the number by {movement:.3}; it lies {:.3} from the turn",
                (test.value - test.threshold).abs()
            ),
        ],
        source: "Raiffa and Schlaifer 1961, Applied Statistical Decision Theory, ch. 5",
        doubt:
            "wander and doubt are taken as normal; what a wrong decision costs is not in the order"
                .into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pending(test: &str, value: f64, weeks_old: f64, minutes: f64) -> Pending {
        Pending {
            test: test.into(),
            decision: "to stay with the load".into(),
            value,
            doubt: 1.0,
            weeks_old,
            wander_a_week: 0.5,
            threshold: 40.0,
            test_noise: 1.0,
            minutes,
        }
    }

    #[test]
    fn the_stale_number_near_its_turn_comes_first_and_the_sure_one_not_at_all() {
        let waiting = [
            pending("sure", 48.0, 0.0, 3.0),
            pending("fresh", 41.0, 0.0, 4.0),
            pending("stale", 41.0, 8.0, 5.0),
            pending("long", 40.0, 8.0, 30.0),
        ];
        let of = |minutes| worth_doing((0..).zip(waiting.clone()), minutes);
        let found: Vec<(usize, String)> =
            of(12.0).into_iter().map(|(whose, test)| (whose, test.test)).collect();
        assert_eq!(found, [(2, "stale".to_owned()), (1, "fresh".to_owned())]);
        assert!(of(2.0).is_empty());
    }

    #[test]
    fn chance_and_gain_are_the_closed_forms() {
        // By hand: variance 1 + 8 x 0.25 = 3, movement 3 / 2 = 1.5, z = 2/3: Phi(-2/3) = 0.252493,
        // gain 1.5 x (0.319448 - 0.168328) = 0.226680.
        let (_, found) = &worth_doing([((), pending("stale", 41.0, 8.0, 5.0))], 12.0)[0];
        assert!((found.chance_of_turning - 0.252_493).abs() < 1e-6);
        assert!((found.expected_gain - 0.226_68).abs() < 1e-4);
    }

    #[test]
    fn no_more_than_three_that_fit_together() {
        let many = || (0..6).map(|i| (i, pending("the same for all", 40.0, 4.0, 3.0)));
        assert_eq!(worth_doing(many(), 60.0).len(), 3);
        assert_eq!(worth_doing(many(), 7.0).len(), 2);
    }
}
