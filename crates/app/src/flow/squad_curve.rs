//! The squad behind the athlete: where the curves of people of the same sex lie, and how much of
//! an answer an athlete with few jumps borrows from them. Women and men are fitted together, shifted
//! by sex (in a wide squad by body mass too), where there are three of each; else one sex alone.

use crate::flow::house::House;
use crate::flow::kept::Kept;
use crate::flow::plan::{self, LOADED_JUMP};
use crate::flow::profiles::{JumpSet, Momentum, PROFILE_DAYS};
use crate::flow::reps_by_method;
use cornerwork_core::estimate::{Interval, Level};
use cornerwork_core::exercise::{Exercise, ExerciseId};
use cornerwork_core::note::Noted;
use cornerwork_core::profile::likeness::Likeness;
use cornerwork_core::profile::load_momentum::HeightMethod;
use cornerwork_core::profile::pooled_momentum::{Jumper, PooledPeak, SquadMomentum};
use cornerwork_core::profile::pooled_velocity::{Lifter, SquadVelocity};
use cornerwork_core::report::figure::{Behind, CurvePoint};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Sex};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::{Mass, Quantity};
use std::sync::Arc;

/// What the stretch is called.
const NAME: &str = "squad, nine in ten";
/// Own share of the answer below which it is said that it is borrowed.
const SAY_BELOW: f64 = 0.8;

/// Curves of a squad behind each athlete, kept while its jumps stay the same.
pub type Squads = Kept<AthleteId, Vec<Jumper>, Option<Arc<Noted<SquadMomentum>>>>;

/// Lines of a squad behind each athlete in each lift and side, kept likewise.
pub type SquadLines =
    Kept<(AthleteId, ExerciseId, Option<Side>), Vec<Lifter>, Option<Arc<SquadVelocity>>>;

/// The squad without the athlete, by the same method; `None` for fewer than four others with two
/// loads.
fn squad(house: &House, gym: &Gym, athlete: &Athlete) -> Option<Arc<Noted<SquadMomentum>>> {
    let exercise = plan::exercise(house, gym, LOADED_JUMP).ok()?;
    let method = method_of(house, gym, athlete, exercise);
    let others: Vec<Jumper> = gym
        .athletes
        .values()
        .filter(|other| other.id != athlete.id)
        .filter_map(|other| {
            let momentum =
                house.profiles.momentum(house, gym, &other.id, exercise, PROFILE_DAYS).ok()?;
            (momentum.set.method == method).then(|| jumper(other, &momentum.set))
        })
        .collect();
    house.profiles.squads.get(athlete.id.clone(), others, |others| {
        let alike = || of_kind(others, athlete, |other| other.kind);
        let fitted = SquadMomentum::of(others, None);
        fitted.or_else(|_| SquadMomentum::of(&alike(), None)).ok().map(Arc::new)
    })
}

/// How the athlete's own jumps were measured; the mat where there are none.
fn method_of(house: &House, gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> HeightMethod {
    let own = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS);
    own.map_or(HeightMethod::FlightTime, |momentum| momentum.set.method)
}

/// The two kinds that are fitted together, half a step to each side of the middle.
const fn kind(athlete: &Athlete) -> Option<f64> {
    Some(match athlete.sex {
        Sex::Female => -0.5,
        Sex::Male => 0.5,
    })
}

/// Those of the athlete's own kind.
fn of_kind<T: Clone>(all: &[T], athlete: &Athlete, of: impl Fn(&T) -> Option<f64>) -> Vec<T> {
    all.iter().filter(|one| of(one) == kind(athlete)).cloned().collect()
}

fn jumper(athlete: &Athlete, set: &JumpSet) -> Jumper {
    Jumper { body_mass: set.body_mass, jumps: set.jumps.clone(), kind: kind(athlete) }
}

/// The stretch in which nine in ten of the same sex would lie at the athlete's own body mass.
pub fn behind(house: &House, gym: &Gym, athlete: &Athlete, momentum: &Momentum) -> Option<Behind> {
    let squad = squad(house, gym, athlete)?;
    let body_mass = momentum.set.body_mass;
    let unknown = Jumper { body_mass, jumps: Vec::new(), kind: kind(athlete) };
    let squad = squad.value.newcomer(&unknown);
    let at = |point: &CurvePoint| {
        let load = Mass::kilograms(point.across);
        let velocity = squad.velocity_at(load, Level::USUAL);
        let momentum = |velocity: f64| velocity * (body_mass + load).si();
        let Interval { low, high } = velocity.interval;
        let (low, high) = (momentum(low.si()), momentum(high.si()));
        CurvePoint::new(point.across, momentum(velocity.value.si()), low, high)
    };
    Some(Behind { name: NAME.to_owned(), curve: momentum.hill().curve.iter().map(at).collect() })
}

/// The stretch in which the lines of nine in ten of the same sex would lie, in one lift and side.
pub fn behind_line(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    exercise: &Exercise,
    side: Option<Side>,
    line: &[CurvePoint],
) -> Option<Behind> {
    let others: Vec<Lifter> = gym
        .athletes
        .values()
        .filter(|other| other.id != athlete.id)
        .filter_map(|other| {
            let reps =
                reps_by_method::chosen(house, gym, &other.id, exercise, side, PROFILE_DAYS).0;
            (!reps.is_empty()).then_some(Lifter { likeness: likeness(gym, other)?, reps })
        })
        .collect();
    let key = (athlete.id.clone(), exercise.id.clone(), side);
    let squad = house.profiles.squad_lines.get(key, others, |others| {
        let alike = || of_kind(others, athlete, |other| other.likeness.kind);
        let fitted = SquadVelocity::of_lifters(others, None);
        let fitted = fitted.or_else(|_| SquadVelocity::of_lifters(&alike(), None));
        fitted.ok().map(|squad| Arc::new(squad.value))
    })?;
    let unknown = Lifter { likeness: likeness(gym, athlete)?, reps: Vec::new() };
    let squad = squad.new_lifter(&unknown);
    let at = |point: &CurvePoint| {
        let velocity = squad.velocity_at(Mass::kilograms(point.across), Level::USUAL);
        let Interval { low, high } = velocity.interval;
        CurvePoint::new(point.across, velocity.value.si(), low.si(), high.si())
    };
    Some(Behind { name: NAME.to_owned(), curve: line.iter().map(at).collect() })
}

fn likeness(gym: &Gym, athlete: &Athlete) -> Option<Likeness> {
    let (_, body_mass) = gym.body_mass(&athlete.id)?;
    Some(Likeness { kind: kind(athlete), body_mass })
}

/// The load of most momentum with the share that is borrowed, for who has jumped little; `None`
/// when the own jumps speak for themselves or there is no squad.
pub fn borrowed(house: &House, gym: &Gym, athlete: &Athlete) -> Option<Noted<PooledPeak>> {
    let squad = squad(house, gym, athlete)?;
    let exercise = plan::exercise(house, gym, LOADED_JUMP).ok()?;
    let own = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS).ok();
    let own = match own {
        Some(momentum) => jumper(athlete, &momentum.set),
        None => {
            let (_, body_mass) = gym.body_mass(&athlete.id)?;
            Jumper { body_mass, jumps: Vec::new(), kind: kind(athlete) }
        }
    };
    let peak = squad.value.newcomer(&own).peak(Level::USUAL).ok()?;
    (peak.value.own_share < SAY_BELOW).then_some(peak)
}
