//! One side against the other, at the load both did most at, against the noise of a rep.

use crate::flow::house::House;
use crate::flow::profiles::PROFILE_DAYS;
use cornerwork_core::estimate::{Interval, Level, USUAL_REACH};
use cornerwork_core::exercise::{Exercise, Sides};
use cornerwork_core::profile::sides::{Gap, Side as SideMean, gap};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Mark, Now, Strip};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Rep, Side};
use cornerwork_core::stats::mean::mean;
use cornerwork_core::stats::shrinkage::spread_towards;
use jiff::ToSpan;

/// Typical error of one rep of one side, in per cent, before the own reps speak, worth as much as
/// five of them (common practice, no source).
const USUAL_ERROR_PERCENT: (f64, f64) = (5.0, 5.0);
/// Fewest reps of each side.
const FEWEST_REPS: usize = 3;

/// A gap with what it was found at.
#[derive(Debug)]
pub struct SideGap {
    /// The gap.
    pub gap: Gap,
    /// "at 20.0 kg, 24 reps rear and 22 lead".
    pub at: String,
}

/// The gap between the sides of an exercise in the last four weeks; `None` for an exercise
/// without sides or too few reps of both at one load.
pub fn of(house: &House, gym: &Gym, athlete: &AthleteId, exercise: &Exercise) -> Option<SideGap> {
    let (first, second) = match exercise.sides {
        Sides::None => return None,
        Sides::LeadRear => (Side::Lead, Side::Rear),
        Sides::EachSide => (Side::Left, Side::Right),
    };
    let since = house.clock().today().saturating_sub(PROFILE_DAYS.days());
    let reps: Vec<&Rep> = gym
        .reps_of(athlete)
        .filter(|rep| rep.entry.exercise == exercise.id && rep.counts())
        .filter(|rep| house.clock().date_of(rep.entry.at) >= since)
        .collect();
    let (one, other) = at_one_load(&reps, first, second)?;
    let error_percent = typical_error_percent([&one, &other]);
    let side = |side: Side, values: &[f64]| SideMean {
        name: side.code(),
        mean: mean(values),
        trials: u32::try_from(values.len()).unwrap_or(u32::MAX),
    };
    let gap = gap(side(first, &one), side(second, &other), error_percent, Level::USUAL).ok()?;
    let at = format!("{} reps {}, {} {}", one.len(), first.word(), other.len(), second.word());
    Some(SideGap { gap, at })
}

/// Numbers of both sides at the load where the rarer side has most.
fn at_one_load(reps: &[&Rep], first: Side, second: Side) -> Option<(Vec<f64>, Vec<f64>)> {
    let of = |side: Side, like: &Rep| -> Vec<f64> {
        reps.iter()
            .filter(|rep| rep.entry.side == Some(side) && rep.entry.method == like.entry.method)
            .filter(|rep| rep.entry.load.same_as(&like.entry.load))
            .filter_map(|rep| rep.number())
            .collect()
    };
    reps.iter()
        .map(|like| (of(first, like), of(second, like)))
        .max_by_key(|(one, other)| one.len().min(other.len()))
        .filter(|(one, other)| one.len().min(other.len()) >= FEWEST_REPS)
}

/// Spread of reps about their side's mean, as a share of it, drawn towards the usual.
fn typical_error_percent(sides: [&[f64]; 2]) -> f64 {
    let squares: f64 = sides
        .iter()
        .flat_map(|values| {
            let middle = mean(values);
            values.iter().map(move |value| (100.0 * (value / middle - 1.0)).powi(2))
        })
        .sum();
    let count = sides.iter().map(|values| values.len()).sum::<usize>();
    let free = f64::from(u32::try_from(count).unwrap_or(0)) - 2.0;
    spread_towards(USUAL_ERROR_PERCENT, Some(((squares / free).sqrt(), free))).standard_deviation
}

/// The picture: the gap on one scale, and what two equal sides show by noise alone.
pub fn strip(found: &SideGap) -> Strip {
    let Gap { log_ratio_percent, gap_of_equal_sides, outside_noise, .. } = &found.gap;
    // The mean absolute value of a normal is root(2 / pi) of its spread.
    let reach = USUAL_REACH * gap_of_equal_sides * (std::f64::consts::PI / 2.0).sqrt();
    Strip {
        title: "Gap between the sides".to_owned(),
        description: found.gap.sentence.clone(),
        axis: Axis::new("second side against first", "%", Decimals::UpTo(1)),
        bands: vec![Band { over: Interval { low: -reach, high: reach }, name: "noise".to_owned() }],
        earlier: Vec::new(),
        earlier_name: String::new(),
        now: Some(Now {
            at: log_ratio_percent.value,
            interval: Some(log_ratio_percent.interval),
            word: if *outside_noise { "more than noise" } else { "within noise" }.to_owned(),
            asks_for_act: false,
        }),
        marks: vec![Mark { at: 0.0, name: "equal".to_owned() }],
    }
}
