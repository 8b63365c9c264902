//! The camps of the gym: what is known of each bout, how its camp is laid out, what was moved or
//! cancelled.

use super::bout_facts::BoutFacts;
use super::camp_change::CampChange;
use super::camp_plan::CampPlan;
use super::camp_refusal::CampRefusal;
use super::contest::{Contest, Contests};
use super::phase::Phase;
use super::travel::Journey;
use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::bout::Bout;
use crate::session::operation::OperationId;
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// What is on record of bouts and camps.
#[derive(Clone, Debug, Default)]
pub struct Camps {
    facts: BTreeMap<String, BoutFacts>,
    plans: BTreeMap<String, CampPlan>,
    cancelled: Vec<Cancelled>,
    answered: BTreeMap<(AthleteId, Date, ExerciseId), String>,
    contests: Contests,
    journeys: BTreeMap<String, Journey>,
    history: Vec<Told>,
}

/// A change with who made it and when.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The operation, to take it back.
    pub operation: OperationId,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub author: String,
    /// What.
    pub change: CampChange,
}

/// A bout that will not be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cancelled {
    /// What it was.
    pub bout: Bout,
    /// Whose.
    pub athletes: Vec<AthleteId>,
    /// Why.
    pub reason: String,
}

impl Camps {
    /// What else is known of a bout.
    pub fn facts(&self, bout: &str) -> Option<&BoutFacts> {
        self.facts.get(bout)
    }
    /// The camp before a bout, once it was laid out.
    pub fn plan(&self, bout: &str) -> Option<&CampPlan> {
        self.plans.get(bout)
    }
    /// What was cancelled, in order.
    pub fn cancelled(&self) -> &[Cancelled] {
        &self.cancelled
    }
    /// Every change that stands, oldest first.
    pub fn history(&self) -> &[Told] {
        &self.history
    }
    /// The reason with which the coach answered for an exercise on a day.
    pub fn answer(&self, athlete: &AthleteId, date: Date, exercise: &ExerciseId) -> Option<&str> {
        self.answered.get(&(athlete.clone(), date, exercise.clone())).map(String::as_str)
    }
    /// The single bouts with their results.
    pub const fn contests(&self) -> &Contests {
        &self.contests
    }
    /// The journey to a bout, where one is agreed.
    pub fn journey(&self, bout: &str) -> Option<&Journey> {
        self.journeys.get(bout)
    }
    /// The days of a bout: one, or those of a tournament in order.
    pub fn days(&self, bout: &Bout) -> impl Iterator<Item = Date> {
        let more =
            self.facts(&bout.id).into_iter().flat_map(|facts| facts.more_days.iter().copied());
        std::iter::once(bout.date).chain(more)
    }
    /// The last day of a bout: that of a tournament's final.
    pub fn last_day(&self, bout: &Bout) -> Date {
        self.days(bout).max().unwrap_or(bout.date)
    }
    /// The days of a bout that are an athlete's: those up to a defeat, and any later one on which
    /// another bout is agreed.
    pub fn days_of<'a>(
        &'a self,
        bout: &'a Bout,
        athlete: &'a AthleteId,
    ) -> impl Iterator<Item = Date> + 'a {
        self.contests.days_left_to(&bout.id, athlete, self.days(bout))
    }
    /// The last day of a bout for an athlete.
    pub fn last_day_of(&self, bout: &Bout, athlete: &AthleteId) -> Date {
        self.days_of(bout, athlete).max().unwrap_or(bout.date)
    }
    /// The next day on which an athlete boxes there, by what is known on a date: a day with a
    /// result is done. The last day stays the day of the bout until it is over.
    pub fn next_day_of(&self, bout: &Bout, athlete: &AthleteId, today: Date) -> Option<Date> {
        let done = |day: &Date| {
            let contest = self.contests.on(&bout.id, athlete, *day);
            contest.is_some_and(|one| one.outcome.is_some())
        };
        let ahead: Vec<Date> = self.days_of(bout, athlete).filter(|day| *day >= today).collect();
        ahead.iter().find(|day| !done(day)).or(ahead.last()).copied()
    }

    /// Whether a change can stand. `bouts` are those on record, `today` the gym's date.
    ///
    /// # Errors
    /// The first thing in the way, as [`CampRefusal`].
    pub fn check(
        &self,
        bouts: &BTreeMap<String, Bout>,
        change: &CampChange,
        today: Date,
    ) -> Result<(), CampRefusal> {
        let known =
            |id: &String| bouts.get(id).ok_or_else(|| CampRefusal::UnknownBout { id: id.clone() });
        let theirs = |id: &String, athletes: &[AthleteId]| {
            let bout = known(id)?;
            if athletes.is_empty() {
                return Err(CampRefusal::Empty);
            }
            match athletes.iter().find(|athlete| !bout.athletes.contains(athlete)) {
                Some(athlete) => Err(CampRefusal::NotTheirs { athlete: athlete.clone() }),
                None => Ok(()),
            }
        };
        match change {
            CampChange::BoutEntered { bout, facts } => {
                if bout.name.trim().is_empty() || bout.athletes.is_empty() {
                    return Err(CampRefusal::Empty);
                }
                if let Some(day) = facts.more_days.iter().find(|day| **day <= bout.date) {
                    return Err(CampRefusal::DaysOutOfOrder { day: *day, first: bout.date });
                }
                let fits = |one: &&Contest| {
                    let on_a_day = one.day == bout.date || facts.more_days.contains(&one.day);
                    on_a_day && bout.athletes.contains(&one.athlete)
                };
                let orphan = self.contests.of(&bout.id).find(|one| !fits(one));
                orphan.map_or(Ok(()), |one| {
                    Err(CampRefusal::InUse { athlete: one.athlete.clone(), day: one.day })
                })
            }
            CampChange::CampPlanned { bout, plan } => {
                known(bout)?;
                in_order(&plan.phases)
            }
            CampChange::BoutMoved { bout, athletes, to, plan, .. } => {
                theirs(bout, athletes)?;
                if *to < today {
                    return Err(CampRefusal::Past { to: *to });
                }
                self.nobody_boxed(bout, athletes)?;
                in_order(&plan.phases)
            }
            CampChange::BoutCancelled { bout, athletes, .. } => {
                theirs(bout, athletes)?;
                self.nobody_boxed(bout, athletes)
            }
            CampChange::TravelAgreed { bout, .. }
            | CampChange::DayMarked { bout, .. }
            | CampChange::DayCleared { bout, .. } => known(bout).map(|_| ()),
            CampChange::ContestEntered { bout: id, contest, .. } => {
                let bout = known(id)?;
                theirs(id, std::slice::from_ref(&contest.athlete))?;
                let (name, day) = (bout.name.clone(), contest.day);
                if !self.days(bout).any(|one| one == day) {
                    return Err(CampRefusal::NotADayOfIt { name, day });
                }
                let early = contest.outcome.is_some() && day > today;
                if early { Err(CampRefusal::ResultTooEarly { day }) } else { Ok(()) }
            }
            CampChange::WorkAnswered { reason, .. } => {
                let said = !reason.trim().is_empty();
                said.then_some(()).ok_or(CampRefusal::NoReason)
            }
        }
    }

    /// What has begun is neither moved nor cancelled.
    fn nobody_boxed(&self, bout: &str, athletes: &[AthleteId]) -> Result<(), CampRefusal> {
        let boxed = self.contests.ended(bout, athletes);
        boxed.map_or(Ok(()), |one| {
            Err(CampRefusal::Boxed { athlete: one.athlete.clone(), day: one.day })
        })
    }

    /// Keeps a change with who made it, for whoever wants to know or to take it back.
    pub(crate) fn remember(
        &mut self,
        operation: OperationId,
        at: Timestamp,
        author: &str,
        change: &CampChange,
    ) {
        let (author, change) = (author.to_owned(), change.clone());
        self.history.push(Told { operation, at, author, change });
    }

    /// Takes a change that was checked; one that no longer fits changes nothing.
    pub(crate) fn apply(&mut self, bouts: &mut BTreeMap<String, Bout>, change: &CampChange) {
        match change {
            CampChange::BoutEntered { bout, facts } => {
                bouts.insert(bout.id.clone(), bout.clone());
                self.facts.insert(bout.id.clone(), facts.clone());
            }
            CampChange::CampPlanned { bout, plan } => {
                self.plans.insert(bout.clone(), plan.clone());
            }
            CampChange::BoutMoved { bout, athletes, into, to, plan, .. } => {
                let Some(was) = bouts.get(bout).cloned() else { return };
                leave(bouts, bout, athletes);
                self.contests.follow(bout, athletes, into, *to - was.date);
                let facts = self.facts.get(bout).cloned().unwrap_or_default();
                // The days of a tournament move with its first.
                let shift = *to - was.date;
                let more_days =
                    facts.more_days.iter().map(|day| day.saturating_add(shift)).collect();
                self.facts.insert(into.clone(), BoutFacts { more_days, ..facts });
                if let Some(journey) = self.journeys.get(bout).map(|one| one.moved(shift)) {
                    self.journeys.insert(into.clone(), journey);
                }
                self.plans.insert(into.clone(), plan.clone());
                let moved = Bout { id: into.clone(), date: *to, athletes: athletes.clone(), ..was };
                bouts.insert(into.clone(), moved);
            }
            CampChange::BoutCancelled { bout, athletes, reason } => {
                let Some(was) = bouts.get(bout).cloned() else { return };
                leave(bouts, bout, athletes);
                self.cancelled.push(Cancelled {
                    bout: was,
                    athletes: athletes.clone(),
                    reason: reason.clone(),
                });
            }
            CampChange::ContestEntered { bout, contest, .. } => {
                self.contests.enter(bout, contest.clone());
            }
            CampChange::TravelAgreed { bout, journey } => {
                match journey {
                    Some(journey) => self.journeys.insert(bout.clone(), *journey),
                    None => self.journeys.remove(bout),
                };
            }
            CampChange::DayMarked { bout, date, mark } => {
                self.plans.entry(bout.clone()).or_default().marks.insert((*date, *mark));
            }
            CampChange::WorkAnswered { athlete, date, exercise, reason } => {
                let key = (athlete.clone(), *date, exercise.clone());
                self.answered.insert(key, reason.clone());
            }
            CampChange::DayCleared { bout, date, mark } => {
                if let Some(plan) = self.plans.get_mut(bout) {
                    plan.marks.remove(&(*date, *mark));
                }
            }
        }
    }
}

