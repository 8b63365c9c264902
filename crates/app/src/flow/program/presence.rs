//! Someone comes later, goes, or comes after all: the rest of the rotation is planned anew.

use super::{resolve, rotate, rounds};
use crate::flow::house::House;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{Presence, ProgramChange, Round, SessionId, SessionPlan};

/// The latest anyone is said to come or go, from when it is said.
const MOST_MINUTES: u16 = 240;

/// What happens with someone; minutes as typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Coming {
    /// There from the start, or from now on while the evening runs.
    In,
    /// There so many minutes after the start, or from now while the evening runs.
    Late(String),
    /// Gone so many minutes after the start, or from now while the evening runs.
    Leaves(String),
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
    let tonight = gym.evening_of(id);
    // Minutes count from the start that was planned, also when the evening was opened before it or
    // after: who said to come at half past six comes at half past six.
    let since_start = tonight.map_or(0, |_| minutes_since_start(house, &plan));
    let later = |minutes: u16| {
        let minute = (since_start + i64::from(minutes)).clamp(0, i64::from(u16::MAX));
        u16::try_from(minute).unwrap_or(u16::MAX)
    };
    let now = later(0);
    let known = plan.presence(athlete).cloned();
    let known = known.unwrap_or_else(|| Presence::whole(athlete.clone()));
    let presence = match coming {
        Coming::In => Presence { from_minute: now, until_minute: None, ..known },
        Coming::Late(typed) => {
            Presence { from_minute: later(minutes(&typed)?), until_minute: None, ..known }
        }
        Coming::Leaves(typed) => Presence { until_minute: Some(later(minutes(&typed)?)), ..known },
    };
    if tonight.is_none() && presence.from_minute >= plan.minutes {
        return Err(format!(
            "The session lasts {} minutes. Who comes later than that is not in.",
            plan.minutes
        ));
    }
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
            let mut done = rounds::so_far(evening, &plan);
            if let Some(running) = done.get_mut(evening.rotations) {
                *running = without(running, &presence, now);
            }
            let resolved = resolve::session(house, gym, &plan);
            rotate::rotate_rest(house, gym, &resolved, &done, now)?
        }
    };
    Ok(ProgramChange::PresenceChanged { session: id.clone(), presence, rounds })
}

fn minutes(typed: &str) -> Result<u16, String> {
    let count = typed.trim().parse().ok().filter(|minutes| *minutes <= MOST_MINUTES);
    count.ok_or_else(|| {
        format!(
            "\"{typed}\" is no number of minutes. Type a whole number from 0 to {MOST_MINUTES}."
        )
    })
}

/// The round that runs without someone who goes now.
fn without(round: &Round, presence: &Presence, now: u16) -> Round {
    let gone = presence.until_minute.is_some_and(|until| until <= now);
    let stays = |id: &&AthleteId| !gone || **id != presence.athlete;
    round.iter().map(|group| group.iter().filter(stays).cloned().collect()).collect()
}

/// Whole minutes since the stations were to begin; below zero before.
pub(super) fn minutes_since_start(house: &House, plan: &SessionPlan) -> i64 {
    let clock = house.clock();
    let start = plan.date.map(|date| clock.moment(date, plan.starts));
    start.map_or(0, |start| clock.now().duration_since(start).as_secs().div_euclid(60))
}
