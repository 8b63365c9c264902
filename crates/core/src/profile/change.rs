//! Is the athlete really better? The belief about a true change, given every earlier test.
//!
//! The true value is taken as level until the block began and moving evenly from then to today.
//! Days before the block are all baseline; days inside it tighten the answer; with one day before
//! and today the answer is the plain difference against its noise.

use super::test_day::TestDay;
use super::verdict::{Odds, Verdict};
use crate::estimate::{Estimate, Level};
use crate::note::{Note, Noted};
use crate::stats::distributions::{chi_square_cdf, f_cdf};
use crate::stats::posterior::{Component, Posterior};
use crate::working::{Input, Working};

/// How far a day's mean strays from the athlete's true value when nothing has changed.
#[derive(Clone, Debug, PartialEq)]
pub struct TestNoise {
    /// Standard deviation from day to day that more trials do not remove.
    pub day: f64,
    /// Standard deviation of one trial inside a day, where it is known apart; zero otherwise.
    pub trial: f64,
    /// How much is known about it; nothing when it is taken as given. Zero: nothing is known beyond
    /// a rough size, and the series itself must show it.
    pub degrees_of_freedom: Option<f64>,
    /// Where it is from, in plain words.
    pub source: String,
}

impl TestNoise {
    /// A typical error of the day's mean, as published or as stated by the coach.
    pub fn of_day_mean(typical_error: f64, source: impl Into<String>) -> Self {
        Self { day: typical_error, trial: 0.0, degrees_of_freedom: None, source: source.into() }
    }
    /// The same, known on so many degrees of freedom.
    #[must_use]
    pub fn known_on(self, degrees_of_freedom: f64) -> Self {
        Self { degrees_of_freedom: Some(degrees_of_freedom), ..self }
    }
    /// Standard deviation of the mean of so many trials of a day: the typical error of that mean.
    pub fn of_mean(&self, trials: usize) -> f64 {
        self.variance_of_mean(trials).sqrt()
    }
    /// Variance of the mean of so many trials.
    fn variance_of_mean(&self, trials: usize) -> f64 {
        self.day.powi(2) + self.trial.powi(2) / trials.max(1) as f64
    }
}

/// What was thought before these tests.
#[derive(Clone, Debug, PartialEq)]
pub enum Prior {
    /// Nothing: any value as believable as any other.
    Flat,
    /// A normal with where it is from.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation, above zero.
        standard_deviation: f64,
        /// Where it is from, in plain words: "14 athletes over the same block".
        source: String,
    },
}

impl Prior {
    /// Precision and precision times mean.
    fn information(&self) -> (f64, f64) {
        match self {
            Self::Flat => (0.0, 0.0),
            Self::Normal { mean, standard_deviation, .. } => {
                let precision = standard_deviation.powi(-2);
                (precision, precision * mean)
            }
        }
    }
    fn is_flat(&self) -> bool {
        matches!(self, Self::Flat)
    }
}

/// What is asked of a series.
#[derive(Clone, Debug, PartialEq)]
pub struct Question<'a> {
    /// Name of the measure and its unit, for the sentence.
    pub measure: &'a str,
    /// Unit of every value.
    pub unit: &'a str,
    /// The day the block began: days up to it are baseline, today is the last day.
    pub since_day: f64,
    /// The smallest change that matters, zero or more.
    pub smallest_worthwhile: f64,
    /// Noise of the test.
    pub noise: TestNoise,
    /// Belief about the change before these tests.
    pub prior: Prior,
    /// Belief about the athlete's level before these tests. Give the squad's mean and true spread
    /// for an athlete picked because a test was unusual: it allows for regression to the mean.
    pub level_prior: Prior,
    /// Probability of the interval.
    pub level: Level,
}

/// What is believed about a change.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Today's mean minus the mean of the baseline days.
    pub observed: f64,
    /// True change with its interval.
    pub change: Estimate<f64>,
    /// The whole belief, for pictures.
    pub posterior: Posterior,
    /// Probabilities of rise, no change that matters, fall.
    pub odds: Odds,
    /// The same under a sceptical prior centred on no change, twice the smallest worthwhile change
    /// wide: what someone hard to convince would say. Absent when that change is zero.
    pub sceptical_odds: Option<Odds>,
    /// Share of the answer that comes from the tests rather than from the prior.
    pub weight_of_tests: f64,
    /// The word.
    pub verdict: Verdict,
    /// One or two plain sentences.
    pub sentence: String,
    /// Days that were used, today included.
    pub days_used: usize,
    /// What 'why?' shows.
    pub working: Working,
}

