//! What the pages of the plan show: the squad's camps on one sheet, one camp, a change proposed.

use super::fight_night;
use super::limits::{self, LimitLine};
use super::proposal::{Proposal, SHORT_NOTICE_DAYS};
use super::travel::{self, TravelView};
use super::typed::written;
use crate::flow::house::House;
use cornerwork_core::camp::bout_facts::{BoutFacts, Standing};
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::camps::Told;
use cornerwork_core::camp::day::to_the_bout;
use cornerwork_core::camp::phase::{Phase, PhaseKind, PhaseRules, days_between};
use cornerwork_core::report::figure::{Calendar, CampLayout, DayRow, Figure, NamedDays};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::{self, counted};
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Days shown after the last bout.
const DAYS_AFTER: i32 = 8;

/// Bouts whose camp or recovery is not over, the nearest first.
pub fn ahead(gym: &Gym, today: Date) -> Vec<&Bout> {
    let over = |bout: &&Bout| {
        let camp = gym.camps.plan(&bout.id).and_then(|plan| plan.phases.last());
        let last = gym.camps.last_day(bout);
        camp.map_or(last, |phase| phase.to.max(last)) < today
    };
    let mut bouts: Vec<&Bout> = gym.bouts.values().filter(|bout| !over(bout)).collect();
    bouts.sort_by_key(|bout| bout.date);
    bouts
}

/// Bouts that are over, camp and recovery as well, the latest first.
pub fn over(gym: &Gym, today: Date) -> Vec<&Bout> {
    let ahead = ahead(gym, today);
    let mut bouts: Vec<&Bout> = gym.bouts.values().collect();
    bouts.retain(|bout| ahead.iter().all(|other| other.id != bout.id));
    bouts.sort_by_key(|bout| std::cmp::Reverse(bout.date));
    bouts
}

/// One bout in a line of the squad's sheet.
#[derive(Debug)]
pub struct BoutLine<'a> {
    /// The bout.
    pub bout: &'a Bout,
    /// "24 days to the bout, power day 10 of 21".
    pub today: String,
    /// Whether it is only offered.
    pub offered: bool,
    /// Who boxes.
    pub athletes: Vec<&'a Athlete>,
}

/// One bout in a line.
pub fn line<'a>(gym: &'a Gym, bout: &'a Bout, today: Date) -> BoutLine<'a> {
    BoutLine {
        bout,
        today: day_sentence(gym, bout, today),
        offered: is_offered(gym, bout),
        athletes: bout.athletes.iter().filter_map(|id| gym.athlete(id)).collect(),
    }
}

fn is_offered(gym: &Gym, bout: &Bout) -> bool {
    gym.camps.facts(&bout.id).is_some_and(|facts| facts.standing == Standing::Offered)
}

/// Where a camp stands today, also before it is laid out.
pub fn day_sentence(gym: &Gym, bout: &Bout, today: Date) -> String {
    let theirs = |id: &&AthleteId| gym.next_bout(id, today).is_some_and(|next| next.id == bout.id);
    let still_in = bout.athletes.iter().filter(theirs);
    let next = still_in.filter_map(|id| gym.camp_day(id, today)).min_by_key(|day| day.days_to_bout);
    let laid_out = next.map(|day| day.sentence());
    laid_out.unwrap_or_else(|| to_the_bout(days_between(today, bout.date)))
}

/// Everybody's camp on one sheet; `None` while no bout is ahead.
pub fn squad_figure(gym: &Gym, today: Date) -> Option<Figure> {
    let bouts = ahead(gym, today);
    let layouts: Vec<CampLayout> = bouts
        .iter()
        .map(|bout| {
            let plan = gym.camps.plan(&bout.id).cloned().unwrap_or_default();
            // Single days of every camp would not be read on a sheet for all.
            CampLayout {
                rows: sparring_row(&plan).into_iter().collect(),
                ..layout(gym, bout, bout.name.clone(), &plan, bout.date)
            }
        })
        .collect();
    let (from, to) = reach(&layouts, today)?;
    let sentences: Vec<String> = bouts
        .iter()
        .map(|bout| format!("{}: {}.", bout.name, day_sentence(gym, bout, today)))
        .collect();
    Some(Figure::Calendar(Calendar {
        title: "Camps".to_owned(),
        description: sentences.join(" "),
        from,
        to,
        today: Some(today),
        layouts,
    }))
}

