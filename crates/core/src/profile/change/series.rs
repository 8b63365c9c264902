//! The days that may be compared, as places on the way from the baseline to today.

use super::error::ChangeError;
use super::fit::Fit;
use super::question::{Prior, Question, check};
use crate::note::Note;
use crate::profile::test_day::TestDay;
use crate::stats::posterior::{Component, Posterior};

/// Levels of the unknown noise that are averaged over when the prior is not flat.
const NOISE_LEVELS: usize = 64;
/// Days that show the noise themselves: two more than level and change use up.
const FEWEST_TO_SHOW_NOISE: usize = 4;
/// Change of body mass beyond which "better" is not said. Common practice, no source.
const BODY_MASS_LIMIT: f64 = 0.03;

/// One comparable day: where it stands on the way from baseline (0) to today (1).
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    pub(super) share: f64,
    pub(super) value: f64,
    pub(super) variance: f64,
}

pub(super) struct Series {
    pub(super) points: Vec<Point>,
    pub(super) notes: Vec<Note>,
}

impl Series {
    pub(super) fn comparable(days: &[TestDay], question: &Question) -> Result<Self, ChangeError> {
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
    pub(super) fn posterior(&self, question: &Question, prior: &Prior) -> Posterior {
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

pub(in crate::profile) fn comparable_with(day: &TestDay, today: &TestDay) -> bool {
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
pub(super) fn observed(points: &[Point]) -> f64 {
    let mean_where = |wanted: f64| {
        let values: Vec<f64> =
            points.iter().filter(|p| p.share == wanted).map(|p| p.value).collect();
        values.iter().sum::<f64>() / values.len() as f64
    };
    mean_where(1.0) - mean_where(0.0)
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