/// Why no change is claimed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ChangeError {
    /// Nothing to compare.
    #[error("{found} days of tests: a change needs a day before the block and a day after.")]
    TooFewDays {
        /// Days found.
        found: usize,
    },
    /// No day at or before the start of the block.
    #[error(
        "No test on or before the day the block began: there is nothing to compare today with."
    )]
    NoBaseline,
    /// No day after the start of the block.
    #[error("No test since the day the block began: test first, then compare.")]
    NothingSince,
    /// Earlier days were measured another way.
    #[error(
        "No change is claimed: {name} was {earlier} before and {now} now. Test again the old way, or enter the known offset between the two."
    )]
    UnlikeConditions {
        /// Name of the condition.
        name: String,
        /// Its value before.
        earlier: String,
        /// Its value today.
        now: String,
    },
    /// Today's test may not be compared.
    #[error("No change is claimed: today's test is not comparable because {reason}.")]
    NotComparable {
        /// Why, in words that follow "because".
        reason: String,
    },
    /// Nothing is known of the noise and too few days are left to show it.
    #[error(
        "{days} comparable days cannot show how much this test strays: give its typical error, or \
         test on more days."
    )]
    NoiseUnknown {
        /// Comparable days found.
        days: usize,
    },
    /// The noise is no positive number.
    #[error(
        "The typical error is {typical_error}: it must be above zero. Repeats that agree exactly are copied or rounded."
    )]
    NoNoise {
        /// As given.
        typical_error: f64,
    },
    /// A value or setting is not a usable number.
    #[error("{what} is not a usable number.")]
    NotANumber {
        /// Which.
        what: &'static str,
    },
}

/// Doubt about the prior scale in the sceptical answer: so many times the smallest worthwhile change.
const SCEPTICAL_WIDTH: f64 = 2.0;
/// Levels of the unknown noise that are averaged over when the prior is not flat.
const NOISE_LEVELS: usize = 64;
/// Days that show the noise themselves: two more than level and change use up.
const FEWEST_TO_SHOW_NOISE: usize = 4;
/// Change of body mass beyond which "better" is not said. Common practice, no source.
const BODY_MASS_LIMIT: f64 = 0.03;

/// The belief about a true change.
///
/// Bayesian linear regression on (level, change) with the test's noise; a noise known on few
/// degrees of freedom is itself updated by the series and integrated out, which gives Student's t
/// under a flat prior. Framework: Swinton and others 2018, Front Nutr 5:41; a flat prior makes
/// large changes as believable as small ones, so the answer of a sceptic always stands beside it
/// (Sainani 2018, Med Sci Sports Exerc 50:2166). Fails with a reason where days are unlike.
pub fn of(days: &[TestDay], question: &Question) -> Result<Noted<Change>, ChangeError> {
    let series = Series::comparable(days, question)?;
    let posterior = series.posterior(question, &question.prior);
    let odds = odds_of(&posterior, question.smallest_worthwhile);
    let sceptical_odds = (question.smallest_worthwhile > 0.0).then(|| {
        let sceptic = Prior::Normal {
            mean: 0.0,
            standard_deviation: SCEPTICAL_WIDTH * question.smallest_worthwhile,
            source: "a sceptic".into(),
        };
        odds_of(&series.posterior(question, &sceptic), question.smallest_worthwhile)
    });
    let change = posterior.estimate(question.level);
    let verdict = odds.verdict();
    let mut notes = series.notes;
    notes.extend(fit_note(&series.points, question));
    notes.extend(prior_note(question, verdict, sceptical_odds));
    let observed = observed(&series.points);
    let weight_of_tests = weight_of_tests(&series.points, question);
    let sentence = sentence(question, observed, &change, &odds, verdict);
    let working = working(question, &series.points, &posterior, &odds, sceptical_odds);
    let value = Change {
        observed,
        change,
        posterior,
        odds,
        sceptical_odds,
        weight_of_tests,
        verdict,
        sentence,
        days_used: series.points.len(),
        working,
    };
    Ok(Noted { value, notes })
}

