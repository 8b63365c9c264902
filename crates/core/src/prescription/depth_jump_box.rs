//! Which box to step off for a depth jump.
//!
//! The classic coaching procedure: find the best standing jump, depth-jump from a low box, raise
//! it until the rebound no longer matches the standing jump; the last box that matches is the
//! ceiling, and when even the lowest fails, strength comes first. The shares used here (0.97 to
//! match, 1.10 as the aim) are common practice, no source. Age, mass and nearness of a bout come
//! from the exercise's permissions and block.

mod notes;
mod results;
mod working;

use crate::estimate::Level;
use crate::exercise::Permissions;
use crate::note::Noted;
use crate::units::{Duration, Length, Mass};

pub use results::{BoxResult, BoxSummary, Rebound, Trend};

/// Whom the box is for.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthJumper {
    /// Best countermovement jump, measured the same way as the rebounds.
    pub best_jump: Length,
    /// Body mass.
    pub body_mass: Mass,
    /// Age in whole years.
    pub age_years: u8,
    /// Why a coach lets a junior step off a higher box; `None` when no coach has confirmed.
    pub coach_reason: Option<String>,
    /// Days to the next bout, when there is one.
    pub days_to_bout: Option<u16>,
}

/// Shares and steps of the procedure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthJumpRules {
    /// Share of the best jump a rebound must reach for the box to match: 0.97.
    pub matching_share: f64,
    /// Share of the best jump that is aimed at: 1.10.
    pub aim_share: f64,
    /// Longest contact that still counts, when the aim is reactive strength: 0.3 s then.
    pub longest_contact: Option<Duration>,
    /// Step to the next box to try.
    pub step: Length,
    /// Level of the trend's interval.
    pub level: Level,
}

impl Default for DepthJumpRules {
    fn default() -> Self {
        Self {
            matching_share: 0.97,
            aim_share: 1.10,
            longest_contact: None,
            step: Length::metres(0.10),
            level: Level::USUAL,
        }
    }
}

/// The answer about the box.
#[derive(Clone, Debug, PartialEq)]
pub enum BoxAnswer {
    /// Step off this one.
    Use(BoxToUse),
    /// No depth jumps now.
    Barred(BoxBar),
}

/// The box to step off.
#[derive(Clone, Debug, PartialEq)]
pub struct BoxToUse {
    /// Box for today.
    pub now: Length,
    /// Highest box allowed by age and mass, or found by earlier results.
    pub ceiling: Option<Ceiling>,
    /// Box to try after it, when a higher one is worth trying.
    pub next: Option<Length>,
    /// Why this box.
    pub reason: BoxReason,
    /// What earlier results say, lowest box first.
    pub tested: Vec<BoxSummary>,
    /// How the rebound changes with the box, from three boxes on.
    pub trend: Option<Trend>,
}

/// A height not to be passed and why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ceiling {
    /// The height.
    pub height: Length,
    /// What sets it.
    pub from: CeilingFrom,
}

/// What sets a ceiling.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CeilingFrom {
    /// Under the age at which higher boxes are allowed at all.
    Age,
    /// A junior whose coach has not confirmed a higher box with a reason.
    AgeUnconfirmed,
    /// Body mass.
    BodyMass,
    /// The highest box from which the rebound matched before a higher one failed.
    Results,
}

impl CeilingFrom {
    /// Why there is a cap, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Age => "too young for higher boxes",
            Self::AgeUnconfirmed => "under 18, and no coach has confirmed it with a reason",
            Self::BodyMass => "body mass over 100 kg",
            Self::Results => "the rebound no longer matched the standing jump above it",
        }
    }
}

/// Why a box was chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoxReason {
    /// Nothing tested: the landing is that of one's own jump.
    OwnJumpHeight,
    /// The lowest box whose rebound reaches the aim.
    ReachesAim,
    /// The highest box whose rebound matches the best jump.
    HighestMatching,
    /// No tested box matched: one below them.
    BelowFailed,
}

