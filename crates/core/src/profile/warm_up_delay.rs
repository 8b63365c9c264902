//! How long after a primer is this athlete at the best? Tests at several delays on several days.
//!
//! Days differ in level, so every day is its own yardstick: only days on which every delay was
//! tested count. A few days rarely settle it, and then the answer is 'not known'.

use crate::estimate::{Estimate, Interval, Level};
use crate::note::{Note, Noted};
use crate::stats::distributions::{chi_square_quantile, normal_cdf, student_t_quantile};
use crate::stats::posterior::normal_density;
use crate::stats::shrinkage::spread_towards;
use crate::working::{Input, Working};

/// One test after the primer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DelayedTest {
    /// Which day, by any number of its own.
    pub day: i64,
    /// Minutes since the primer.
    pub delay_min: f64,
    /// What was measured; higher is better.
    pub value: f64,
}

/// One delay with what is believed of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Delay {
    /// Minutes since the primer.
    pub minutes: f64,
    /// Mean above the day's mean.
    pub above_the_day: f64,
    /// Probability that it is the best of those tested.
    pub chance_of_best: f64,
}

/// The delay that worked, or that nobody knows.
#[derive(Clone, Debug, PartialEq)]
pub struct WarmUpDelay {
    /// Every delay tested, shortest first.
    pub delays: Vec<Delay>,
    /// The best, when it is sure enough; nothing means 'not known'.
    pub best_min: Option<f64>,
    /// From the shortest to the longest of the likeliest delays that hold nine chances in ten.
    pub band_min: Interval<f64>,
    /// The likeliest delay over the next, with its interval.
    pub gain: Estimate<f64>,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

impl WarmUpDelay {
    /// The delay that is likeliest the best.
    pub fn likeliest(&self) -> Option<&Delay> {
        self.delays.iter().max_by(|one, other| one.chance_of_best.total_cmp(&other.chance_of_best))
    }
}

/// Why delays cannot be compared.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum WarmUpDelayError {
    /// One delay only.
    #[error("{delays} delays were tested: two or more are needed to compare.")]
    OneDelay {
        /// Delays found.
        delays: usize,
    },
    /// Too few days with every delay.
    #[error(
        "{days} days have a test at every delay: two are needed, or one and the test's known noise."
    )]
    TooFewDays {
        /// Days found.
        days: usize,
    },
    /// Nothing varies.
    #[error("The tests agree exactly: copied values tell no delay from another.")]
    NoSpread,
    /// A number that cannot be used.
    #[error("A delay or a value is not a usable number.")]
    NotANumber,
}

/// Probability from which a delay is named. Common practice, no source: the word 'likely'.
const NAMED_FROM: f64 = 0.80;
/// Share of probability the band holds.
const IN_THE_BAND: f64 = 0.90;
/// Levels of the unknown noise that are averaged over.
const NOISE_LEVELS: usize = 33;

