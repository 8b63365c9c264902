//! The camps of the gym: what is known of each bout, how its camp is laid out, what was moved or
//! cancelled.

use super::contest::{Contest, Contests};
use super::phase::{Outline, Phase, PhaseKind, PhaseRules, plan_anew, plan_back};
use super::stand_down::StoppageRecord;
use super::travel::Journey;
use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::bout::Bout;
use crate::session::operation::OperationId;
use jiff::civil::{Date, Time, Weekday};
use jiff::{Timestamp, ToSpan};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// How sure a bout is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Standing {
    /// Spoken of; may still fall through.
    Offered,
    /// Agreed.
    #[default]
    Confirmed,
}

impl Standing {
    /// As said.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Offered => "offered",
            Self::Confirmed => "confirmed",
        }
    }
}

/// What else is known of a bout.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BoutFacts {
    /// How sure it is.
    pub standing: Standing,
    /// Further days of a tournament, in order; an athlete who wins boxes again.
    pub more_days: Vec<Date>,
    /// Time zone of the venue by its IANA name; `None` for the gym's own.
    pub zone: Option<String>,
    /// First bell at the venue's clock.
    pub first_bell: Option<Time>,
    /// Weigh-in at the venue's clock, on whichever day it is.
    pub weigh_in_at: Option<Time>,
    /// Rounds and minutes a round: "8 x 3".
    pub rounds: Option<Rounds>,
    /// Anything else worth knowing: corner, travel, gloves.
    pub remark: String,
}

/// How long a bout may last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rounds {
    /// Rounds.
    pub count: u8,
    /// Minutes a round.
    pub minutes: u8,
}

impl fmt::Display for Rounds {
    /// "8 x 3": rounds and minutes.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} x {}", self.count, self.minutes)
    }
}

/// What is marked on a day of a camp.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mark {
    /// Open sparring.
    Sparring,
    /// No sparring on a day that usually has it.
    NoSparring,
    /// A test day.
    Test,
    /// Travel.
    Travel,
    /// The scales, official or a check.
    WeighIn,
    /// Nothing, by choice.
    Off,
}

impl Mark {
    /// All.
    pub const ALL: [Self; 6] =
        [Self::Sparring, Self::NoSparring, Self::Test, Self::Travel, Self::WeighIn, Self::Off];
    /// As said.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sparring => "sparring",
            Self::NoSparring => "no sparring",
            Self::Test => "test day",
            Self::Travel => "travel",
            Self::WeighIn => "weigh-in",
            Self::Off => "off",
        }
    }
    /// The mark of this word.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|mark| mark.word() == word)
    }
}

/// How a camp is laid out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CampPlan {
    /// Earliest first.
    pub phases: Vec<Phase>,
    /// Weekdays of open sparring.
    pub sparring: Vec<Weekday>,
    /// What is marked on single days.
    pub marks: BTreeSet<(Date, Mark)>,
}

impl CampPlan {
    /// A camp from its first day to a bout, with test days where one phase gives way to the next
    /// kind of work; and one sentence for each phase that found no room.
    pub fn laid_out(
        begins: Date,
        bout: (Date, Date),
        sparring: Vec<Weekday>,
        rules: &PhaseRules,
    ) -> (Self, Vec<String>) {
        let Outline { phases, lost } = plan_back(begins, bout.0, bout.1, rules);
        let marks = test_days(&phases).map(|day| (day, Mark::Test)).collect();
        (Self { phases, sparring, marks }, lost)
    }

    /// The same camp when its bout moves: what is past stays, the rest is laid out anew, test days
    /// follow the phases and the scales follow the bout.
    pub fn moved(
        &self,
        today: Date,
        was: Date,
        bout: (Date, Date),
        rules: &PhaseRules,
    ) -> (Self, Vec<String>) {
        let Outline { phases, lost } = plan_anew(&self.phases, today, bout.0, bout.1, rules);
        let shift = bout.0 - was;
        let kept = self.marks.iter().filter_map(|&(day, mark)| match mark {
            _ if day < today => Some((day, mark)),
            Mark::Test => None,
            Mark::WeighIn => Some((day.saturating_add(shift), mark)),
            _ => Some((day, mark)),
        });
        let tests = test_days(&phases).filter(|day| *day >= today).map(|day| (day, Mark::Test));
        let marks = kept.chain(tests).collect();
        (Self { phases, sparring: self.sparring.clone(), marks }, lost)
    }

    /// Whether there is open sparring on a day. The usual weekdays end a week before the bout
    /// (common practice, no source); a day marked counts whenever it is.
    pub fn spars_on(&self, date: Date) -> bool {
        let usual = self.sparring.contains(&date.weekday())
            && self.phases.first().is_some_and(|first| first.from <= date)
            && self.phases.iter().rfind(|phase| phase.kind == PhaseKind::Taper).is_some_and(
                |taper| date < taper.to.saturating_sub(LAST_SPARRING_DAYS_BEFORE_THE_EVE.days()),
            )
            && !self.marks.contains(&(date, Mark::NoSparring));
        usual || self.marks.contains(&(date, Mark::Sparring))
    }
    /// Days of one mark, in order.
    pub fn days_of(&self, mark: Mark) -> impl Iterator<Item = Date> {
        self.marks.iter().filter(move |(_, one)| *one == mark).map(|(date, _)| *date)
    }
    /// The phase of a day.
    pub fn phase_on(&self, date: Date) -> Option<&Phase> {
        self.phases.iter().find(|phase| phase.day_of(date).is_some())
    }
}

/// Usual sparring days end six days before the eve of the bout, a week before the bout.
const LAST_SPARRING_DAYS_BEFORE_THE_EVE: i32 = 6;

