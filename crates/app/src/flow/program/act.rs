//! What a coach does to the program: each act becomes one change.

use super::presence::{self, Coming};
use super::typed::{self, Edit};
use super::{library, open};
use crate::flow::house::House;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::program::SessionId;
use cornerwork_io::catalogue::exercises::TypedExercise;

/// An act.
#[derive(Clone, Debug)]
pub enum ProgramAct {
    /// A session or template edited.
    Edit {
        /// Which.
        session: SessionId,
        /// How.
        edit: Edit,
    },
    /// Someone comes, comes late or goes.
    Comes {
        /// In which session.
        session: SessionId,
        /// Who.
        athlete: AthleteId,
        /// How.
        coming: Coming,
    },
    /// The evening of a session begins.
    Open {
        /// Which.
        session: SessionId,
    },
    /// An exercise typed.
    Exercise(Box<TypedExercise>),
    /// A file of exercises read.
    Exercises {
        /// Its text.
        text: String,
    },
    /// The gym's own version of an exercise taken away.
    DropExercise {
        /// Which.
        exercise: ExerciseId,
    },
}

impl ProgramAct {
    /// The change it makes.
    ///
    /// # Errors
    /// A sentence: what was wrong and what to do.
    pub fn change(self, house: &House, gym: &Gym) -> Result<Change, String> {
        Ok(match self {
            Self::Edit { session, edit } => {
                Change::Program(typed::edit(house, gym, &session, edit)?)
            }
            Self::Comes { session, athlete, coming } => {
                Change::Program(presence::change(house, gym, &session, &athlete, coming)?)
            }
            Self::Open { session } => open::planned(house, gym, &session)?,
            Self::Exercise(form) => Change::Program(library::typed(house, gym, &form)?),
            Self::Exercises { text } => {
                Change::Program(library::from_file(house, gym, "the file", &text)?)
            }
            Self::DropExercise { exercise } => {
                Change::Program(library::dropped(house, gym, &exercise)?)
            }
        })
    }

    /// Where to go when it is done; `None` for staying.
    pub fn goes_to(&self) -> Option<String> {
        match self {
            Self::Edit { session, edit: Edit::New { .. } } => Some(format!("/session/{session}")),
            Self::Edit { edit: Edit::Drop | Edit::Keep { .. }, .. } => Some("/sessions".to_owned()),
            Self::Open { .. } => Some("/floor".to_owned()),
            Self::Exercise(form) => Some(format!("/exercise/{}", form.id())),
            Self::Exercises { .. } | Self::DropExercise { .. } => Some("/exercises".to_owned()),
            Self::Edit { .. } | Self::Comes { .. } => None,
        }
    }
}
