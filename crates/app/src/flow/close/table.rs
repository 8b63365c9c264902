//! Everyone of a session rated from one table, and who is not rated yet.

use super::{Held, TypedSession, session};
use crate::flow::house::House;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::SessionId;

/// The lines of the table that say something new, each as it will be kept: all of them or none.
///
/// # Errors
/// Whose line, which field, and how to type it.
pub fn lines(
    house: &House,
    gym: &Gym,
    asked: Option<&SessionId>,
    typed: Vec<TypedSession>,
) -> Result<Vec<TypedSession>, String> {
    let held = Held::asked(house, gym, asked).ok_or("There was no session to rate.")?;
    let mut fresh = Vec::new();
    for line in typed {
        let known = held.closed(gym, &line.athlete);
        let line = TypedSession { date: held.date.to_string(), ..line };
        // Minutes stand there before anyone typed: alone they say nothing.
        let says_something = [&line.exertion, &line.note, &line.next];
        if known.is_none() && says_something.iter().all(|text| text.trim().is_empty()) {
            continue;
        }
        let name = gym.given_name(&line.athlete);
        let read = session(house, &line).map_err(|sentence| format!("{name}: {sentence}"))?;
        if known != Some(&read) {
            fresh.push(line);
        }
    }
    Ok(fresh)
}

/// Given names of those who did a rep in the session that is being closed and are not rated.
pub fn not_rated(house: &House, gym: &Gym, asked: Option<&SessionId>) -> Vec<String> {
    let held = Held::asked(house, gym, asked);
    held.map_or_else(Vec::new, |held| held.not_rated(gym))
}

/// "2 not rated yet: Danny, Lucy."; `None` when everyone is.
pub fn not_rated_in_words(names: &[String]) -> Option<String> {
    let count = names.len();
    (count > 0).then(|| format!("{count} not rated yet: {}.", names.join(", ")))
}

impl Held<'_> {
    pub(super) fn not_rated(&self, gym: &Gym) -> Vec<String> {
        let rated = |id: &AthleteId| self.closed(gym, id).is_some_and(|one| one.exertion.is_some());
        let trained = |id: &AthleteId| self.reps(gym, id).next().is_some();
        let open = self.people.iter().filter(|id| trained(id) && !rated(id));
        open.map(|id| gym.given_name(id)).collect()
    }
}
