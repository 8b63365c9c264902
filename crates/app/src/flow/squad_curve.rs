//! The squad behind the athlete: where the curves of people of the same sex lie, and how much of
//! an answer an athlete with few jumps borrows from them.

use crate::flow::house::House;
use crate::flow::kept::Kept;
use crate::flow::plan::{self, LOADED_JUMP};
use crate::flow::profiles::{JumpSet, Momentum, PROFILE_DAYS};
use crate::flow::reps_by_method;
use cornerwork_core::estimate::{Interval, Level};
use cornerwork_core::exercise::{Exercise, ExerciseId};
use cornerwork_core::note::Noted;
use cornerwork_core::profile::load_velocity::VelocityRep;
use cornerwork_core::profile::pooled_momentum::{Jumper, PooledPeak, SquadMomentum};
use cornerwork_core::profile::pooled_velocity::SquadVelocity;
use cornerwork_core::report::figure::{Behind, CurvePoint};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
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
    Kept<(AthleteId, ExerciseId, Option<Side>), Vec<Vec<VelocityRep>>, Option<Arc<SquadVelocity>>>;

/// The squad of the same sex without the athlete; `None` for fewer than four others with two loads.
fn squad(house: &House, gym: &Gym, athlete: &Athlete) -> Option<Arc<Noted<SquadMomentum>>> {
    let exercise = plan::exercise(house, gym, LOADED_JUMP).ok()?;
    let others: Vec<Jumper> = gym
        .athletes
        .values()
        .filter(|other| other.id != athlete.id && other.sex == athlete.sex)
        .filter_map(|other| {
            let momentum =
                house.profiles.momentum(house, gym, &other.id, exercise, PROFILE_DAYS).ok()?;
            Some(jumper(&momentum.set))
        })
        .collect();
    house.profiles.squads.get(athlete.id.clone(), others, |others| {
        SquadMomentum::of(others, None).ok().map(Arc::new)
    })
}

fn jumper(set: &JumpSet) -> Jumper {
    Jumper { body_mass: set.body_mass, jumps: set.jumps.clone(), kind: None }
}

/// The stretch in which nine in ten of the same sex would lie at the athlete's own body mass.
pub fn behind(house: &House, gym: &Gym, athlete: &Athlete, momentum: &Momentum) -> Option<Behind> {
    let squad = squad(house, gym, athlete)?;
    let body_mass = momentum.set.body_mass;
    let unknown = Jumper { body_mass, jumps: Vec::new(), kind: None };
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
    let others: Vec<Vec<VelocityRep>> = gym
        .athletes
        .values()
        .filter(|other| other.id != athlete.id && other.sex == athlete.sex)
        .map(|other| reps_by_method::chosen(house, gym, &other.id, exercise, side, PROFILE_DAYS).0)
        .filter(|reps| !reps.is_empty())
        .collect();
    let key = (athlete.id.clone(), exercise.id.clone(), side);
    let squad = house.profiles.squad_lines.get(key, others, |others| {
        SquadVelocity::of(others, None).ok().map(|squad| Arc::new(squad.value))
    })?;
    let squad = squad.newcomer(&[]);
    let at = |point: &CurvePoint| {
        let velocity = squad.velocity_at(Mass::kilograms(point.across), Level::USUAL);
        let Interval { low, high } = velocity.interval;
        CurvePoint::new(point.across, velocity.value.si(), low.si(), high.si())
    };
    Some(Behind { name: NAME.to_owned(), curve: line.iter().map(at).collect() })
}

/// The load of most momentum with the share that is borrowed, for who has jumped little; `None`
/// when the own jumps speak for themselves or there is no squad.
pub fn borrowed(house: &House, gym: &Gym, athlete: &Athlete) -> Option<Noted<PooledPeak>> {
    let squad = squad(house, gym, athlete)?;
    let exercise = plan::exercise(house, gym, LOADED_JUMP).ok()?;
    let own = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS).ok();
    let own = match own {
        Some(momentum) => jumper(&momentum.set),
        None => {
            let (_, body_mass) = gym.body_mass(&athlete.id)?;
            Jumper { body_mass, jumps: Vec::new(), kind: None }
        }
    };
    let peak = squad.value.newcomer(&own).peak(Level::USUAL).ok()?;
    (peak.value.own_share < SAY_BELOW).then_some(peak)
}
