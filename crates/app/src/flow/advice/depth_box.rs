//! Which box to step off, and how high it may be.

use super::Advice;
use crate::flow::house::House;
use crate::flow::plan::UNLOADED_JUMP;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::prescription::depth_jump_box::{
    BoxAnswer, BoxBar, BoxReason, BoxResult, BoxToUse, DepthJumpRules, DepthJumper, choose_box,
};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Rep;
use cornerwork_core::units::Length;
use cornerwork_core::words::counted;
use jiff::ToSpan;

/// Boxes tried longer ago than this say little about today.
const RESULT_DAYS: i64 = 42;

/// The box for an athlete; with a coach's reason above what is open to a junior without one.
pub fn advice(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    exercise: &Exercise,
    coach_reason: Option<String>,
) -> Advice {
    let Some(jumper) = jumper(house, gym, athlete, exercise) else {
        return Advice::sentence(
            "Jump without a load and weigh in first: the box follows from both.",
        );
    };
    let jumper = DepthJumper { coach_reason, ..jumper };
    let results = results(house, gym, athlete, exercise);
    let rules = DepthJumpRules::default();
    let today = house.clock().today();
    let confirmed = gym.safety().confirmed_box(&athlete.id, &exercise.id, today);
    let open = |height: &&Length| confirmed.is_none_or(|(highest, _)| **height <= highest);
    let boxes: Vec<Length> = gym.boxes.iter().filter(open).copied().collect();
    let answer = match choose_box(&jumper, &results, &boxes, &exercise.permissions, rules) {
        Ok(answer) => answer,
        Err(error) => return Advice::sentence(error.to_string()),
    };
    let working = answer.value.working(&jumper, &rules);
    let advice = match &answer.value {
        BoxAnswer::Use(chosen) => {
            Advice { box_height: Some(chosen.now), ..Advice::sentence(box_sentence(chosen)) }
        }
        BoxAnswer::Barred(bar) => Advice::sentence(bar_sentence(*bar)),
    };
    Advice { working: Some(working), notes: answer.notes, ..advice }
}

fn box_sentence(chosen: &BoxToUse) -> String {
    let centimetres = |height: Length| format!("{:.0} cm", height.in_centimetres());
    let why = match chosen.reason {
        BoxReason::OwnJumpHeight => "nothing tested yet, so as high as the own jump",
        BoxReason::ReachesAim => "the lowest whose rebound beats the standing jump by a tenth",
        BoxReason::HighestMatching => "the highest whose rebound matches the standing jump",
        BoxReason::BelowFailed => "no tested box matched, so one lower",
    };
    let next =
        chosen.next.map_or_else(String::new, |next| format!(" Then try {}.", centimetres(next)));
    let ceiling = chosen.ceiling.map_or_else(String::new, |ceiling| {
        format!(" No higher than {}: {}.", centimetres(ceiling.height), ceiling.from.words())
    });
    format!("{} box: {why}.{next}{ceiling}", centimetres(chosen.now))
}

fn bar_sentence(bar: BoxBar) -> String {
    match bar {
        BoxBar::BoutTooClose { days, fewest } => {
            format!(
                "No depth jumps: {} to the bout, at least {fewest} are kept free of them.",
                counted(days, "day")
            )
        }
        BoxBar::NoLowEnoughBox => "No depth jumps: no box here is low enough.".to_owned(),
        BoxBar::StrengthFirst => {
            "No depth jumps: no box gives a rebound that matches. Strength first.".to_owned()
        }
    }
}

/// The best unloaded jump of the latest day that has one, with what the caps need.
fn jumper(house: &House, gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Option<DepthJumper> {
    let method = house.method_of(exercise);
    let date = |rep: &Rep| house.clock().date_of(rep.entry.at);
    let jumps: Vec<&Rep> = gym
        .reps_of(&athlete.id)
        .filter(|rep| rep.entry.exercise.as_str() == UNLOADED_JUMP && rep.entry.method == method)
        .filter(|rep| rep.counts())
        .collect();
    let latest = date(jumps.last()?);
    let best = jumps
        .iter()
        .filter(|rep| date(rep) == latest)
        .filter_map(|rep| rep.number())
        .reduce(f64::max)?;
    let today = house.clock().today();
    let confirmed = gym.safety().confirmed_box(&athlete.id, &exercise.id, today);
    let days = gym.next_bout(&athlete.id, today).map(|bout| bout.days_from(today));
    Some(DepthJumper {
        best_jump: Length::metres(best),
        body_mass: gym.body_mass(&athlete.id)?.1,
        age_years: athlete.age_years(today),
        coach_reason: confirmed.map(|(_, reason)| reason.to_owned()),
        days_to_bout: days.and_then(|days| u16::try_from(days).ok()),
    })
}

fn results(house: &House, gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Vec<BoxResult> {
    let since = house.clock().today().saturating_sub(RESULT_DAYS.days());
    gym.reps_of(&athlete.id)
        .filter(|rep| rep.entry.exercise == exercise.id)
        .filter(|rep| house.clock().date_of(rep.entry.at) >= since)
        .filter_map(|rep| {
            Some(BoxResult {
                box_height: rep.entry.box_height?,
                rebound: Length::metres(rep.number()?),
                contact: rep.entry.contact_time,
            })
        })
        .collect()
}
