//! The single bouts of a tournament against the hard stops: a stoppage in one keeps an athlete out
//! of the next.

use super::Gym;
use crate::camp::camp_change::CampChange;
use crate::camp::camp_refusal::CampRefusal;
use crate::camp::contest::{Contest, Outcome};
use crate::camp::safety_change::SafetyChange;
use crate::camp::stand_down::StoppageRecord;
use crate::session::athlete::AthleteId;
use crate::session::refusal::Refusal;
use crate::session::restriction::Barred;
use jiff::civil::Date;

impl Gym {
    /// Whether an athlete may box on a day. A stand-down that began on that day itself is of that
    /// day's bout, and bars the later ones.
    ///
    /// # Errors
    /// The hard stop, with its ground and the earliest date.
    pub fn may_box(&self, athlete: &AthleteId, day: Date) -> Result<(), Refusal> {
        self.guardian_consents(athlete, day)?;
        let mut binding = self.restrictions(athlete, day);
        let bar = binding.find(|one| one.barred == Barred::Everything && one.from < day);
        bar.map_or(Ok(()), |bar| Err(self.barred(bar, "boxing".to_owned())))
    }

    pub(super) fn check_camp(&self, change: &CampChange, today: Date) -> Result<(), Refusal> {
        self.camps.check(&self.bouts, change, today)?;
        match change {
            CampChange::ContestEntered { contest, stoppage, .. } => {
                self.check_contest(contest, stoppage.as_ref())
            }
            _ => Ok(()),
        }
    }

    fn check_contest(
        &self,
        contest: &Contest,
        stoppage: Option<&StoppageRecord>,
    ) -> Result<(), Refusal> {
        // Who is barred can only stay away.
        let boxes = contest.outcome.is_none_or(Outcome::was_boxed);
        if boxes {
            self.may_box(&contest.athlete, contest.day)?;
        }
        let begun = stoppage.is_some_and(|one| {
            one.athlete == contest.athlete
                && one.on == contest.day
                && contest.outcome == Some(Outcome::Stopped(one.kind))
        });
        match contest.outcome {
            Some(Outcome::Stopped(_)) if begun || self.stood_down_on(contest) => Ok(()),
            Some(Outcome::Stopped(_)) => Err(CampRefusal::NoStandDown.into()),
            _ => Ok(()),
        }
    }

    /// Whether the stoppage of a bout is on record already.
    pub fn stood_down_on(&self, contest: &Contest) -> bool {
        let mut known = self.safety().stoppages(&contest.athlete).iter();
        known
            .any(|one| one.on == contest.day && contest.outcome == Some(Outcome::Stopped(one.kind)))
    }

    /// Begins the stand-down of a bout that was stopped.
    pub(super) fn begin_stand_down(&mut self, change: &CampChange) {
        if let CampChange::ContestEntered { stoppage: Some(record), .. } = change {
            self.apply_safety(&SafetyChange::Stopped(record.clone()));
        }
    }
}
