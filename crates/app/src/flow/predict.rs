//! What the athlete's own history says the next number will be, so that a slip stands out and a
//! best passes.

use crate::flow::expected;
use crate::flow::house::House;
use cornerwork_core::entry::{Expected, Prediction};
use cornerwork_core::exercise::Span;
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::rep::RepEntry;
use cornerwork_core::stats::mean::mean;
use cornerwork_core::stats::shrinkage::spread_towards;

/// Spread of the time on the ground as a share of it before the own times speak, worth as much as
/// five of them (common practice, no source).
const CONTACT_SPREAD: (f64, f64) = (0.10, 5.0);
/// Fewest own times an expectation rests on.
const FEWEST_CONTACTS: usize = 3;

/// What is known of a rep about to be entered: the curve, the line or comparable reps say how far
/// it may stray, good and bad days included, and what was done before is possible.
pub fn rep(house: &House, gym: &Gym, entry: &RepEntry) -> Expected<'static> {
    let day = expected::day_share(house, gym, entry);
    let prediction = expected::of(house, gym, entry, entry.at, day)
        .map(|of| Prediction { mean_si: of.expected, sd_si: of.doubt.hypot(of.rep_noise) });
    let like = LikeForLike::of(entry);
    Expected { prediction, seen_si: seen(gym.comparable(&like)), ..Expected::default() }
}

/// What is known of the time on the ground of a rep about to be entered, from those before it off
/// the same box.
pub fn contact(gym: &Gym, entry: &RepEntry) -> Expected<'static> {
    let times = gym.contacts(&LikeForLike::of(entry), None);
    Expected {
        prediction: of_contacts(&times),
        seen_si: seen(times.iter().copied()),
        ..Expected::default()
    }
}

fn of_contacts(times: &[f64]) -> Option<Prediction> {
    if times.len() < FEWEST_CONTACTS {
        return None;
    }
    let n = f64::from(u32::try_from(times.len()).ok()?);
    let mean_si = mean(times);
    let squares: f64 = times.iter().map(|time| (time - mean_si).powi(2)).sum();
    let (share, worth) = CONTACT_SPREAD;
    let own = ((squares / (n - 1.0)).sqrt(), n - 1.0);
    let spread = spread_towards((share * mean_si, worth), Some(own)).standard_deviation;
    Some(Prediction { mean_si, sd_si: spread * (1.0 + 1.0 / n).sqrt() })
}

fn seen(values: impl Iterator<Item = f64>) -> Option<Span<f64>> {
    let ends = values.map(|value| (value, value));
    let (low, high) = ends.reduce(|seen, one| (seen.0.min(one.0), seen.1.max(one.1)))?;
    Span::new(low, high)
}
