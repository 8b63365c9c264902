//! Lines of many groups drawn from one population: each borrows from the others what it lacks.
//!
//! y = (a + u) + (b + w) x + e within a group, (u, w) normal between groups, e normal. Two fits:
//! [`MixedLine`] by restricted maximum likelihood, the classical answer; and [`LinePopulation`],
//! the same model with weak priors and every variance parameter averaged over, which is what
//! intervals are made from: with few groups the plain fit sits on a boundary and claims to know
//! what it does not.
//!
//! A group costs six sums, an evaluation costs one pass over the groups: nothing grows faster
//! than their number.

mod belief;
mod criterion;
mod population;
mod reml;
mod sums;

pub use belief::{LineBelief, SlopeInDoubt};
pub use population::{LinePopulation, NoisePrior};
pub use reml::{MixedLine, Mode};

/// One group's points and what is known of the group beforehand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// Points (x, y), one or more.
    pub points: Vec<(f64, f64)>,
    /// What shifts the whole line: none, one or two numbers, as many in every group. Two kinds of
    /// people in one fit are told apart by a covariate of -1/2 and +1/2.
    pub covariates: Vec<f64>,
}

impl Group {
    /// A group without covariates.
    pub fn of(points: impl Into<Vec<(f64, f64)>>) -> Self {
        Self { points: points.into(), covariates: Vec::new() }
    }
}

/// Why groups cannot be pooled.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MixedLineError {
    /// Too few groups draw a line.
    #[error("{lines} groups have points at two places: pooling needs four or more.")]
    TooFewLines {
        /// Groups with two different x.
        lines: usize,
    },
    /// A coordinate or covariate that is no number.
    #[error("Group {group} holds a value that is not a number.")]
    NotFinite {
        /// Which, counted from one.
        group: usize,
    },
    /// One of two kinds of people is hardly there.
    #[error(
        "Only {found} of one of the two kinds: their shift cannot be told from chance. Fit the kinds apart."
    )]
    FewOfAKind {
        /// People of the rarer kind.
        found: usize,
    },
    /// Covariates that do not match.
    #[error("A group has {found} covariates: every group needs the same number, two at most.")]
    Covariates {
        /// Found in one group.
        found: usize,
    },
    /// Nothing tells noise from difference.
    #[error(
        "No group has more points than its line uses up, so noise cannot be told from difference: \
         give the noise from repeated trials."
    )]
    NoiseNotIdentified,
    /// The covariates say the same thing, or the same of every group.
    #[error("The covariates cannot be told apart in these groups: leave one out.")]
    Confounded,
}
