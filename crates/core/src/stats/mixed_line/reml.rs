//! Restricted maximum likelihood: the classical fit, held by published answers.

use nalgebra::{DMatrix, DVector};

use super::criterion::{Factor, Pass, Symmetric, shrinkage};
use super::sums::{Sample, Sums};
use super::{Group, MixedLineError};
use crate::stats::minimise::minimise;

/// A population of lines by restricted maximum likelihood.
#[derive(Clone, Debug)]
pub struct MixedLine {
    /// Intercept, slope and effects of the covariates.
    pub effects: Vec<f64>,
    /// Their covariance.
    pub effects_covariance: DMatrix<f64>,
    /// Between groups: variance of the intercept, covariance, variance of the slope.
    pub between: [f64; 3],
    /// Variance of a point about its group's line.
    pub residual_variance: f64,
    /// Minus twice the restricted log likelihood.
    pub criterion: f64,
    sample: Sample,
    factor: Factor,
    standard_effects: DVector<f64>,
    standard_covariance: DMatrix<f64>,
    standard_residual: f64,
}

/// How one group's line differs from what is expected of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mode {
    /// Conditional mode of intercept and slope.
    pub difference: [f64; 2],
    /// Covariance of the difference with the fixed effects taken as known.
    pub conditional: [f64; 3],
    /// Covariance of the group's line, doubt of the fixed effects included, the variances taken
    /// as known.
    pub line: [f64; 3],
}

impl MixedLine {
    /// The fit, from two starting points, the better kept.
    ///
    /// Profiled deviance over the Cholesky factor (Bates and others 2015, J Stat Softw 67). A
    /// variance of exactly zero is a possible answer. Use [`super::LinePopulation`] for intervals.
    ///
    /// # Errors
    /// Fewer than two groups with a line, no spare points, values that are not numbers.
    pub fn fit(groups: &[Group]) -> Result<Self, MixedLineError> {
        let sample = Sample::of(groups)?;
        if sample.spare_points == 0 {
            return Err(MixedLineError::NoiseNotIdentified);
        }
        let spare = (sample.points - sample.effects()) as f64;
        let deviance = |factor: &[f64]| match Pass::over(&sample, [factor[0], factor[1], factor[2]])
        {
            Some(pass) => {
                let residual = pass.squares / spare;
                let fit = spare * (1.0 + (std::f64::consts::TAU * residual).ln());
                pass.log_blocks + pass.log_information + fit
            }
            None => f64::INFINITY,
        };
        let starts = [[1.0, 0.0, 1.0], [3.0, -0.5, 0.1]];
        let found = starts
            .iter()
            .map(|start| minimise(&deviance, start))
            .min_by(|one, other| one.value.total_cmp(&other.value))
            .filter(|found| found.value.is_finite())
            .ok_or(MixedLineError::Confounded)?;
        let factor = [found.at[0], found.at[1], found.at[2]];
        let pass = Pass::over(&sample, factor).ok_or(MixedLineError::Confounded)?;
        Ok(Self::in_data_units(sample, factor, &pass, found.value))
    }

    fn in_data_units(sample: Sample, factor: Factor, pass: &Pass, deviance: f64) -> Self {
        let axes = sample.axes;
        let spare = (sample.points - sample.effects()) as f64;
        let standard_residual = pass.squares / spare;
        let standard_covariance = inverse(&pass.information) * standard_residual;
        let to_data = effects_to_data(&sample);
        let line = axes.line([pass.effects[0], pass.effects[1]]);
        let mut effects: Vec<f64> = (&to_data * &pass.effects).iter().copied().collect();
        effects[..2].copy_from_slice(&line);
        Self {
            effects,
            effects_covariance: &to_data * &standard_covariance * to_data.transpose(),
            between: axes.covariance(scaled(product(factor), standard_residual)),
            residual_variance: standard_residual * axes.scale_y.powi(2),
            // The deviance of the same data in other units.
            criterion: deviance + 2.0 * spare * axes.scale_y.ln() + 2.0 * axes.scale_x.ln(),
            standard_effects: pass.effects.clone(),
            standard_covariance,
            standard_residual,
            sample,
            factor,
        }
    }

    /// Standard error of a fixed effect.
    pub fn standard_error(&self, effect: usize) -> f64 {
        self.effects_covariance[(effect, effect)].sqrt()
    }