/// The first day of the camp, of the phase after strength, and of the taper.
fn test_days(phases: &[Phase]) -> impl Iterator<Item = Date> {
    let after_strength =
        phases.windows(2).find(|pair| pair[0].kind == PhaseKind::Strength).map(|pair| pair[1].from);
    let taper = phases.iter().rfind(|phase| phase.kind == PhaseKind::Taper).map(|phase| phase.from);
    phases.first().map(|phase| phase.from).into_iter().chain(after_strength).chain(taper)
}

/// A change of bouts and camps.
#[derive(Clone, Debug, PartialEq)]
pub enum CampChange {
    /// A bout offered or confirmed, or its facts changed.
    BoutEntered {
        /// The bout.
        bout: Bout,
        /// What else is known.
        facts: BoutFacts,
    },
    /// A camp laid out, or laid out anew.
    CampPlanned {
        /// For which bout.
        bout: String,
        /// How.
        plan: CampPlan,
    },
    /// The bout of some athletes moved to another date; all of them, or some who then have a bout
    /// of their own.
    BoutMoved {
        /// Which bout.
        bout: String,
        /// Whose.
        athletes: Vec<AthleteId>,
        /// Id of the bout they have now; the same where all move.
        into: String,
        /// To which day.
        to: Date,
        /// The camp as it is laid out now, what is past as it was.
        plan: CampPlan,
        /// Why.
        reason: String,
    },
    /// The bout of some athletes will not be.
    BoutCancelled {
        /// Which bout.
        bout: String,
        /// Whose.
        athletes: Vec<AthleteId>,
        /// Why.
        reason: String,
    },
    /// A single bout: against whom and how it ended; the same day again corrects it.
    ContestEntered {
        /// At which fight night or tournament.
        bout: String,
        /// The bout.
        contest: Contest,
        /// The stand-down that a stoppage begins, where it is not on record yet.
        stoppage: Option<StoppageRecord>,
    },
    /// The journey to a bout agreed, agreed anew, or (`None`) taken out.
    TravelAgreed {
        /// To which bout.
        bout: String,
        /// The journey.
        journey: Option<Journey>,
    },
    /// Something marked on a day.
    DayMarked {
        /// In the camp of which bout.
        bout: String,
        /// Which day.
        date: Date,
        /// What.
        mark: Mark,
    },
    /// The coach answers for work that is nearer a bout or sparring than it should be.
    WorkAnswered {
        /// Who may do it.
        athlete: AthleteId,
        /// On which day.
        date: Date,
        /// What.
        exercise: ExerciseId,
        /// Why.
        reason: String,
    },
    /// A mark taken off a day.
    DayCleared {
        /// In the camp of which bout.
        bout: String,
        /// Which day.
        date: Date,
        /// What.
        mark: Mark,
    },
}

/// Why a change of camps is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CampRefusal {
    /// No such bout.
    #[error("There is no bout {id} any more. Go back to the plan.")]
    UnknownBout {
        /// Id asked for.
        id: String,
    },
    /// A bout without a name or people.
    #[error("Give the bout a name and tick who boxes.")]
    Empty,
    /// Not theirs.
    #[error("{athlete} does not box there.")]
    NotTheirs {
        /// Who.
        athlete: AthleteId,
    },
    /// A day of a tournament before its first.
    #[error("{day} is before the first day, {first}. Put the days in order.")]
    DaysOutOfOrder {
        /// The day.
        day: Date,
        /// The first day.
        first: Date,
    },
    /// A day the bout is not on.
    #[error(
        "{name} is not on {day}. Pick one of its days, or add the day under \"Change what is agreed\"."
    )]
    NotADayOfIt {
        /// What it is called.
        name: String,
        /// The day asked for.
        day: Date,
    },
    /// A result before the day.
    #[error(
        "{day} has not come yet: a result waits for it. Leave the result empty to keep the opponent."
    )]
    ResultTooEarly {
        /// The day.
        day: Date,
    },
    /// A stoppage without the rule that binds.
    #[error("A stoppage begins a stand-down: choose whose rules bind.")]
    NoStandDown,
    /// A move or an end of what has begun.
    #[error(
        "{athlete} has a result there of {day}: it is neither moved nor cancelled any more. Change the further days, or enter \"withdrew\" for the next."
    )]
    Boxed {
        /// Who.
        athlete: AthleteId,
        /// When.
        day: Date,
    },
    /// A day or an athlete taken out that has a bout on record.
    #[error(
        "{athlete} has a bout on {day} there. Take that back first, then the day or the athlete."
    )]
    InUse {
        /// Who.
        athlete: AthleteId,
        /// When.
        day: Date,
    },
    /// A move into the past.
    #[error("{to} is past. Give a day to come.")]
    Past {
        /// The day asked for.
        to: Date,
    },
    /// Nothing said why.
    #[error("Say why in a few words: the reason is kept with it.")]
    NoReason,
    /// Phases that overlap or run backwards.
    #[error("The phase from {from} to {to} does not follow the one before it.")]
    PhasesOutOfOrder {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
}

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
    fn test_days_of_a_camp() {
        let bell = date(2026, 11, 21);
        let rules = PhaseRules::default();
        let (plan, lost) = CampPlan::laid_out(date(2026, 8, 31), (bell, bell), vec![], &rules);
        let tests: Vec<Date> = plan.days_of(Mark::Test).collect();
        // The first Mondays of strength, strength-speed and taper on a calendar.
        assert_eq!(tests, [date(2026, 8, 31), date(2026, 10, 5), date(2026, 11, 9)]);
        assert!(lost.is_empty());
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
