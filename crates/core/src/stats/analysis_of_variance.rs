//! Analysis of variance: where the spread of a table comes from.
//!
//! Three layouts are enough for repeated testing: groups (one way), subjects by trials (two way,
//! one value a cell, cells may be missing) and trials within sessions within subjects (nested).
//! Every sum of squares is taken about means after a shift by one of the data, so thirteen equal
//! leading digits cost nothing.

use nalgebra::{DMatrix, DVector};

/// A sum of squares with its degrees of freedom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Sum of squared deviations, in squared units of the data.
    pub sum_of_squares: f64,
    /// Independent pieces of information in it.
    pub degrees_of_freedom: f64,
}

impl Spread {
    /// Sum of squares per degree of freedom; not-a-number when there are none.
    pub fn mean_square(self) -> f64 {
        self.sum_of_squares / self.degrees_of_freedom
    }
}

/// Groups against the spread inside them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OneWay {
    /// Of the group means about the grand mean.
    pub between: Spread,
    /// Of the values about their group's mean.
    pub within: Spread,
}

impl OneWay {
    /// Mean square between over mean square within.
    pub fn f_statistic(&self) -> f64 {
        self.between.mean_square() / self.within.mean_square()
    }
    /// Share of the spread that lies between groups.
    pub fn r_squared(&self) -> f64 {
        self.between.sum_of_squares / (self.between.sum_of_squares + self.within.sum_of_squares)
    }
    /// Standard deviation inside a group.
    pub fn residual_standard_deviation(&self) -> f64 {
        self.within.mean_square().sqrt()
    }
}

/// Subjects by trials, every cell filled: the four mean squares of Shrout and Fleiss 1979.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoWay {
    /// Number of subjects (rows).
    pub subjects: usize,
    /// Number of trials (columns).
    pub trials: usize,
    /// Between subjects.
    pub rows: Spread,
    /// Between trials.
    pub columns: Spread,
    /// What is left when both are taken out.
    pub residual: Spread,
    /// Within subjects, trials not taken out.
    pub within: Spread,
}

/// The noise left in a table, subjects and trials taken out, when cells may be missing.
#[derive(Clone, Debug, PartialEq)]
pub struct Additive {
    /// Residual of the least-squares fit of subject plus trial.
    pub residual: Spread,
    /// Effect of each trial, the mean over trials being zero.
    pub trial_effects: Vec<f64>,
}

/// Variance of a session's statistic, split by where it arises.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nested {
    /// Of trials inside a session.
    pub trial: Spread,
    /// Of session means inside a subject, weighted by their trials.
    pub session: Spread,
    /// Trials a session, averaged as the expected mean squares need (Searle 1971).
    pub trials_a_session: f64,
}

impl Nested {
    /// Variance of one trial inside its session.
    pub fn trial_variance(&self) -> f64 {
        self.trial.mean_square()
    }
    /// Variance from day to day that more trials cannot remove; zero when the estimate is negative.
    pub fn day_variance(&self) -> f64 {
        ((self.session.mean_square() - self.trial.mean_square()) / self.trials_a_session).max(0.0)
    }
}

/// One value in a subjects-by-trials table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Row, from zero.
    pub subject: usize,
    /// Column, from zero.
    pub trial: usize,
    /// What was measured.
    pub value: f64,
}

/// Why a table says nothing about spread.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum AnalysisError {
    /// One group, one subject or one trial only.
    #[error(
        "{rows} subjects with {columns} trials: two of each are needed to tell noise from difference."
    )]
    TooSmall {
        /// Subjects or groups.
        rows: usize,
        /// Trials or sessions.
        columns: usize,
    },
    /// Rows of unlike length where a full table is needed.
    #[error(
        "Subject {row} has {found} values where the others have {expected}: leave the subject out or measure again."
    )]
    Ragged {
        /// Row, from zero.
        row: usize,
        /// Values in that row.
        found: usize,
        /// Values in the first row.
        expected: usize,
    },
    /// A value that is no number.
    #[error("A value in the table is not a number.")]
    NotANumber,
}

