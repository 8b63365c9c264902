//! What earlier depth jumps say, box by box.

use super::DepthJumpRules;
use crate::estimate::{Estimate, Interval, Level};
use crate::stats::line::Line;
use crate::units::{Duration, Length};

/// One depth jump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxResult {
    /// Box stepped off. The real drop differs when someone hops up or steps down.
    pub box_height: Length,
    /// Height of the jump after landing.
    pub rebound: Length,
    /// Time on the ground, when measured.
    pub contact: Option<Duration>,
}

/// How the rebounds from a box compare with the best standing jump.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rebound {
    /// Higher by the share aimed at.
    ReachesAim,
    /// Near enough.
    Matches,
    /// Too low.
    TooLow,
    /// High enough, on the ground too long for the aim.
    TooLong,
}

impl Rebound {
    /// Whether the box is one to train from.
    pub const fn matches(self) -> bool {
        matches!(self, Self::ReachesAim | Self::Matches)
    }
}

/// All jumps from one box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxSummary {
    /// The box.
    pub box_height: Length,
    /// How many jumps.
    pub jumps: usize,
    /// Mean rebound.
    pub mean_rebound: Length,
    /// Mean time on the ground of the jumps that have one.
    pub mean_contact: Option<Duration>,
    /// How they compare with the best standing jump.
    pub rebound: Rebound,
}

/// How the mean rebound changes from box to box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    /// Rebound gained for each unit of box height; below zero when higher boxes cost height.
    pub gain: Estimate<f64>,
}

impl Trend {
    /// Whether the rebound falls with the box beyond doubt.
    pub fn falls(&self) -> bool {
        self.gain.interval.high < 0.0
    }
}

/// The results box by box, lowest first.
pub(super) fn summaries(
    results: &[BoxResult],
    best_jump: Length,
    rules: &DepthJumpRules,
) -> Vec<BoxSummary> {
    let mut results = results.to_vec();
    results
        .sort_by(|one, other| one.box_height.in_metres().total_cmp(&other.box_height.in_metres()));
    results
        .chunk_by(|one, other| one.box_height == other.box_height)
        .map(|jumps| summary(jumps, best_jump, rules))
        .collect()
}

fn summary(jumps: &[BoxResult], best_jump: Length, rules: &DepthJumpRules) -> BoxSummary {
    let mean_rebound = jumps.iter().map(|jump| jump.rebound).sum::<Length>() / jumps.len() as f64;
    let contacts: Vec<Duration> = jumps.iter().filter_map(|jump| jump.contact).collect();
    let mean_contact = (!contacts.is_empty())
        .then(|| contacts.iter().copied().sum::<Duration>() / contacts.len() as f64);
    let share = mean_rebound / best_jump;
    let too_long =
        rules.longest_contact.zip(mean_contact).is_some_and(|(longest, contact)| contact > longest);
    let rebound = if share < rules.matching_share {
        Rebound::TooLow
    } else if too_long {
        Rebound::TooLong
    } else if share >= rules.aim_share {
        Rebound::ReachesAim
    } else {
        Rebound::Matches
    };
    BoxSummary {
        box_height: jumps[0].box_height,
        jumps: jumps.len(),
        mean_rebound,
        mean_contact,
        rebound,
    }
}

/// The straight trend of mean rebound over box height; a bend could not be told from noise on the
/// few boxes a gym has.
pub(super) fn trend(tested: &[BoxSummary], level: Level) -> Option<Trend> {
    let points: Vec<(f64, f64)> = tested
        .iter()
        .map(|summary| (summary.box_height.in_metres(), summary.mean_rebound.in_metres()))
        .collect();
    let line = Line::through(&points).ok()?;
    let noise = line.noise()?;
    let reach = noise.reach(level) * line.slope_standard_error(noise);
    let interval = Interval { low: line.slope - reach, high: line.slope + reach };
    Some(Trend { gain: Estimate { value: line.slope, interval, level } })
}
