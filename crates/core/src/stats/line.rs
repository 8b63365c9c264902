//! The straight line through points, by ordinary least squares.
//!
//! Draper and Smith, Applied Regression Analysis, 3rd ed. 1998, chapter 1. Errors are taken as
//! independent, of one size and in y alone.

use super::distributions::{normal_quantile, student_t_quantile};
use crate::estimate::{Interval, Level};

/// A least-squares line with what its doubt needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// How many points.
    pub count: usize,
    /// Mean of the abscissas.
    pub mean_x: f64,
    /// Sum of squared distances of the abscissas from their mean.
    pub sum_squares_x: f64,
    /// y at x = 0.
    pub intercept: f64,
    /// Rise of y for one unit of x.
    pub slope: f64,
    /// Sum of squared residuals.
    pub residual_sum_squares: f64,
    /// Sum of squared distances of the ordinates from their mean.
    pub sum_squares_y: f64,
}

/// Why no line can be drawn.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LineError {
    /// One point or none.
    #[error("A line needs two points at least; there are {count}.")]
    TooFewPoints {
        /// How many there are.
        count: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("Point {number} has a coordinate that is not a number.")]
    NotFinite {
        /// Which point, counted from one.
        number: usize,
    },
    /// All points stand above one another.
    #[error("All points stand at {x}. A line needs two different places.")]
    OnePlace {
        /// Their common abscissa.
        x: f64,
    },
}

/// The standard deviation of one new point about a line, and how well it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Noise {
    /// Standard deviation, in the unit of y.
    pub sd: f64,
    /// Degrees of freedom it was estimated on; `None` when it is known from elsewhere.
    pub degrees_of_freedom: Option<f64>,
}

impl Noise {
    /// A standard deviation known from elsewhere.
    pub const fn known(sd: f64) -> Self {
        Self { sd, degrees_of_freedom: None }
    }

    /// How many standard errors an interval of this level reaches to each side: Student's t for
    /// an estimated deviation, the normal for a known one.
    pub fn reach(&self, level: Level) -> f64 {
        let below = 1.0 - level.tail();
        self.degrees_of_freedom
            .map_or_else(|| normal_quantile(below), |df| student_t_quantile(below, df))
    }
}

impl Line {
    /// The line of least squares through points `(x, y)`.
    ///
    /// # Errors
    /// Fewer than two points, a coordinate that is not finite, or all abscissas equal.
    pub fn through(points: &[(f64, f64)]) -> Result<Self, LineError> {
        if points.len() < 2 {
            return Err(LineError::TooFewPoints { count: points.len() });
        }
        if let Some(at) = points.iter().position(|(x, y)| !(x.is_finite() && y.is_finite())) {
            return Err(LineError::NotFinite { number: at + 1 });
        }
        let count = points.len() as f64;
        let mean_x = points.iter().map(|(x, _)| x).sum::<f64>() / count;
        let mean_y = points.iter().map(|(_, y)| y).sum::<f64>() / count;
        // Sums about the means: sums of raw squares would lose half the digits.
        let about_means = || points.iter().map(|(x, y)| (x - mean_x, y - mean_y));
        let sum_squares_x: f64 = about_means().map(|(x, _)| x * x).sum();
        if points.iter().all(|(x, _)| *x == points[0].0) || sum_squares_x == 0.0 {
            return Err(LineError::OnePlace { x: mean_x });
        }
        let slope = about_means().map(|(x, y)| x * y).sum::<f64>() / sum_squares_x;
        Ok(Self {
            count: points.len(),
            mean_x,
            sum_squares_x,
            intercept: mean_y - slope * mean_x,
            slope,
            residual_sum_squares: about_means().map(|(x, y)| (y - slope * x).powi(2)).sum(),
            sum_squares_y: about_means().map(|(_, y)| y * y).sum(),
        })
    }

    /// Height of the line at x.
    pub fn at(&self, x: f64) -> f64 {
        self.intercept + self.slope * x
    }

