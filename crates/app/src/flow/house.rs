//! The running gym: its keeper, the exercise library, and the conventions that join them.

use crate::flow::clock::Clock;
use crate::flow::doors::Doors;
use crate::flow::keeper::Keeper;
use crate::flow::pin;
use crate::flow::profiles::Profiles;
use cornerwork_core::camp::history::Names;
use cornerwork_core::exercise::{Exercise, ExerciseId, MeasureKind};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::{Gym, Moment};
use cornerwork_core::session::program::Intensity;
use cornerwork_core::session::rep::Method;
use cornerwork_io::catalogue::exercises::Exercises;
use cornerwork_io::catalogue::safety_rules::SafetyRules;
use cornerwork_io::store::SqliteStore;

/// Everything a page or a use case needs.
pub struct House {
    /// Keeps the ground state.
    pub keeper: Keeper,
    /// The exercise library.
    pub exercises: Exercises,
    /// Profiles, computed when asked for and kept while their jumps and reps stay the same.
    pub profiles: Profiles,
    /// Rules of stand-downs and body mass, and who holds which device.
    pub safety: SafetyDesk,
}

/// What the rules of safety and the roles of people stand on.
#[derive(Debug)]
pub struct SafetyDesk {
    /// The rules, dated.
    pub rules: SafetyRules,
    /// Devices signed in.
    pub doors: Doors,
}

impl House {
    /// The gym a store holds, with the library this program carries.
    ///
    /// # Errors
    /// A sentence when the store cannot be read or the library does not hold together.
    pub async fn open(
        store: SqliteStore,
        clock: Clock,
        rules: SafetyRules,
    ) -> Result<Self, String> {
        store.hash_plain_numbers(pin::of_plain).await.map_err(|error| error.to_string())?;
        let exercises = Exercises::built_in().map_err(|error| error.to_string())?;
        let keeper = Keeper::open(store, clock, exercises.clone())
            .await
            .map_err(|error| error.to_string())?;
        // Invented people have nothing to do with real bodies.
        let invented = keeper.ledger().gym().invented;
        let rules = if invented { invented_rules()? } else { rules };
        let safety = SafetyDesk { rules, doors: Doors::default() };
        Ok(Self { keeper, exercises, profiles: Profiles::default(), safety })
    }

    /// The gym's clock.
    pub const fn clock(&self) -> &Clock {
        self.keeper.clock()
    }

    /// The exercise of this id: the gym's own, else the library's.
    pub fn exercise<'a>(&'a self, gym: &'a Gym, id: &ExerciseId) -> Option<&'a Exercise> {
        gym.program.exercise(id).or_else(|| self.exercises.get(id))
    }

    /// The name of an exercise, its id where it is not known any more.
    pub fn exercise_name(&self, gym: &Gym, id: &ExerciseId) -> String {
        self.exercise(gym, id).map_or_else(|| id.to_string(), |known| known.name.clone())
    }

    /// The moment by which hard stops are judged.
    pub fn moment(&self) -> Moment {
        Moment { now: self.clock().now(), today: self.clock().today() }
    }

    /// What those are called that are on record in a gym.
    pub const fn names<'a>(&'a self, gym: &'a Gym) -> NamesHere<'a> {
        NamesHere { house: self, gym }
    }

    /// Every exercise: the library's in its order, each replaced by the gym's own of the same id,
    /// then the rest of the gym's own.
    pub fn every_exercise<'a>(&'a self, gym: &'a Gym) -> impl Iterator<Item = &'a Exercise> {
        let library = self.exercises.in_order().iter();
        let new = |own: &&Exercise| self.exercises.get(&own.id).is_none();
        library
            .map(|known| gym.program.exercise(&known.id).unwrap_or(known))
            .chain(gym.program.exercises().filter(new))
    }

    /// The target of an athlete in an exercise: the coach's own, else the window of tonight's
    /// session, else the library's for what is measured.
    pub fn target(&self, gym: &Gym, athlete: &AthleteId, exercise: &Exercise) -> Option<Target> {
        gym.target(athlete, &exercise.id).or_else(|| window_tonight(gym, exercise)).or_else(|| {
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

/// The window that tonight's session sets for an exercise.
fn window_tonight(gym: &Gym, exercise: &Exercise) -> Option<Target> {
    let velocity = [MeasureKind::MeanVelocity, MeasureKind::PeakVelocity];
    if !velocity.contains(&exercise.measure.kind) {
        return None;
    }
    let blocks = &gym.session_tonight()?.blocks;
    blocks.iter().filter(|block| block.exercise == exercise.id).find_map(|block| {
        match block.intensity {
            Intensity::Velocity { window } => Some(Target::Window {
                low: window.low.in_metres_per_second(),
                high: window.high.in_metres_per_second(),
            }),
            _ => None,
        }
    })
}

/// The names of a gym: given names, and exercises as the library or the gym calls them.
pub struct NamesHere<'a> {
    house: &'a House,
    gym: &'a Gym,
}

impl Names for NamesHere<'_> {
    fn athlete(&self, id: &AthleteId) -> String {
        self.gym.given_name(id)
    }
    fn exercise(&self, id: &ExerciseId) -> String {
        self.house.exercise_name(self.gym, id)
    }
}

fn invented_rules() -> Result<SafetyRules, String> {
    SafetyRules::invented().map_err(|error| error.to_string())
}