/// Athletes leave a bout; one that nobody is left in is gone.
fn leave(bouts: &mut BTreeMap<String, Bout>, id: &str, athletes: &[AthleteId]) {
    let Some(bout) = bouts.get_mut(id) else { return };
    bout.athletes.retain(|athlete| !athletes.contains(athlete));
    if bout.athletes.is_empty() {
        bouts.remove(id);
    }
}

fn in_order(phases: &[Phase]) -> Result<(), CampRefusal> {
    let refused = |phase: &Phase| CampRefusal::PhasesOutOfOrder { from: phase.from, to: phase.to };
    if let Some(phase) = phases.iter().find(|phase| phase.to < phase.from) {
        return Err(refused(phase));
    }
    match phases.windows(2).find(|pair| pair[1].from <= pair[0].to) {
        Some(pair) => Err(refused(&pair[1])),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::super::phase::PhaseKind;
    use super::*;
    use jiff::civil::date;

    fn id(code: &str) -> AthleteId {
        AthleteId::new(code).unwrap()
    }

    fn lanternlight() -> BTreeMap<String, Bout> {
        let bout = Bout {
            id: "lantern".into(),
            name: "Lanternlight".into(),
            date: date(2026, 11, 21),
            athletes: vec![id("B01"), id("B05")],
        };
        [(bout.id.clone(), bout)].into()
    }

    #[test]
    fn one_of_two_moves_and_has_a_bout_of_her_own() {
        let (mut bouts, mut camps) = (lanternlight(), Camps::default());
        let moved = CampChange::BoutMoved {
            bout: "lantern".into(),
            athletes: vec![id("B05")],
            into: "lantern-b05".into(),
            to: date(2026, 12, 5),
            plan: CampPlan::default(),
            reason: "the opponent is hurt".into(),
        };
        assert_eq!(camps.check(&bouts, &moved, date(2026, 10, 24)), Ok(()));
        camps.apply(&mut bouts, &moved);
        assert_eq!(bouts["lantern"].athletes, [id("B01")]);
        assert_eq!(bouts["lantern-b05"].athletes, [id("B05")]);
        assert_eq!(bouts["lantern-b05"].date, date(2026, 12, 5));
        let again = camps.check(&bouts, &moved, date(2026, 10, 24));
        assert_eq!(again, Err(CampRefusal::NotTheirs { athlete: id("B05") }));
    }

    #[test]
    fn all_move_together_with_the_days_of_a_tournament() {
        let (mut bouts, mut camps) = (lanternlight(), Camps::default());
        let facts = BoutFacts {
            more_days: vec![date(2026, 11, 22), date(2026, 11, 28)],
            ..BoutFacts::default()
        };
        let bout = bouts["lantern"].clone();
        camps.apply(&mut bouts, &CampChange::BoutEntered { bout, facts });
        assert_eq!(camps.last_day(&bouts["lantern"]), date(2026, 11, 28));
        assert_eq!(
            camps.next_day_of(&bouts["lantern"], &id("B01"), date(2026, 11, 23)),
            Some(date(2026, 11, 28))
        );
        camps.apply(
            &mut bouts,
            &CampChange::BoutMoved {
                bout: "lantern".into(),
                athletes: vec![id("B01"), id("B05")],
                into: "lantern".into(),
                to: date(2026, 11, 28),
                plan: CampPlan::default(),
                reason: String::new(),
            },
        );
        assert_eq!(bouts.len(), 1);
        assert_eq!(bouts["lantern"].athletes.len(), 2);
        assert_eq!(camps.last_day(&bouts["lantern"]), date(2026, 12, 5));
    }

    #[test]
    fn a_bout_cancelled_for_its_last_athlete_is_gone_and_remembered() {
        let (mut bouts, mut camps) = (lanternlight(), Camps::default());
        let cancel = |code| CampChange::BoutCancelled {
            bout: "lantern".into(),
            athletes: vec![id(code)],
            reason: "hall closed".into(),
        };
        camps.apply(&mut bouts, &cancel("B01"));
        assert_eq!(bouts.len(), 1);
        camps.apply(&mut bouts, &cancel("B05"));
        assert!(bouts.is_empty());
        assert_eq!(camps.cancelled().len(), 2);
        let late = camps.check(&bouts, &cancel("B05"), date(2026, 10, 24));
        assert_eq!(late, Err(CampRefusal::UnknownBout { id: "lantern".into() }));
    }

    #[test]
    fn a_bout_into_the_past_or_out_of_order_is_refused() {
        let (bouts, camps) = (lanternlight(), Camps::default());
        let past = CampChange::BoutMoved {
            bout: "lantern".into(),
            athletes: vec![id("B01")],
            into: "x".into(),
            to: date(2026, 10, 1),
            plan: CampPlan::default(),
            reason: String::new(),
        };
        assert_eq!(
            camps.check(&bouts, &past, date(2026, 10, 24)),
            Err(CampRefusal::Past { to: date(2026, 10, 1) })
        );
        let phase = |from, to| Phase { kind: PhaseKind::Power, from, to };
        let plan = CampPlan {
            phases: vec![
                phase(date(2026, 10, 5), date(2026, 10, 17)),
                phase(date(2026, 10, 17), date(2026, 10, 24)),
            ],
            ..CampPlan::default()
        };
        let overlapping = CampChange::CampPlanned { bout: "lantern".into(), plan };
        assert!(matches!(
            camps.check(&bouts, &overlapping, date(2026, 10, 1)),
            Err(CampRefusal::PhasesOutOfOrder { .. })
        ));
    }
}