/// Probabilities of rise, no matter and fall under a belief.
pub fn odds_of(posterior: &Posterior, smallest_worthwhile: f64) -> Odds {
    let fall = posterior.below(-smallest_worthwhile);
    let rise = 1.0 - posterior.below(smallest_worthwhile);
    Odds { rise, no_matter: (1.0 - rise - fall).max(0.0), fall }
}

/// One comparable day: where it stands on the way from baseline (0) to today (1).
#[derive(Clone, Copy, Debug)]
struct Point {
    share: f64,
    value: f64,
    variance: f64,
}

struct Series {
    points: Vec<Point>,
    notes: Vec<Note>,
}

impl Series {
    fn comparable(days: &[TestDay], question: &Question) -> Result<Self, ChangeError> {
        check(days, question)?;
        let mut sorted: Vec<&TestDay> = days.iter().filter(|day| !day.trials.is_empty()).collect();
        sorted.sort_by(|one, other| one.day.total_cmp(&other.day));
        let Some((today, earlier)) = sorted.split_last().filter(|(_, earlier)| !earlier.is_empty())
        else {
            return Err(ChangeError::TooFewDays { found: sorted.len() });
        };
        if today.day <= question.since_day {
            return Err(ChangeError::NothingSince);
        }
        if let Some(reason) = &today.not_comparable_because {
            return Err(ChangeError::NotComparable { reason: reason.clone() });
        }
        let alike: Vec<&TestDay> =
            earlier.iter().copied().filter(|day| comparable_with(day, today)).collect();
        if !alike.iter().any(|day| day.day <= question.since_day) {
            return Err(no_baseline(earlier, today, question.since_day));
        }
        let notes = day_notes(&alike, earlier.len(), today);
        let points: Vec<Point> = alike
            .iter()
            .copied()
            .chain(std::iter::once(*today))
            .filter_map(|day| point(day, today.day, question))
            .collect();
        if question.noise.degrees_of_freedom == Some(0.0) && points.len() < FEWEST_TO_SHOW_NOISE {
            return Err(ChangeError::NoiseUnknown { days: points.len() });
        }
        Ok(Self { points, notes })
    }

    /// The belief under a prior, the noise integrated out where it is not known.
    fn posterior(&self, question: &Question, prior: &Prior) -> Posterior {
        let fit = Fit::of(&self.points, 1.0, prior, &question.level_prior);
        let Some(prior_df) = question.noise.degrees_of_freedom else {
            return Posterior::Normal { mean: fit.change, standard_deviation: fit.variance.sqrt() };
        };
        if prior.is_flat() && question.level_prior.is_flat() {
            let df = prior_df + self.points.len() as f64 - 2.0;
            let scale = ((prior_df + fit.misfit) / df).sqrt();
            return Posterior::StudentT {
                centre: fit.change,
                scale: scale * fit.variance.sqrt(),
                degrees_of_freedom: df,
            };
        }
        self.averaged_over_noise(question, prior, prior_df)
    }

    /// Levels of the noise evenly spaced in the logarithm, each weighed by the prior's density and
    /// by how well it explains the series.
    fn averaged_over_noise(&self, question: &Question, prior: &Prior, df: f64) -> Posterior {
        // Beyond these ends the density of the precision is a millionth of its highest. Where nothing
        // is known beforehand, the size given is that of the series, and so is what is known of it.
        let known = if df > 0.0 { df } else { self.points.len() as f64 - 2.0 };
        let (from, to) = (-((56.0 / known).sqrt() + 28.0 / known), (56.0 / known).sqrt());
        let step = (to - from) / (NOISE_LEVELS - 1) as f64;
        let fits: Vec<Fit> = (0..NOISE_LEVELS)
            .map(|level| from + step * level as f64)
            .map(|log_precision| {
                let precision = log_precision.exp();
                let mut fit = Fit::of(&self.points, 1.0 / precision, prior, &question.level_prior);
                fit.log_likelihood += 0.5 * df * (log_precision - precision);
                fit
            })
            .collect();
        let best = fits.iter().map(|fit| fit.log_likelihood).fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = fits.iter().map(|fit| (fit.log_likelihood - best).exp()).collect();
        let total: f64 = weights.iter().sum();
        let components = fits
            .iter()
            .zip(weights)
            .map(|(fit, weight)| Component {
                weight: weight / total,
                mean: fit.change,
                standard_deviation: fit.variance.sqrt(),
            })
            .collect();
        Posterior::Mixture(components)
    }
}