/// One camp, from its first day to a week after its last bout.
pub fn camp_figure(house: &House, gym: &Gym, bout: &Bout, today: Date) -> Option<Figure> {
    let plan = gym.camps.plan(&bout.id).filter(|plan| !plan.phases.is_empty())?;
    let limits = limits::of_bout(house, gym, bout);
    let layouts = vec![with_limits(layout(gym, bout, String::new(), plan, bout.date), &limits)];
    let (from, to) = reach(&layouts, today)?;
    Some(Figure::Calendar(Calendar {
        title: format!("Camp for {}", bout.name),
        description: format!("{}: {}.", bout.name, day_sentence(gym, bout, today)),
        from,
        to,
        today: Some(today),
        layouts,
    }))
}

/// The camp as it is above the camp as it would be.
pub fn proposal_figure(
    house: &House,
    gym: &Gym,
    proposal: &Proposal<'_>,
    today: Date,
) -> Option<Figure> {
    let (bout, athletes, to) = (proposal.bout, &proposal.athletes, proposal.to);
    let was = proposal.was.map(|plan| {
        let limits = limits::moved(house, gym, bout, athletes, bout.date);
        with_limits(layout(gym, bout, "as it is".to_owned(), plan, bout.date), &limits)
    });
    let name = if was.is_some() { "as it would be" } else { "" };
    let is = layout(gym, bout, name.to_owned(), &proposal.plan, to);
    let is = with_limits(is, &limits::moved(house, gym, bout, athletes, to));
    let layouts: Vec<CampLayout> = was.into_iter().chain([is]).collect();
    let (from, to) = reach(&layouts, today)?;
    let description = if proposal.differences.is_empty() {
        "Nothing differs.".to_owned()
    } else {
        proposal.differences.join(" ")
    };
    Some(Figure::Calendar(Calendar {
        title: format!("Camp for {}", bout.name),
        description,
        from,
        to,
        today: Some(today),
        layouts,
    }))
}

fn layout(gym: &Gym, bout: &Bout, name: String, plan: &CampPlan, date: Date) -> CampLayout {
    let shift = date - bout.date;
    let more = gym.camps.facts(&bout.id).map(|facts| facts.more_days.clone()).unwrap_or_default();
    let more = more.into_iter().map(|day| day.saturating_add(shift));
    let journey = gym.camps.journey(&bout.id).map(|journey| journey.moved(shift));
    let on_the_way = |mark| journey.filter(|_| mark == Mark::Travel);
    let days_of = |mark: Mark| -> Vec<Date> {
        let journey = on_the_way(mark).into_iter().flat_map(|journey| journey.days());
        let days: BTreeSet<Date> = plan.days_of(mark).chain(journey).collect();
        days.into_iter().collect()
    };
    let marked = [Mark::Test, Mark::WeighIn, Mark::Travel, Mark::Off]
        .into_iter()
        .map(|mark| DayRow { name: mark.word().to_owned(), days: days_of(mark) });
    CampLayout {
        name,
        phases: plan
            .phases
            .iter()
            .map(|phase| NamedDays {
                from: phase.from,
                to: phase.to,
                name: phase.kind.word().to_owned(),
            })
            .collect(),
        bouts: std::iter::once(date)
            .chain(more)
            .map(|day| NamedDays { from: day, to: day, name: bout.name.clone() })
            .collect(),
        rows: sparring_row(plan)
            .into_iter()
            .chain(marked.filter(|row| !row.days.is_empty()))
            .collect(),
    }
}