    /// Correlation of intercepts and slopes between groups; not-a-number when either is fixed.
    pub fn correlation(&self) -> f64 {
        let [aa, ab, bb] = self.between;
        ab / (aa * bb).sqrt()
    }

    /// The conditional mode of one group; nothing beyond the last.
    pub fn mode(&self, group: usize) -> Option<Mode> {
        let sums = self.sample.groups.get(group)?;
        let (shrink, _) = shrinkage(sums, self.factor);
        let expected = expected_line(sums, &self.standard_effects);
        let axes = self.sample.axes;
        let covariance =
            line_covariance(sums, shrink, self.standard_residual, &self.standard_covariance);
        Some(Mode {
            difference: axes.difference(pulled(sums, shrink, expected)),
            conditional: axes.covariance(scaled(shrink, self.standard_residual)),
            line: axes.covariance(covariance),
        })
    }
}

/// L L'.
pub(super) fn product([t1, t2, t3]: Factor) -> Symmetric {
    [t1 * t1, t1 * t2, t2 * t2 + t3 * t3]
}

pub(super) fn scaled(matrix: Symmetric, by: f64) -> Symmetric {
    matrix.map(|entry| entry * by)
}

/// Inverse of a positive definite matrix; not-a-number where it is not.
pub(super) fn inverse(information: &DMatrix<f64>) -> DMatrix<f64> {
    let size = information.nrows();
    information
        .clone()
        .cholesky()
        .map_or_else(|| DMatrix::from_element(size, size, f64::NAN), |factor| factor.inverse())
}

/// The line expected of a group from the fixed effects.
pub(super) fn expected_line(sums: &Sums, effects: &DVector<f64>) -> [f64; 2] {
    let shift: f64 = effects.iter().skip(2).zip(&sums.covariates).map(|(e, z)| e * z).sum();
    [effects[0] + shift, effects[1]]
}

/// Covariance of the expected line from that of the fixed effects.
pub(super) fn expected_covariance(sums: &Sums, covariance: &DMatrix<f64>) -> Symmetric {
    let size = covariance.nrows();
    let intercept =
        DVector::from_fn(size, |i, _| if i < 2 { 1.0 - i as f64 } else { sums.covariates[i - 2] });
    let seen = covariance * &intercept;
    [intercept.dot(&seen), seen[1], covariance[(1, 1)]]
}

/// u = K (c - S expected).
pub(super) fn pulled(sums: &Sums, [k11, k12, k22]: Symmetric, expected: [f64; 2]) -> [f64; 2] {
    let left = [
        sums.y - sums.count * expected[0] - sums.x * expected[1],
        sums.xy - sums.x * expected[0] - sums.xx * expected[1],
    ];
    [k11 * left[0] + k12 * left[1], k12 * left[0] + k22 * left[1]]
}

/// s² K + (I - KS) V (I - KS)', V the covariance of the expected line.
pub(super) fn line_covariance(
    sums: &Sums,
    shrink: Symmetric,
    residual: f64,
    effects: &DMatrix<f64>,
) -> Symmetric {
    let [k11, k12, k22] = shrink;
    let (s11, s12, s22) = (sums.count, sums.x, sums.xx);
    let r = [
        [1.0 - (k11 * s11 + k12 * s12), -(k11 * s12 + k12 * s22)],
        [-(k12 * s11 + k22 * s12), 1.0 - (k12 * s12 + k22 * s22)],
    ];
    let [v11, v12, v22] = expected_covariance(sums, effects);
    let entry = |i: usize, j: usize| {
        r[i][0] * (v11 * r[j][0] + v12 * r[j][1]) + r[i][1] * (v12 * r[j][0] + v22 * r[j][1])
    };
    [residual * k11 + entry(0, 0), residual * k12 + entry(0, 1), residual * k22 + entry(1, 1)]
}

/// Fixed effects in standard units to data units, the shift of the centre left out.
pub(super) fn effects_to_data(sample: &Sample) -> DMatrix<f64> {
    let axes = sample.axes;
    let ratio = axes.scale_y / axes.scale_x;
    DMatrix::from_fn(sample.effects(), sample.effects(), |i, j| match (i, j) {
        (0, 1) => -ratio * axes.centre_x,
        (1, 1) => ratio,
        (i, j) if i == j => axes.scale_y,
        _ => 0.0,
    })
}