/// Posterior of (level, change) for one level of the noise.
struct Fit {
    change: f64,
    variance: f64,
    /// Weighted squares left when level and change are fitted, at the noise as given.
    misfit: f64,
    log_likelihood: f64,
}

impl Fit {
    /// `scale` multiplies every variance of the tests.
    fn of(points: &[Point], scale: f64, prior: &Prior, level_prior: &Prior) -> Self {
        let (change_precision, change_pull) = prior.information();
        let (level_precision, level_pull) = level_prior.information();
        // Values are taken about the first one so that a level of 3000 N costs no digits.
        let origin = points.first().map_or(0.0, |point| point.value);
        let level_pull = level_pull - level_precision * origin;
        let sum = |f: &dyn Fn(&Point) -> f64| -> f64 {
            points.iter().map(|point| f(point) / (scale * point.variance)).sum()
        };
        let a = sum(&|_| 1.0) + level_precision;
        let b = sum(&|p| p.share);
        let d = sum(&|p| p.share * p.share) + change_precision;
        let right = (
            sum(&|p| p.value - origin) + level_pull,
            sum(&|p| p.share * (p.value - origin)) + change_pull,
        );
        let determinant = a * d - b * b;
        let level = (d * right.0 - b * right.1) / determinant;
        let change = (a * right.1 - b * right.0) / determinant;
        let squares = sum(&|p| (p.value - origin).powi(2))
            + level_pull * level_pull / level_precision.max(f64::MIN_POSITIVE)
            + change_pull * change_pull / change_precision.max(f64::MIN_POSITIVE);
        let misfit = (squares - level * right.0 - change * right.1).max(0.0);
        let spread: f64 = points.iter().map(|p| (scale * p.variance).ln()).sum();
        let log_likelihood = -0.5 * (spread + determinant.ln() + misfit);
        Self { change, variance: a / determinant, misfit, log_likelihood }
    }
}

fn check(days: &[TestDay], question: &Question) -> Result<(), ChangeError> {
    let TestNoise { day, trial, .. } = question.noise;
    let typical_error = if day.min(trial) < 0.0 { day.min(trial) } else { day.hypot(trial) };
    if !(typical_error.is_finite() && typical_error > 0.0) {
        return Err(ChangeError::NoNoise { typical_error });
    }
    let finite = |day: &TestDay| day.day.is_finite() && day.trials.iter().all(|y| y.is_finite());
    if !days.iter().all(finite) {
        return Err(ChangeError::NotANumber { what: "A day or a trial" });
    }
    if !(question.smallest_worthwhile.is_finite() && question.smallest_worthwhile >= 0.0) {
        return Err(ChangeError::NotANumber { what: "The smallest change that matters" });
    }
    for prior in [&question.prior, &question.level_prior] {
        if let Prior::Normal { mean, standard_deviation, .. } = prior
            && !(mean.is_finite() && standard_deviation.is_finite() && *standard_deviation > 0.0)
        {
            return Err(ChangeError::NotANumber { what: "The prior" });
        }
    }
    if question.noise.degrees_of_freedom.is_some_and(|df| !(df.is_finite() && df >= 0.0)) {
        return Err(ChangeError::NotANumber { what: "The typical error's degrees of freedom" });
    }
    Ok(())
}

pub(super) fn comparable_with(day: &TestDay, today: &TestDay) -> bool {
    day.not_comparable_because.is_none() && day.conditions.difference(&today.conditions).is_none()
}

