//! Who stands where, round by round: one answer for the floor, the desk, the picture and the paper.

use super::rotate;
use crate::flow::house::House;
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::program::{ResolvedSession, Round, SessionPlan};

/// The rounds of a session: those of its evening while it runs and after, before it as they are
/// planned now.
///
/// # Errors
/// A sentence when nobody has anything to do.
pub fn of(house: &House, gym: &Gym, session: &ResolvedSession) -> Result<Vec<Round>, String> {
    match gym.evening_held(&session.plan.id) {
        Some(evening) => Ok(all(evening, &session.plan)),
        None => rotate::rotate(house, gym, session).map(|rotating| rotating.rounds()),
    }
}

/// Every round, by the order of the session's stations. An evening opened in plain groups has no
/// rounds of its own; its groups move on by one.
pub fn all(evening: &Evening, session: &SessionPlan) -> Vec<Round> {
    let plan = &evening.plan;
    let in_groups = plan.stations.len().max(plan.groups.len());
    let count = if plan.rounds.is_empty() { in_groups } else { plan.rounds.len() };
    (0..count).map(|round| one(evening, session, round)).collect()
}

/// The rounds that are done and the one that runs.
pub fn so_far(evening: &Evening, session: &SessionPlan) -> Vec<Round> {
    (0..=evening.rotations).map(|round| one(evening, session, round)).collect()
}

fn one(evening: &Evening, session: &SessionPlan, round: usize) -> Round {
    let plan = &evening.plan;
    let group = |station: u8| {
        let place = plan.stations.iter().position(|one| one.number == station);
        place.map_or_else(Vec::new, |place| plan.group_at(place, round).to_vec())
    };
    session.blocks.iter().map(|block| group(block.station)).collect()
}
