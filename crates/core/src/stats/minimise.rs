//! The lowest point of a smooth function of a few variables.
//!
//! Newton's method with derivatives by central differences, damped until every step goes down
//! (Levenberg 1944, Q Appl Math 2:164). Meant for likelihoods of three or four parameters of
//! order one, where the curvature at the lowest point is wanted as well.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Where a function is lowest.
#[derive(Clone, Debug)]
pub(crate) struct Minimum {
    /// The point.
    pub(crate) at: DVector<f64>,
    /// The function there.
    pub(crate) value: f64,
    /// Second derivatives there.
    pub(crate) curvature: DMatrix<f64>,
}

/// Step of the central differences, for variables of order one.
const STEP: f64 = 1e-4;
const MOST_ITERATIONS: usize = 100;

/// The lowest point that is reached downhill from a start.
pub(crate) fn minimise(function: &impl Fn(&[f64]) -> f64, start: &[f64]) -> Minimum {
    let mut at = DVector::from_column_slice(start);
    let mut value = function(at.as_slice());
    let mut damping = 1e-3;
    let (mut gradient, mut curvature) = derivatives(function, &at, value);
    for _ in 0..MOST_ITERATIONS {
        let Some((next, lower, used)) =
            downhill(function, &at, value, &gradient, &curvature, damping)
        else {
            break;
        };
        let gained = value - lower;
        let moved = (&next - &at).amax();
        (at, value, damping) = (next, lower, (used / 10.0).max(1e-12));
        (gradient, curvature) = derivatives(function, &at, value);
        if gained < 1e-11 * (1.0 + value.abs()) && moved < 1e-7 {
            break;
        }
    }
    Minimum { at, value, curvature }
}

/// A damped Newton step that goes down, with the damping it took; nothing when none does.
fn downhill(
    function: &impl Fn(&[f64]) -> f64,
    at: &DVector<f64>,
    value: f64,
    gradient: &DVector<f64>,
    curvature: &DMatrix<f64>,
    mut damping: f64,
) -> Option<(DVector<f64>, f64, f64)> {
    let size = curvature.diagonal().map(f64::abs).add_scalar(1e-8);
    while damping < 1e12 {
        let damped = curvature + DMatrix::from_diagonal(&(&size * damping));
        if let Some(factor) = Cholesky::<f64, Dyn>::new(damped) {
            // No step longer than two: the variables are logarithms and ratios of order one.
            let step = factor.solve(gradient);
            let step = &step * (2.0 / step.amax()).min(1.0);
            let next = at - step;
            let lower = function(next.as_slice());
            if lower < value {
                return Some((next, lower, damping));
            }
        }
        damping *= 10.0;
    }
    None
}

fn derivatives(
    function: &impl Fn(&[f64]) -> f64,
    at: &DVector<f64>,
    value: f64,
) -> (DVector<f64>, DMatrix<f64>) {
    let size = at.len();
    let moved = |moves: &[(usize, f64)]| {
        let mut there = at.clone();
        for &(variable, by) in moves {
            there[variable] += by;
        }
        function(there.as_slice())
    };
    let mut gradient = DVector::zeros(size);
    let mut curvature = DMatrix::zeros(size, size);
    for i in 0..size {
        let (up, down) = (moved(&[(i, STEP)]), moved(&[(i, -STEP)]));
        gradient[i] = (up - down) / (2.0 * STEP);
        curvature[(i, i)] = (up - 2.0 * value + down) / (STEP * STEP);
        for j in 0..i {
            let corner = |a: f64, b: f64| moved(&[(i, a * STEP), (j, b * STEP)]);
            let mixed =
                corner(1.0, 1.0) - corner(1.0, -1.0) - corner(-1.0, 1.0) + corner(-1.0, -1.0);
            curvature[(i, j)] = mixed / (4.0 * STEP * STEP);
            curvature[(j, i)] = curvature[(i, j)];
        }
    }
    (gradient, curvature)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curved_valley_is_followed_to_its_end() {
        // Rosenbrock 1960, Comput J 3:175: lowest at (1, 1), curvature there [802, -400; -400, 200].
        let valley = |p: &[f64]| 100.0 * (p[1] - p[0] * p[0]).powi(2) + (1.0 - p[0]).powi(2);
        let found = minimise(&valley, &[-1.2, 1.0]);
        // The valley's floor is 2000 times flatter than its walls, and the differences feel the walls.
        assert!((found.at[0] - 1.0).abs() < 1e-4 && (found.at[1] - 1.0).abs() < 1e-4);
        assert!(found.value < 1e-8);
        assert!((found.curvature[(0, 0)] - 802.0).abs() < 0.1);
        assert!((found.curvature[(0, 1)] + 400.0).abs() < 0.1);
    }
}
