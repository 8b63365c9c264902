//! The load that moves at the wanted speed: from the line before the first rep, from the reps
//! just done after it.

use super::{Advice, hanging};
use crate::flow::house::House;
use crate::flow::profiles::{self, PROFILE_DAYS};
use cornerwork_core::exercise::Exercise;
use cornerwork_core::kit::{Bar, Loadable};
use cornerwork_core::note::Noted;
use cornerwork_core::prescription::next_set::{
    Fall, Kept, Move, NextSet, SetDone, next_set, working_of_next_set,
};
use cornerwork_core::prescription::target_velocity::{
    TargetVelocityAnswer, VelocityTarget, load_for_target, working_of_target,
};
use cornerwork_core::profile::load_velocity::LoadVelocityProfile;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Rep, Side};
use cornerwork_core::units::{Mass, Velocity};

pub(super) fn advice(
    house: &House,
    gym: &Gym,
    station: u8,
    athlete: &Athlete,
    exercise: &Exercise,
    loads: &[(Bar, Loadable)],
) -> Option<Advice> {
    let Some(Target::Window { low, high }) = house.target(gym, &athlete.id, exercise) else {
        return None;
    };
    let metres = Velocity::metres_per_second;
    let target = VelocityTarget::window(metres(low), metres(high))?;
    let side = last_side(gym, athlete, exercise);
    let profile = match profiles::velocity(house, gym, &athlete.id, exercise, side, PROFILE_DAYS) {
        Ok(profile) => profile,
        Err(error) => return Some(Advice::sentence(error.to_string())),
    };
    let ramp = gym.ramp(&athlete.id, exercise, house.clock().now());
    let open = loads.iter().map(|(_, load)| load).filter(|load| ramp.allows(load.total()));
    let each: Vec<Loadable> = open.cloned().collect();
    let tonight = reps_of_last_load(gym, station, &athlete.id, side);
    from_reps(&tonight, &profile, target, &each, exercise)
        .or_else(|| from_line(&profile, target, &each, exercise))
        .map(|(advice, load)| hanging(advice, load, loads))
}

/// After the reps just done with a load: what to hang next of the loads given, and the advice in
/// words; `None` before the first of them.
pub fn after_reps(
    tonight: &[&Rep],
    profile: &Noted<LoadVelocityProfile>,
    target: VelocityTarget,
    loads: &[Loadable],
    exercise: &Exercise,
) -> Option<(Advice, Mass)> {
    let (advice, load) = from_reps(tonight, profile, target, loads, exercise)?;
    Some((advice, load?))
}

/// Tonight's reps at the load that hung last, on one side.
pub fn reps_of_last_load<'a>(
    gym: &'a Gym,
    station: u8,
    athlete: &AthleteId,
    side: Option<Side>,
) -> Vec<&'a Rep> {
    let mut reps: Vec<&Rep> = gym
        .reps_at(station)
        .filter(|rep| rep.entry.athlete == *athlete && rep.entry.side == side && rep.counts())
        .collect();
    if let Some(load) = reps.last().map(|rep| rep.entry.load.clone()) {
        reps.retain(|rep| rep.entry.load.same_as(&load));
    }
    reps
}

fn from_reps(
    tonight: &[&Rep],
    profile: &Noted<LoadVelocityProfile>,
    target: VelocityTarget,
    loads: &[Loadable],
    exercise: &Exercise,
) -> Option<(Advice, Option<Mass>)> {
    let load = tonight.last()?.entry.load.total;
    let velocities: Vec<Velocity> =
        tonight.iter().filter_map(|rep| rep.number()).map(Velocity::metres_per_second).collect();
    let done = SetDone { load, velocities: &velocities };
    let fall =
        Fall { slope_m_s_per_kg: profile.value.slope_m_s_per_kg(), rep_sd: profile.value.rep_sd() };
    let next = next_set(done, target, fall, loads, loads.last()?.total()).ok()?;
    let working = working_of_next_set(done, target, fall, &next);
    let notes = profile.notes.clone();
    let sentence = set_sentence(&next, exercise);
    let load = next.load.total();
    Some((Advice { working: Some(working), notes, ..Advice::sentence(sentence) }, Some(load)))
}

fn set_sentence(next: &NextSet, exercise: &Exercise) -> String {
    let load = next.load.total().in_kilograms();
    let expected = exercise.measure.with_unit(next.expected.in_metres_per_second());
    let sure = format!("{:.0} % sure", next.sureness * 100.0);
    match (next.step, next.kept) {
        (Move::Up, _) => format!("▲ Up to {load:.1} kg ({sure}): expect {expected}."),
        (Move::Down, _) => format!("▼ Down to {load:.1} kg ({sure}): expect {expected}."),
        (Move::Same, Some(Kept::NothingBetterAbove)) => {
            format!("Over the window, and nothing heavier here does better: stay at {load:.1} kg.")
        }
        (Move::Same, Some(Kept::NothingBetterBelow)) => {
            "Under the window, and nothing lighter here does better: take a lighter implement or \
             lower the window."
                .to_owned()
        }
        (Move::Same, _) => format!("● Same again, {load:.1} kg ({sure}): expect {expected}."),
    }
}

fn from_line(
    profile: &Noted<LoadVelocityProfile>,
    target: VelocityTarget,
    loads: &[Loadable],
    exercise: &Exercise,
) -> Option<(Advice, Option<Mass>)> {
    let heaviest = loads.last()?.total();
    let answer = match load_for_target(&profile.value, target, loads, heaviest) {
        Ok(answer) => answer,
        Err(error) => return Some((Advice::sentence(error.to_string()), None)),
    };
    let working = working_of_target(&profile.value, target, &answer.value);
    let (sentence, load) = line_sentence(&answer.value, exercise);
    let notes = profile.notes.iter().cloned().chain(answer.notes).collect();
    Some((Advice { working: Some(working), notes, ..Advice::sentence(sentence) }, load))
}

fn line_sentence(answer: &TargetVelocityAnswer, exercise: &Exercise) -> (String, Option<Mass>) {
    let speed = |velocity: Velocity| exercise.measure.with_unit(velocity.in_metres_per_second());
    let kilograms = |load: &Loadable| load.total().in_kilograms();
    match answer {
        TargetVelocityAnswer::Hang(target) => {
            let expected = speed(target.hang.expected.value);
            let sentence =
                format!("Expect {expected} with {:.1} kg.", kilograms(&target.hang.load));
            (sentence, Some(target.hang.load.total()))
        }
        TargetVelocityAnswer::LighterImplementOrLowerWindow(reached) => {
            let sentence = format!(
                "Even {:.1} kg moves at only {}: take a lighter implement or lower the window.",
                kilograms(&reached.load),
                speed(reached.expected.value)
            );
            (sentence, None)
        }
        TargetVelocityAnswer::HeavierKitOrHigherWindow(reached) => {
            let sentence = format!(
                "Even {:.1} kg still moves at {}: more plates or a faster window.",
                kilograms(&reached.load),
                speed(reached.expected.value)
            );
            (sentence, None)
        }
    }
}

/// The side of the latest rep that counts: its line is the one the next load is read from.
fn last_side(gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Option<Side> {
    gym.reps_of(&athlete.id)
        .rev()
        .find(|rep| rep.entry.exercise == exercise.id && rep.counts())
        .and_then(|rep| rep.entry.side)
}
