//! What the athlete's own history says the next number will be, so that a slip stands out.

use crate::flow::house::House;
use crate::flow::profiles::PROFILE_DAYS;
use cornerwork_core::entry::Prediction;
use cornerwork_core::exercise::LoadModel;
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::rep::RepEntry;
use cornerwork_core::units::Quantity;

/// Fewest comparable reps a prediction rests on: with fewer the spread is not known.
const FEWEST_REPS: usize = 5;
/// The latest this many count: what was true last year does not help tonight.
const LATEST_REPS: usize = 20;

/// The prediction for a rep about to be entered, from the jump profile or from comparable reps.
pub fn rep(house: &House, gym: &Gym, entry: &RepEntry) -> Option<Prediction> {
    from_profile(house, gym, entry).or_else(|| from_reps(gym, entry))
}

fn from_profile(house: &House, gym: &Gym, entry: &RepEntry) -> Option<Prediction> {
    let exercise = house.exercise(gym, &entry.exercise)?;
    if exercise.load_model != LoadModel::SystemMass {
        return None;
    }
    let momentum =
        house.profiles.momentum(house, gym, &entry.athlete, exercise, PROFILE_DAYS).ok()?;
    let height = momentum.profile.value.predicted_height(entry.load.total);
    let as_read = height.value + momentum.set.mat_offset;
    // The predictive law is a little wider in the tails than a normal, which errs towards not asking.
    let sd_si = height.interval.map(Quantity::si).usual_spread();
    Some(Prediction { mean_si: as_read.si(), sd_si })
}

fn from_reps(gym: &Gym, entry: &RepEntry) -> Option<Prediction> {
    let values: Vec<f64> =
        gym.comparable(&LikeForLike::of(entry)).rev().take(LATEST_REPS).collect();
    let count = values.len();
    if count < FEWEST_REPS {
        return None;
    }
    let n = f64::from(u32::try_from(count).ok()?);
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (n - 1.0);
    // A new value scatters around a mean that is itself uncertain.
    Some(Prediction { mean_si: mean, sd_si: (variance * (1.0 + 1.0 / n)).sqrt() })
}
