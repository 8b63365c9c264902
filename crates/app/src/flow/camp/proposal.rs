//! A camp as it would be: laid out, or laid out anew because its bout moves or its phases change.
//! It is looked at, with the list of differences, before it is accepted.

use super::{limits, travel, typed};
use crate::flow::house::House;
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::difference::differences;
use cornerwork_core::camp::phase::{PhaseKind, PhaseRules, days_between};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use jiff::civil::{Date, Weekday};

/// Most weeks of one phase that a form takes.
const MOST_WEEKS: i32 = 30;
/// Fewer days than this from the first to the bout are short notice (common practice, no source).
pub const SHORT_NOTICE_DAYS: i32 = 28;

/// How the coach wants it, as typed.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    /// The day of the bout; empty for the day it has.
    pub to: String,
    /// Whose bout moves; none for all.
    pub athletes: Vec<AthleteId>,
    /// First day of a camp that is laid out for the first time.
    pub begins: String,
    /// Weekdays of open sparring; `None` leaves them.
    pub sparring: Option<Vec<Weekday>>,
    /// Weeks for phases; an empty text leaves the usual.
    pub weeks: Vec<(PhaseKind, String)>,
    /// Days of recovery after it; empty for the usual.
    pub recovery: String,
}

/// What would be.
#[derive(Clone, Debug)]
pub struct Proposal<'a> {
    /// The bout as it is.
    pub bout: &'a Bout,
    /// The camp as it is, where there is one.
    pub was: Option<&'a CampPlan>,
    /// Who it is for.
    pub athletes: Vec<AthleteId>,
    /// The id of the bout it leads to.
    pub into: String,
    /// The day of the bout.
    pub to: Date,
    /// Its last day.
    pub last_day: Date,
    /// The camp.
    pub plan: CampPlan,
    /// What has no room.
    pub lost: Vec<String>,
    /// What changes.
    pub differences: Vec<String>,
}

impl Proposal<'_> {
    /// Whether the bout itself moves.
    pub fn moves(&self) -> bool {
        self.to != self.bout.date
    }

    /// The change that makes it so.
    pub fn change(self, reason: String) -> CampChange {
        if self.moves() {
            CampChange::BoutMoved {
                bout: self.bout.id.clone(),
                athletes: self.athletes,
                into: self.into,
                to: self.to,
                plan: self.plan,
                reason,
            }
        } else {
            CampChange::CampPlanned { bout: self.bout.id.clone(), plan: self.plan }
        }
    }
}

/// The camp as it would be.
///
/// # Errors
/// A sentence: what was wrong and what to do.
pub fn propose<'a>(
    house: &House,
    gym: &'a Gym,
    id: &str,
    wanted: &Wanted,
) -> Result<Proposal<'a>, String> {
    let today = house.clock().today();
    let bout = gym.bouts.get(id).ok_or("That bout is gone. Go back to the plan.")?;
    let to = if wanted.to.trim().is_empty() { bout.date } else { typed::day(&wanted.to)? };
    if to != bout.date && to < today {
        return Err(format!("{} is past. Give a day to come.", typed::written(to)));
    }
    let athletes = whose(bout, wanted)?;
    if to == bout.date && athletes.len() < bout.athletes.len() {
        let sentence = "One camp leads to one day: pick another day for those who move.";
        return Err(sentence.to_owned());
    }
    let last_day = gym.camps.last_day(bout).saturating_add(to - bout.date);
    let rules = rules(wanted)?;
    let was = gym.camps.plan(id).filter(|plan| !plan.phases.is_empty());
    let under_way = was.filter(|plan| plan.phases.first().is_some_and(|first| first.from <= today));
    let (mut plan, lost) = match under_way {
        Some(plan) => plan.moved(today, bout.date, (to, last_day), &rules),
        None => {
            let begins = first_day(gym, bout, today, wanted, to)?;
            let sparring = was.map(|plan| plan.sparring.clone()).unwrap_or_default();
            let (mut plan, lost) = CampPlan::laid_out(begins, (to, last_day), sparring, &rules);
            plan.marks.extend(marks_kept(gym, bout, to));
            (plan, lost)
        }
    };
    if let Some(sparring) = &wanted.sparring {
        plan.sparring.clone_from(sparring);
    }
    let into = match athletes.first() {
        Some(first) if athletes.len() < bout.athletes.len() => {
            typed::fresh_id(gym, &format!("{id}-{first}"))
        }
        _ => bout.id.clone(),
    };
    let mut differences = match was {
        Some(was) => differences((was, bout.date), (&plan, to), today),
        None => Vec::new(),
    };
    if to != bout.date {
        differences.extend(limits::differences(house, gym, bout, &athletes, to));
        differences.extend(travel::difference(gym, bout, to));
    }
    Ok(Proposal { bout, was, athletes, into, to, last_day, plan, lost, differences })
}

