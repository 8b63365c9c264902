//! The weeks on one chart: each day's jump against where the athlete's first days of them lie.

use crate::flow::house::House;
use crate::flow::jump_days::{self, Day};
use cornerwork_core::estimate::Level;
use cornerwork_core::note::Noted;
use cornerwork_core::profile::test_day::TestDay;
use cornerwork_core::profile::weekly_chart::{self, WeeklyChart};
use cornerwork_core::report::figure::{Axis, CurvePoint, Decimals, Point, Slope};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::stats::control_chart::FEWEST_FOR_CHART;
use jiff::civil::Date;

/// Days that are shown.
const SHOWN_DAYS: i32 = 84;
/// The chart spans at least four typical errors of a day (ours): less would show noise as drama.
const LEAST_SPAN_CM: f64 = 4.0;

/// The chart.
#[derive(Debug)]
pub struct Weeks {
    /// What is drawn.
    pub figure: Slope,
    /// What it says, with its caveats.
    pub chart: Noted<WeeklyChart>,
}

/// The days of the last twelve weeks by the method of the last. The first eight of them are the
/// baseline and never move; while there are fewer, all but the last.
///
/// # Errors
/// A sentence when there are too few days.
pub fn chart(house: &House, gym: &Gym, athlete: &AthleteId) -> Result<Weeks, String> {
    let days = jump_days::of(house, gym, athlete);
    let last = days.last().ok_or("No unloaded jump on record yet.")?;
    let shown: Vec<&Day> = days
        .iter()
        .filter(|day| day.method == last.method && (last.date - day.date).get_days() <= SHOWN_DAYS)
        .collect();
    let number = |day: &Day| -f64::from((last.date - day.date).get_days());
    let tests: Vec<TestDay> = shown.iter().map(|day| day.test(number(day))).collect();
    let baseline = FEWEST_FOR_CHART.min(shown.len().saturating_sub(1)).max(1);
    let until = shown.get(baseline - 1).map_or(0.0, |day| number(day));
    let chart = weekly_chart::chart(&tests, until, "cm").map_err(|error| error.to_string())?;
    let points: Vec<(f64, f64)> = shown.iter().map(|day| (number(day), day.mean_cm())).collect();
    let figure = figure(last.date, &points, &chart.value);
    Ok(Weeks { figure, chart })
}

/// Days are counted from the last, which is zero.
fn figure(last: Date, points: &[(f64, f64)], chart: &WeeklyChart) -> Slope {
    let limits = &chart.limits;
    let from = points.first().map_or(-1.0, |point| point.0);
    let at = |day: f64| CurvePoint::new(day, limits.centre, limits.limits.low, limits.limits.high);
    Slope {
        title: "Weeks".to_owned(),
        description: chart.sentence.clone(),
        across: Axis::dates(last),
        up: Axis::new("mean of the day", "cm", Decimals::Exactly(1)).spanning(LEAST_SPAN_CM),
        points: points.iter().map(|(day, mean)| Point::new(*day, *mean)).collect(),
        line: vec![at(from), at(0.0)],
        level: level(chart),
        target: None,
        last: Some("last day".to_owned()),
        behind: None,
    }
}

/// How many usual days the band holds: three standard deviations to each side, or the interval of
/// a short baseline.
fn level(chart: &WeeklyChart) -> Level {
    let three_sigma = (chart.baseline_days >= FEWEST_FOR_CHART).then(|| Level::new(0.997));
    three_sigma.flatten().unwrap_or(Level::WATCHED)
}
