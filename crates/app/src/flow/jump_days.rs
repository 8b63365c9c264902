//! The unloaded jumps on record, day by day.

use crate::flow::camp::travel;
use crate::flow::house::House;
use crate::flow::plan::UNLOADED_JUMP;
use cornerwork_core::profile::test_day::{Conditions, TestDay};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Method;
use cornerwork_core::stats::mean::mean;
use cornerwork_core::words;
use cornerwork_core::words::counted;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Jumps this close before a bout are made while making weight and say nothing about a camp
/// (common practice, no source).
const MAKING_WEIGHT_DAYS: i32 = 2;

/// Name of the condition that must be alike before jumps are compared.
pub const METHOD: &str = "method";

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
    /// The day as a test, by a number of its own.
    pub fn test(&self, number: f64) -> TestDay {
        let conditions = Conditions::none().with(METHOD, self.method.words());
        TestDay::new(number, self.heights_cm.clone()).under(conditions)
    }

    /// Mean of the day, in cm.
    pub fn mean_cm(&self) -> f64 {
        mean(&self.heights_cm)
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

/// Why a day cannot be compared whatever was measured, in words that follow "because": weight is
/// being made, or a journey over time zones is not slept off.
pub fn unlike_others(house: &House, gym: &Gym, athlete: &AthleteId, date: Date) -> Option<String> {
    making_weight(gym, athlete, date).or_else(|| travel::out_of_step(house, gym, athlete, date))
}

/// It lies in the last days before a bout.
fn making_weight(gym: &Gym, athlete: &AthleteId, date: Date) -> Option<String> {
    let bout =
        gym.next_bout(athlete, date).filter(|bout| bout.days_from(date) <= MAKING_WEIGHT_DAYS)?;
    Some(format!(
        "it was made {} before {} ({}), while weight is made",
        counted(bout.days_from(date), "day"),
        bout.name,
        words::day(bout.date)
    ))
}
