//! Limits of weight belong to the plan of a bout: they move and fall away with it.

use super::Gym;
use crate::camp::body_mass::MassLimit;
use crate::camp::camp_change::CampChange;
use crate::camp::safety_change::SafetyChange;
use crate::session::athlete::AthleteId;
use crate::session::bout::Bout;

impl Gym {
    /// The limit an athlete agreed for a bout; in a tournament, for any of its days.
    pub fn limit_for(&self, athlete: &AthleteId, bout: &Bout) -> Option<&MassLimit> {
        let limit = self.safety().limit(athlete)?;
        self.camps.days(bout).any(|day| day == limit.bout).then_some(limit)
    }

    /// The bout an agreed limit belongs to; `None` where it was agreed for a day on no plan.
    pub fn bout_of_limit(&self, athlete: &AthleteId) -> Option<&Bout> {
        let mut theirs = self.bouts.values().filter(|bout| bout.athletes.contains(athlete));
        theirs.find(|bout| self.limit_for(athlete, bout).is_some())
    }

    /// Lets limits follow a change of camps that is about to be taken.
    pub(super) fn move_limits(&mut self, change: &CampChange) {
        let (bout, athletes, to) = match change {
            CampChange::BoutMoved { bout, athletes, to, .. } => (bout, athletes, Some(*to)),
            CampChange::BoutCancelled { bout, athletes, .. } => (bout, athletes, None),
            _ => return,
        };
        let Some(bout) = self.bouts.get(bout).cloned() else { return };
        for athlete in athletes {
            let Some(limit) = self.limit_for(athlete, &bout) else { continue };
            let limit = to.map(|to| limit.moved(bout.date, to));
            self.safety.take(&SafetyChange::LimitAgreed { athlete: athlete.clone(), limit });
        }
    }
}
