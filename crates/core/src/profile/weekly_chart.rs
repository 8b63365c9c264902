//! Weekly jumps watched for a shift, by three rules that are stated.
//!
//! The baseline is frozen: its days set the limits, later days are held against them and never
//! move them. A new baseline is someone's decision, after an injury or a new device.

use super::change::comparable_with;
use super::test_day::TestDay;
use super::verdict::Direction;
use crate::estimate::{Interval, Level};
use crate::note::{Note, Noted};
use crate::stats::control_chart::{
    AveragedPoint, ChartError, FEWEST_FOR_CHART, Limits, WeightedAverage, individuals,
    prediction_limits,
};
use crate::working::{Input, Working};

/// The rules, in the order they are tried.
pub const RULES: [&str; 3] = [
    "with two to seven baseline days: a day outside the Student t interval for one more day, at 95 %",
    "with eight or more: a day outside the mean ± 3 sigma, sigma the mean moving range / 1.128",
    "with eight or more: the weighted average of the days (newest 0.3) outside its ± 2.7 sigma limits",
];

/// What a day says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signal {
    /// The day itself lies outside the limits.
    Outside(Direction),
    /// No day alone, but the days together have drifted.
    Drifted(Direction),
}

/// One day after the baseline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChartPoint {
    /// Its day number.
    pub day: f64,
    /// Mean of its trials.
    pub value: f64,
    /// The weighted average after it, where the baseline is long enough for one.
    pub average: Option<AveragedPoint>,
    /// What it says; nothing when it is as usual.
    pub signal: Option<Signal>,
}

