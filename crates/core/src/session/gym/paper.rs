//! Reps typed in from a sheet: under the same hard stops as at the rack, and once.

use super::Gym;
use crate::exercise::ExerciseId;
use crate::session::operation::{Operation, OperationId};
use crate::session::paper::{Blank, PaperChange, PaperRefusal, Papers};
use crate::session::program::SessionId;
use crate::session::refusal::Refusal;
use crate::session::rep::{Rep, RepEntry};
use jiff::civil::Date;

impl Gym {
    /// What was printed, and typed in from it.
    pub const fn papers(&self) -> &Papers {
        &self.papers
    }

    /// The rep typed in from a blank.
    pub fn rep_in(&self, blank: &Blank) -> Option<&Rep> {
        self.papers.typed(blank).and_then(|id| self.rep(id))
    }

    pub(super) fn apply_paper(&mut self, operation: &Operation, change: &PaperChange) {
        self.papers.take(operation.id, operation.at, change);
        if let PaperChange::RepTyped { set, entry, .. } = change {
            self.record_from_paper(operation.id, *set, entry);
        }
    }

    fn record_from_paper(&mut self, id: OperationId, set: u32, entry: &RepEntry) {
        self.place(Rep {
            id,
            entry: entry.clone(),
            set,
            from_paper: true,
            faults: Vec::new(),
            set_aside: None,
            changes: Vec::new(),
        });
    }

    pub(super) fn check_paper(&self, change: &PaperChange, today: Date) -> Result<(), Refusal> {
        match change {
            PaperChange::SheetPrinted { session, .. } => self.day_of(session).map(|_| ()),
            PaperChange::RepTyped { session, entry, .. } => {
                self.known(&entry.athlete)?;
                let day = self.day_of(session)?;
                if day > today {
                    return Err(PaperRefusal::Ahead { day }.into());
                }
                let blank = change.blank().ok_or(PaperRefusal::NoBlank)?;
                self.papers.check(&blank)?;
                self.allows_from_paper(&blank, &entry.exercise, day)
            }
        }
    }

    fn day_of(&self, session: &SessionId) -> Result<Date, Refusal> {
        let day = self.program.session(session).and_then(|plan| plan.date);
        day.ok_or_else(|| PaperRefusal::NotPlanned.into())
    }

    /// Whether what was written on the sheets of a day may be typed in.
    ///
    /// A sheet holds what was open when it was printed. A bar that begins on the very day of a row
    /// that stands on it came later, so what was done before can still be typed in; one from a day
    /// before the session binds as at the rack.
    ///
    /// # Errors
    /// What bars it.
    pub fn allows_from_paper(
        &self,
        blank: &Blank,
        exercise: &ExerciseId,
        day: Date,
    ) -> Result<(), Refusal> {
        let was_open = self.papers.stands(blank);
        self.allows_under(&blank.athlete, exercise, blank.side, day, |bar| {
            !was_open || bar.from < day
        })
    }
}