/// One-way analysis of variance.
///
/// Sums of squares in two passes about means. Fails with fewer than two groups or no group of two.
pub fn one_way(groups: &[Vec<f64>]) -> Result<OneWay, AnalysisError> {
    let values = groups.iter().map(Vec::len).sum::<usize>();
    if groups.len() < 2 || values <= groups.len() || groups.iter().any(Vec::is_empty) {
        return Err(AnalysisError::TooSmall { rows: groups.len(), columns: values });
    }
    all_finite(groups.iter().flatten())?;
    let shift = groups[0][0];
    let means: Vec<f64> = groups.iter().map(|group| shifted_mean(group, shift)).collect();
    let grand =
        groups.iter().zip(&means).map(|(g, m)| g.len() as f64 * m).sum::<f64>() / values as f64;
    let between =
        groups.iter().zip(&means).map(|(g, m)| g.len() as f64 * (m - grand).powi(2)).sum();
    let within = groups.iter().zip(&means).map(|(g, &m)| squares_about(g, shift, m)).sum();
    Ok(OneWay {
        between: Spread { sum_of_squares: between, degrees_of_freedom: (groups.len() - 1) as f64 },
        within: Spread {
            sum_of_squares: within,
            degrees_of_freedom: (values - groups.len()) as f64,
        },
    })
}

/// Two-way analysis of a full table: one row a subject, one column a trial.
///
/// Source: Shrout and Fleiss 1979, Psychol Bull 86:420, table 3. Fails on ragged rows and below
/// two subjects or two trials.
pub fn two_way(table: &[Vec<f64>]) -> Result<TwoWay, AnalysisError> {
    let (subjects, trials) = (table.len(), table.first().map_or(0, Vec::len));
    if let Some((row, found)) =
        table.iter().map(Vec::len).enumerate().find(|&(_, len)| len != trials)
    {
        return Err(AnalysisError::Ragged { row, found, expected: trials });
    }
    if subjects < 2 || trials < 2 {
        return Err(AnalysisError::TooSmall { rows: subjects, columns: trials });
    }
    all_finite(table.iter().flatten())?;
    let shift = table[0][0];
    let (n, k) = (subjects as f64, trials as f64);
    let row_means: Vec<f64> = table.iter().map(|row| shifted_mean(row, shift)).collect();
    let column_means: Vec<f64> =
        (0..trials).map(|j| table.iter().map(|row| row[j] - shift).sum::<f64>() / n).collect();
    let grand = row_means.iter().sum::<f64>() / n;
    let rows = k * row_means.iter().map(|m| (m - grand).powi(2)).sum::<f64>();
    let columns = n * column_means.iter().map(|m| (m - grand).powi(2)).sum::<f64>();
    let residual = table
        .iter()
        .zip(&row_means)
        .flat_map(|(row, row_mean)| {
            row.iter()
                .zip(&column_means)
                .map(move |(y, column_mean)| y - shift - row_mean - column_mean + grand)
        })
        .map(|deviation| deviation * deviation)
        .sum();
    let within = table.iter().zip(&row_means).map(|(row, &m)| squares_about(row, shift, m)).sum();
    Ok(TwoWay {
        subjects,
        trials,
        rows: Spread { sum_of_squares: rows, degrees_of_freedom: n - 1.0 },
        columns: Spread { sum_of_squares: columns, degrees_of_freedom: k - 1.0 },
        residual: Spread { sum_of_squares: residual, degrees_of_freedom: (n - 1.0) * (k - 1.0) },
        within: Spread { sum_of_squares: within, degrees_of_freedom: n * (k - 1.0) },
    })
}

/// Least squares of subject plus trial where cells may be missing.
///
/// Subjects are swept out, the trial effects solved from what is left; the degrees of freedom
/// count the effects that could really be told apart, so two squads that share no trial do not
/// gain one. Subjects with a single value carry nothing and cost nothing.
pub fn additive(cells: &[Cell]) -> Result<Additive, AnalysisError> {
    all_finite(cells.iter().map(|cell| &cell.value))?;
    let subjects = 1 + cells.iter().map(|cell| cell.subject).max().unwrap_or(0);
    let trials = 1 + cells.iter().map(|cell| cell.trial).max().unwrap_or(0);
    let by_subject = grouped(cells, subjects);
    let present = by_subject.iter().filter(|row| !row.is_empty()).count();
    let repeated = by_subject.iter().filter(|row| row.len() > 1).count();
    if repeated < 1 || trials < 2 {
        return Err(AnalysisError::TooSmall { rows: repeated, columns: trials });
    }
    let (normal, right) = swept_normal_equations(&by_subject, trials);
    let (trial_effects, rank) = least_norm_solution(normal, &right);
    let sum_of_squares = by_subject.iter().map(|row| residual_squares(row, &trial_effects)).sum();
    let degrees_of_freedom = cells.len() as f64 - present as f64 - rank as f64;
    if degrees_of_freedom < 1.0 {
        return Err(AnalysisError::TooSmall { rows: repeated, columns: trials });
    }
    Ok(Additive { residual: Spread { sum_of_squares, degrees_of_freedom }, trial_effects })
}

