//! A stoppage: how it ended, and what stands on record of it. How long it keeps an athlete out is
//! [`crate::camp::stand_down_rules`]' to say.

use crate::camp::permission::Signed;
use crate::session::athlete::AthleteId;
use crate::words::{self, counted};
use jiff::civil::Date;
use jiff::{Span, ToSpan};

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stoppage {
    /// Stopped by the referee, not for blows to the head.
    Stopped,
    /// Stopped for blows to the head.
    StoppedHeadBlows,
    /// Knocked out.
    KnockedOut,
    /// Knocked out, unconscious for less than a minute.
    UnconsciousUnderMinute,
    /// Knocked out, unconscious for a minute or longer.
    UnconsciousOverMinute,
    /// Knocked down or hurt in sparring or training.
    HurtInTraining,
}

impl Stoppage {
    /// Every kind.
    pub const ALL: [Self; 6] = [
        Self::Stopped,
        Self::StoppedHeadBlows,
        Self::KnockedOut,
        Self::UnconsciousUnderMinute,
        Self::UnconsciousOverMinute,
        Self::HurtInTraining,
    ];

    /// Short stable name.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Stopped => "stopped",
            Self::StoppedHeadBlows => "stopped-head-blows",
            Self::KnockedOut => "knocked-out",
            Self::UnconsciousUnderMinute => "unconscious-under-minute",
            Self::UnconsciousOverMinute => "unconscious-over-minute",
            Self::HurtInTraining => "hurt-in-training",
        }
    }

    /// The kind of this name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.code() == code)
    }

    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Stopped => "stopped, not for blows to the head",
            Self::StoppedHeadBlows => "stopped for blows to the head",
            Self::KnockedOut => "knocked out",
            Self::UnconsciousUnderMinute => "unconscious, under a minute",
            Self::UnconsciousOverMinute => "unconscious, a minute or longer",
            Self::HurtInTraining => "knocked down or hurt in sparring",
        }
    }

    /// Whether it counts when a rule counts blows to the head.
    pub const fn is_of_the_head(self) -> bool {
        !matches!(self, Self::Stopped)
    }
}

/// A length of time as rules state it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Length {
    /// Days.
    Days(u16),
    /// Calendar months.
    Months(u16),
}

impl Length {
    fn span(self) -> Span {
        match self {
            Self::Days(days) => i64::from(days).days(),
            Self::Months(months) => i64::from(months).months(),
        }
    }
    /// The first date it is over, counted from a day.
    pub fn after(self, day: Date) -> Date {
        day.saturating_add(self.span())
    }
    /// The date that long before a day.
    pub fn before(self, day: Date) -> Date {
        day.saturating_sub(self.span())
    }
    /// "28 days", "3 months".
    pub fn words(self) -> String {
        match self {
            Self::Days(days) => counted(days, "day"),
            Self::Months(months) => counted(months, "month"),
        }
    }
}

/// One stoppage on record; it is never deleted, because rules count them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoppageRecord {
    /// Who.
    pub athlete: AthleteId,
    /// How.
    pub kind: Stoppage,
    /// The day.
    pub on: Date,
    /// Whose rules bind.
    pub body: String,
    /// Who entered it.
    pub by: Signed,
    /// Out at least until this date by the rules known then.
    pub earliest: Date,
    /// Whether that is all the body's rules ask for. Where it is not known, `earliest` is a bound
    /// and no date to name: the body is to be asked.
    pub date_known: bool,
    /// The rule, in words, as it was then.
    pub rule: String,
}

impl StoppageRecord {
    /// "not before 10 October 2026", or whom to ask.
    pub fn end_in_words(&self) -> String {
        if self.date_known {
            return format!("not before {}", words::day_and_year(self.earliest));
        }
        let days = (self.earliest - self.on).get_days();
        let least = (days > 0).then(|| format!(", at least {}", counted_days(days)));
        format!("ask {} how long{}", self.body, least.unwrap_or_default())
    }
}

fn counted_days(days: i32) -> String {
    u32::try_from(days).map_or_else(|_| days.to_string(), |days| counted(days, "day"))
}