/// Why there are no depth jumps now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoxBar {
    /// Too close to the bout.
    BoutTooClose {
        /// Days left.
        days: u16,
        /// Fewest days allowed.
        fewest: u16,
    },
    /// Even the lowest box here is over the ceiling or over the athlete's own jump.
    NoLowEnoughBox,
    /// The rebound from the lowest box does not match the standing jump: strength first.
    StrengthFirst,
}

/// Why nothing can be said.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum DepthJumpBoxError {
    /// A best jump that cannot be.
    #[error("A best jump of {metres} m cannot be: enter it in metres or centimetres, 5 to 90 cm.")]
    BestJump {
        /// Height in m.
        metres: f64,
    },
    /// A box that cannot be.
    #[error("A box of {metres} m cannot be: enter 5 to 120 cm, or inches with their unit.")]
    BoxHeight {
        /// Height in m.
        metres: f64,
    },
    /// A rebound or contact that cannot be.
    #[error("A rebound of {rebound_m} m from the box of {box_m} m cannot be: check units.")]
    Rebound {
        /// Box in m.
        box_m: f64,
        /// Rebound in m.
        rebound_m: f64,
    },
}

/// The box to step off today, from those present.
///
/// # Errors
/// [`DepthJumpBoxError`]: a height or contact time that cannot be.
pub fn choose_box(
    jumper: &DepthJumper,
    results: &[BoxResult],
    boxes: &[Length],
    permissions: &Permissions,
    rules: DepthJumpRules,
) -> Result<Noted<BoxAnswer>, DepthJumpBoxError> {
    check(jumper, results, boxes)?;
    let tested = results::summaries(results, jumper.best_jump, &rules);
    let trend = results::trend(&tested, rules.level);
    let cap = cap(jumper.age_years, jumper.body_mass, jumper.coach_reason.as_deref(), permissions);
    let answer = bout_bar(jumper, permissions).map_or_else(
        || among(boxes, jumper, cap, tested.clone(), trend, &rules),
        BoxAnswer::Barred,
    );
    let notes = notes::about(&answer, &tested, jumper);
    Ok(Noted { value: answer, notes })
}

fn check(
    jumper: &DepthJumper,
    results: &[BoxResult],
    boxes: &[Length],
) -> Result<(), DepthJumpBoxError> {
    let within = |length: Length, low: f64, high: f64| (low..=high).contains(&length.in_metres());
    if !within(jumper.best_jump, 0.05, 0.90) {
        return Err(DepthJumpBoxError::BestJump { metres: jumper.best_jump.in_metres() });
    }
    let all_boxes = boxes.iter().copied().chain(results.iter().map(|result| result.box_height));
    if let Some(odd) = all_boxes.into_iter().find(|height| !within(*height, 0.05, 1.20)) {
        return Err(DepthJumpBoxError::BoxHeight { metres: odd.in_metres() });
    }
    let contact = |result: &BoxResult| {
        result.contact.is_none_or(|time| (0.08..=2.0).contains(&time.in_seconds()))
    };
    let impossible = |result: &&BoxResult| !(within(result.rebound, 0.02, 0.90) && contact(result));
    results.iter().find(impossible).map_or(Ok(()), |odd| {
        Err(DepthJumpBoxError::Rebound {
            box_m: odd.box_height.in_metres(),
            rebound_m: odd.rebound.in_metres(),
        })
    })
}

fn bout_bar(jumper: &DepthJumper, permissions: &Permissions) -> Option<BoxBar> {
    let (days, fewest) = (jumper.days_to_bout?, permissions.days_before_bout?);
    (days < fewest).then_some(BoxBar::BoutTooClose { days, fewest })
}

