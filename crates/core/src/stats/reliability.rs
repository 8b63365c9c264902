//! How far a repeated test strays when nothing has changed, and how well it tells people apart.
//!
//! The typical error decides whether a change is real; the intraclass correlation says how well
//! the test orders this group, and rises with the spread of the group, so it comes second.

use super::analysis_of_variance::{self as variance, AnalysisError, Cell, Spread, TwoWay};
use super::distributions::{chi_square_quantile, f_quantile, normal_quantile, student_t_quantile};
use crate::estimate::{Estimate, Interval, Level};
use crate::note::{Note, Noted};
use crate::working::{Input, Working};

/// What a test's repeats say about the test.
#[derive(Clone, Debug, PartialEq)]
pub struct Reliability {
    /// Subjects with at least two trials.
    pub subjects: usize,
    /// Columns of the table.
    pub trials: usize,
    /// Noise of one value, the mean shift between trials taken out.
    pub typical_error: TypicalError,
    /// Typical error of the logarithms, as a percentage of the value; absent where a value is not
    /// above zero.
    pub coefficient_of_variation_percent: Option<Estimate<f64>>,
    /// Last trial minus first, over subjects with both: learning or tiring, when it is not noise.
    pub mean_shift: Option<Estimate<f64>>,
    /// Spread of the subjects' observed values, one trial each.
    pub observed_standard_deviation: f64,
    /// Spread of the subjects' true values, noise taken out; zero when the test cannot tell them apart.
    pub true_standard_deviation: f64,
    /// Intraclass correlations; absent where the table has holes.
    pub intraclass: Option<Intraclass>,
    /// A fifth of the true spread between subjects: a convention for the smallest change that
    /// matters, for want of one the coach states.
    pub smallest_worthwhile_change: f64,
    /// Difference of two single values that noise alone passes one time in twenty.
    pub minimal_detectable_change: f64,
    /// What 'why?' shows.
    pub working: Working,
}

/// The typical error: the standard deviation of one subject's repeats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TypicalError {
    /// With its interval by chi-squared.
    pub estimate: Estimate<f64>,
    /// How much is known about it: two trials of n subjects give n - 1.
    pub degrees_of_freedom: f64,
}

/// The six intraclass correlations of Shrout and Fleiss.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Intraclass {
    /// Each trial by its own rater, one trial: ICC(1,1).
    pub one_way_single: Estimate<f64>,
    /// Same, mean of all trials: ICC(1,k).
    pub one_way_mean: Estimate<f64>,
    /// Absolute agreement between random trials, one trial: ICC(2,1). The form for "the same
    /// athlete on another day".
    pub agreement_single: Estimate<f64>,
    /// Same, mean of all trials: ICC(2,k).
    pub agreement_mean: Estimate<f64>,
    /// Consistency, the shift between trials taken out, one trial: ICC(3,1).
    pub consistency_single: Estimate<f64>,
    /// Same, mean of all trials: ICC(3,k).
    pub consistency_mean: Estimate<f64>,
}

/// Why repeats say nothing about a test.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReliabilityError {
    /// The table is too small or not made of numbers.
    #[error("{0}")]
    Table(#[from] AnalysisError),
    /// All repeats agree to the last digit.
    #[error(
        "All {values} repeats agree exactly: copied values or a coarse device, not a perfect test."
    )]
    NoSpread {
        /// Values in the table.
        values: usize,
    },
}

