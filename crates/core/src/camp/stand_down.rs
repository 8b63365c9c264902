//! The stand-down after a stoppage: how long by which body's rule, and never shorter.
//!
//! Rules are dated data, because bodies change them. Of a body's rules the longest that fits the
//! athlete's whole history counts. What it gives is the earliest date by that rule, never leave
//! to return.

use crate::camp::permission::Signed;
use crate::session::athlete::AthleteId;
use crate::words::counted;
use jiff::civil::Date;
use jiff::{Span, ToSpan};
use std::collections::BTreeSet;
use thiserror::Error;

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
    fn before(self, day: Date) -> Date {
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

/// One rule of one body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandDownRule {
    /// Whose rule.
    pub body: String,
    /// Which endings it is about.
    pub after: Vec<Stoppage>,
    /// That many endings of the head within that time make it apply; one within any for most.
    pub repeated: Option<(u16, Length)>,
    /// How long.
    pub out: Length,
    /// Whether a doctor must clear as well.
    pub needs_clearance: bool,
    /// Version or date of the text, as far as known.
    pub version: String,
    /// Where it was read, and when.
    pub source: String,
    /// Whether the number was read in the rule itself; what was not is marked wherever it stands.
    pub confirmed: bool,
}

impl StandDownRule {
    /// "28 days (amateur, international rule as in a Scottish book)", marked when unconfirmed.
    pub fn words(&self) -> String {
        let mark = if self.confirmed { "" } else { ", to be confirmed in the current book" };
        format!("{} by the rule of {}{mark}", self.out.words(), self.body)
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
    /// The earliest date by the rule, as computed then.
    pub earliest: Date,
    /// The rule, in words, as it was then.
    pub rule: String,
}

/// The rule that binds and the earliest date by it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EarliestDate {
    /// The date.
    pub date: Date,
    /// The rule.
    pub rule: StandDownRule,
}

/// Why no date can be given.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum NoRule {
    /// The body has no rule for it.
    #[error("The rule file has no rule of \"{body}\" for \"{kind}\". Add it with its source, or choose the body whose rules bind; until then the athlete stays out.", kind = .kind.words())]
    NoneFits {
        /// Whose rules were asked for.
        body: String,
        /// For what.
        kind: Stoppage,
    },
}

/// The longest of a body's rules that fits, given what happened before.
///
/// `earlier` are the athlete's earlier stoppages, whichever body's: a repeat is a repeat.
///
/// # Errors
/// [`NoRule::NoneFits`].
pub fn earliest_date(
    rules: &[StandDownRule],
    body: &str,
    kind: Stoppage,
    on: Date,
    earlier: &[(Date, Stoppage)],
) -> Result<EarliestDate, NoRule> {
    let fits = |rule: &&StandDownRule| {
        rule.body == body && rule.after.contains(&kind) && repeats_fit(rule, on, kind, earlier)
    };
    rules
        .iter()
        .filter(fits)
        .max_by_key(|rule| rule.out.after(on))
        .map(|rule| EarliestDate { date: rule.out.after(on), rule: rule.clone() })
        .ok_or_else(|| NoRule::NoneFits { body: body.to_owned(), kind })
}

fn repeats_fit(
    rule: &StandDownRule,
    on: Date,
    kind: Stoppage,
    earlier: &[(Date, Stoppage)],
) -> bool {
    let Some((count, within)) = rule.repeated else { return true };
    let since = within.before(on);
    // Nobody is stopped twice a day: a second entry of a day says the first more exactly.
    let before: BTreeSet<Date> = earlier
        .iter()
        .filter(|(day, what)| what.is_of_the_head() && *day >= since && *day < on)
        .map(|(day, _)| *day)
        .collect();
    kind.is_of_the_head() && before.len() + 1 >= usize::from(count)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn rule(out: Length, repeated: Option<(u16, Length)>) -> StandDownRule {
        StandDownRule {
            body: "amateur".into(),
            after: vec![Stoppage::StoppedHeadBlows, Stoppage::KnockedOut],
            repeated,
            out,
            needs_clearance: true,
            version: String::new(),
            source: "Amateur Boxing Scotland, technical rules, rule 2.3.6".into(),
            confirmed: true,
        }
    }

    fn rules() -> Vec<StandDownRule> {
        vec![
            rule(Length::Days(28), None),
            rule(Length::Months(3), Some((2, Length::Months(3)))),
            rule(Length::Months(12), Some((3, Length::Months(12)))),
        ]
    }

    fn earliest(kind: Stoppage, on: Date, earlier: &[(Date, Stoppage)]) -> Date {
        earliest_date(&rules(), "amateur", kind, on, earlier).unwrap().date
    }

    const HEAD: Stoppage = Stoppage::StoppedHeadBlows;

    // Four weeks from 12 September 2026 is 10 October: 18 days to the 30th and 10 more.
    #[test]
    fn four_weeks_from_the_twelfth_of_september() {
        assert_eq!(earliest(HEAD, date(2026, 9, 12), &[]), date(2026, 10, 10));
    }

    #[test]
    fn the_longest_rule_that_fits_the_history_counts() {
        let on = date(2026, 9, 12);
        let july = (date(2026, 7, 20), HEAD);
        assert_eq!(earliest(HEAD, on, &[july]), date(2026, 12, 12));
        let january = (date(2026, 1, 5), Stoppage::KnockedOut);
        assert_eq!(earliest(HEAD, on, &[january, july]), date(2027, 9, 12));
        // Over three months before, and one that was no blow to the head: neither counts.
        let old = (date(2026, 6, 11), HEAD);
        let other = (date(2026, 8, 20), Stoppage::Stopped);
        assert_eq!(earliest(HEAD, on, &[old, other]), date(2026, 10, 10));
    }

    #[test]
    fn a_stoppage_said_more_exactly_is_not_a_second_one() {
        let on = date(2026, 9, 12);
        assert_eq!(earliest(Stoppage::KnockedOut, on, &[(on, HEAD)]), date(2026, 10, 10));
        let july = date(2026, 7, 20);
        let said_twice = [(july, HEAD), (july, Stoppage::KnockedOut)];
        assert_eq!(
            earliest(HEAD, on, &said_twice),
            date(2026, 12, 12),
            "the second, not the third"
        );
    }

    #[test]
    fn months_are_calendar_months_and_leap_days_count() {
        let twice = [(date(2027, 10, 30), HEAD)];
        assert_eq!(earliest(HEAD, date(2027, 11, 30), &twice), date(2028, 2, 29));
        assert_eq!(earliest(HEAD, date(2028, 2, 20), &[]), date(2028, 3, 19));
    }

    #[test]
    fn without_a_rule_nobody_is_let_through() {
        let error =
            earliest_date(&rules(), "another body", HEAD, date(2026, 9, 12), &[]).unwrap_err();
        assert!(error.to_string().contains("until then the athlete stays out"));
        assert!(
            earliest_date(&rules(), "amateur", Stoppage::Stopped, date(2026, 9, 12), &[]).is_err()
        );
    }
}