/// Why no earlier day serves as baseline: the latest candidate's own reason.
fn no_baseline(earlier: &[&TestDay], today: &TestDay, since_day: f64) -> ChangeError {
    let Some(candidate) = earlier.iter().rev().find(|day| day.day <= since_day) else {
        return ChangeError::NoBaseline;
    };
    if let Some((name, earlier, now)) = candidate.conditions.difference(&today.conditions) {
        return ChangeError::UnlikeConditions {
            name: name.into(),
            earlier: earlier.into(),
            now: now.into(),
        };
    }
    let reason = candidate.not_comparable_because.clone().unwrap_or_default();
    ChangeError::NotComparable { reason: format!("of the test before: {reason}") }
}

fn point(day: &TestDay, today: f64, question: &Question) -> Option<Point> {
    let share = ((day.day - question.since_day) / (today - question.since_day)).clamp(0.0, 1.0);
    let variance = question.noise.variance_of_mean(day.trials.len()) + day.conversion_doubt.powi(2);
    Some(Point { share, value: day.mean()?, variance })
}

/// Mean today minus mean of the baseline days.
fn observed(points: &[Point]) -> f64 {
    let mean_where = |wanted: f64| {
        let values: Vec<f64> =
            points.iter().filter(|p| p.share == wanted).map(|p| p.value).collect();
        values.iter().sum::<f64>() / values.len() as f64
    };
    mean_where(1.0) - mean_where(0.0)
}

/// Precision the tests bring over precision of the answer.
fn weight_of_tests(points: &[Point], question: &Question) -> f64 {
    let alone = Fit::of(points, 1.0, &Prior::Flat, &question.level_prior).variance;
    let (prior_precision, _) = question.prior.information();
    1.0 / (1.0 + prior_precision * alone)
}

fn day_notes(alike: &[&TestDay], earlier: usize, today: &TestDay) -> Vec<Note> {
    let mut notes = Vec::new();
    let left_out = earlier - alike.len();
    if left_out > 0 {
        notes.push(Note::new(
            "unlike-days-left-out",
            format!(
                "{left_out} earlier days were measured under other conditions and are left out."
            ),
        ));
    }
    if let Some(name) = alike.iter().find_map(|day| day.conditions.unstated(&today.conditions)) {
        notes.push(Note::new(
            "condition-not-stated",
            format!(
                "The {name} is stated on some days only; they are compared as if it were the same."
            ),
        ));
    }
    if alike.iter().copied().chain(std::iter::once(today)).any(|day| day.conversion_doubt > 0.0) {
        notes.push(Note::new(
            "converted-between-methods",
            "Some days were converted from another method; the doubt of the conversion is in the answer.",
        ));
    }
    let baseline_mass = alike.iter().rev().find_map(|day| day.body_mass_kg);
    if let (Some(before), Some(now)) = (baseline_mass, today.body_mass_kg)
        && (now / before - 1.0).abs() > BODY_MASS_LIMIT
    {
        let percent = 100.0 * (now / before - 1.0);
        notes.push(Note::new(
            "body-mass-changed",
            format!("Body mass changed by {percent:+.1} % meanwhile: the number stands, but do not call it better or worse."),
        ));
    }
    notes
}

/// Warns when the days between do not lie near an even course.
fn fit_note(points: &[Point], question: &Question) -> Option<Note> {
    let spare = points.len() as f64 - 2.0;
    if spare < 1.0 {
        return None;
    }
    let misfit = Fit::of(points, 1.0, &Prior::Flat, &Prior::Flat).misfit;
    let by_chance = match question.noise.degrees_of_freedom {
        Some(df) => 1.0 - f_cdf(misfit / spare, spare, df),
        None => 1.0 - chi_square_cdf(misfit, spare),
    };
    (by_chance < 0.01).then(|| {
        Note::new(
            "course-not-even",
            "The days between stray from an even course by more than the test's noise: the change came in steps, or some days were unlike. Look at the single days.",
        )
    })
}

fn prior_note(question: &Question, verdict: Verdict, sceptical: Option<Odds>) -> Option<Note> {
    let sceptical = sceptical?.verdict();
    (question.prior.is_flat() && sceptical != verdict).then(|| {
        Note::new(
            "depends-on-prior",
            format!("Nothing was assumed beforehand about how far such a block moves anyone. Someone sceptical would say: {sceptical}."),
        )
    })
}

