//! Is the athlete really better? The belief about a true change, given every earlier test.
//!
//! The true value is taken as level until the block began and moving evenly from then to today.
//! Days before the block are all baseline; days inside it tighten the answer; with one day before
//! and today the answer is the plain difference against its noise.

mod error;
mod fit;
mod question;
mod series;
mod words;

pub use error::ChangeError;
pub use question::{Prior, Question, TestNoise};
pub(in crate::profile) use series::comparable_with;

use super::test_day::TestDay;
use super::verdict::{Odds, Verdict};
use crate::estimate::Estimate;
use crate::note::Noted;
use crate::stats::posterior::Posterior;
use crate::working::Working;
use fit::{fit_note, weight_of_tests};
use series::{Series, observed};

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

/// Doubt about the prior scale in the sceptical answer: so many times the smallest worthwhile change.
const SCEPTICAL_WIDTH: f64 = 2.0;

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
    notes.extend(words::prior_note(question, verdict, sceptical_odds));
    let observed = observed(&series.points);
    let weight_of_tests = weight_of_tests(&series.points, question);
    let sentence = words::sentence(question, observed, &change, &odds, verdict);
    let working = words::working(question, &series.points, &posterior, &odds, sceptical_odds);
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
