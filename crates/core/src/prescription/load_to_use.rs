//! With which loads to jump, as far as they were jumped with.
//!
//! A curve can be drawn past the heaviest load; nobody has lifted there. What is said to be used,
//! compared or ranked is among the loads that were jumped with, or lighter than the heaviest.

use crate::profile::load_momentum::{LoadBand, LoadMomentumProfile};
use crate::units::{Mass, Momentum};
use crate::words;
use std::fmt;

/// The loads to train with, or why none is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LoadToUse {
    /// These cost next to nothing of the peak momentum; none is heavier than what was jumped with.
    Band(LoadBand),
    /// The peak lies past the heaviest load jumped with, or is in too much doubt.
    NotKnown {
        /// The heaviest load jumped with; `None` where every jump was without one.
        tested_to: Option<Mass>,
    },
}

impl LoadToUse {
    /// Of a profile: the loads that in expectation cost less than a fraction of the peak.
    pub fn of(profile: &LoadMomentumProfile, loss_fraction: f64) -> Self {
        let heaviest = profile.tested_range().high;
        let tested_to = Some(heaviest).filter(|load| *load > Mass::ZERO);
        let peak_is_tested = profile.peak().load.value <= heaviest;
        let known = profile.band(loss_fraction).filter(|band| band.from <= heaviest);
        match known.filter(|_| peak_is_tested && tested_to.is_some()) {
            Some(band) => Self::Band(LoadBand { to: band.to.min(heaviest), ..band }),
            None => Self::NotKnown { tested_to },
        }
    }

    /// The loads, where they are known.
    pub const fn band(self) -> Option<LoadBand> {
        match self {
            Self::Band(band) => Some(band),
            Self::NotKnown { .. } => None,
        }
    }
}

impl fmt::Display for LoadToUse {
    /// "30 to 50 kg", "not known yet, tested to 37.5 kg".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Band(band) => band.fmt(f),
            Self::NotKnown { tested_to: Some(heaviest) } => {
                write!(f, "not known yet, tested to {}", words::kilograms(*heaviest))
            }
            Self::NotKnown { tested_to: None } => {
                write!(f, "not known yet, no jump with a load")
            }
        }
    }
}

/// The most momentum expected at a load that was jumped with, and that load; `None` where every
/// jump was without one.
pub fn best_jumped(profile: &LoadMomentumProfile) -> Option<(Mass, Momentum)> {
    let loads = profile.points().iter().map(|point| point.load).filter(|load| *load > Mass::ZERO);
    loads
        .map(|load| (load, profile.momentum(load).value))
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
}
