//! What an athlete's camp had planned and how much of it is on record.

use super::contest;
use crate::flow::house::House;
use crate::flow::plan::LOADED_JUMP;
use crate::flow::{jump_days, program};
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::training_load::SessionKind;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{Purpose, SessionPlan};
use cornerwork_core::session::rep::Rep;
use cornerwork_core::words::{self, counted};
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// The camp an athlete is in, else the latest that is over; `None` before the first.
pub fn latest<'a>(
    gym: &'a Gym,
    athlete: &AthleteId,
    today: Date,
) -> Option<(&'a Bout, &'a CampPlan)> {
    let theirs = gym.bouts.values().filter(|bout| bout.athletes.contains(athlete));
    let begun = theirs.filter_map(|bout| {
        let plan = gym.camps.plan(&bout.id)?;
        let first = plan.phases.first()?;
        (first.from <= today).then_some((bout, plan))
    });
    begun.max_by_key(|(bout, _)| bout.date)
}

/// Planned and done from a camp's first day up to yesterday, each a sentence; today's counts once
/// it is done.
pub fn sentences(house: &House, gym: &Gym, athlete: &AthleteId, today: Date) -> Vec<String> {
    let Some((bout, plan)) = latest(gym, athlete, today) else { return Vec::new() };
    let Some(first) = plan.phases.first() else { return Vec::new() };
    let trained: BTreeSet<Date> =
        gym.reps_of(athlete).map(|rep| house.clock().date_of(rep.entry.at)).collect();
    let due = |day: &Date| *day >= first.from && (*day < today || trained.contains(day));
    let until = today.min(gym.camps.last_day(bout));
    let phases = plan
        .phases
        .iter()
        .map(|phase| format!("{} from {}", phase.kind.word(), words::day(phase.from)));
    let mut said = vec![format!(
        "Camp for {} on {}: {}.",
        bout.name,
        words::day(bout.date),
        phases.collect::<Vec<_>>().join(", ")
    )];
    said.extend(contest::in_words(gym, bout, athlete));
    let sessions: Vec<Date> = gym
        .program
        .sessions()
        .filter(|session| session.presence(athlete).is_some())
        .filter_map(|session| session.date)
        .filter(due)
        .collect();
    if !sessions.is_empty() {
        let done = sessions.iter().filter(|day| trained.contains(day)).count();
        said.push(format!("{} planned, {done} done.", counted(sessions.len(), "session")));
    }
    let tests: Vec<Date> = plan.days_of(Mark::Test).filter(due).collect();
    said.extend(of_tests(house, gym, athlete, &tests));
    let sparred = first.from.series(1.day()).take_while(|day| *day < until);
    let planned = sparred.filter(|day| plan.spars_on(*day)).count();
    if planned > 0 {
        let closed = gym.safety().sessions(athlete).iter();
        let done = closed.filter(|one| one.kind == SessionKind::Sparring && one.date >= first.from);
        said.push(format!(
            "Open sparring was planned on {planned} days; {} are on record.",
            done.count()
        ));
    }
    said
}

/// Test days that were planned, and on which of them what was tested: training on the day is no
/// test.
fn of_tests(house: &House, gym: &Gym, athlete: &AthleteId, days: &[Date]) -> Option<String> {
    let done: Vec<String> = days
        .iter()
        .filter_map(|day| {
            let tested = tested_on(house, gym, athlete, *day);
            let what = tested.join(" and ");
            (!tested.is_empty()).then(|| format!("{what} on {}", words::day(*day)))
        })
        .collect();
    let which = if done.is_empty() { String::new() } else { format!(": {}", done.join("; ")) };
    let planned = counted(days.len(), "test day");
    (!days.is_empty()).then(|| format!("{planned} planned, {} done{which}.", done.len()))
}

/// Loads that make a loaded jump a test of them, and jumps that make a day's mean (common practice,
/// no source).
const FEWEST: usize = 2;

/// What was tested on a day: jumps away from the stations, recordings, a session that is a test.
fn tested_on(house: &House, gym: &Gym, athlete: &AthleteId, day: Date) -> Vec<&'static str> {
    let jump_days = jump_days::of(house, gym, athlete);
    let of_day = |rep: &&Rep| house.clock().date_of(rep.entry.at) == day;
    let away = gym.reps_of(athlete).filter(of_day).filter(|rep| rep.entry.station.is_none());
    let loaded = away.filter(|rep| rep.entry.exercise.as_str() == LOADED_JUMP && rep.counts());
    let loads: BTreeSet<i64> =
        loaded.map(|rep| (rep.entry.load.total.in_kilograms() * 10.0).round() as i64).collect();
    let is_test = |session: &&SessionPlan| {
        session.purpose == Purpose::Test && session.presence(athlete).is_some()
    };
    let at_stations = || gym.reps_of(athlete).filter(of_day).any(|rep| rep.entry.station.is_some());
    let found = [
        (
            jump_days.iter().any(|one| one.date == day && one.heights_cm.len() >= FEWEST),
            "unloaded jump",
        ),
        (loads.len() >= FEWEST, "loaded jump"),
        (
            gym.traces.all().any(|one| one.filing.athlete == *athlete && one.filing.day == day),
            "recordings",
        ),
        (program::of_day(gym, day).any(|one| is_test(&one)) && at_stations(), "test session"),
    ];
    found.into_iter().filter(|(was, _)| *was).map(|(_, what)| what).collect()
}
