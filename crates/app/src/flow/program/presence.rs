//! Someone comes later, goes, or comes after all: the rest of the rotation is planned anew.

use super::{resolve, rotate};
use crate::flow::house::House;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{Presence, ProgramChange, Round, SessionId};

/// What happens with someone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Coming {
    /// There from the start, or from now on while the evening runs.
    In,
    /// There so many minutes after the start, or from now while the evening runs.
    Late(u16),
    /// Gone so many minutes after the start; now while the evening runs.
    Leaves(u16),
}

/// The change with the rounds that follow from it.
///
/// # Errors
/// A sentence for an athlete or session that is not there, or when nobody is left.
pub fn change(
    house: &House,
    gym: &Gym,
    id: &SessionId,
    athlete: &AthleteId,
    coming: Coming,
) -> Result<ProgramChange, String> {
    let mut plan =
        gym.program.session(id).cloned().ok_or("That session is not planned any more.")?;
    if gym.athlete(athlete).is_none() {
        return Err(format!("There is no athlete {athlete} here."));
    }
    let tonight = gym
        .evening
        .as_ref()
        .filter(|evening| !evening.closed && evening.plan.session.as_ref() == Some(id));
    let now = tonight.map_or(0, |evening| minutes_since(house, evening.opened_at));
    let known = plan.presence(athlete).cloned();
    let known = known.unwrap_or_else(|| Presence::whole(athlete.clone()));
    let presence = match coming {
        Coming::In => Presence { from_minute: now, until_minute: None, ..known },
        Coming::Late(minutes) => {
            Presence { from_minute: now + minutes, until_minute: None, ..known }
        }
        Coming::Leaves(minutes) => Presence { until_minute: Some(now + minutes), ..known },
    };
    if let Some(until) = presence.until_minute.filter(|until| *until < presence.from_minute) {
        return Err(format!(
            "Nobody goes after {until} minutes who comes after {}.",
            presence.from_minute
        ));
    }
    plan.take(presence.clone());
    let rounds = match tonight {
        None => Vec::new(),
        Some(evening) => {
            // An evening opened in plain groups has no rounds of its own; its groups moved on by one.
            let places = 0..evening.plan.stations.len();
            let round = |rotations: usize| -> Round {
                places
                    .clone()
                    .map(|place| evening.plan.group_at(place, rotations).to_vec())
                    .collect()
            };
            let mut done: Vec<Round> = (0..=evening.rotations).map(round).collect();
            if let Some(running) = done.get_mut(evening.rotations) {
                *running = without(running, &presence, now);
            }
            let resolved = resolve::session(house, gym, &plan);
            rotate::rotate_rest(house, gym, &resolved, &done, now)?
        }
    };
    Ok(ProgramChange::PresenceChanged { session: id.clone(), presence, rounds })
}

/// The round that runs without someone who goes now.
fn without(round: &Round, presence: &Presence, now: u16) -> Round {
    let gone = presence.until_minute.is_some_and(|until| until <= now);
    let stays = |id: &&AthleteId| !gone || **id != presence.athlete;
    round.iter().map(|group| group.iter().filter(stays).cloned().collect()).collect()
}

fn minutes_since(house: &House, opened: jiff::Timestamp) -> u16 {
    let minutes = house.clock().now().duration_since(opened).as_mins();
    u16::try_from(minutes).unwrap_or(0)
}
