//! Why a change about safety is refused. Nothing is changed, and the sentence says what to do.

use crate::camp::permission::{Clearance, Role};
use crate::words::day_and_year as said;
use jiff::civil::Date;
use thiserror::Error;

/// Reasons, with what the sentence needs.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SafetyRefusal {
    /// Not this role's to do.
    #[error("That needs the word of {whose}. You are signed in as {role}.", role = .role.words())]
    NotYours {
        /// Who asked.
        role: Role,
        /// Whose it is.
        whose: &'static str,
    },
    /// Shortening what may only be lengthened.
    #[error("It only gets longer: out until {earliest} at least by now.", earliest = said(*.earliest))]
    OnlyLonger {
        /// The date that stands.
        earliest: Date,
    },
    /// Cleared before the earliest date.
    #[error("Out at least until {earliest} by the rule. A doctor clears from that day on.", earliest = said(*.earliest))]
    TooEarly {
        /// The date that stands.
        earliest: Date,
    },
    /// Taking back or overwriting what keeps an athlete out.
    #[error("What keeps an athlete out is not taken back or rewritten. It ends by {whose}.", whose = .needs.words())]
    StaysUntilCleared {
        /// Whose word ends it.
        needs: Clearance,
    },
    /// A number of someone's own, without a reason to replace it.
    #[error(
        "{name} has a number of their own, and a word on a stand-down counts under it. Only they renew it; where it is lost, say why in a few words: the reason stands with the name from then on."
    )]
    NumberIsTheirs {
        /// Whose.
        name: String,
    },
    /// A head coach nobody entered.
    #[error("{name} works here as no head coach. Enter them on the page of people first.")]
    NoHeadCoach {
        /// The name asked for.
        name: String,
    },
    /// Taking back who works here, and with it a number.
    #[error("Whoever works here is entered anew, not taken back: an old number would open again.")]
    MemberStays,
    /// A limit for a minor.
    #[error(
        "{name} is under 18: no limit and no line to one. Speak with the guardian, a dietitian and a doctor."
    )]
    NoLimitForMinors {
        /// Who.
        name: String,
    },
    /// No consent on record.
    #[error("No consent of {name} to {what} on record. Ask, and record it on the card.")]
    NoConsent {
        /// Who.
        name: String,
        /// To what.
        what: &'static str,
    },
    /// A minor without the guardian's consent.
    #[error(
        "{name} is under 18 and the guardian's consent to train here is not on record. Enter it on the page of people first."
    )]
    NoGuardian {
        /// Who.
        name: String,
    },
    /// A day that has not come.
    #[error("{date} has not come yet.", date = said(*.date))]
    NotYet {
        /// The day.
        date: Date,
    },
    /// Words are missing.
    #[error("A reason is needed: write in a few words why.")]
    NoReason,
    /// A number that cannot be.
    #[error("{what} cannot be {got}. Type {low} to {high}.")]
    OutsideLimits {
        /// Of what.
        what: &'static str,
        /// What came.
        got: u32,
        /// From.
        low: u32,
        /// To.
        high: u32,
    },
    /// Dates in the wrong order.
    #[error("The weigh-in, {weigh_in}, lies after the bout, {bout}. Type the day of the weigh-in.", weigh_in = said(*.weigh_in), bout = said(*.bout))]
    WeighInAfterBout {
        /// The weigh-in.
        weigh_in: Date,
        /// The bout.
        bout: Date,
    },
}

impl Clearance {
    /// Whose word it is.
    pub(crate) const fn whose(self) -> &'static str {
        match self {
            Self::Doctor => "a doctor",
            Self::PhysioOrDoctor => "a physio or a doctor",
        }
    }
    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Doctor => "a doctor's clearance alone",
            Self::PhysioOrDoctor => "a physio's or a doctor's clearance alone",
        }
    }
}