/// The best of several delays.
///
/// Randomised blocks: value = day + delay + noise (Box, Hunter and Hunter, Statistics for
/// Experimenters, ch. 4), noise weighed with what is known of the test (standard deviation within a
/// day, degrees of freedom). Nothing is assumed of the delays beforehand. Fails below two delays and
/// two whole days.
pub fn best(
    tests: &[DelayedTest],
    known_noise: Option<(f64, f64)>,
    unit: &str,
) -> Result<Noted<WarmUpDelay>, WarmUpDelayError> {
    let blocks = Blocks::of(tests)?;
    let fewest = if known_noise.is_some() { 1 } else { 2 };
    if blocks.whole_days() < fewest {
        return Err(WarmUpDelayError::TooFewDays { days: blocks.whole_days() });
    }
    let noise = spread_towards(known_noise.unwrap_or((0.0, 0.0)), blocks.own_noise());
    if noise.standard_deviation <= 0.0 {
        return Err(WarmUpDelayError::NoSpread);
    }
    let (sd, df) = (noise.standard_deviation, noise.degrees_of_freedom);
    let effects = blocks.effects();
    let error = sd / (blocks.whole_days() as f64).sqrt();
    let chances = chances_of_best(&effects, error, df);
    let delays: Vec<Delay> = blocks
        .delays
        .iter()
        .zip(&effects)
        .zip(chances)
        .map(|((&minutes, &above_the_day), chance_of_best)| Delay {
            minutes,
            above_the_day,
            chance_of_best,
        })
        .collect();
    let mut ranked: Vec<&Delay> = delays.iter().collect();
    ranked.sort_by(|one, other| other.chance_of_best.total_cmp(&one.chance_of_best));
    let reach =
        student_t_quantile(1.0 - Level::USUAL.tail(), df) * error * std::f64::consts::SQRT_2;
    let difference = ranked[0].above_the_day - ranked[1].above_the_day;
    let gain = Estimate {
        value: difference,
        interval: Interval { low: difference - reach, high: difference + reach },
        level: Level::USUAL,
    };
    let best_min = (ranked[0].chance_of_best >= NAMED_FROM).then_some(ranked[0].minutes);
    let band_min = band(&ranked);
    let sentence = sentence(ranked[0], best_min, band_min, &gain, unit);
    let working = working(&blocks, &delays, noise.own_weight, sd, df, unit);
    let notes = notes(&blocks);
    let value = WarmUpDelay { best_min, band_min, gain, sentence, working, delays };
    Ok(Noted { value, notes })
}

/// Whole days by delays.
struct Blocks {
    delays: Vec<f64>,
    /// A row a whole day, in the order of the delays.
    rows: Vec<Vec<f64>>,
    days: usize,
}

