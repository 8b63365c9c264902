//! The figures: what a picture says, without a page, a pixel or a colour.
//!
//! A small set of kinds carries everything that is drawn, on page, wall, sheet and PDF alike:
//! learn one, read all. Each carries its axes with their units, a title, a description that
//! states the finding in words (the text alternative of the picture) and its data as a table.
//! Values are plain numbers in the unit their [`Axis`] names; a value that is not finite is a
//! gap, never a zero.

mod axis;
mod calendar;
mod hill;
mod loaded_bar;
mod odds;
mod slope;
mod strip;
mod table;
mod trace;
mod turns;

pub use axis::{Axis, Decimals};
pub use calendar::{Calendar, CampLayout, DayRow, NamedDays};
pub use hill::{Behind, FlatTop, Hill, Post, PostKind};
pub use loaded_bar::LoadedBar;
pub use odds::{Odds, Share};
pub use slope::{Slope, Target};
pub use strip::{Band, Mark, Now, Strip};
pub use table::Table;
pub use trace::{Event, Line, Phase, Signal, Trace};
pub use turns::{Effort, StationRow, Turn, TurnRound, Turns};

use crate::estimate::Interval;

/// One figure of any kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// A peaked quantity against load.
    Hill(Hill),
    /// A falling line against load.
    Slope(Slope),
    /// One horizontal scale.
    Strip(Strip),
    /// A change on one scale, with the odds that it is real.
    Odds(Odds),
    /// Signals on time.
    Trace(Trace),
    /// The plates to hang.
    LoadedBar(LoadedBar),
    /// Weeks back from the bout.
    Calendar(Calendar),
    /// Who has which station when.
    Turns(Turns),
}

/// Runs the same expression on whichever kind the figure is.
macro_rules! each {
    ($figure:expr, $kind:ident => $answer:expr) => {
        match $figure {
            Figure::Hill($kind) => $answer,
            Figure::Slope($kind) => $answer,
            Figure::Strip($kind) => $answer,
            Figure::Odds($kind) => $answer,
            Figure::Trace($kind) => $answer,
            Figure::LoadedBar($kind) => $answer,
            Figure::Calendar($kind) => $answer,
            Figure::Turns($kind) => $answer,
        }
    };
}

impl Figure {
    /// What the figure is about, as a heading.
    pub fn title(&self) -> &str {
        each!(self, kind => &kind.title)
    }
    /// What the figure finds, in words: the text alternative.
    pub fn description(&self) -> &str {
        each!(self, kind => &kind.description)
    }
    /// The data of the figure, for those who read numbers or cannot see the picture.
    pub fn table(&self) -> Table {
        each!(self, kind => kind.table())
    }
}

macro_rules! from_kind {
    ($($kind:ident)*) => {
        $(impl From<$kind> for Figure {
            fn from(kind: $kind) -> Self {
                Self::$kind(kind)
            }
        })*
    };
}

from_kind!(Hill Slope Strip Odds Trace LoadedBar Calendar Turns);

/// One measured point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along the horizontal axis.
    pub across: f64,
    /// Along the vertical axis.
    pub up: f64,
    /// Whether it counts in the fit; a point set aside is still shown, crossed out.
    pub counts: bool,
}

impl Point {
    /// A point that counts.
    pub const fn new(across: f64, up: f64) -> Self {
        Self { across, up, counts: true }
    }
    /// A point shown but set aside.
    pub const fn set_aside(across: f64, up: f64) -> Self {
        Self { across, up, counts: false }
    }
    /// Whether both numbers can be drawn.
    pub const fn is_finite(&self) -> bool {
        self.across.is_finite() && self.up.is_finite()
    }
}

/// One point of a fitted or averaged curve, with its doubt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Along the horizontal axis.
    pub across: f64,
    /// The best value there.
    pub up: f64,
    /// Where the truth lies there; `None` when it is not known.
    pub interval: Option<Interval<f64>>,
}

impl CurvePoint {
    /// A point of a curve with its interval.
    pub const fn new(across: f64, up: f64, low: f64, high: f64) -> Self {
        Self { across, up, interval: Some(Interval { low, high }) }
    }
    /// A point of a curve whose doubt is not known.
    pub const fn bare(across: f64, up: f64) -> Self {
        Self { across, up, interval: None }
    }
}

/// The span of the finite values, or `None` when there is none.
pub fn span(values: impl IntoIterator<Item = f64>) -> Option<Interval<f64>> {
    values.into_iter().filter(|value| value.is_finite()).fold(None, |span, value| {
        Some(span.map_or(Interval { low: value, high: value }, |span: Interval<f64>| Interval {
            low: span.low.min(value),
            high: span.high.max(value),
        }))
    })
}

/// The span of the loads that were tested and counted.
fn tested(points: &[Point]) -> Option<Interval<f64>> {
    span(points.iter().filter(|point| point.counts && point.is_finite()).map(|point| point.across))
}

/// The rows both figures against load share: measured first, then the curve with its interval.
fn rows_against_load(across: &Axis, up: &Axis, points: &[Point], curve: &[CurvePoint]) -> Table {
    let mut table = Table::new([
        "what".to_owned(),
        across.label(),
        up.label(),
        format!("{} low", up.quantity),
        format!("{} high", up.quantity),
    ]);
    for point in points.iter().filter(|point| point.is_finite()) {
        let what = if point.counts { "measured" } else { "measured, set aside" };
        table.row([what, &across.number(point.across), &up.number(point.up), "", ""]);
    }
    for point in thinned(curve) {
        let end = |end: fn(Interval<f64>) -> f64| {
            point.interval.map_or_else(String::new, |interval| up.number(end(interval)))
        };
        let (low, high) = (end(|interval| interval.low), end(|interval| interval.high));
        table.row(["curve", &across.number(point.across), &up.number(point.up), &low, &high]);
    }
    table
}

/// The curves of others as rows, thinned like the curve itself.
fn behind_rows(table: &mut Table, behind: &Behind, across: &Axis, up: &Axis) {
    for point in thinned(&behind.curve) {
        let end = |end: fn(&Interval<f64>) -> f64| {
            point.interval.as_ref().map_or(String::new(), |interval| up.number(end(interval)))
        };
        let (low, high) = (end(|interval| interval.low), end(|interval| interval.high));
        let load = across.number(point.across);
        table.row([behind.name.as_str(), &load, &up.number(point.up), &low, &high]);
    }
}

/// About a dozen points of a curve, ends included: a table for reading, not for plotting.
fn thinned(curve: &[CurvePoint]) -> impl Iterator<Item = &CurvePoint> {
    const ROWS: usize = 12;
    let step = curve.len().saturating_sub(1).div_ceil(ROWS - 1).max(1);
    let last = curve.len().saturating_sub(1);
    curve
        .iter()
        .enumerate()
        .filter(move |(index, _)| index % step == 0 || *index == last)
        .map(|(_, point)| point)
}
