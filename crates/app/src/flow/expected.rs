//! What an athlete's own history says of reps not yet looked at: for whose set it was, and for a
//! sensor that moved.

use crate::flow::house::House;
use crate::flow::profiles::PROFILE_DAYS;
use cornerwork_core::exercise::{Exercise, LoadModel, MeasureKind};
use cornerwork_core::profile::load_velocity::{
    LoadVelocityProfile, LoadVelocitySettings, VelocityRep,
};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::rep::{Rep, RepEntry};
use cornerwork_core::stats::mean::mean;
use cornerwork_core::stats::shrinkage::spread_towards;
use cornerwork_core::units::{Mass, Quantity, Velocity};
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use std::collections::BTreeMap;

/// Fewest comparable reps an expectation rests on.
const FEWEST_REPS: usize = 3;
/// The latest this many comparable reps count.
const LATEST_REPS: usize = 20;
/// Spread of reps as a share of their size before the own ones speak, worth as much as five of
/// them (common practice, no source).
const USUAL_SPREAD: (f64, f64) = (0.04, 5.0);
/// How far a day's level strays from the usual, as a share of it, before the gym's own days speak
/// (common practice, no source).
const DAY_SHARE: f64 = 0.03;
/// Degrees of freedom that is worth.
const USUAL_DAYS: f64 = 3.0;

/// What a rep would be, in SI units of its measure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expectation {
    /// The middle.
    pub expected: f64,
    /// Doubt about the level today, common to all reps, as a standard deviation.
    pub doubt: f64,
    /// Standard deviation of one rep about the day's level.
    pub rep_noise: f64,
}

/// What the athlete of `entry` would show with its load and box, from the reps before a moment;
/// `day` is the [`day_share`] of the exercise. `None` with too little to go by.
pub fn of(
    house: &House,
    gym: &Gym,
    entry: &RepEntry,
    before: Timestamp,
    day: f64,
) -> Option<Expectation> {
    let exercise = house.exercise(gym, &entry.exercise)?;
    match exercise.load_model {
        LoadModel::SystemMass => from_profile(house, gym, exercise, entry, day),
        _ => {
            let reps = alike(gym, &entry.athlete, entry, before);
            from_line(exercise, &reps, entry.load.total, day)
                .or_else(|| from_same_load(&reps, entry, day))
        }
    }
}

/// Reps of an athlete before a moment, with the exercise, side and way of measuring of `entry`.
fn alike<'a>(
    gym: &'a Gym,
    athlete: &AthleteId,
    entry: &RepEntry,
    before: Timestamp,
) -> Vec<&'a Rep> {
    gym.reps_of(athlete)
        .filter(|rep| rep.entry.at < before && rep.counts())
        .filter(|rep| {
            rep.entry.exercise == entry.exercise
                && rep.entry.side == entry.side
                && rep.entry.method == entry.method
        })
        .collect()
}

/// From the curve of the loaded jump, as the mat reads.
fn from_profile(
    house: &House,
    gym: &Gym,
    exercise: &Exercise,
    entry: &RepEntry,
    day: f64,
) -> Option<Expectation> {
    let athlete = &entry.athlete;
    let momentum = house.profiles.momentum(house, gym, athlete, exercise, PROFILE_DAYS).ok()?;
    let profile = &momentum.profile.value;
    let height = profile.mean_height(entry.load.total);
    let expected = (height.value + momentum.set.mat_offset).si();
    let doubt = height.interval.map(Quantity::si).usual_spread().hypot(day * expected);
    Some(Expectation { expected, doubt, rep_noise: profile.noise_sd().si() })
}

/// From the line of velocity on load.
fn from_line(exercise: &Exercise, reps: &[&Rep], load: Mass, day: f64) -> Option<Expectation> {
    let line = line(exercise, &latest(reps))?;
    let at = line.average_at(load);
    let expected = at.value.si();
    let doubt = at.interval.map(Quantity::si).usual_spread().hypot(day * expected);
    Some(Expectation { expected, doubt, rep_noise: line.rep_sd().si() })
}

/// Those of the weeks up to the last one: what was true before a camp says little of tonight.
fn latest<'a>(reps: &[&'a Rep]) -> Vec<&'a Rep> {
    let Some(last) = reps.iter().map(|rep| rep.entry.at).max() else { return Vec::new() };
    let since = last - SignedDuration::from_hours(24 * i64::from(PROFILE_DAYS));
    reps.iter().copied().filter(|rep| rep.entry.at >= since).collect()
}