/// Reliability of a test from subjects' repeats; cells may be missing.
///
/// Typical error: residual standard deviation of subject plus trial (Hopkins 2000, Sports Med
/// 30:1; for two trials SD of the differences over root two). Interval by chi-squared. Fails below
/// two subjects with two trials and where nothing varies.
pub fn of(cells: &[Cell], level: Level) -> Result<Noted<Reliability>, ReliabilityError> {
    let additive = variance::additive(cells)?;
    let rows = rows_of(cells);
    let repeated: Vec<&Vec<Cell>> = rows.iter().filter(|row| row.len() > 1).collect();
    if additive.residual.sum_of_squares <= rounding_squares(cells) {
        return Err(ReliabilityError::NoSpread { values: cells.len() });
    }
    let typical_error = TypicalError::from_spread(additive.residual, level);
    let full = full_table(cells);
    let table = full.as_ref().and_then(|rows| variance::two_way(rows).ok());
    let observed = spread_between(&repeated);
    let true_spread = (observed.powi(2) - typical_error.estimate.value.powi(2)).max(0.0).sqrt();
    let reliability = Reliability {
        subjects: repeated.len(),
        trials: additive.trial_effects.len(),
        typical_error,
        coefficient_of_variation_percent: coefficient_of_variation(cells, level),
        mean_shift: mean_shift(&repeated, level),
        observed_standard_deviation: observed,
        true_standard_deviation: true_spread,
        intraclass: table.map(|table| intraclass(&table, level)),
        smallest_worthwhile_change: 0.2 * true_spread,
        minimal_detectable_change: minimal_detectable_change(typical_error.estimate.value, None),
        working: working(&typical_error, repeated.len(), additive.residual, level),
    };
    let notes = notes(&reliability, cells.len());
    Ok(Noted { value: reliability, notes })
}

impl TypicalError {
    /// From a residual sum of squares.
    pub fn from_spread(residual: Spread, level: Level) -> Self {
        let value = residual.mean_square().sqrt();
        let interval = interval_of_standard_deviation(value, residual.degrees_of_freedom, level);
        Self {
            estimate: Estimate { value, interval, level },
            degrees_of_freedom: residual.degrees_of_freedom,
        }
    }
}

/// Interval of a standard deviation by chi-squared with its degrees of freedom.
pub fn interval_of_standard_deviation(
    sd: f64,
    degrees_of_freedom: f64,
    level: Level,
) -> Interval<f64> {
    let factor = |p: f64| (degrees_of_freedom / chi_square_quantile(p, degrees_of_freedom)).sqrt();
    Interval { low: sd * factor(1.0 - level.tail()), high: sd * factor(level.tail()) }
}

/// Difference between two single values that noise alone passes one time in twenty: 1.96 root two
/// times the typical error, Student's t for 1.96 where degrees of freedom are given (Weir 2005,
/// J Strength Cond Res 19:231).
pub fn minimal_detectable_change(typical_error: f64, degrees_of_freedom: Option<f64>) -> f64 {
    let multiplier = degrees_of_freedom
        .map_or_else(|| normal_quantile(0.975), |df| student_t_quantile(0.975, df));
    multiplier * std::f64::consts::SQRT_2 * typical_error
}

/// How many tests before and as many after put a change of this size outside the interval of their
/// difference: 2 (z TE / change)², rounded up. The typical error is taken as known.
pub fn tests_to_see(change: f64, typical_error: f64, level: Level) -> f64 {
    let z = normal_quantile(1.0 - level.tail());
    (2.0 * (z * typical_error / change).powi(2)).ceil().max(1.0)
}

/// Intraclass correlations with F intervals.
///
/// Source: Shrout and Fleiss 1979, Psychol Bull 86:420; interval of ICC(2,1) by their
/// Satterthwaite degrees of freedom. A negative value is reported as it falls: the test does not
/// tell the subjects apart.
pub fn intraclass(table: &TwoWay, level: Level) -> Intraclass {
    let k = table.trials as f64;
    let one_way = one_denominator(table.rows, table.within, k, level);
    let consistency = one_denominator(table.rows, table.residual, k, level);
    let agreement = agreement(table, level);
    Intraclass {
        one_way_single: one_way,
        one_way_mean: stepped_up(one_way, k),
        agreement_single: agreement,
        agreement_mean: stepped_up(agreement, k),
        consistency_single: consistency,
        consistency_mean: stepped_up(consistency, k),
    }
}

/// ICC(1,1) or ICC(3,1): rows against one error term.
fn one_denominator(rows: Spread, error: Spread, k: f64, level: Level) -> Estimate<f64> {
    let f = rows.mean_square() / error.mean_square();
    let (rows_df, error_df) = (rows.degrees_of_freedom, error.degrees_of_freedom);
    let lower = f / f_quantile(1.0 - level.tail(), rows_df, error_df);
    let upper = f * f_quantile(1.0 - level.tail(), error_df, rows_df);
    let correlation = |f: f64| (f - 1.0) / (f + k - 1.0);
    Estimate {
        value: correlation(f),
        interval: Interval { low: correlation(lower), high: correlation(upper) },
        level,
    }
}