    /// Residual standard deviation on n - 2 degrees of freedom; `None` for two points, which a
    /// line always meets.
    pub fn noise(&self) -> Option<Noise> {
        let degrees_of_freedom = (self.count > 2).then(|| (self.count - 2) as f64)?;
        Some(Noise {
            sd: (self.residual_sum_squares / degrees_of_freedom).sqrt(),
            degrees_of_freedom: Some(degrees_of_freedom),
        })
    }

    /// Share of the variance of y that the line explains; 1 when y does not vary at all.
    pub fn r_squared(&self) -> f64 {
        if self.sum_squares_y == 0.0 {
            1.0
        } else {
            1.0 - self.residual_sum_squares / self.sum_squares_y
        }
    }

    /// Standard error of the slope under this noise.
    pub fn slope_standard_error(&self, noise: Noise) -> f64 {
        noise.sd / self.sum_squares_x.sqrt()
    }

    /// Standard error of the line's height at x; of the intercept at x = 0.
    pub fn standard_error_at(&self, x: f64, noise: Noise) -> f64 {
        noise.sd * self.leverage(x).sqrt()
    }

    /// Where the line itself lies at x.
    pub fn interval_at(&self, x: f64, noise: Noise, level: Level) -> Interval<f64> {
        around(self.at(x), noise.reach(level) * self.standard_error_at(x, noise))
    }

    /// Where the mean of so many new points at x will lie.
    pub fn prediction_at(&self, x: f64, new: u32, noise: Noise, level: Level) -> Interval<f64> {
        let variance = self.leverage(x) + 1.0 / f64::from(new.max(1));
        around(self.at(x), noise.reach(level) * noise.sd * variance.sqrt())
    }

    /// Variance of the line's height at x in units of the noise's variance.
    fn leverage(&self, x: f64) -> f64 {
        1.0 / self.count as f64 + (x - self.mean_x).powi(2) / self.sum_squares_x
    }
}

fn around(centre: f64, reach: f64) -> Interval<f64> {
    Interval { low: centre - reach, high: centre + reach }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn no_line_through_too_little() {
        assert_eq!(Line::through(&[(1.0, 1.0)]), Err(LineError::TooFewPoints { count: 1 }));
        assert_eq!(
            Line::through(&[(1.0, 1.0), (f64::NAN, 2.0)]),
            Err(LineError::NotFinite { number: 2 })
        );
        let above = Line::through(&[(0.1, 1.0), (0.1, 2.0), (0.1, 3.0)]);
        assert!(matches!(above, Err(LineError::OnePlace { .. })));
    }

    #[test]
    fn two_points_leave_no_residual() {
        let line = Line::through(&[(40.0, 1.06), (80.0, 0.55)]).unwrap();
        assert!((line.slope + 0.01275).abs() < 1e-15);
        assert_eq!(line.noise(), None);
    }

    fn scattered() -> impl Strategy<Value = Vec<(f64, f64)>> {
        prop::collection::vec((0.0..100.0_f64, -2.0..2.0_f64), 3..12)
            .prop_filter("abscissas apart", |points| {
                points.iter().any(|(x, _)| (x - points[0].0).abs() > 1.0)
            })
    }

    proptest! {
        // The normal equations: residuals sum to nothing and are at right angles to x.
        #[test]
        fn residuals_meet_the_normal_equations(points in scattered()) {
            let line = Line::through(&points).unwrap();
            let residuals = points.iter().map(|(x, y)| (x, y - line.at(*x)));
            let (sum, moment) = residuals.fold((0.0, 0.0), |(s, m), (x, r)| (s + r, m + r * x));
            prop_assert!(sum.abs() < 1e-9 && moment.abs() < 1e-7);
        }

        #[test]
        fn order_and_unit_do_not_matter(points in scattered()) {
            let line = Line::through(&points).unwrap();
            let pounds: Vec<_> = points.iter().rev().map(|(x, y)| (x / 0.453_592_37, *y)).collect();
            let other = Line::through(&pounds).unwrap();
            prop_assert!((line.at(37.0) - other.at(37.0 / 0.453_592_37)).abs() < 1e-9);
            prop_assert!((line.residual_sum_squares - other.residual_sum_squares).abs() < 1e-9);
        }
    }
}
