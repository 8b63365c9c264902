//! Whether an exercise is too near a bout or open sparring for an athlete, and whether the coach
//! has answered for it.

use crate::flow::program::objection;
use cornerwork_core::camp::day::too_near;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::{Evening, Gym};
use jiff::civil::Date;

/// What speaks against an exercise on a day, in one sentence; `None` where nothing does or the
/// coach answered for it.
pub fn objection(gym: &Gym, athlete: &AthleteId, exercise: &Exercise, day: Date) -> Option<String> {
    if gym.camps.answer(athlete, day, &exercise.id).is_some() {
        return None;
    }
    let camp_day = gym.camp_day(athlete, day)?;
    let grounds = too_near(&camp_day, &exercise.permissions);
    let first = grounds.first()?;
    let name = gym.athlete(athlete).map_or(athlete.as_str(), |athlete| athlete.given_name());
    let more = grounds.get(1).map(|ground| format!("; {ground}")).unwrap_or_default();
    Some(format!(
        "{name}, {}: {first}{more}. It needs the coach's word and a reason.",
        exercise.name.to_lowercase()
    ))
}

/// The same at a station of an open evening, where the answer given in its session counts too.
pub fn at_station(
    gym: &Gym,
    evening: &Evening,
    station: u8,
    athlete: &AthleteId,
    exercise: &Exercise,
) -> Option<String> {
    let session = evening.plan.session.as_ref().and_then(|id| gym.program.session(id));
    if session.is_some_and(|plan| objection::confirmed(plan, athlete, station).is_some()) {
        return None;
    }
    objection(gym, athlete, exercise, evening.plan.date)
}