/// ICC(2,1) with the interval of Shrout and Fleiss, whose degrees of freedom follow Satterthwaite.
fn agreement(table: &TwoWay, level: Level) -> Estimate<f64> {
    let (n, k) = (table.subjects as f64, table.trials as f64);
    let (rows, columns, error) =
        (table.rows.mean_square(), table.columns.mean_square(), table.residual.mean_square());
    let value = (rows - error) / (rows + (k - 1.0) * error + k * (columns - error) / n);
    let f_columns = columns / error;
    let common = n * (1.0 + (k - 1.0) * value) - k * value;
    let satterthwaite = (k - 1.0) * (n - 1.0) * (k * value * f_columns + common).powi(2)
        / ((n - 1.0) * (k * value * f_columns).powi(2) + common.powi(2));
    let above = f_quantile(1.0 - level.tail(), n - 1.0, satterthwaite);
    let below = f_quantile(1.0 - level.tail(), satterthwaite, n - 1.0);
    let rest = k * columns + (k * n - k - n) * error;
    let low = n * (rows - above * error) / (above * rest + n * rows);
    let high = n * (below * rows - error) / (rest + n * below * rows);
    Estimate { value, interval: Interval { low, high }, level }
}

/// The correlation of means of k trials from that of one (Spearman and Brown).
fn stepped_up(single: Estimate<f64>, k: f64) -> Estimate<f64> {
    let step = |r: f64| k * r / (1.0 + (k - 1.0) * r);
    Estimate {
        value: step(single.value),
        interval: Interval { low: step(single.interval.low), high: step(single.interval.high) },
        level: single.level,
    }
}

fn rows_of(cells: &[Cell]) -> Vec<Vec<Cell>> {
    let subjects = 1 + cells.iter().map(|cell| cell.subject).max().unwrap_or(0);
    let mut rows = vec![Vec::new(); subjects];
    for &cell in cells {
        rows[cell.subject].push(cell);
    }
    for row in &mut rows {
        row.sort_by_key(|cell| cell.trial);
    }
    rows
}

/// The table without holes, or nothing when there is one.
fn full_table(cells: &[Cell]) -> Option<Vec<Vec<f64>>> {
    let rows = rows_of(cells);
    let trials = rows.first()?.len();
    let filled = |row: &Vec<Cell>| {
        row.len() == trials && row.iter().enumerate().all(|(trial, cell)| cell.trial == trial)
    };
    rows.iter()
        .all(filled)
        .then(|| rows.iter().map(|row| row.iter().map(|cell| cell.value).collect()).collect())
}

/// Standard deviation between subjects of a single trial: pooled over trials.
fn spread_between(rows: &[&Vec<Cell>]) -> f64 {
    let trials =
        1 + rows.iter().flat_map(|row| row.iter()).map(|cell| cell.trial).max().unwrap_or(0);
    let mut pooled = Spread { sum_of_squares: 0.0, degrees_of_freedom: 0.0 };
    for trial in 0..trials {
        let column: Vec<f64> = rows
            .iter()
            .flat_map(|row| row.iter())
            .filter(|cell| cell.trial == trial)
            .map(|cell| cell.value)
            .collect();
        if column.len() > 1 {
            let mean = column.iter().sum::<f64>() / column.len() as f64;
            pooled.sum_of_squares += column.iter().map(|y| (y - mean).powi(2)).sum::<f64>();
            pooled.degrees_of_freedom += column.len() as f64 - 1.0;
        }
    }
    if pooled.degrees_of_freedom > 0.0 { pooled.mean_square().sqrt() } else { 0.0 }
}

/// Typical error of the logarithms as a factor, minus one, in per cent (Hopkins 2000).
fn coefficient_of_variation(cells: &[Cell], level: Level) -> Option<Estimate<f64>> {
    if cells.iter().any(|cell| cell.value <= 0.0) {
        return None;
    }
    let logs: Vec<Cell> =
        cells.iter().map(|cell| Cell { value: cell.value.ln(), ..*cell }).collect();
    let residual = variance::additive(&logs).ok()?.residual;
    let of_logs = TypicalError::from_spread(residual, level).estimate;
    let percent = |sd: f64| 100.0 * sd.exp_m1();
    Some(Estimate { value: percent(of_logs.value), interval: of_logs.interval.map(percent), level })
}