fn sentence(
    question: &Question,
    observed: f64,
    change: &Estimate<f64>,
    odds: &Odds,
    verdict: Verdict,
) -> String {
    let percent = |p: f64| format!("{:.0} %", 100.0 * p);
    let Question { measure, smallest_worthwhile, .. } = question;
    let unit = if question.unit.is_empty() { "" } else { &format!(" {}", question.unit) };
    let d = decimals(question.noise.of_mean(1));
    let mut word = verdict.to_string();
    if let Some(first) = word.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    let chances = if *smallest_worthwhile > 0.0 {
        format!(
            "Chance of a real rise (more than {smallest_worthwhile}{unit}) {}, no change that matters {}, a real fall {}.",
            percent(odds.rise),
            percent(odds.no_matter),
            percent(odds.fall),
        )
    } else {
        format!("Chance of any rise {}, of any fall {}.", percent(odds.rise), percent(odds.fall))
    };
    format!(
        "{word}. {measure} {observed:+.d$}{unit} as measured; true change {:+.d$}{unit} ({:.0} % between {:+.d$} and {:+.d$}). {chances} A change does not prove that the training caused it.",
        change.value,
        100.0 * change.level.probability(),
        change.interval.low,
        change.interval.high,
    )
}

/// Decimals that a number with this noise is worth.
fn decimals(noise: f64) -> usize {
    (1..=6).find(|digits| noise * 10_f64.powi(*digits) >= 3.0).map_or(6, |digits| digits as usize)
}

fn working(
    question: &Question,
    points: &[Point],
    posterior: &Posterior,
    odds: &Odds,
    sceptical: Option<Odds>,
) -> Working {
    let unit = question.unit;
    let alone = Fit::of(points, 1.0, &Prior::Flat, &question.level_prior);
    let noise = &question.noise;
    let mut inputs: Vec<Input> = points
        .iter()
        .map(|p| {
            let name = if p.share == 0.0 {
                "baseline".to_owned()
            } else if p.share == 1.0 {
                "today".to_owned()
            } else {
                format!("on the way, {:.0} %", 100.0 * p.share)
            };
            Input::new(name, format!("{:.2} {unit} ± {:.2}", p.value, p.variance.sqrt()))
        })
        .collect();
    inputs.push(Input::new("typical error from", noise.source.clone()));
    inputs.push(Input::new(
        "smallest change that matters",
        format!("{} {unit}", question.smallest_worthwhile),
    ));
    inputs.push(Input::new("before these tests", described(&question.prior, unit)));
    Working {
        title: format!("true change of {}", question.measure),
        method: "change-posterior",
        version: 1,
        inputs,
        steps: vec![
            "value of a day = level + change × share of the block gone + noise".into(),
            format!("tests alone: {:+.3} {unit}, standard error {:.3} {unit}", alone.change, alone.variance.sqrt()),
            format!("with what was thought before: {:+.3} {unit}, standard deviation {:.3} {unit}", posterior.mean(), posterior.standard_deviation()),
            format!("rise {:.3}, no matter {:.3}, fall {:.3}", odds.rise, odds.no_matter, odds.fall),
        ],
        source: "Swinton and others 2018, Front Nutr 5:41 (framework); linear regression with a normal prior (Gelman and others, Bayesian Data Analysis, ch. 14)",
        doubt: sceptical.map_or_else(
            || "no smallest worthwhile change given: only the direction is judged".into(),
            |o| format!("a sceptic (change around zero, spread {:.2} {unit}) would say rise {:.0} %, no matter {:.0} %, fall {:.0} %", SCEPTICAL_WIDTH * question.smallest_worthwhile, 100.0 * o.rise, 100.0 * o.no_matter, 100.0 * o.fall),
        ),
    }
}

fn described(prior: &Prior, unit: &str) -> String {
    match prior {
        Prior::Flat => "nothing assumed: any change as believable as any other".into(),
        Prior::Normal { mean, standard_deviation, source } => {
            format!("change {mean:+.2} {unit} ± {standard_deviation:.2}, from {source}")
        }
    }
}
