//! The running gym: its keeper, the exercise library, and the conventions that join them.

use crate::flow::clock::Clock;
use crate::flow::keeper::Keeper;
use crate::flow::profiles::Profiles;
use cornerwork_core::exercise::{Exercise, MeasureKind};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Method;
use cornerwork_io::catalogue::exercises::Exercises;

/// Everything a page or a use case needs.
pub struct House {
    /// Keeps the ground state.
    pub keeper: Keeper,
    /// The exercise library.
    pub exercises: Exercises,
    /// Profiles, computed when asked for and kept while their jumps and reps stay the same.
    pub profiles: Profiles,
}

impl House {
    /// The gym's clock.
    pub const fn clock(&self) -> &Clock {
        self.keeper.clock()
    }

    /// The target of an athlete in an exercise: the coach's own, else the library's window for
    /// what is measured.
    pub fn target(&self, gym: &Gym, athlete: &AthleteId, exercise: &Exercise) -> Option<Target> {
        gym.target(athlete, &exercise.id).or_else(|| {
            let window = exercise.target_of(exercise.measure.kind)?.window_si;
            Some(Target::Window { low: window.low, high: window.high })
        })
    }

    /// How this gym measures an exercise: jumps by time in the air on the mat, bars and hands by
    /// sensor, the rest by eye and tape.
    pub const fn method_of(&self, exercise: &Exercise) -> Method {
        match exercise.measure.kind {
            MeasureKind::JumpHeight | MeasureKind::ContactTime => Method::FlightTime,
            MeasureKind::MeanVelocity | MeasureKind::PeakVelocity | MeasureKind::Force => {
                Method::Sensor
            }
            _ => Method::ByHand,
        }
    }
}
