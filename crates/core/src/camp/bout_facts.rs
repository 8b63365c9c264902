//! What is known of a bout beside its day and who boxes: how sure it is, further days, the venue's
//! clock, how long it may last.

use jiff::civil::{Date, Time};
use std::fmt;

/// How sure a bout is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Standing {
    /// Spoken of; may still fall through.
    Offered,
    /// Agreed.
    #[default]
    Confirmed,
}

impl Standing {
    /// As said.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Offered => "offered",
            Self::Confirmed => "confirmed",
        }
    }
}

/// What else is known of a bout.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BoutFacts {
    /// How sure it is.
    pub standing: Standing,
    /// Further days of a tournament, in order; an athlete who wins boxes again.
    pub more_days: Vec<Date>,
    /// Time zone of the venue by its IANA name; `None` for the gym's own.
    pub zone: Option<String>,
    /// First bell at the venue's clock.
    pub first_bell: Option<Time>,
    /// Weigh-in at the venue's clock, on whichever day it is.
    pub weigh_in_at: Option<Time>,
    /// Rounds and minutes a round: "8 x 3".
    pub rounds: Option<Rounds>,
    /// Anything else worth knowing: corner, travel, gloves.
    pub remark: String,
}

/// How long a bout may last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rounds {
    /// Rounds.
    pub count: u8,
    /// Minutes a round.
    pub minutes: u8,
}

impl fmt::Display for Rounds {
    /// "8 x 3": rounds and minutes.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} x {}", self.count, self.minutes)
    }
}
