//! What an athlete's own history says of reps not yet looked at: for whose set it was, and for a
//! sensor that moved.

use crate::flow::house::House;
use crate::flow::profiles::PROFILE_DAYS;
use cornerwork_core::estimate::Interval;
use cornerwork_core::exercise::{Exercise, LoadModel, MeasureKind};
use cornerwork_core::profile::load_velocity::{
    LoadVelocityProfile, LoadVelocitySettings, RepChoice, VelocityRep,
};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::rep::{Rep, RepEntry};
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
/// How far a day's level strays from the usual, as a share of it (common practice, no source).
const DAY_SHARE: f64 = 0.03;
/// Days the usual spread is worth against the own ones.
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

/// What `athlete` would show where `entry` was done, from the reps before a moment; `None` with too
/// little to go by.
pub fn of(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    entry: &RepEntry,
    before: Timestamp,
) -> Option<Expectation> {
    let exercise = house.exercise(gym, &entry.exercise)?;
    let earlier = |rep: &&Rep| rep.entry.at < before && rep.counts();
    let of_exercise = |rep: &&Rep| {
        rep.entry.exercise == entry.exercise
            && rep.entry.side == entry.side
            && rep.entry.method == entry.method
    };
    let reps: Vec<&Rep> = gym.reps_of(athlete).filter(earlier).filter(of_exercise).collect();
    match exercise.load_model {
        LoadModel::SystemMass => from_profile(house, gym, athlete, exercise, entry.load.total),
        _ => {
            from_line(house, exercise, &reps, entry.load.total).or_else(|| from_alike(&reps, entry))
        }
    }
}

/// From the curve of the loaded jump, as the mat reads.
fn from_profile(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    load: Mass,
) -> Option<Expectation> {
    let momentum = house.profiles.momentum(house, gym, athlete, exercise, PROFILE_DAYS).ok()?;
    let profile = &momentum.profile.value;
    let height = profile.mean_height(load);
    let expected = (height.value + momentum.set.mat_offset).si();
    let doubt = half_width(height.interval.map(Quantity::si)).hypot(DAY_SHARE * expected);
    Some(Expectation { expected, doubt, rep_noise: profile.noise_sd().si() })
}

/// From the line of velocity on load, where the load was not lifted before.
fn from_line(house: &House, exercise: &Exercise, reps: &[&Rep], load: Mass) -> Option<Expectation> {
    if !matches!(exercise.measure.kind, MeasureKind::MeanVelocity | MeasureKind::PeakVelocity) {
        return None;
    }
    let latest = reps.last()?.entry.at;
    let since = latest - SignedDuration::from_hours(24 * i64::from(PROFILE_DAYS));
    let points: Vec<VelocityRep> = reps
        .iter()
        .filter(|rep| rep.entry.at >= since)
        .filter_map(|rep| {
            let velocity = Velocity::metres_per_second(rep.number()?);
            Some(VelocityRep { load: rep.entry.load.total, velocity })
        })
        .collect();
    let settings = LoadVelocitySettings { choice: RepChoice::All, ..Default::default() };
    let line = LoadVelocityProfile::from_reps(&points, settings).ok()?.value;
    let at = line.line_at(load);
    let expected = at.value.si();
    let rep_noise = line.rep_sd().si();
    let day = spread_of_days(house, reps, &line, DAY_SHARE * expected);
    let doubt = half_width(at.interval.map(Quantity::si)).hypot(day);
    Some(Expectation { expected, doubt, rep_noise })
}

/// How far a day's level strays from the line: the spread of the days' mean distances from it
/// less what the reps of a day explain, drawn towards the usual spread while days are few.
fn spread_of_days(house: &House, reps: &[&Rep], line: &LoadVelocityProfile, usual: f64) -> f64 {
    let mut days: BTreeMap<Date, Vec<f64>> = BTreeMap::new();
    for rep in reps {
        let Some(value) = rep.number() else { continue };
        let distance = value - line.line_at(rep.entry.load.total).value.si();
        days.entry(house.clock().date_of(rep.entry.at)).or_default().push(distance);
    }
    let count = |length: usize| u32::try_from(length).map_or(f64::NAN, f64::from);
    let n = count(days.len());
    let means: Vec<f64> =
        days.values().map(|day| day.iter().sum::<f64>() / count(day.len())).collect();
    let middle = means.iter().sum::<f64>() / n;
    let between = means.iter().map(|mean| (mean - middle).powi(2)).sum::<f64>() / (n - 1.0);
    let of_reps = days.values().map(|day| line.rep_sd().si().powi(2) / count(day.len()));
    let own = (between - of_reps.sum::<f64>() / n).max(0.0).sqrt();
    let own = (n >= 2.0).then_some((own, n - 1.0));
    spread_towards((usual, USUAL_DAYS), own).standard_deviation
}

/// From reps with the same load and box.
fn from_alike(reps: &[&Rep], entry: &RepEntry) -> Option<Expectation> {
    let same = |rep: &&&Rep| LikeForLike::of(entry).holds(&rep.entry);
    let values: Vec<f64> =
        reps.iter().rev().filter(same).filter_map(|rep| rep.number()).take(LATEST_REPS).collect();
    if values.len() < FEWEST_REPS {
        return None;
    }
    let n = f64::from(u32::try_from(values.len()).ok()?);
    let expected = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|value| (value - expected).powi(2)).sum();
    let (share, worth) = USUAL_SPREAD;
    let own = ((squares / (n - 1.0)).sqrt(), n - 1.0);
    let rep_noise = spread_towards((share * expected, worth), Some(own)).standard_deviation;
    let doubt = (rep_noise / n.sqrt()).hypot(DAY_SHARE * expected);
    Some(Expectation { expected, doubt, rep_noise })
}

/// Standard deviation behind an interval of nine in ten, as a normal law has it.
fn half_width(interval: Interval<f64>) -> f64 {
    (interval.high - interval.low) / 2.0 / 1.644_853_6
}