/// Trials within sessions within subjects: `subjects[i][j]` holds the trials of one session.
///
/// Expected mean squares for unequal numbers after Searle 1971 (Linear Models, ch. 11). Fails when
/// no session has two trials or no subject two sessions.
pub fn nested(subjects: &[Vec<Vec<f64>>]) -> Result<Nested, AnalysisError> {
    all_finite(subjects.iter().flatten().flatten())?;
    let mut trial = Spread { sum_of_squares: 0.0, degrees_of_freedom: 0.0 };
    let mut session = trial;
    let mut effective = 0.0;
    for sessions in subjects {
        let sessions: Vec<&Vec<f64>> =
            sessions.iter().filter(|trials| !trials.is_empty()).collect();
        let Some(shift) = sessions.first().map(|trials| trials[0]) else { continue };
        let count: f64 = sessions.iter().map(|trials| trials.len() as f64).sum();
        let mean = sessions.iter().flat_map(|trials| trials.iter()).map(|y| y - shift).sum::<f64>()
            / count;
        for trials in &sessions {
            let size = trials.len() as f64;
            let session_mean = shifted_mean(trials, shift);
            trial.sum_of_squares += squares_about(trials, shift, session_mean);
            trial.degrees_of_freedom += size - 1.0;
            session.sum_of_squares += size * (session_mean - mean).powi(2);
        }
        session.degrees_of_freedom += sessions.len() as f64 - 1.0;
        effective += count
            - sessions.iter().map(|trials| (trials.len() as f64).powi(2)).sum::<f64>() / count;
    }
    if trial.degrees_of_freedom < 1.0 || session.degrees_of_freedom < 1.0 {
        return Err(AnalysisError::TooSmall { rows: subjects.len(), columns: 1 });
    }
    Ok(Nested { trial, session, trials_a_session: effective / session.degrees_of_freedom })
}

fn all_finite<'a>(mut values: impl Iterator<Item = &'a f64>) -> Result<(), AnalysisError> {
    if values.all(|value| value.is_finite()) { Ok(()) } else { Err(AnalysisError::NotANumber) }
}

fn shifted_mean(values: &[f64], shift: f64) -> f64 {
    values.iter().map(|y| y - shift).sum::<f64>() / values.len() as f64
}

fn squares_about(values: &[f64], shift: f64, shifted_mean: f64) -> f64 {
    values.iter().map(|y| (y - shift - shifted_mean).powi(2)).sum()
}

fn grouped(cells: &[Cell], subjects: usize) -> Vec<Vec<Cell>> {
    let mut rows = vec![Vec::new(); subjects];
    for &cell in cells {
        rows[cell.subject].push(cell);
    }
    rows
}

/// Normal equations of the trial effects once each subject's own mean is taken out.
fn swept_normal_equations(by_subject: &[Vec<Cell>], trials: usize) -> (DMatrix<f64>, DVector<f64>) {
    let mut normal = DMatrix::zeros(trials, trials);
    let mut right = DVector::zeros(trials);
    for row in by_subject.iter().filter(|row| row.len() > 1) {
        let size = row.len() as f64;
        let shift = row[0].value;
        let mean = row.iter().map(|cell| cell.value - shift).sum::<f64>() / size;
        for cell in row {
            normal[(cell.trial, cell.trial)] += 1.0;
            right[cell.trial] += cell.value - shift - mean;
            for other in row {
                normal[(cell.trial, other.trial)] -= 1.0 / size;
            }
        }
    }
    (normal, right)
}

/// Smallest solution of a singular symmetric system, and the rank it was solved in.
fn least_norm_solution(normal: DMatrix<f64>, right: &DVector<f64>) -> (Vec<f64>, usize) {
    let eigen = normal.symmetric_eigen();
    let smallest = 1e-9 * eigen.eigenvalues.amax();
    let mut solution = DVector::zeros(right.len());
    let mut rank = 0;
    for (value, vector) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
        if *value > smallest {
            solution += vector * (vector.dot(right) / value);
            rank += 1;
        }
    }
    (solution.iter().copied().collect(), rank)
}

fn residual_squares(row: &[Cell], trial_effects: &[f64]) -> f64 {
    let Some(shift) = row.first().map(|cell| cell.value) else { return 0.0 };
    let adjusted: Vec<f64> =
        row.iter().map(|cell| cell.value - shift - trial_effects[cell.trial]).collect();
    squares_about(&adjusted, 0.0, shifted_mean(&adjusted, 0.0))
}