/// The lowest of the heights age and mass allow.
pub fn cap(
    age_years: u8,
    body_mass: Mass,
    coach_reason: Option<&str>,
    permissions: &Permissions,
) -> Option<Ceiling> {
    let younger = |than: Option<u8>| than.is_some_and(|years| age_years < years);
    let age = if younger(permissions.barred_under_years) {
        Some(CeilingFrom::Age)
    } else if younger(permissions.confirm_under_years) && coach_reason.is_none() {
        Some(CeilingFrom::AgeUnconfirmed)
    } else {
        None
    };
    // A junior rule without a height that is free of it bars every box.
    let free = permissions.box_free_of_age_rules.unwrap_or(Length::ZERO);
    let by_age = age.map(|from| Ceiling { height: free, from });
    let by_mass = permissions
        .box_caps
        .iter()
        .filter(|cap| body_mass > cap.above_body_mass)
        .map(|cap| Ceiling { height: cap.highest_box, from: CeilingFrom::BodyMass });
    by_age.into_iter().chain(by_mass).reduce(lower)
}

fn lower(one: Ceiling, other: Ceiling) -> Ceiling {
    if other.height < one.height { other } else { one }
}

/// The procedure itself, under a cap.
fn among(
    boxes: &[Length],
    jumper: &DepthJumper,
    cap: Option<Ceiling>,
    tested: Vec<BoxSummary>,
    trend: Option<Trend>,
    rules: &DepthJumpRules,
) -> BoxAnswer {
    let ceiling = cap.into_iter().chain(found_ceiling(&tested)).reduce(lower);
    let allowed = |height: Length| ceiling.is_none_or(|ceiling| height <= ceiling.height);
    let mut boxes: Vec<Length> = boxes.iter().copied().filter(|height| allowed(*height)).collect();
    boxes.sort_by(|one, other| one.in_metres().total_cmp(&other.in_metres()));
    let present = |height: Length| boxes.iter().rev().copied().find(|there| *there <= height);

    let here = |summary: &&BoxSummary| boxes.iter().any(|b| same_box(*b, summary.box_height));
    let usable: Vec<&BoxSummary> = tested.iter().filter(here).collect();
    let aim = usable.iter().find(|summary| summary.rebound == Rebound::ReachesAim);
    let matching = usable.iter().rev().find(|summary| summary.rebound.matches());
    let chosen = if let Some(summary) = aim {
        Ok((summary.box_height, BoxReason::ReachesAim))
    } else if let Some(summary) = matching {
        Ok((summary.box_height, BoxReason::HighestMatching))
    } else if let Some(lowest_failed) = tested.first() {
        boxes
            .iter()
            .rev()
            .copied()
            .find(|there| *there < lowest_failed.box_height)
            .map(|there| (there, BoxReason::BelowFailed))
            .ok_or(BoxBar::StrengthFirst)
    } else {
        present(own_jump_box(jumper.best_jump))
            .map(|there| (there, BoxReason::OwnJumpHeight))
            .ok_or(BoxBar::NoLowEnoughBox)
    };
    match chosen {
        Err(bar) => BoxAnswer::Barred(bar),
        Ok((now, reason)) => {
            let falling = trend.is_some_and(|trend| trend.falls());
            let worth_trying = reason != BoxReason::ReachesAim && !falling;
            let next = present(now + rules.step).filter(|there| worth_trying && *there > now);
            BoxAnswer::Use(BoxToUse { now, ceiling, next, reason, tested, trend })
        }
    }
}

/// Whether two heights are one box, entered in different units.
fn same_box(one: Length, other: Length) -> bool {
    (one - other).abs() < Length::metres(0.001)
}

/// One's own jump, rounded down to 5 cm: stepping off it lands as fast as landing the jump.
fn own_jump_box(best_jump: Length) -> Length {
    // A hair is added so that 35 cm typed as 0.35 m does not round down to 30.
    Length::centimetres(((best_jump.in_centimetres() + 1e-6) / 5.0).floor() * 5.0)
}

/// The highest box that matched below one that did not.
fn found_ceiling(tested: &[BoxSummary]) -> Option<Ceiling> {
    let failed = tested.iter().position(|summary| !summary.rebound.matches())?;
    let last_match = failed.checked_sub(1)?;
    Some(Ceiling { height: tested[last_match].box_height, from: CeilingFrom::Results })
}
