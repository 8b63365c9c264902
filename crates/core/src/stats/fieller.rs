//! Reading a fitted line backwards: the x at which it reaches a given y, with its interval.
//!
//! Fieller 1954, J R Stat Soc B 16:175. The interval holds every x whose predicted y does not
//! differ from the target at the level asked; it is not symmetric about the estimate, and it is
//! finite only when the slope is distinguishable from zero at that level.

use super::line::{Line, Noise};
use crate::estimate::{Estimate, Interval, Level};

/// The y that is aimed at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// Its value.
    pub y: f64,
    /// Standard deviation of that value, when it is itself only known roughly.
    pub sd: f64,
    /// Whose y it is: of the line itself, or of the mean of so many new points.
    pub of: Aim,
}

/// What is to reach the target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// The line, that is the mean over endless repetition.
    Line,
    /// The mean of so many points still to come.
    MeanOfNext(u32),
}

impl Target {
    /// The line is to reach exactly this.
    pub const fn line_at(y: f64) -> Self {
        Self { y, sd: 0.0, of: Aim::Line }
    }
    /// The line is to reach a value known with this standard deviation.
    pub const fn line_near(y: f64, sd: f64) -> Self {
        Self { y, sd, of: Aim::Line }
    }
    /// The mean of the next points is to reach this.
    pub const fn next_at(y: f64, points: u32) -> Self {
        Self { y, sd: 0.0, of: Aim::MeanOfNext(points) }
    }
}

/// The slope cannot be told from zero, so no finite interval exists.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error(
    "The slope of the line is not established: it is {slope:.4} and would have to be beyond \
     {needed:.4}. Add points further apart."
)]
pub struct SlopeNotEstablished {
    /// The slope as fitted.
    pub slope: f64,
    /// The size it would need at this level.
    pub needed: f64,
}

/// The x at which the line reaches the target.
///
/// With d the distance of the estimate from the mean of x, and g the squared ratio of the slope's
/// reach to the slope, the interval is centred at mean + d / (1 - g). A target with a standard
/// deviation of its own adds its variance to that of the line's height, at the same reach.
///
/// # Errors
/// [`SlopeNotEstablished`] when g is 1 or more.
pub fn inverse_prediction(
    line: &Line,
    noise: Noise,
    target: Target,
    level: Level,
) -> Result<Estimate<f64>, SlopeNotEstablished> {
    let reach = noise.reach(level);
    let needed = reach * line.slope_standard_error(noise);
    if line.slope.abs() <= needed {
        return Err(SlopeNotEstablished { slope: line.slope, needed });
    }
    let g = (needed / line.slope).powi(2);
    let value = (target.y - line.intercept) / line.slope;
    let distance = value - line.mean_x;
    let new = match target.of {
        Aim::Line => 0.0,
        Aim::MeanOfNext(points) => 1.0 / f64::from(points.max(1)),
    };
    let variance = noise.sd.powi(2) * (1.0 / line.count as f64 + new) + target.sd.powi(2);
    let spread = noise.sd.powi(2) * distance.powi(2) / line.sum_squares_x;
    let half_width = reach / line.slope.abs() / (1.0 - g) * (variance * (1.0 - g) + spread).sqrt();
    let centre = line.mean_x + distance / (1.0 - g);
    let interval = Interval { low: centre - half_width, high: centre + half_width };
    Ok(Estimate { value, interval, level })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rounded(estimate: Estimate<f64>) -> [f64; 3] {
        [estimate.value, estimate.interval.low, estimate.interval.high]
            .map(|x| (x * 1000.0).round() / 1000.0)
    }

    // Closed form evaluated separately with numpy (oracles/lines.py): loads 20 to 80 kg.
    #[test]
    fn the_load_for_a_velocity_lies_where_the_closed_form_puts_it() {
        let line =
            Line::through(&[(20.0, 1.30), (40.0, 1.06), (60.0, 0.79), (80.0, 0.55)]).unwrap();
        let noise = line.noise().unwrap();
        let load =
            |target| rounded(inverse_prediction(&line, noise, target, Level::USUAL).unwrap());
        assert_eq!(load(Target::line_at(0.17)), [109.921, 106.914, 113.217]);
        assert_eq!(load(Target::next_at(0.17, 1)), [109.921, 106.222, 113.910]);
        assert_eq!(load(Target::line_at(0.30)), [99.603, 97.043, 102.404]);
        assert_eq!(load(Target::next_at(0.30, 1)), [99.603, 96.255, 103.192]);
        assert_eq!(load(Target::line_at(1.00)), [44.048, 42.894, 45.172]);
        assert_eq!(load(Target::next_at(1.00, 1)), [44.048, 41.555, 46.512]);
    }

    #[test]
    fn a_flat_or_noisy_line_has_no_interval() {
        let flat = Line::through(&[(0.0, 1.0), (10.0, 1.0), (20.0, 1.0)]).unwrap();
        let noisy = Line::through(&[(0.0, 1.0), (10.0, 0.2), (20.0, 0.9)]).unwrap();
        for line in [flat, noisy] {
            let noise = line.noise().unwrap();
            assert!(inverse_prediction(&line, noise, Target::line_at(0.5), Level::USUAL).is_err());
        }
    }

    proptest! {
        // The definition: at each end of the interval the predicted mean of the next points
        // differs from the target by exactly the reach.
        #[test]
        fn the_ends_are_where_the_prediction_band_meets_the_target(
            noise in prop::collection::vec(-0.03..0.03_f64, 5), target in 0.2..1.2_f64, next in 1_u32..6,
        ) {
            let points: Vec<_> = noise.iter().enumerate()
                .map(|(i, e)| (20.0 * i as f64, 1.4 - 0.25 * i as f64 + e)).collect();
            let line = Line::through(&points).unwrap();
            let noise = line.noise().unwrap();
            let found = inverse_prediction(&line, noise, Target::next_at(target, next), Level::USUAL).unwrap();
            let low_end = line.prediction_at(found.interval.low, next, noise, Level::USUAL);
            let high_end = line.prediction_at(found.interval.high, next, noise, Level::USUAL);
            prop_assert!((low_end.low - target).abs() < 1e-9);
            prop_assert!((high_end.high - target).abs() < 1e-9);
        }
    }
}
