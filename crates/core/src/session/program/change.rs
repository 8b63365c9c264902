//! What changes the program, and why a change is refused.

use super::plan::{Presence, Round, SessionId, SessionPlan};
use crate::exercise::{Exercise, ExerciseId};
use crate::session::athlete::AthleteId;
use thiserror::Error;

/// A change of the program.
#[derive(Clone, Debug, PartialEq)]
pub enum ProgramChange {
    /// Exercises of the gym's own, new or entered anew: one from the page, or all of a file. One
    /// with the id of a library entry stands before it.
    ExercisesEntered(Vec<Exercise>),
    /// An exercise of the gym's own taken away; a library entry behind it stands again.
    ExerciseDropped(ExerciseId),
    /// A session or template planned, or planned anew.
    SessionPlanned(SessionPlan),
    /// A session or template taken away.
    SessionDropped(SessionId),
    /// Someone comes later than planned, goes, or comes after all.
    PresenceChanged {
        /// In which session.
        session: SessionId,
        /// Who, from when and until when.
        presence: Presence,
        /// Who stands where in every round, done ones as they were; empty before the evening.
        rounds: Vec<Round>,
    },
}

/// Why a change of the program is refused.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ProgramRefusal {
    /// No such session.
    #[error("There is no session {id} any more. Go back to the sessions.")]
    UnknownSession {
        /// The id asked for.
        id: SessionId,
    },
    /// No such exercise of the gym's own.
    #[error("{id} is no exercise of this gym's own.")]
    UnknownExercise {
        /// The id asked for.
        id: ExerciseId,
    },
    /// A session without a name.
    #[error("Give the session a short name, like \"Power, long\".")]
    NoName,
    /// Two things at one station.
    #[error("Station {station} stands twice. Give each its own number.")]
    StationTwice {
        /// The number.
        station: u8,
    },
    /// More than a floor holds.
    #[error("{count} stations are more than {most}. Take some away.")]
    TooManyStations {
        /// How many.
        count: usize,
        /// The most.
        most: usize,
    },
    /// More than one evening holds.
    #[error("{count} athletes are more than {most} in one session. Split them into two.")]
    TooManyAthletes {
        /// How many.
        count: usize,
        /// The most.
        most: usize,
    },
    /// The same athlete twice.
    #[error("{athlete} stands twice in this session.")]
    AthleteTwice {
        /// Who.
        athlete: AthleteId,
    },
    /// Sets, reps or rest that cannot be.
    #[error("Station {station}: {what} cannot be {got}. Type {low} to {high}.")]
    OutOfRange {
        /// Where.
        station: u8,
        /// Which number.
        what: &'static str,
        /// What was given.
        got: f64,
        /// Least.
        low: f64,
        /// Most.
        high: f64,
    },
}
