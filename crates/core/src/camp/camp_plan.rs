//! How a camp is laid out: its phases, its sparring days, what is marked on single days.

use super::phase::{Outline, Phase, PhaseKind, PhaseRules, plan_anew, plan_back};
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use std::collections::BTreeSet;

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
    /// Test days that are days of open sparring as well: a test after sparring shows tired legs.
    pub fn tests_beside_sparring(&self) -> impl Iterator<Item = Date> {
        self.days_of(Mark::Test).filter(|day| self.spars_on(*day))
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

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

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
    fn a_test_day_beside_sparring_is_found() {
        let bell = date(2026, 11, 21);
        let rules = PhaseRules::default();
        let sparring = vec![Weekday::Monday, Weekday::Friday];
        let (mut plan, _) = CampPlan::laid_out(date(2026, 8, 31), (bell, bell), sparring, &rules);
        let beside: Vec<Date> = plan.tests_beside_sparring().collect();
        assert_eq!(beside, [date(2026, 8, 31), date(2026, 10, 5), date(2026, 11, 9)]);
        plan.marks.insert((date(2026, 10, 5), Mark::NoSparring));
        assert!(plan.tests_beside_sparring().all(|day| day != date(2026, 10, 5)));
    }
}
