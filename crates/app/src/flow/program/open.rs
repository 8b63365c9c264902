//! The evening a session becomes.

use super::presence::minutes_since_start;
use super::rotate::{self, bars_for};
use super::{resolve, rounds};
use crate::flow::house::House;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::{EveningPlan, Station};
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::program::{Presence, Round, SessionId, SessionPlan};
use cornerwork_core::words;
use std::collections::BTreeSet;

/// The evening of a planned session begins: its stations, and the rotation as planned now. One that
/// was closed today goes on where it stopped.
///
/// # Errors
/// A sentence when it is not planned for today, nobody comes or nobody may do anything.
pub fn planned(house: &House, gym: &Gym, id: &SessionId) -> Result<Change, String> {
    let plan = gym.program.session(id).ok_or("That session is not planned any more.")?;
    let today = house.clock().today();
    match plan.date {
        None => return Err("A template has no day. Plan a session from it first.".to_owned()),
        Some(day) if day != today => {
            let day = words::day(day);
            return Err(format!("This session is planned for {day}. Move it to today first."));
        }
        Some(_) => {}
    }
    let mut over = gym.evenings_over(today);
    match over.find(|one| one.plan.session.as_ref() == Some(id)) {
        Some(held) => again(house, gym, held),
        None => Ok(Change::EveningOpened(evening(house, gym, plan, Some(id.clone()))?)),
    }
}

/// An evening of today that was closed goes on where it stopped: done rounds as they were, the rest
/// planned anew only where stations or people were changed since.
///
/// # Errors
/// A sentence when nobody has anything left to do.
pub fn again(house: &House, gym: &Gym, held: &Evening) -> Result<Change, String> {
    let session = held.plan.session.as_ref().and_then(|id| gym.program.session(id));
    let plan = match session {
        Some(session) => goes_on(house, gym, held, session)?,
        None => held.plan.clone(),
    };
    Ok(Change::EveningReopened { evening: held.id, plan })
}

fn goes_on(
    house: &House,
    gym: &Gym,
    held: &Evening,
    session: &SessionPlan,
) -> Result<EveningPlan, String> {
    let stations = stations(house, gym, session);
    let come: BTreeSet<&AthleteId> = session.people.iter().map(|one| &one.athlete).collect();
    let came: BTreeSet<&AthleteId> = held.plan.groups.iter().flatten().collect();
    if stations == held.plan.stations && come == came {
        return Ok(held.plan.clone());
    }
    let resolved = resolve::session(house, gym, session);
    let done = rounds::so_far(held, session);
    let now = u16::try_from(minutes_since_start(house, session).max(0)).unwrap_or(u16::MAX);
    let rounds = rotate::rotate_rest(house, gym, &resolved, &done, now)?;
    let people = come.into_iter().cloned().collect();
    Ok(EveningPlan { stations, groups: groups(&rounds, people), rounds, ..held.plan.clone() })
}

/// The usual evening for those present: the template of the usual four stations, groups of two or
/// three in the order given.
///
/// # Errors
/// A sentence when nobody is present or the template is missing.
pub fn usual(house: &House, gym: &Gym, present: &[AthleteId]) -> Result<EveningPlan, String> {
    if present.is_empty() {
        return Err("Tick who trains tonight first.".to_owned());
    }
    let id = SessionId::new(super::USUAL).ok_or("The usual evening has no name.")?;
    let template = super::session(house, gym, &id).ok_or("The usual evening has no template.")?;
    let people = present.iter().cloned().map(Presence::whole).collect();
    let plan = SessionPlan { people, date: Some(house.clock().today()), ..template };
    let stations = stations(house, gym, &plan);
    let size = present.len().div_ceil(stations.len().max(1));
    let groups = present.chunks(size).map(<[AthleteId]>::to_vec).collect();
    let date = house.clock().today();
    Ok(EveningPlan { date, stations, groups, session: None, rounds: Vec::new() })
}

fn evening(
    house: &House,
    gym: &Gym,
    plan: &SessionPlan,
    session: Option<SessionId>,
) -> Result<EveningPlan, String> {
    if plan.people.is_empty() {
        return Err("Say who is in first.".to_owned());
    }
    let resolved = resolve::session(house, gym, plan);
    let rotating = rotate::rotate(house, gym, &resolved)?;
    let rounds = rotating.rounds();
    let people = plan.people.iter().map(|presence| presence.athlete.clone()).collect();
    Ok(EveningPlan {
        date: house.clock().today(),
        stations: stations(house, gym, plan),
        groups: groups(&rounds, people),
        session,
        rounds,
    })
}

fn stations(house: &House, gym: &Gym, plan: &SessionPlan) -> Vec<Station> {
    let resolved = resolve::session(house, gym, plan);
    plan.blocks
        .iter()
        .map(|block| Station {
            number: block.station,
            exercise: block.exercise.clone(),
            bars: bars_for(house, gym, &resolved, block.station),
            sets: block.sets,
            reps: block.reps,
            rest: block.rest,
        })
        .collect()
}

/// Who starts where, and with whom nobody starts the rest: everyone who comes stands in a group.
fn groups(rounds: &[Round], people: Vec<AthleteId>) -> Vec<Vec<AthleteId>> {
    let mut groups = rounds.first().cloned().unwrap_or_default();
    let later: Vec<AthleteId> =
        people.into_iter().filter(|id| !groups.iter().flatten().any(|one| one == id)).collect();
    if !later.is_empty() {
        groups.push(later);
    }
    groups
}
