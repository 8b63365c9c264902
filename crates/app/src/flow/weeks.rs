//! The weeks on one chart: each day's jump against where the athlete's own days usually lie.

use crate::flow::house::House;
use crate::flow::jump_days::{self, Day};
use cornerwork_core::estimate::Level;
use cornerwork_core::report::figure::{Axis, CurvePoint, Decimals, Point, Slope, Target};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::stats::control_chart::{
    FEWEST_FOR_CHART, Limits, WeightedAverage, individuals, prediction_limits,
};
use cornerwork_core::working::{Input, Working};

/// Days that are shown.
const SHOWN_DAYS: i32 = 84;

/// The chart.
#[derive(Debug)]
pub struct Weeks {
    /// What is drawn.
    pub figure: Slope,
    /// The finding.
    pub sentence: String,
    /// How it came about.
    pub working: Working,
}

/// The days of the last twelve weeks by the method of the last, and the band of all before it.
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
    let values: Vec<f64> = shown.iter().map(|day| day.mean_cm()).collect();
    let (today, before) = values.split_last().ok_or("No unloaded jump on record yet.")?;
    let limits = if before.len() >= FEWEST_FOR_CHART {
        individuals(before)
    } else {
        prediction_limits(before, Level::USUAL)
    }
    .map_err(|error| format!("No chart yet: {error}"))?;
    let average = WeightedAverage::default().over(&limits, &values);
    let drifting = average.last().is_some_and(|last| !last.limits.contains(last.average));
    let outside = before.iter().filter(|value| !limits.limits.contains(**value)).count();
    let word = match (limits.limits.contains(*today), drifting) {
        (true, false) => "inside the band, and so is the running average",
        (true, true) => "inside the band, but the running average has drifted out of its own",
        (false, _) if *today < limits.centre => "below the band",
        (false, _) => "above the band",
    };
    let sentence = format!(
        "{} days in {} weeks: the last is {word}{}.",
        values.len(),
        ((last.date - shown.first().map_or(last.date, |day| day.date)).get_days() + 6) / 7,
        match outside {
            0 => String::new(),
            1 => "; one earlier day lies outside".to_owned(),
            count => format!("; {count} earlier days lie outside"),
        }
    );
    let weeks = |day: &Day| -f64::from((last.date - day.date).get_days()) / 7.0;
    let points: Vec<(f64, f64)> =
        shown.iter().map(|day| weeks(day)).zip(values.iter().copied()).collect();
    let figure = figure(&points, &limits, &sentence);
    Ok(Weeks { figure, sentence, working: working(before.len(), &limits, &average, *today) })
}

fn figure(points: &[(f64, f64)], limits: &Limits, sentence: &str) -> Slope {
    let from = points.first().map_or(-1.0, |point| point.0);
    let at =
        |week: f64| CurvePoint::new(week, limits.centre, limits.limits.low, limits.limits.high);
    Slope {
        title: "Weeks".to_owned(),
        description: sentence.to_owned(),
        across: Axis::new("weeks before the last jump", "", Decimals::UpTo(0)),
        up: Axis::new("mean of the day", "cm", Decimals::Exactly(1)),
        points: points.iter().map(|(week, mean)| Point::new(*week, *mean)).collect(),
        line: vec![at(from), at(0.0)],
        level: Level::USUAL,
        target: points.last().map(|(_, today)| Target {
            at: *today,
            name: "last day".to_owned(),
            load: None,
        }),
        behind: None,
    }
}

fn working(
    days: usize,
    limits: &Limits,
    average: &[cornerwork_core::stats::control_chart::AveragedPoint],
    today: f64,
) -> Working {
    let chart = days >= FEWEST_FOR_CHART;
    let mut steps = vec![format!(
        "{today:.1} cm against {:.1} to {:.1} cm",
        limits.limits.low, limits.limits.high
    )];
    steps.extend(average.last().map(|last| {
        format!(
            "running average {:.1} cm against {:.1} to {:.1} cm",
            last.average, last.limits.low, last.limits.high
        )
    }));
    Working {
        title: "the weeks on one chart".into(),
        method: if chart { "individuals-chart" } else { "prediction-limits" },
        version: 1,
        inputs: vec![
            Input::new("days before the last", days.to_string()),
            Input::new("their mean", format!("{:.1} cm", limits.centre)),
            Input::new("spread from day to day", format!("{:.2} cm", limits.standard_deviation)),
        ],
        steps,
        source: if chart {
            "individuals chart by moving range (Shewhart; Montgomery, Statistical Quality Control); running average: Roberts 1959, Technometrics 1:239, limits Lucas and Saccucci 1990, Technometrics 32:1"
        } else {
            "prediction interval of one value by Student's t, nine in ten (Hahn and Meeker, Statistical Intervals)"
        },
        doubt: "the band takes the days before as level: a trend in them widens it".into(),
    }
}
