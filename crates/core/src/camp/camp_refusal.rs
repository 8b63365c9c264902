//! Why something is not done to bouts and camps, as sentences.

use crate::session::athlete::AthleteId;
use jiff::civil::Date;

/// Why a change of camps is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CampRefusal {
    /// No such bout.
    #[error("There is no bout {id} any more. Go back to the plan.")]
    UnknownBout {
        /// Id asked for.
        id: String,
    },
    /// A bout without a name or people.
    #[error("Give the bout a name and tick who boxes.")]
    Empty,
    /// Not theirs.
    #[error("{athlete} does not box there.")]
    NotTheirs {
        /// Who.
        athlete: AthleteId,
    },
    /// A day of a tournament before its first.
    #[error("{day} is before the first day, {first}. Put the days in order.")]
    DaysOutOfOrder {
        /// The day.
        day: Date,
        /// The first day.
        first: Date,
    },
    /// A day the bout is not on.
    #[error(
        "{name} is not on {day}. Pick one of its days, or add the day under \"Change what is agreed\"."
    )]
    NotADayOfIt {
        /// What it is called.
        name: String,
        /// The day asked for.
        day: Date,
    },
    /// A result before the day.
    #[error(
        "{day} has not come yet: a result waits for it. Leave the result empty to keep the opponent."
    )]
    ResultTooEarly {
        /// The day.
        day: Date,
    },
    /// A stoppage without the rule that binds.
    #[error("A stoppage begins a stand-down: choose whose rules bind.")]
    NoStandDown,
    /// A move or an end of what has begun.
    #[error(
        "{athlete} has a result there of {day}: it is neither moved nor cancelled any more. Change the further days, or enter \"withdrew\" for the next."
    )]
    Boxed {
        /// Who.
        athlete: AthleteId,
        /// When.
        day: Date,
    },
    /// A day or an athlete taken out that has a bout on record.
    #[error(
        "{athlete} has a bout on {day} there. Take that back first, then the day or the athlete."
    )]
    InUse {
        /// Who.
        athlete: AthleteId,
        /// When.
        day: Date,
    },
    /// A move into the past.
    #[error("{to} is past. Give a day to come.")]
    Past {
        /// The day asked for.
        to: Date,
    },
    /// Nothing said why.
    #[error("Say why in a few words: the reason is kept with it.")]
    NoReason,
    /// Phases that overlap or run backwards.
    #[error("The phase from {from} to {to} does not follow the one before it.")]
    PhasesOutOfOrder {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
}
