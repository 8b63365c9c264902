//! What a line needs to know of each group: six sums, in units in which everything is of order one.

use super::{Group, MixedLineError};

/// The most group-level covariates a fit takes.
pub(super) const MOST_COVARIATES: usize = 2;
/// Fixed effects at most: intercept, slope and the covariates.
pub(super) const MOST_EFFECTS: usize = 2 + MOST_COVARIATES;

/// Sums of one group's points in standard units.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    pub(super) count: f64,
    pub(super) x: f64,
    pub(super) xx: f64,
    pub(super) y: f64,
    pub(super) xy: f64,
    pub(super) yy: f64,
    pub(super) covariates: [f64; MOST_COVARIATES],
}

/// From data units to standard units and back: x about its mean over its spread, y likewise.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axes {
    pub(super) centre_x: f64,
    pub(super) scale_x: f64,
    pub(super) centre_y: f64,
    pub(super) scale_y: f64,
}

/// A squad ready to be fitted.
#[derive(Clone, Debug)]
pub(super) struct Sample {
    pub(super) axes: Axes,
    pub(super) groups: Vec<Sums>,
    pub(super) points: usize,
    pub(super) covariates: usize,
    /// Groups with two different x.
    pub(super) lines: usize,
    /// Points beyond those a line of each group would use up: what tells noise from difference.
    pub(super) spare_points: usize,
}

impl Axes {
    fn of(groups: &[Group]) -> Self {
        let (centre_x, scale_x) =
            centre_and_scale(groups.iter().flat_map(|g| &g.points).map(|p| p.0));
        let (centre_y, scale_y) =
            centre_and_scale(groups.iter().flat_map(|g| &g.points).map(|p| p.1));
        Self { centre_x, scale_x, centre_y, scale_y }
    }
    /// A standard line (intercept, slope) in data units.
    pub(super) fn line(&self, [intercept, slope]: [f64; 2]) -> [f64; 2] {
        let slope = slope * self.scale_y / self.scale_x;
        [self.centre_y + self.scale_y * intercept - slope * self.centre_x, slope]
    }
    /// A standard deviation of a line from another, in data units.
    pub(super) fn difference(&self, [intercept, slope]: [f64; 2]) -> [f64; 2] {
        let slope = slope * self.scale_y / self.scale_x;
        [self.scale_y * intercept - slope * self.centre_x, slope]
    }
    /// A covariance of standard lines in data units: variance of intercept, covariance, variance
    /// of slope.
    pub(super) fn covariance(&self, [aa, ab, bb]: [f64; 3]) -> [f64; 3] {
        let (y, ratio) = (self.scale_y, self.scale_y / self.scale_x);
        let shift = -ratio * self.centre_x;
        [
            y * y * aa + 2.0 * y * shift * ab + shift * shift * bb,
            ratio * (y * ab + shift * bb),
            ratio * ratio * bb,
        ]
    }
}

impl Sample {
    pub(super) fn of(groups: &[Group]) -> Result<Self, MixedLineError> {
        let covariates = groups.first().map_or(0, |group| group.covariates.len());
        check(groups, covariates)?;
        let axes = Axes::of(groups);
        let lines = groups.iter().filter(|group| different_x(group)).count();
        let points: usize = groups.iter().map(|group| group.points.len()).sum();
        let used = |group: &Group| group.points.len().min(1 + usize::from(different_x(group)));
        let spare_points = points - groups.iter().map(used).sum::<usize>();
        if lines < 2 || axes.scale_x == 0.0 || axes.scale_y == 0.0 {
            return Err(MixedLineError::TooFewLines { lines });
        }
        Ok(Self {
            axes,
            groups: groups.iter().map(|group| sums(group, &axes)).collect(),
            points,
            covariates,
            lines,
            spare_points,
        })
    }
    /// Number of fixed effects.
    pub(super) const fn effects(&self) -> usize {
        2 + self.covariates
    }
}

pub(super) fn sums(group: &Group, axes: &Axes) -> Sums {
    let mut sums = Sums::default();
    for (sum, covariate) in sums.covariates.iter_mut().zip(&group.covariates) {
        *sum = *covariate;
    }
    for &(x, y) in &group.points {
        let x = (x - axes.centre_x) / axes.scale_x;
        let y = (y - axes.centre_y) / axes.scale_y;
        sums.count += 1.0;
        sums.x += x;
        sums.xx += x * x;
        sums.y += y;
        sums.xy += x * y;
        sums.yy += y * y;
    }
    sums
}

fn check(groups: &[Group], covariates: usize) -> Result<(), MixedLineError> {
    if covariates > MOST_COVARIATES {
        return Err(MixedLineError::Covariates { found: covariates });
    }
    for (number, group) in groups.iter().enumerate() {
        if group.covariates.len() != covariates {
            return Err(MixedLineError::Covariates { found: group.covariates.len() });
        }
        let finite = group.points.iter().all(|(x, y)| x.is_finite() && y.is_finite())
            && group.covariates.iter().all(|z| z.is_finite());
        if !finite {
            return Err(MixedLineError::NotFinite { group: number + 1 });
        }
    }
    Ok(())
}

fn different_x(group: &Group) -> bool {
    group.points.iter().any(|(x, _)| *x != group.points[0].0)
}

fn centre_and_scale(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let count = values.clone().count().max(1) as f64;
    let centre = values.clone().sum::<f64>() / count;
    let variance = values.map(|value| (value - centre).powi(2)).sum::<f64>() / count;
    (centre, variance.sqrt())
}
