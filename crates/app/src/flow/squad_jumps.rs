//! What the jumps of all say of anyone's: how far a day's mean strays by chance, and where others
//! of the kind lie. Women and men apart, each way of measuring by itself.

use crate::flow::house::House;
use crate::flow::jump_days::{self, Day};
use cornerwork_core::profile::change::Prior;
use cornerwork_core::profile::published_noise::{
    JUMP_HEIGHT, JUMP_HEIGHT_ON_A_MAT, PublishedNoise, WeighedNoise,
};
use cornerwork_core::session::athlete::{AthleteId, Sex};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Method;
use cornerwork_core::stats::mean::mean;
use std::collections::HashMap;

/// Degrees of freedom that two neighbouring days of one athlete show: successive differences share
/// their days (von Neumann 1941, Ann Math Stat 12:367).
const WORTH_OF_A_PAIR: f64 = 2.0 / 3.0;
/// Fewest pairs of days that are looked at.
const FEWEST_PAIRS: u32 = 2;
/// Fewest others whose levels say anything.
const FEWEST_OTHERS: usize = 4;

/// One sex by one method.
#[derive(Debug, Default)]
struct Group {
    /// Pairs of neighbouring days.
    pairs: u32,
    /// Sum of half the squared differences of their logarithms.
    squares: f64,
    /// Mean height of each athlete's days, in cm.
    levels_cm: Vec<(AthleteId, f64)>,
}

/// The unloaded jumps of everyone here. They are all looked at: ask for it once a page.
#[derive(Debug)]
pub struct SquadJumps {
    groups: HashMap<(Sex, Method), Group>,
}

impl SquadJumps {
    /// Of a gym.
    pub fn of_gym(house: &House, gym: &Gym) -> Self {
        let mut groups: HashMap<(Sex, Method), Group> = HashMap::new();
        for athlete in gym.athletes.values() {
            let mut by_method: HashMap<Method, Vec<Day>> = HashMap::new();
            for day in jump_days::of(house, gym, &athlete.id) {
                by_method.entry(day.method).or_default().push(day);
            }
            for (method, days) in by_method {
                groups.entry((athlete.sex, method)).or_default().add(&athlete.id, &days);
            }
        }
        Self { groups }
    }

    /// The noise of a day's mean for an athlete by a method, drawn towards the published one while
    /// days are few. What an athlete can do differs little from one day to the next, so the
    /// differences between neighbouring days are nearly all noise.
    pub fn noise(&self, gym: &Gym, athlete: &AthleteId, method: Method) -> WeighedNoise {
        let group = self.group(gym, athlete, method).filter(|group| group.pairs >= FEWEST_PAIRS);
        let own = group.map(|group| {
            let pairs = f64::from(group.pairs);
            (100.0 * (group.squares / pairs).sqrt().exp_m1(), pairs * WORTH_OF_A_PAIR)
        });
        published(method).weighed_with(own)
    }

    /// Where an athlete's level would be thought before any jump: among the others of the group. A
    /// test far from them is expected to come back a little.
    pub fn level_of_others(&self, gym: &Gym, athlete: &AthleteId, method: Method) -> Prior {
        let others: Vec<f64> = self
            .group(gym, athlete, method)
            .into_iter()
            .flat_map(|group| &group.levels_cm)
            .filter(|(other, _)| other != athlete)
            .map(|(_, level_cm)| *level_cm)
            .collect();
        if others.len() < FEWEST_OTHERS {
            return Prior::Flat;
        }
        let count = count(others.len());
        let mean = mean(&others);
        let squares: f64 = others.iter().map(|level| (level - mean).powi(2)).sum();
        Prior::Normal {
            mean,
            // One more of the group strays from a mean that is itself in doubt.
            standard_deviation: (squares / (count - 1.0) * (1.0 + 1.0 / count)).sqrt(),
            source: format!("the levels of {} others of the same sex", others.len()),
        }
    }

    fn group(&self, gym: &Gym, athlete: &AthleteId, method: Method) -> Option<&Group> {
        self.groups.get(&(gym.athlete(athlete)?.sex, method))
    }
}

impl Group {
    fn add(&mut self, athlete: &AthleteId, days: &[Day]) {
        for pair in days.windows(2) {
            self.pairs += 1;
            self.squares += (pair[1].mean_cm() / pair[0].mean_cm()).ln().powi(2) / 2.0;
        }
        let means: Vec<f64> = days.iter().map(Day::mean_cm).collect();
        self.levels_cm.push((athlete.clone(), mean(&means)));
    }
}

fn count(length: usize) -> f64 {
    u32::try_from(length).map_or(f64::NAN, f64::from)
}

const fn published(method: Method) -> PublishedNoise {
    match method {
        Method::FlightTime => JUMP_HEIGHT_ON_A_MAT,
        Method::TakeOffVelocity | Method::Sensor | Method::ByHand | Method::ByEye(_) => JUMP_HEIGHT,
    }
}
