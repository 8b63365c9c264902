//! What an athlete's own earlier camps say before a new one: how take-off velocity falls with
//! load, and how far a jump strays from that, each with the weight of the own camps in it.

use crate::flow::house::House;
use crate::flow::plan::{self, LOADED_JUMP};
use crate::flow::profiles::{self, JumpSet, PROFILE_DAYS};
use cornerwork_core::profile::load_momentum::shape::take_off_velocity;
use cornerwork_core::profile::within_athlete::{Camp, NextCamp, SquadPrior, next_camp};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::stats::line::Line;
use cornerwork_core::units::{Quantity, STANDARD_GRAVITY};

/// A camp is this long before its bout (8 to 12 weeks: Ruddock and others 2016, Strength Cond J
/// 38(3):81).
const CAMP_DAYS: i32 = 84;
/// How far one athlete's fall with load differs from camp to camp, as a share of it (ours).
const BETWEEN_CAMPS: f64 = 0.05;
/// Jumps through which a line is drawn at least.
const FEWEST_JUMPS: usize = 6;
/// Others the squad's part rests on at least.
const FEWEST_OTHERS: usize = 3;

/// The priors for the camp that runs or comes; `None` without an earlier camp with loaded jumps,
/// or with too few others for the squad's part.
pub fn of(house: &House, gym: &Gym, athlete: &Athlete) -> Option<NextCamp> {
    let exercise = plan::exercise(house, gym, LOADED_JUMP).ok()?;
    let today = house.clock().today();
    let mut bouts: Vec<_> = gym
        .bouts
        .values()
        .filter(|bout| bout.athletes.contains(&athlete.id) && bout.date < today)
        .collect();
    bouts.sort_by_key(|bout| bout.date);
    let camps: Vec<Camp> = bouts
        .iter()
        .filter_map(|bout| {
            profiles::jumps_up_to(house, gym, &athlete.id, exercise, bout.date, CAMP_DAYS).ok()
        })
        .filter_map(|jumps| camp(&jumps))
        .collect();
    if camps.is_empty() {
        return None;
    }
    let others: Vec<Camp> = gym
        .athletes
        .values()
        .filter(|other| other.id != athlete.id && other.sex == athlete.sex)
        .filter_map(|other| {
            let momentum =
                house.profiles.momentum(house, gym, &other.id, exercise, PROFILE_DAYS).ok()?;
            camp(&momentum.set)
        })
        .collect();
    next_camp(&camps, &squad(&others)?).ok()
}

/// The line through the jumps of one camp: take-off velocity against load over body mass.
fn camp(set: &JumpSet) -> Option<Camp> {
    let points: Vec<(f64, f64)> = set
        .jumps
        .iter()
        .map(|jump| {
            let velocity = take_off_velocity(jump.height(STANDARD_GRAVITY), STANDARD_GRAVITY);
            (jump.load / set.body_mass, velocity.si())
        })
        .collect();
    if points.len() < FEWEST_JUMPS {
        return None;
    }
    let line = Line::through(&points).ok()?;
    let noise = line.noise()?;
    Some(Camp {
        slope: line.slope,
        slope_error: line.slope_standard_error(noise),
        typical_error: noise.sd,
        degrees_of_freedom: noise.degrees_of_freedom?,
    })
}

fn squad(others: &[Camp]) -> Option<SquadPrior> {
    if others.len() < FEWEST_OTHERS {
        return None;
    }
    let count = f64::from(u32::try_from(others.len()).ok()?);
    let mean = |of: fn(&Camp) -> f64| others.iter().map(of).sum::<f64>() / count;
    let slope = mean(|camp| camp.slope);
    let squares: f64 = others.iter().map(|camp| (camp.slope - slope).powi(2)).sum();
    Some(SquadPrior {
        slope,
        slope_spread: (squares / (count - 1.0)).sqrt(),
        between_camps: BETWEEN_CAMPS * slope.abs(),
        typical_error: mean(|camp| camp.typical_error.powi(2)).sqrt(),
        degrees_of_freedom: mean(|camp| camp.degrees_of_freedom),
    })
}