impl Blocks {
    fn of(tests: &[DelayedTest]) -> Result<Self, WarmUpDelayError> {
        let usable = |test: &DelayedTest| {
            test.delay_min.is_finite() && test.delay_min >= 0.0 && test.value.is_finite()
        };
        if !tests.iter().all(usable) {
            return Err(WarmUpDelayError::NotANumber);
        }
        let mut delays: Vec<f64> = tests.iter().map(|test| test.delay_min).collect();
        delays.sort_by(f64::total_cmp);
        delays.dedup();
        if delays.len() < 2 {
            return Err(WarmUpDelayError::OneDelay { delays: delays.len() });
        }
        let mut days: Vec<i64> = tests.iter().map(|test| test.day).collect();
        days.sort_unstable();
        days.dedup();
        let mean_at = |day: i64, delay: f64| {
            let values: Vec<f64> = tests
                .iter()
                .filter(|test| test.day == day && test.delay_min == delay)
                .map(|test| test.value)
                .collect();
            (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
        };
        let whole = |day: &i64| delays.iter().map(|delay| mean_at(*day, *delay)).collect();
        let rows = days.iter().filter_map(whole).collect();
        Ok(Self { delays, rows, days: days.len() })
    }
    fn whole_days(&self) -> usize {
        self.rows.len()
    }
    /// Mean of each delay above the mean of its days.
    fn effects(&self) -> Vec<f64> {
        let count = (self.whole_days() * self.delays.len()) as f64;
        let all = self.rows.iter().flatten().sum::<f64>() / count;
        (0..self.delays.len())
            .map(|at| {
                self.rows.iter().map(|row| row[at]).sum::<f64>() / self.whole_days() as f64 - all
            })
            .collect()
    }
    /// Residual standard deviation of day plus delay with its degrees of freedom.
    fn own_noise(&self) -> Option<(f64, f64)> {
        let (n, k) = (self.whole_days() as f64, self.delays.len() as f64);
        let degrees_of_freedom = (n - 1.0) * (k - 1.0);
        let effects = self.effects();
        let squares: f64 = self
            .rows
            .iter()
            .map(|row| {
                let day = row.iter().sum::<f64>() / k;
                row.iter().zip(&effects).map(|(y, effect)| (y - day - effect).powi(2)).sum::<f64>()
            })
            .sum();
        (degrees_of_freedom > 0.0)
            .then(|| ((squares / degrees_of_freedom).sqrt(), degrees_of_freedom))
    }
}

/// Probability of each effect to be the highest, the effects independent with one standard error
/// known on so many degrees of freedom.
fn chances_of_best(effects: &[f64], error: f64, df: f64) -> Vec<f64> {
    let levels: Vec<f64> = (0..NOISE_LEVELS)
        .map(|level| (level as f64 + 0.5) / NOISE_LEVELS as f64)
        .map(|p| error * (df / chi_square_quantile(p, df)).sqrt())
        .collect();
    let chance = |best: usize| {
        let at = |error: f64| highest(effects, best, error);
        levels.iter().map(|error| at(*error)).sum::<f64>() / NOISE_LEVELS as f64
    };
    (0..effects.len()).map(chance).collect()
}

/// The same with the standard error known: normal density of one times the probability that the
/// others lie below, summed over a fine grid.
fn highest(effects: &[f64], best: usize, error: f64) -> f64 {
    const STEP: f64 = 0.05;
    (-160..=160)
        .map(|step| f64::from(step) * STEP)
        .map(|z| {
            let below = |(at, effect): (usize, &f64)| {
                if at == best { 1.0 } else { normal_cdf(z + (effects[best] - effect) / error) }
            };
            STEP * normal_density(z) * effects.iter().enumerate().map(below).product::<f64>()
        })
        .sum()
}

/// From the shortest to the longest of the likeliest delays that together hold nine chances in ten.
fn band(ranked: &[&Delay]) -> Interval<f64> {
    let mut held = 0.0;
    let mut band = Interval { low: f64::INFINITY, high: f64::NEG_INFINITY };
    for delay in ranked {
        if held >= IN_THE_BAND {
            break;
        }
        held += delay.chance_of_best;
        band = Interval { low: band.low.min(delay.minutes), high: band.high.max(delay.minutes) };
    }
    band
}

fn sentence(
    likeliest: &Delay,
    best_min: Option<f64>,
    band: Interval<f64>,
    gain: &Estimate<f64>,
    unit: &str,
) -> String {
    let chance = 100.0 * likeliest.chance_of_best;
    let over_the_next = format!(
        "{:+.2} {unit} over the next delay, {:+.2} to {:+.2}",
        gain.value, gain.interval.low, gain.interval.high
    );
    match best_min {
        Some(minutes) => {
            format!("Best {minutes} min after the primer, {chance:.0} % sure: {over_the_next}.")
        }
        None => format!(
            "Not known yet: {} min is likeliest ({chance:.0} %), but the best may be anywhere from {} to {} min.",
            likeliest.minutes, band.low, band.high
        ),
    }
}

fn notes(blocks: &Blocks) -> Vec<Note> {
    let left_out = blocks.days - blocks.whole_days();
    if left_out == 0 {
        return Vec::new();
    }
    vec![Note::new(
        "days-without-every-delay",
        format!("{left_out} days lack a delay and are left out: days differ too much to be mixed."),
    )]
}

fn working(
    blocks: &Blocks,
    delays: &[Delay],
    own_weight: f64,
    sd: f64,
    df: f64,
    unit: &str,
) -> Working {
    Working {
        title: "delay after the primer".into(),
        method: "warm-up-delay-blocks",
        version: 1,
        inputs: vec![
            Input::new("days with every delay", blocks.whole_days().to_string()),
            Input::new(
                "noise of one test within a day",
                format!(
                    "{sd:.3} {unit} on {df:.0} degrees of freedom, {:.0} % own",
                    100.0 * own_weight
                ),
            ),
        ],
        steps: delays
            .iter()
            .map(|delay| {
                format!(
                    "{} min: {:+.3} {unit} above the day, best with {:.3}",
                    delay.minutes, delay.above_the_day, delay.chance_of_best
                )
            })
            .collect(),
        source: "randomised blocks (Box, Hunter and Hunter, Statistics for Experimenters, ch. 4)",
        doubt:
            "only the delays tested are compared; later tests of a day are also later in fatigue"
                .into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tests(days: &[[f64; 3]]) -> Vec<DelayedTest> {
        days.iter()
            .zip(1..)
            .flat_map(|(row, day)| {
                [4.0, 8.0, 12.0].into_iter().zip(*row).map(move |(delay_min, value)| DelayedTest {
                    day,
                    delay_min,
                    value,
                })
            })
            .collect()
    }

    #[test]
    fn a_delay_that_wins_every_day_is_named() {
        let found = best(
            &tests(&[[38.0, 40.1, 38.4], [36.9, 39.2, 37.0], [39.0, 40.9, 39.5]]),
            Some((0.8, 20.0)),
            "cm",
        )
        .unwrap();
        assert_eq!(found.value.best_min, Some(8.0));
        assert!(found.value.sentence.starts_with("Best 8 min after the primer"));
        let all: f64 = found.value.delays.iter().map(|delay| delay.chance_of_best).sum();
        assert!((all - 1.0).abs() < 1e-9, "{all}");
    }

    #[test]
    fn three_days_of_noise_are_not_known() {
        let found = best(
            &tests(&[[38.0, 38.9, 38.4], [37.9, 37.2, 37.6], [39.0, 38.9, 39.5]]),
            Some((0.8, 20.0)),
            "cm",
        )
        .unwrap()
        .value;
        assert_eq!(found.best_min, None);
        assert!(found.sentence.starts_with("Not known"), "{}", found.sentence);
        assert_eq!((found.band_min.low, found.band_min.high), (4.0, 12.0));
    }

    #[test]
    fn chances_are_the_closed_forms() {
        // Two effects 1 apart, error 0.8, noise known: Phi(1 / (0.8 root 2)) = 0.811620; three
        // alike: a third each; of two, Student's t where the noise is known on five degrees:
        // t.cdf(0.883883, 5) = 0.791386 (scipy 1.17.1), here averaged over 33 levels.
        let two = chances_of_best(&[1.0, 0.0], 0.8, 1e7);
        assert!((two[0] - 0.811_620).abs() < 1e-4, "{two:?}");
        let alike = chances_of_best(&[0.3; 3], 0.8, 5.0);
        assert!(alike.iter().all(|chance| (chance - 1.0 / 3.0).abs() < 1e-9));
        let rough = chances_of_best(&[1.0, 0.0], 0.8, 5.0);
        assert!((rough[0] - 0.791_386).abs() < 2e-3, "{rough:?}");
    }

    #[test]
    fn what_cannot_be_compared_is_refused() {
        let one = tests(&[[38.0, 39.0, 38.5]]);
        assert_eq!(best(&one, None, "cm"), Err(WarmUpDelayError::TooFewDays { days: 1 }));
        assert!(best(&one, Some((0.8, 20.0)), "cm").is_ok());
        assert_eq!(best(&one[..1], None, "cm"), Err(WarmUpDelayError::OneDelay { delays: 1 }));
        let mut holes = tests(&[[38.0, 39.0, 38.5], [37.0, 38.5, 37.9], [38.2, 39.1, 38.4]]);
        holes.pop();
        assert!(best(&holes, None, "cm").unwrap().has("days-without-every-delay"));
        holes[0].value = f64::NAN;
        assert_eq!(best(&holes, None, "cm"), Err(WarmUpDelayError::NotANumber));
        let copied = tests(&[[38.0; 3], [38.0; 3]]);
        assert_eq!(best(&copied, None, "cm"), Err(WarmUpDelayError::NoSpread));
    }
}
