//! One pass over the groups: everything the likelihood of a spread between lines needs.
//!
//! For lines that differ with covariance s² L L', the fixed effects and the residual follow from
//! sums of 2 by 2 matrices (Bates and others 2015, J Stat Softw 67, section 3, with groups that
//! share nothing, so that the sparse Cholesky factor falls apart into blocks).

use nalgebra::{DMatrix, DVector};

use super::sums::{MOST_EFFECTS, Sample, Sums};

/// Lower Cholesky factor of the covariance between lines over the residual variance:
/// `[intercept, slope on intercept, slope]`.
pub(super) type Factor = [f64; 3];

/// Symmetric 2 by 2 matrix as `[aa, ab, bb]`.
pub(super) type Symmetric = [f64; 3];

/// What one pass leaves.
pub(super) struct Pass {
    /// Sum of the logarithms of the blocks' determinants.
    pub(super) log_blocks: f64,
    /// Information about the fixed effects, residual variance one.
    pub(super) information: DMatrix<f64>,
    /// Best fixed effects.
    pub(super) effects: DVector<f64>,
    /// Sum of squares left, in units of the residual variance.
    pub(super) squares: f64,
    /// Logarithm of the information's determinant.
    pub(super) log_information: f64,
}

impl Pass {
    /// Nothing when the fixed effects cannot be told apart.
    pub(super) fn over(sample: &Sample, factor: Factor) -> Option<Self> {
        let size = sample.effects();
        let mut upper = [[0.0; MOST_EFFECTS]; MOST_EFFECTS];
        let mut right = [0.0; MOST_EFFECTS];
        let (mut log_blocks, mut all_squares) = (0.0, 0.0);
        for group in &sample.groups {
            let (shrink, determinant) = shrinkage(group, factor);
            log_blocks += determinant.ln();
            let (information, pull, squares) = swept(group, shrink);
            all_squares += squares;
            add(&mut upper, &mut right, group, information, pull, sample.covariates);
        }
        let information =
            DMatrix::from_fn(size, size, |i, j| if i <= j { upper[i][j] } else { upper[j][i] });
        let right = DVector::from_column_slice(&right[..size]);
        let cholesky = information.clone().cholesky()?;
        let effects = cholesky.solve(&right);
        let squares = all_squares - right.dot(&effects);
        let log_information = 2.0 * cholesky.l_dirty().diagonal().map(f64::ln).sum();
        Some(Self { log_blocks, information, effects, squares, log_information })
    }
}

/// K = L (I + L'SL)⁻¹ L' and the determinant of I + L'SL.
pub(super) fn shrinkage(sums: &Sums, [t1, t2, t3]: Factor) -> (Symmetric, f64) {
    let (s11, s12, s22) = (sums.count, sums.x, sums.xx);
    let (p1, p2) = (s11 * t1 + s12 * t2, s12 * t1 + s22 * t2);
    let m11 = 1.0 + t1 * p1 + t2 * p2;
    let m12 = t3 * p2;
    let m22 = 1.0 + t3 * t3 * s22;
    let determinant = m11 * m22 - m12 * m12;
    let (i11, i12, i22) = (m22 / determinant, -m12 / determinant, m11 / determinant);
    let k11 = t1 * t1 * i11;
    let k12 = t1 * (i11 * t2 + i12 * t3);
    let k22 = t2 * (i11 * t2 + i12 * t3) + t3 * (i12 * t2 + i22 * t3);
    ([k11, k12, k22], determinant)
}

/// S - SKS, c - SKc and q - c'Kc of one group.
fn swept(sums: &Sums, [k11, k12, k22]: Symmetric) -> (Symmetric, [f64; 2], f64) {
    let (s11, s12, s22) = (sums.count, sums.x, sums.xx);
    // SK, row by row.
    let (a11, a12) = (s11 * k11 + s12 * k12, s11 * k12 + s12 * k22);
    let (a21, a22) = (s12 * k11 + s22 * k12, s12 * k12 + s22 * k22);
    let information = [
        s11 - (a11 * s11 + a12 * s12),
        s12 - (a11 * s12 + a12 * s22),
        s22 - (a21 * s12 + a22 * s22),
    ];
    let pull = [sums.y - (a11 * sums.y + a12 * sums.xy), sums.xy - (a21 * sums.y + a22 * sums.xy)];
    let taken = sums.y * (k11 * sums.y + 2.0 * k12 * sums.xy) + k22 * sums.xy * sums.xy;
    (information, pull, sums.yy - taken)
}

/// Adds a group's information; covariates shift the intercept.
fn add(
    upper: &mut [[f64; MOST_EFFECTS]; MOST_EFFECTS],
    right: &mut [f64; MOST_EFFECTS],
    group: &Sums,
    [aa, ab, bb]: Symmetric,
    pull: [f64; 2],
    covariates: usize,
) {
    upper[0][0] += aa;
    upper[0][1] += ab;
    upper[1][1] += bb;
    right[0] += pull[0];
    right[1] += pull[1];
    for (i, z) in group.covariates[..covariates].iter().enumerate() {
        upper[0][2 + i] += z * aa;
        upper[1][2 + i] += z * ab;
        right[2 + i] += z * pull[0];
        for (j, other) in group.covariates[..covariates].iter().enumerate().skip(i) {
            upper[2 + i][2 + j] += z * other * aa;
        }
    }
}