/// With the scales that limits of weight ask for.
fn with_limits(mut layout: CampLayout, limits: &[LimitLine<'_>]) -> CampLayout {
    let (checks, weigh_ins) = limits::days(limits);
    for (name, days) in [(Mark::WeighIn.word(), weigh_ins), ("check-weight", checks)] {
        match layout.rows.iter_mut().find(|row| row.name == name) {
            Some(row) => {
                row.days.extend(days);
                row.days.sort_unstable();
                row.days.dedup();
            }
            None if days.is_empty() => {}
            None => layout.rows.push(DayRow { name: name.to_owned(), days }),
        }
    }
    layout
}

fn sparring_row(plan: &CampPlan) -> Option<DayRow> {
    let (first, last) = (plan.phases.first()?.from, plan.phases.last()?.to);
    let days: Vec<Date> = first
        .series(1.day())
        .take_while(|day| *day <= last)
        .filter(|day| plan.spars_on(*day))
        .collect();
    (!days.is_empty()).then(|| DayRow { name: Mark::Sparring.word().to_owned(), days })
}

/// Days to come that have a test and open sparring both, in a sentence.
pub fn tests_beside_sparring(plan: &CampPlan, today: Date) -> Option<String> {
    let days = plan.tests_beside_sparring().filter(|day| *day >= today);
    let days: Vec<String> = days.map(words::short_weekday_and_day).collect();
    (!days.is_empty()).then(|| {
        let days = days.join(", ");
        format!("Test day and open sparring on the same day: {days}. Test first, or move one.")
    })
}

/// From the first day of any layout, or today, to some days after the last bout.
fn reach(layouts: &[CampLayout], today: Date) -> Option<(Date, Date)> {
    let named = || layouts.iter().flat_map(|one| one.phases.iter().chain(&one.bouts));
    let from = named().map(|days| days.from).min()?.min(today);
    let last = layouts.iter().flat_map(|one| &one.bouts).map(|days| days.to).max()?;
    Some((from, last.max(today).saturating_add(DAYS_AFTER.days())))
}

/// One camp.
#[derive(Debug)]
pub struct CampView<'a> {
    /// The bout.
    pub bout: &'a Bout,
    /// What else is known.
    pub facts: BoutFacts,
    /// The day, with further days of a tournament.
    pub days: String,
    /// Where it stands today.
    pub today: String,
    /// Days to the bout where the two calendars do not agree.
    pub calendars_apart: Option<String>,
    /// Who boxes.
    pub athletes: Vec<&'a Athlete>,
    /// Phases, earliest first.
    pub phases: Vec<PhaseLine>,
    /// Whether it is short notice, with what that means.
    pub short_notice: Option<String>,
    /// What may be weighed, and when.
    pub limits: Vec<LimitLine<'a>>,
    /// The journey, where one is agreed.
    pub travel: Option<TravelView>,
    /// What is marked from today on.
    pub marks: Vec<(Date, Mark)>,
    /// Changes that stand, newest first.
    pub history: Vec<&'a Told>,
}

/// One phase in a line.
#[derive(Debug)]
pub struct PhaseLine {
    /// What it is for.
    pub kind: PhaseKind,
    /// "Mon 14 Sep to Sat 3 Oct, 20 days".
    pub days: String,
    /// Why it is there, at this length.
    pub because: String,
    /// Whether today is in it.
    pub now: bool,
}

/// Phases with dates, days and reasons.
pub fn phase_lines(phases: &[Phase], today: Date) -> Vec<PhaseLine> {
    let rules = PhaseRules::default();
    let line = |phase: &Phase| {
        let short = words::short_weekday_and_day;
        let length = counted(phase.days(), "day");
        let days = if phase.from == phase.to {
            format!("{}, {length}", short(phase.from))
        } else {
            format!("{} to {}, {length}", short(phase.from), short(phase.to))
        };
        let because = match phase.kind {
            PhaseKind::Taper => TAPER_BECAUSE,
            PhaseKind::Recovery => RECOVERY_BECAUSE,
            _ => rules.because(phase),
        };
        let (because, now) = (because.to_owned(), phase.day_of(today).is_some());
        PhaseLine { kind: phase.kind, days, because, now }
    };
    phases.iter().map(line).collect()
}

