//! What an athlete's camp had planned and how much of it is on record.

use super::contest;
use crate::flow::house::House;
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::training_load::SessionKind;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words;
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
    said.extend(of_planned(&sessions, &trained, "session", "sessions"));
    let tests: Vec<Date> = plan.days_of(Mark::Test).filter(due).collect();
    said.extend(of_planned(&tests, &trained, "test day", "test days"));
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

fn of_planned(days: &[Date], trained: &BTreeSet<Date>, one: &str, many: &str) -> Option<String> {
    let done = days.iter().filter(|day| trained.contains(day)).count();
    let what = if days.len() == 1 { one } else { many };
    (!days.is_empty()).then(|| format!("{} {what} planned, {done} done.", days.len()))
}