fn whose(bout: &Bout, wanted: &Wanted) -> Result<Vec<AthleteId>, String> {
    if wanted.athletes.is_empty() {
        return Ok(bout.athletes.clone());
    }
    match wanted.athletes.iter().find(|athlete| !bout.athletes.contains(athlete)) {
        Some(stranger) => Err(format!("{stranger} does not box at {}.", bout.name)),
        None => Ok(bout
            .athletes
            .iter()
            .filter(|athlete| wanted.athletes.contains(athlete))
            .cloned()
            .collect()),
    }
}

fn first_day(
    gym: &Gym,
    bout: &Bout,
    today: Date,
    wanted: &Wanted,
    to: Date,
) -> Result<Date, String> {
    let planned = gym.camps.plan(&bout.id).and_then(|plan| plan.phases.first());
    let begins = match wanted.begins.trim() {
        "" => planned.map_or(today, |first| first.from),
        text => typed::day(text)?,
    };
    if begins >= to {
        let bell = typed::written(to);
        return Err(format!("A camp begins before its bout on {bell}. Give an earlier day."));
    }
    if days_between(begins, to) > 400 {
        return Err("A camp of more than a year? Give a later first day.".to_owned());
    }
    Ok(begins)
}

/// What was marked by hand stays; the scales follow the bout, test days follow the phases.
fn marks_kept(gym: &Gym, bout: &Bout, to: Date) -> Vec<(Date, Mark)> {
    let shift = to - bout.date;
    let marks = gym.camps.plan(&bout.id).map(|plan| plan.marks.iter().copied().collect());
    let marks: Vec<(Date, Mark)> = marks.unwrap_or_default();
    let kept = marks.into_iter().filter_map(|(day, mark)| match mark {
        Mark::Test => None,
        Mark::WeighIn => Some((day.saturating_add(shift), mark)),
        _ => Some((day, mark)),
    });
    kept.collect()
}

/// The usual rules with the weeks the coach wants; none drops the phase.
fn rules(wanted: &Wanted) -> Result<PhaseRules, String> {
    let mut rules = PhaseRules::default();
    for (kind, text) in &wanted.weeks {
        if text.trim().is_empty() {
            continue;
        }
        let weeks = whole(text, MOST_WEEKS).ok_or_else(|| {
            format!("\"{}\" weeks of {kind}? Type a whole number from 0 to 30.", text.trim())
        })?;
        rules.before_taper.retain(|rule| weeks > 0 || rule.kind != *kind);
        for rule in rules.before_taper.iter_mut().filter(|rule| rule.kind == *kind) {
            rule.usual_weeks = weeks;
            rule.at_least_weeks = rule.at_least_weeks.min(weeks);
        }
    }
    if !wanted.recovery.trim().is_empty() {
        rules.recovery_days = whole(&wanted.recovery, 60).ok_or_else(|| {
            let text = wanted.recovery.trim();
            format!("\"{text}\" days of recovery? Type a whole number from 0 to 60.")
        })?;
    }
    Ok(rules)
}

fn whole(text: &str, most: i32) -> Option<i32> {
    text.trim().parse().ok().filter(|number| (0..=most).contains(number))
}