const TAPER_BECAUSE: &str = "8 to 14 days: sets cut by about half, intensity and days kept \
    (Bosquet and others 2007, Med Sci Sports Exerc 39:1358, mostly endurance athletes)";
const RECOVERY_BECAUSE: &str =
    "easy days, then the debrief; a doctor's word goes first (common practice, no source)";

/// One camp; `None` without such a bout.
pub fn camp<'a>(house: &House, gym: &'a Gym, id: &str) -> Option<CampView<'a>> {
    let today = house.clock().today();
    let bout = gym.bouts.get(id)?;
    let facts = gym.camps.facts(id).cloned().unwrap_or_default();
    let plan = gym.camps.plan(id);
    let phases = plan.map(|plan| plan.phases.as_slice()).unwrap_or_default();
    Some(CampView {
        days: days_in_words(gym, bout),
        today: day_sentence(gym, bout, today),
        calendars_apart: fight_night::calendars_apart(house.clock(), bout, &facts),
        athletes: bout.athletes.iter().filter_map(|code| gym.athlete(code)).collect(),
        phases: phase_lines(phases, today),
        short_notice: phases.first().and_then(|first| short_notice(first.from, bout.date)),
        marks: plan
            .map(|plan| plan.marks.iter().copied().filter(|(day, _)| *day >= today).collect())
            .unwrap_or_default(),
        limits: limits::of_bout(house, gym, bout),
        travel: travel::view(house, gym, bout),
        history: gym.camps.history().iter().rev().filter(|told| told.change.is_about(id)).collect(),
        bout,
        facts,
    })
}

/// "Sat 17 Oct 2026, 18 Oct": the day of a bout with the further days of a tournament.
pub fn days_in_words(gym: &Gym, bout: &Bout) -> String {
    let more = gym.camps.days(bout).skip(1).map(words::short_day);
    std::iter::once(written(bout.date)).chain(more).collect::<Vec<_>>().join(", ")
}

/// What short notice asks for.
pub fn short_notice(begins: Date, bell: Date) -> Option<String> {
    let days = days_between(begins, bell);
    (days < SHORT_NOTICE_DAYS).then(|| {
        format!(
            "Short notice, {}: one heavy exposure a week with few sets, two power \
             sessions, nothing new and nothing that leaves soreness (common practice, no source).",
            counted(days, "day")
        )
    })
}

/// Changes that left no bout behind: cancelled ones, newest first.
pub fn cancelled(gym: &Gym) -> Vec<&Told> {
    use cornerwork_core::camp::camp_change::CampChange;
    let cancelled = |told: &&Told| matches!(told.change, CampChange::BoutCancelled { .. });
    gym.camps.history().iter().rev().filter(cancelled).collect()
}

/// The name of a bout that is gone.
pub fn name_of_gone<'a>(gym: &'a Gym, id: &'a str) -> &'a str {
    let gone = gym.camps.cancelled().iter().rev().find(|one| one.bout.id == id);
    gone.map_or(id, |one| one.bout.name.as_str())
}

/// Athletes without a bout ahead.
pub fn without_bout(gym: &Gym, today: Date) -> Vec<&Athlete> {
    gym.athletes.values().filter(|one| gym.next_bout(&one.id, today).is_none()).collect()
}

/// The bout an athlete's code leads to.
pub fn bout_of<'a>(gym: &'a Gym, code: &str, today: Date) -> Option<&'a Bout> {
    gym.next_bout(&AthleteId::new(code)?, today)
}