/// Mean of last minus first trial with its t interval.
fn mean_shift(rows: &[&Vec<Cell>], level: Level) -> Option<Estimate<f64>> {
    let last_trial = rows.iter().flat_map(|row| row.iter()).map(|cell| cell.trial).max()?;
    let at = |row: &Vec<Cell>, trial| row.iter().find(|cell| cell.trial == trial).map(|c| c.value);
    let shifts: Vec<f64> =
        rows.iter().filter_map(|row| Some(at(row, last_trial)? - at(row, 0)?)).collect();
    if shifts.len() < 2 {
        return None;
    }
    let n = shifts.len() as f64;
    let mean = shifts.iter().sum::<f64>() / n;
    let sd = (shifts.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    let reach = student_t_quantile(1.0 - level.tail(), n - 1.0) * sd / n.sqrt();
    Some(Estimate {
        value: mean,
        interval: Interval { low: mean - reach, high: mean + reach },
        level,
    })
}

/// What rounding of the values themselves could leave as residual.
fn rounding_squares(cells: &[Cell]) -> f64 {
    let largest = cells.iter().map(|cell| cell.value.abs()).fold(0.0, f64::max);
    cells.len() as f64 * (largest * 1e-12).powi(2)
}

fn notes(reliability: &Reliability, values: usize) -> Vec<Note> {
    let mut notes = Vec::new();
    let df = reliability.typical_error.degrees_of_freedom;
    if df < 3.0 {
        notes.push(Note::new(
            "typical-error-not-known",
            format!("With {values} values the typical error is hardly known: test more athletes twice, or borrow a published one."),
        ));
    } else if df < 20.0 {
        notes.push(Note::new(
            "typical-error-rough",
            format!("The typical error rests on {df:.0} degrees of freedom, so its interval is wide; about 20 make it firm."),
        ));
    }
    if reliability.intraclass.is_none() {
        notes.push(Note::new(
            "intraclass-needs-full-table",
            "No intraclass correlation: some athletes lack some trials. The typical error uses all that is there.",
        ));
    }
    let shift = reliability.mean_shift.map_or(0.0, |shift| shift.value.abs());
    if shift > reliability.smallest_worthwhile_change
        && reliability.smallest_worthwhile_change > 0.0
    {
        notes.push(Note::new(
            "trials-drift",
            format!("Last trial minus first is {shift:.3} on average, more than the smallest change that matters: the test may still be learned, or tires. Consider leaving the first trial out."),
        ));
    }
    if reliability.true_standard_deviation == 0.0 {
        notes.push(Note::new(
            "subjects-not-distinguished",
            "The athletes differ no more than one athlete's repeats do: this test does not tell them apart, and no smallest worthwhile change can be had from their spread.",
        ));
    }
    notes
}

fn working(error: &TypicalError, subjects: usize, residual: Spread, level: Level) -> Working {
    let TypicalError { estimate, degrees_of_freedom } = error;
    Working {
        title: "typical error".into(),
        method: "typical-error-two-way",
        version: 1,
        inputs: vec![
            Input::new("athletes with repeats", subjects.to_string()),
            Input::new("residual sum of squares", format!("{:.4}", residual.sum_of_squares)),
            Input::new("degrees of freedom", format!("{degrees_of_freedom:.0}")),
        ],
        steps: vec![
            "value = athlete + trial + noise, by least squares".into(),
            format!(
                "typical error = root({:.4} / {degrees_of_freedom:.0}) = {:.4}",
                residual.sum_of_squares, estimate.value
            ),
        ],
        source: "Hopkins 2000, Sports Med 30:1-15; interval of a standard deviation by chi-squared",
        doubt: format!(
            "{:.0} % interval {:.3} to {:.3}",
            100.0 * level.probability(),
            estimate.interval.low,
            estimate.interval.high
        ),
    }
}
