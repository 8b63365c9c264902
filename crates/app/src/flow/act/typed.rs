//! Numbers as they were typed, read by the entry guard against what is expected.

use super::{Answer, Slip};
use crate::flow::house::House;
use cornerwork_core::entry::{self, About, Entry, Expected, Prediction};
use cornerwork_core::exercise::{Measure, MeasureKind};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::units::Mass;

/// Reads what was typed, or takes what was chosen after a question if it is possible at all.
pub(super) fn read(
    text: &str,
    measure: &Measure,
    chosen: Option<f64>,
    about: &About,
) -> Result<f64, Answer> {
    read_expecting(text, measure, chosen, &Expected::default(), about)
}

/// The same with what is known beforehand.
pub fn read_expecting(
    text: &str,
    measure: &Measure,
    chosen: Option<f64>,
    expected: &Expected<'_>,
    about: &About,
) -> Result<f64, Answer> {
    if let Some(chosen) = chosen.filter(|chosen| measure.hard_si.contains(*chosen)) {
        return Ok(chosen);
    }
    match entry::read(text, measure, expected) {
        Entry::Accepted(value) => Ok(value),
        Entry::Ask { doubt, readings } => {
            let slip = Slip { typed: text, measure, doubt, readings: &readings };
            Err(Answer::asking(about, &slip, "chosen"))
        }
        Entry::Refused(refusal) => Err(Answer::Refused(refusal.to_string())),
    }
}

/// Spread of body mass around the last weighing, as a share of it: within a fortnight, and later.
/// Two and a half of them are asked about: a twentieth, a tenth (common practice, no source).
const DAILY_SPREAD: f64 = 0.02;
const LATER_SPREAD: f64 = 0.04;
const LONGEST_KNOWN_DAYS: i64 = 14;

/// A body mass held against the last one: nobody changes by a twentieth overnight.
pub(super) fn weighing(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    text: &str,
    chosen: Option<f64>,
) -> Result<Mass, Answer> {
    let measure = house.exercises.measure(MeasureKind::BodyMass).ok_or_else(|| {
        Answer::Refused("The library does not say how body mass is typed.".into())
    })?;
    let prediction = gym.body_mass(athlete).map(|(at, mass)| {
        let days = house.clock().now().duration_since(at).as_hours() / 24;
        let spread = if days <= LONGEST_KNOWN_DAYS { DAILY_SPREAD } else { LATER_SPREAD };
        let mean_si = mass.in_kilograms();
        Prediction { mean_si, sd_si: mean_si * spread }
    });
    let expected = Expected { prediction, ..Expected::default() };
    let about = About { whose: gym.given_name(athlete), ..About::default() };
    read_expecting(text, measure, chosen, &expected, &about).map(Mass::kilograms)
}
