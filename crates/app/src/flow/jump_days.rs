//! The unloaded jumps on record, day by day, and how far a day's mean strays by chance.

use crate::flow::house::House;
use crate::flow::plan::UNLOADED_JUMP;
use crate::flow::profiles::short;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Method;
use cornerwork_core::stats::shrinkage::{ShrunkSpread, spread_towards};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Coefficient of variation of jump height before the squad's own data speak: 2.4 to 4.6 % in
/// jump tests (Markovic 2004, J Strength Cond Res 18:551), worth as much as ten own pairs.
const PUBLISHED_NOISE: (f64, f64) = (0.035, 10.0);
/// Jumps this close before a bout are made while making weight and say nothing about a camp
/// (common practice, no source).
const MAKING_WEIGHT_DAYS: i32 = 2;

/// All jumps of one day by one method.
#[derive(Clone, Debug)]
pub struct Day {
    /// The day at the gym.
    pub date: Date,
    /// How the jumps were measured.
    pub method: Method,
    /// Each jump that counts.
    pub heights_cm: Vec<f64>,
}

impl Day {
    /// Mean of the day, in cm.
    pub fn mean_cm(&self) -> f64 {
        let count = u32::try_from(self.heights_cm.len()).map_or(f64::NAN, f64::from);
        self.heights_cm.iter().sum::<f64>() / count
    }
}

/// An athlete's days with unloaded jumps, oldest first; of two methods on one day the first.
pub fn of(house: &House, gym: &Gym, athlete: &AthleteId) -> Vec<Day> {
    let mut by_date: BTreeMap<Date, Day> = BTreeMap::new();
    for rep in gym.reps_of(athlete).filter(|rep| rep.entry.exercise.as_str() == UNLOADED_JUMP) {
        let Some(height_m) = rep.number() else { continue };
        let date = house.clock().date_of(rep.entry.at);
        let method = rep.entry.method;
        let day = by_date.entry(date).or_insert(Day { date, method, heights_cm: Vec::new() });
        if day.method == method {
            day.heights_cm.push(height_m * 100.0);
        }
    }
    by_date.into_values().collect()
}

/// How far a day's mean strays from the athlete's usual, as a share of it: from the differences
/// between neighbouring days of everyone here, weighed with the published noise. Neighbouring
/// days differ little in what the athlete can do, so their differences are nearly all noise
/// (von Neumann 1941, Ann Math Stat 12:367; about two thirds of a degree of freedom each).
///
/// It is one number for the whole gym: ask for it once a page.
pub fn noise_share(house: &House, gym: &Gym) -> ShrunkSpread {
    let mut squares = 0.0;
    let mut pairs = 0.0;
    for athlete in gym.athletes.keys() {
        let days = of(house, gym, athlete);
        for pair in days.windows(2).filter(|pair| pair[0].method == pair[1].method) {
            let (before, after) = (pair[0].mean_cm(), pair[1].mean_cm());
            squares += ((after - before) / ((after + before) / 2.0)).powi(2) / 2.0;
            pairs += 1.0;
        }
    }
    let own = (pairs >= 2.0).then(|| ((squares / pairs).sqrt(), pairs * 2.0 / 3.0));
    spread_towards(PUBLISHED_NOISE, own)
}

/// Why a day cannot be compared whatever was measured, in words that follow "because": it lies in
/// the last days before a bout, when weight is made.
pub fn making_weight(gym: &Gym, athlete: &AthleteId, date: Date) -> Option<String> {
    let bout =
        gym.next_bout(athlete, date).filter(|bout| bout.days_from(date) <= MAKING_WEIGHT_DAYS)?;
    Some(format!(
        "it was made {} days before {} ({}), while weight is made",
        bout.days_from(date),
        bout.name,
        short(bout.date)
    ))
}
