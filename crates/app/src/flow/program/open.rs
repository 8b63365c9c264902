//! The evening a session becomes.

use super::resolve;
use super::rotate::{self, bars_for};
use crate::flow::house::House;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::{EveningPlan, Station};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{Presence, Round, SessionId, SessionPlan};
use cornerwork_core::words;

/// The evening of a planned session: its stations, and the rotation as planned now.
///
/// # Errors
/// A sentence when it is not planned for today, nobody comes or nobody may do anything.
pub fn planned(house: &House, gym: &Gym, id: &SessionId) -> Result<EveningPlan, String> {
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
    evening(house, gym, plan, Some(id.clone()))
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