fn line(exercise: &Exercise, reps: &[&Rep]) -> Option<LoadVelocityProfile> {
    if !matches!(exercise.measure.kind, MeasureKind::MeanVelocity | MeasureKind::PeakVelocity) {
        return None;
    }
    let points: Vec<VelocityRep> = reps
        .iter()
        .filter_map(|rep| {
            let velocity = Velocity::metres_per_second(rep.number()?);
            Some(VelocityRep { load: rep.entry.load.total, velocity })
        })
        .collect();
    Some(LoadVelocityProfile::from_reps(&points, LoadVelocitySettings::default()).ok()?.value)
}

/// How far the level of a day strays from an athlete's line, as a share of it: from everyone here
/// who did the exercise with this side and way of measuring on days before that of `entry`, drawn
/// towards the usual share while such days are few. Good and bad days come to all alike, so one
/// number for the gym is known far better than one for each.
pub fn day_share(house: &House, gym: &Gym, entry: &RepEntry) -> f64 {
    let today = house.clock().date_of(entry.at);
    let (squares, degrees) = gym
        .athletes
        .keys()
        .filter_map(|athlete| {
            let reps = alike(gym, athlete, entry, entry.at);
            let exercise = house.exercise(gym, &entry.exercise)?;
            let mut earlier = latest(&reps);
            earlier.retain(|rep| house.clock().date_of(rep.entry.at) < today);
            between_days(house, &earlier, &line(exercise, &earlier)?)
        })
        .fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
    let own = (degrees > 0.0).then(|| ((squares / degrees).max(0.0).sqrt(), degrees));
    spread_towards((DAY_SHARE, USUAL_DAYS), own).standard_deviation
}

/// Squares of the days' mean distances from the line less what their reps explain, as shares, and
/// their degrees of freedom: the analysis of variance for days of unequal numbers of reps.
fn between_days(house: &House, reps: &[&Rep], line: &LoadVelocityProfile) -> Option<(f64, f64)> {
    let mut days: BTreeMap<Date, Vec<f64>> = BTreeMap::new();
    for rep in reps {
        let expected = line.average_at(rep.entry.load.total).value.si();
        let Some(value) = rep.number() else { continue };
        let share = value / expected - 1.0;
        days.entry(house.clock().date_of(rep.entry.at)).or_default().push(share);
    }
    let count = |length: usize| u32::try_from(length).map_or(f64::NAN, f64::from);
    let means: Vec<f64> = days.values().map(|day| mean(day)).collect();
    let middle = mean(&means);
    let degrees = count(days.len()) - 1.0;
    let within: f64 = days
        .values()
        .zip(&means)
        .map(|(day, mean)| day.iter().map(|one| (one - mean).powi(2)).sum::<f64>())
        .sum();
    let spare = count(days.values().map(Vec::len).sum()) - count(days.len());
    let of_a_rep = within / spare;
    let of_means: f64 = days.values().map(|day| of_a_rep / count(day.len())).sum();
    let squares: f64 = means.iter().map(|mean| (mean - middle).powi(2)).sum();
    (degrees > 0.0 && spare > 0.0)
        .then(|| (squares - degrees * of_means / count(days.len()), degrees))
}

/// From reps with the same load and box.
fn from_same_load(reps: &[&Rep], entry: &RepEntry, day: f64) -> Option<Expectation> {
    let same = |rep: &&&Rep| LikeForLike::of(entry).holds(&rep.entry);
    let values: Vec<f64> =
        reps.iter().rev().filter(same).filter_map(|rep| rep.number()).take(LATEST_REPS).collect();
    if values.len() < FEWEST_REPS {
        return None;
    }
    let n = f64::from(u32::try_from(values.len()).ok()?);
    let expected = mean(&values);
    let squares: f64 = values.iter().map(|value| (value - expected).powi(2)).sum();
    let (share, worth) = USUAL_SPREAD;
    let own = ((squares / (n - 1.0)).sqrt(), n - 1.0);
    let rep_noise = spread_towards((share * expected, worth), Some(own)).standard_deviation;
    let doubt = (rep_noise / n.sqrt()).hypot(day * expected);
    Some(Expectation { expected, doubt, rep_noise })
}