/// A chart of weekly jumps.
#[derive(Clone, Debug, PartialEq)]
pub struct WeeklyChart {
    /// Days the limits rest on.
    pub baseline_days: usize,
    /// The limits.
    pub limits: Limits,
    /// Days since, in order.
    pub points: Vec<ChartPoint>,
    /// One plain sentence about the latest signal, or that there is none.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// Why there is no chart.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum WeeklyChartError {
    /// The baseline is too short or does not vary.
    #[error("No chart of weekly jumps: in the baseline {0}")]
    Baseline(#[from] ChartError),
    /// A day or trial that is no number.
    #[error("No chart of weekly jumps: a day or a trial is not a number.")]
    NotANumber,
    /// No trial at all.
    #[error("No chart of weekly jumps: nothing was tested.")]
    Nothing,
}

/// Baseline days below which the limits themselves are in doubt. Common practice, no source.
const FIRM_BASELINE: usize = 20;

/// A chart of the days since `baseline_until` against those up to it.
///
/// Days under other conditions than the last are left out and counted: a changed method starts a
/// new series. Rules as in [`RULES`] (Shewhart 1931; Roberts 1959, Technometrics 1:239; Hahn and
/// Meeker, Statistical Intervals). Fails below two baseline days.
pub fn chart(
    days: &[TestDay],
    baseline_until: f64,
    unit: &str,
) -> Result<Noted<WeeklyChart>, WeeklyChartError> {
    let finite = |day: &TestDay| day.day.is_finite() && day.trials.iter().all(|y| y.is_finite());
    if !days.iter().all(finite) {
        return Err(WeeklyChartError::NotANumber);
    }
    let mut tested: Vec<&TestDay> = days.iter().filter(|day| !day.trials.is_empty()).collect();
    tested.sort_by(|one, other| one.day.total_cmp(&other.day));
    let last = *tested.last().ok_or(WeeklyChartError::Nothing)?;
    let alike: Vec<(f64, f64)> = tested
        .iter()
        .filter(|day| comparable_with(day, last))
        .filter_map(|day| Some((day.day, day.mean()?)))
        .collect();
    let left_out = tested.len() - alike.len();
    let (baseline, since): (Vec<_>, Vec<_>) =
        alike.into_iter().partition(|(day, _)| *day <= baseline_until);
    let values: Vec<f64> = baseline.iter().map(|(_, value)| *value).collect();
    let long = values.len() >= FEWEST_FOR_CHART;
    let limits =
        if long { individuals(&values) } else { prediction_limits(&values, Level::WATCHED) }?;
    let points = points(&limits, &since, long);
    let chart = WeeklyChart {
        baseline_days: values.len(),
        sentence: sentence(&limits, &points, values.len(), unit),
        working: working(&limits, values.len(), long, unit),
        limits,
        points,
    };
    Ok(Noted { value: chart, notes: notes(values.len(), left_out) })
}

impl WeeklyChart {
    /// The latest day with a signal.
    pub fn latest_signal(&self) -> Option<(&ChartPoint, Signal)> {
        latest_signal(&self.points)
    }
}

fn latest_signal(points: &[ChartPoint]) -> Option<(&ChartPoint, Signal)> {
    points.iter().rev().find_map(|point| Some((point, point.signal?)))
}

fn points(limits: &Limits, since: &[(f64, f64)], long: bool) -> Vec<ChartPoint> {
    let values: Vec<f64> = since.iter().map(|(_, value)| *value).collect();
    let averages = WeightedAverage::default().over(limits, &values);
    since
        .iter()
        .zip(averages)
        .map(|(&(day, value), average)| {
            let average = long.then_some(average);
            let outside = beyond(limits.limits, value).map(Signal::Outside);
            let drifted = average
                .and_then(|average| beyond(average.limits, average.average))
                .map(Signal::Drifted);
            ChartPoint { day, value, average, signal: outside.or(drifted) }
        })
        .collect()
}

fn beyond(limits: Interval<f64>, value: f64) -> Option<Direction> {
    if value < limits.low {
        Some(Direction::Down)
    } else {
        (value > limits.high).then_some(Direction::Up)
    }
}

fn sentence(limits: &Limits, points: &[ChartPoint], baseline_days: usize, unit: &str) -> String {
    let Interval { low, high } = limits.limits;
    let since = format!("since the first {baseline_days} days");
    let range = format!("those lie between {low:.1} and {high:.1} {unit}");
    match latest_signal(points) {
        None if points.is_empty() => format!("Nothing tested {since}."),
        None if points.len() == 1 => format!("No shift on the one day {since}."),
        None => format!("No shift in the {} days {since}.", points.len()),
        Some((point, Signal::Outside(direction))) => {
            format!(
                "A shift {direction} {since}: {:.1} {unit}, and {range}. Look for the reason.",
                point.value
            )
        }
        Some((_, Signal::Drifted(direction))) => {
            format!(
                "No single day stands out, but the days {since} have drifted {direction} together. Look for the reason."
            )
        }
    }
}

fn notes(baseline_days: usize, left_out: usize) -> Vec<Note> {
    let mut notes = Vec::new();
    if left_out > 0 {
        notes.push(Note::new(
            "unlike-days-left-out",
            format!("{left_out} days were measured under other conditions and are left out: a changed method starts a new series."),
        ));
    }
    if baseline_days < FIRM_BASELINE {
        notes.push(Note::new(
            "young-limits",
            format!("The limits rest on {baseline_days} days, so false alarms are more frequent than the rules promise; about twenty make them firm."),
        ));
    }
    notes
}

fn working(limits: &Limits, baseline_days: usize, long: bool, unit: &str) -> Working {
    let Limits { centre, standard_deviation, limits: Interval { low, high } } = limits;
    let rules = if long { &RULES[1..] } else { &RULES[..1] };
    let limits = format!("usual {low:.2} to {high:.2} {unit}");
    Working {
        title: "chart of weekly jumps".into(),
        method: "weekly-chart",
        version: 1,
        inputs: vec![
            Input::new("baseline days", baseline_days.to_string()),
            Input::new("their mean", format!("{centre:.2} {unit}")),
            Input::new("sigma", format!("{standard_deviation:.3} {unit}")),
        ],
        steps: rules.iter().map(|rule| format!("rule: {rule}")).chain([limits]).collect(),
        source: "individuals chart (Shewhart 1931; Montgomery 2009, Statistical Quality Control); weighted average (Roberts 1959, Technometrics 1:239; Lucas and Saccucci 1990, Technometrics 32:1); prediction interval (Hahn and Meeker 1991, Statistical Intervals)",
        doubt: "limits of a short baseline are themselves in doubt; how often an unchanged athlete is flagged stands in docs/calibration.md".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::test_day::Conditions;

    /// Mean 37.65, mean moving range 6.2 / 7: limits 35.295 to 40.005 by hand.
    const BASELINE: [f64; 8] = [37.2, 38.1, 36.9, 37.8, 38.4, 37.0, 37.6, 38.2];

    fn weekly(values: &[f64]) -> Vec<TestDay> {
        values
            .iter()
            .enumerate()
            .map(|(week, value)| TestDay::new(7.0 * week as f64, [*value]))
            .collect()
    }

    fn charted(since: &[f64]) -> WeeklyChart {
        let all: Vec<f64> = BASELINE.iter().chain(since).copied().collect();
        chart(&weekly(&all), 49.0, "cm").unwrap().value
    }

    #[test]
    fn a_day_outside_and_a_drift_are_told_apart() {
        let usual = charted(&[37.4, 38.0]);
        assert_eq!((usual.baseline_days, usual.latest_signal()), (8, None));
        assert!(charted(&[37.4]).sentence.starts_with("No shift on the one day since"));
        let low = charted(&[37.4, 35.2, 37.6]);
        let (point, signal) = low.latest_signal().unwrap();
        assert_eq!((point.day, signal), (63.0, Signal::Outside(Direction::Down)));
        assert!(low.sentence.starts_with("A shift down since the first"), "{}", low.sentence);
        // By hand with sigma 0.784944: averages 37.35, 37.08, 36.891, 36.7587; the third limit 36.8137
        // is below 36.891, the fourth 36.7857 above 36.7587.
        let drift = charted(&[36.65, 36.45, 36.45, 36.45]);
        assert_eq!(drift.points[2].signal, None);
        assert_eq!(drift.points[3].signal, Some(Signal::Drifted(Direction::Down)));
    }

    #[test]
    fn few_baseline_days_give_wide_limits_and_no_average() {
        // Mean 37.4, s 0.6245, t 4.3027, root(4/3): 34.30 to 40.50.
        let days = weekly(&[37.2, 38.1, 36.9, 34.4, 34.2]);
        let found = chart(&days, 14.0, "cm").unwrap();
        assert!(found.has("young-limits"));
        let signals: Vec<_> = found.value.points.iter().map(|point| point.signal).collect();
        assert_eq!(signals, [None, Some(Signal::Outside(Direction::Down))]);
        assert!(found.value.points[0].average.is_none());
    }

    #[test]
    fn another_method_starts_a_new_series() {
        let by = |method: &str| Conditions::none().with("method", method);
        let mut days = weekly(&[36.0, 36.4, 38.1, 37.2, 37.9, 37.5]);
        for (place, day) in days.iter_mut().enumerate() {
            day.conditions = by(if place < 2 { "take-off velocity" } else { "flight time" });
        }
        let found = chart(&days, 28.0, "cm").unwrap();
        assert!(found.has("unlike-days-left-out"));
        assert_eq!(found.value.baseline_days, 3);
        assert!(matches!(
            chart(&days, 14.0, "cm"),
            Err(WeeklyChartError::Baseline(ChartError::TooFew { found: 1, .. }))
        ));
        assert_eq!(chart(&[], 14.0, "cm"), Err(WeeklyChartError::Nothing));
    }
}
