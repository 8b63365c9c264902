//! The program: a gym's own exercises, the sessions it plans, and what each athlete does in them.
//!
//! A [`SessionPlan`] says what is done at each station and by which rule the load is found;
//! resolved against profiles and kit it becomes a [`ResolvedSession`], which the floor, the sheet
//! on the wall and the page all read.

mod change;
mod plan;
mod resolved;

pub use change::{ProgramChange, ProgramRefusal};
pub use plan::{
    Block, Exception, Exceptional, Intensity, Presence, Purpose, Round, SessionId, SessionPlan,
};
pub use resolved::{DoThis, Objection, OfferedSwap, Planned, ResolvedSession};

use crate::exercise::{Exercise, ExerciseId};
use std::collections::BTreeMap;

/// What the gym added of its own and planned.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Program {
    exercises: BTreeMap<ExerciseId, Exercise>,
    sessions: BTreeMap<SessionId, SessionPlan>,
}

impl Program {
    /// The gym's own exercise of this id; it stands before one of the library.
    pub fn exercise(&self, id: &ExerciseId) -> Option<&Exercise> {
        self.exercises.get(id)
    }

    /// The gym's own exercises, by id.
    pub fn exercises(&self) -> impl Iterator<Item = &Exercise> {
        self.exercises.values()
    }

    /// The session of this id.
    pub fn session(&self, id: &SessionId) -> Option<&SessionPlan> {
        self.sessions.get(id)
    }

    /// Sessions and templates, by id.
    pub fn sessions(&self) -> impl Iterator<Item = &SessionPlan> {
        self.sessions.values()
    }

    /// Takes a change that was checked.
    pub(super) fn apply(&mut self, change: &ProgramChange) {
        match change {
            ProgramChange::ExercisesEntered(exercises) => {
                let entered = exercises.iter().map(|one| (one.id.clone(), one.clone()));
                self.exercises.extend(entered);
            }
            ProgramChange::ExerciseDropped(id) => {
                self.exercises.remove(id);
            }
            ProgramChange::SessionPlanned(plan) => {
                self.sessions.insert(plan.id.clone(), plan.clone());
            }
            ProgramChange::SessionDropped(id) => {
                self.sessions.remove(id);
            }
            ProgramChange::PresenceChanged { session, presence, .. } => {
                if let Some(plan) = self.sessions.get_mut(session) {
                    plan.take(presence.clone());
                }
            }
        }
    }

    /// Whether a change fits what is planned.
    ///
    /// # Errors
    /// [`ProgramRefusal`]; nothing is changed.
    pub(super) fn check(&self, change: &ProgramChange) -> Result<(), ProgramRefusal> {
        match change {
            ProgramChange::ExercisesEntered(_) => Ok(()),
            ProgramChange::ExerciseDropped(id) => {
                let unknown = || ProgramRefusal::UnknownExercise { id: id.clone() };
                self.exercise(id).map(|_| ()).ok_or_else(unknown)
            }
            ProgramChange::SessionPlanned(plan) => plan.check(),
            ProgramChange::SessionDropped(id)
            | ProgramChange::PresenceChanged { session: id, .. } => {
                let unknown = || ProgramRefusal::UnknownSession { id: id.clone() };
                self.session(id).map(|_| ()).ok_or_else(unknown)
            }
        }
    }
}
