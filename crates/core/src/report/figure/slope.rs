//! The slope: a falling line against load, and the load that meets a target.

use super::{Axis, Behind, CurvePoint, Point, Table, behind_rows, rows_against_load, tested};
use crate::estimate::{Estimate, Interval, Level};

/// Velocity or height against load.
#[derive(Clone, Debug, PartialEq)]
pub struct Slope {
    /// Heading.
    pub title: String,
    /// The finding in words.
    pub description: String,
    /// The load.
    pub across: Axis,
    /// What falls as the load grows.
    pub up: Axis,
    /// As measured, one a trial.
    pub points: Vec<Point>,
    /// The line with its interval, in order of load; two points are enough for a straight one
    /// without an interval.
    pub line: Vec<CurvePoint>,
    /// The probability the line's interval is built for.
    pub level: Level,
    /// The level asked for and the load that gives it.
    pub target: Option<Target>,
    /// What the last point is called, in a word or two, where it is to be found at a glance.
    pub last: Option<String>,
    /// What lies behind the line: where those of others lie.
    pub behind: Option<Behind>,
}

/// A level asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// The level on the upward axis.
    pub at: f64,
    /// What it is, in a word or two, without the number: "target".
    pub name: String,
    /// The load the line gives for it. An end of its interval may be infinite; `None` when the
    /// line never meets the target.
    pub load: Option<Estimate<f64>>,
}

impl Slope {
    /// The lightest to the heaviest load that was tested and counted.
    pub fn tested(&self) -> Option<Interval<f64>> {
        tested(&self.points)
    }
    /// Measured points, the line, then the target with its load.
    pub fn table(&self) -> Table {
        let mut table = rows_against_load(&self.across, &self.up, &self.points, &self.line);
        if let Some(behind) = &self.behind {
            behind_rows(&mut table, behind, &self.across, &self.up);
        }
        let Some(target) = &self.target else { return table };
        let level = self.up.number(target.at);
        let mut row = |what: &str, load: f64| {
            table.row([what, &self.across.number(load), &level, "", ""]);
        };
        if let Some(load) = target.load {
            row(&target.name, load.value);
            row(&format!("{}, load low", target.name), load.interval.low);
            row(&format!("{}, load high", target.name), load.interval.high);
        } else {
            row(&target.name, f64::NAN);
        }
        table
    }
}
