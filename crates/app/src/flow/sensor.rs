//! Several athletes shift together within minutes: the sensor rather than the athletes.

use crate::flow::expected;
use crate::flow::house::House;
use cornerwork_core::estimate::Level;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::profile::sensor_offset::{Shift, common};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Method, Rep, Side};
use cornerwork_core::working::Working;
use jiff::SignedDuration;
use std::collections::BTreeMap;

/// Reps this close together are looked at together.
const WINDOW: SignedDuration = SignedDuration::from_mins(10);

/// A sensor that seems to have moved.
#[derive(Debug)]
pub struct Moved {
    /// At these stations.
    pub stations: Vec<u8>,
    /// What was seen and what to do.
    pub sentence: String,
    /// How it came about.
    pub working: Working,
}

/// Sensors of the open evening that read all athletes of the last minutes high or low: each
/// station by itself, else all together, as one sensor may serve several by turns.
pub fn moved(house: &House, gym: &Gym) -> Vec<Moved> {
    let Some(evening) = gym.open_evening() else {
        return Vec::new();
    };
    let numbers: Vec<u8> = evening.plan.stations.iter().map(|station| station.number).collect();
    let each: Vec<Moved> =
        numbers.iter().filter_map(|number| moved_at(house, gym, &[*number])).collect();
    if each.is_empty() { moved_at(house, gym, &numbers).into_iter().collect() } else { each }
}

fn moved_at(house: &House, gym: &Gym, stations: &[u8]) -> Option<Moved> {
    let mut reps: Vec<&Rep> = stations
        .iter()
        .flat_map(|station| gym.reps_at(*station))
        .filter(|rep| rep.entry.method == Method::Sensor && rep.counts())
        .collect();
    let last = reps.iter().map(|rep| rep.entry.at).max()?;
    reps.retain(|rep| rep.entry.at >= last - WINDOW);
    let mut by_athlete: BTreeMap<&AthleteId, Vec<&Rep>> = BTreeMap::new();
    for rep in &reps {
        by_athlete.entry(&rep.entry.athlete).or_default().push(rep);
    }
    let mut days = DayShares::new();
    for entry in reps.iter().map(|rep| &rep.entry) {
        days.entry((&entry.exercise, entry.side))
            .or_insert_with(|| expected::day_share(house, gym, entry));
    }
    let shifts: Vec<Shift> = by_athlete
        .iter()
        .filter_map(|(athlete, reps)| shift(house, gym, athlete, reps, &days))
        .collect();
    let found = common(&shifts, "m/s", Level::USUAL).ok().filter(|found| found.warn)?;
    let mut stations: Vec<u8> = reps.iter().filter_map(|rep| rep.entry.station).collect();
    stations.sort_unstable();
    stations.dedup();
    let since = reps.iter().map(|rep| rep.entry.at).min()?;
    let sentence = format!(
        "{} Put it back on its mark and lift the bare bar once; if it had moved, set aside the \
         reps since {}.",
        found.sentence,
        house.clock().time_of(since)
    );
    Some(Moved { stations, sentence, working: found.working })
}

/// How far a day strays, by exercise and side.
type DayShares<'a> = BTreeMap<(&'a ExerciseId, Option<Side>), f64>;

/// One athlete's reps against what was expected of each before the first of them.
fn shift(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    reps: &[&Rep],
    days: &DayShares<'_>,
) -> Option<Shift> {
    let before = reps.iter().map(|rep| rep.entry.at).min()?;
    let each: Vec<(f64, f64, f64)> = reps
        .iter()
        .filter_map(|rep| {
            let day = *days.get(&(&rep.entry.exercise, rep.entry.side))?;
            let expected = expected::of(house, gym, &rep.entry, before, day)?;
            Some((rep.number()? - expected.expected, expected.doubt, expected.rep_noise))
        })
        .collect();
    let count = f64::from(u32::try_from(each.len()).ok()?);
    let mean = |of: fn(&(f64, f64, f64)) -> f64| each.iter().map(of).sum::<f64>() / count;
    let doubt = mean(|one| one.1).hypot(mean(|one| one.2) / count.sqrt());
    (count > 0.0).then(|| Shift { code: athlete.to_string(), difference: mean(|one| one.0), doubt })
}
