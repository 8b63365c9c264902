//! How long an athlete is out after a stoppage, by whose rules, and never shorter.
//!
//! Rules are dated data, because bodies change them. Of a body's rules the longest that fits the
//! athlete's whole history counts. What it gives is the earliest date by that rule, never leave
//! to return; and where not all of a body's rules are known it gives no date but a bound.

use crate::camp::stand_down::{Length, Stoppage};
use jiff::civil::Date;
use std::collections::BTreeMap;
use thiserror::Error;

/// From which day on a body counts the time in which another stoppage is a repeat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CountedFrom {
    /// The day of the earlier stoppage.
    Stoppage,
    /// The last day of the suspension that followed it.
    EndOfSuspension,
}

/// What makes a stoppage a repeat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Repeat {
    /// That many endings of the head, this one among them.
    pub times: u16,
    /// Within that time of each earlier one.
    pub within: Length,
    /// Counted from when.
    pub from: CountedFrom,
    /// Earlier ones count only if they were followed by a suspension of so many days or more.
    pub after_days_out: Option<u16>,
}

/// One rule of one body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandDownRule {
    /// Whose rule.
    pub body: String,
    /// Which endings it is about.
    pub after: Vec<Stoppage>,
    /// The repeats that make it apply; most rules need none.
    pub repeated: Option<Repeat>,
    /// How long.
    pub out: Length,
    /// Whether a doctor must clear as well.
    pub needs_clearance: bool,
    /// Version or date of the text, as far as known.
    pub version: String,
    /// Where it was read, and when.
    pub source: String,
    /// Whether the number was read in the rule itself.
    pub confirmed: bool,
}

/// What is known of a body beside its single rules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BodyFacts {
    /// Whose.
    pub body: String,
    /// Why its rules are known not to be complete here; `None` where they are.
    pub incomplete: Option<String>,
    /// The way back as the body has it, in order, each step a sentence.
    pub way_back: Vec<String>,
    /// Where the way back was read.
    pub source: String,
}

/// An earlier stoppage, as rules count it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// The day.
    pub on: Date,
    /// How it ended.
    pub kind: Stoppage,
    /// Out until this date, as far as it is on record.
    pub until: Date,
}

/// What a body's rules say of one stoppage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandDown {
    /// Out at least until this date; the day itself where no rule is known.
    pub earliest: Date,
    /// The rule behind it.
    pub rule: Option<StandDownRule>,
    /// Why `earliest` is a bound and not the body's date; `None` where it is the date.
    pub open: Option<String>,
}

impl StandDown {
    /// "28 days by the rule of amateur"; where no date is known, whom to ask and why.
    pub fn words(&self, body: &str) -> String {
        let out = self.rule.as_ref().map(|rule| rule.out.words());
        match (&self.open, out) {
            (None, Some(out)) => format!("{out} by the rule of {body}"),
            (Some(why), Some(out)) => format!("ask {body}: at least {out} ({why})"),
            (open, None) => format!("ask {body} ({})", open.as_deref().unwrap_or("no rule known")),
        }
    }
}

/// A body whose rules are not on file.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error(
    "The rule file has no rules of \"{body}\". Add them with their source, or choose the body whose rules bind."
)]
pub struct UnknownBody {
    /// Whose rules were asked for.
    pub body: String,
}

/// The rules of every body.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StandDownRules {
    /// The rules, in the order of the file.
    pub rules: Vec<StandDownRule>,
    /// What else is known of bodies.
    pub bodies: Vec<BodyFacts>,
}

impl StandDownRules {
    /// What is known of a body beside its rules.
    pub fn facts(&self, body: &str) -> Option<&BodyFacts> {
        self.bodies.iter().find(|one| one.body == body)
    }

    /// The longest of a body's rules that fits, given what happened before. A stoppage no known
    /// rule is about keeps an athlete out all the same, without a date.
    ///
    /// `earlier` are the athlete's earlier stoppages, whichever body's: a repeat is a repeat.
    ///
    /// # Errors
    /// [`UnknownBody`].
    pub fn stand_down(
        &self,
        body: &str,
        kind: Stoppage,
        on: Date,
        earlier: &[Earlier],
    ) -> Result<StandDown, UnknownBody> {
        let rules: Vec<&StandDownRule> = self.rules.iter().filter(|one| one.body == body).collect();
        if rules.is_empty() {
            return Err(UnknownBody { body: body.to_owned() });
        }
        let history = as_counted(&rules, earlier, on);
        let rule = longest(&rules, kind, on, &history);
        Ok(StandDown {
            earliest: rule.map_or(on, |rule| rule.out.after(on)),
            rule: rule.cloned(),
            open: self.open(&rules, rule.is_some(), body),
        })
    }

    /// Why no date can be named.
    fn open(&self, rules: &[&StandDownRule], fits: bool, body: &str) -> Option<String> {
        let incomplete = self.facts(body).and_then(|facts| facts.incomplete.clone());
        let unread = rules.iter().any(|rule| !rule.confirmed);
        let unread = unread.then(|| "not all of its rules were read in its own text".to_owned());
        let none = (!fits).then(|| "no rule for this ending is on file".to_owned());
        incomplete.or(unread).or(none)
    }
}

fn longest<'a>(
    rules: &[&'a StandDownRule],
    kind: Stoppage,
    on: Date,
    history: &[Earlier],
) -> Option<&'a StandDownRule> {
    let fits = |rule: &&&StandDownRule| {
        rule.after.contains(&kind) && rule.repeated.is_none_or(|one| fits(one, kind, on, history))
    };
    rules.iter().filter(fits).max_by_key(|rule| rule.out.after(on)).copied()
}

/// The earlier endings of the head, each day once and in order, each with the suspension that
/// followed it: by these rules or as it was recorded, whichever is longer.
fn as_counted(rules: &[&StandDownRule], earlier: &[Earlier], before: Date) -> Vec<Earlier> {
    let mut days: BTreeMap<Date, Vec<Earlier>> = BTreeMap::new();
    for one in earlier.iter().filter(|one| one.kind.is_of_the_head() && one.on < before) {
        // Nobody is stopped twice a day: a second entry of a day says the first more exactly.
        days.entry(one.on).or_default().push(*one);
    }
    let mut history: Vec<Earlier> = Vec::new();
    for (on, entries) in days {
        let out = |one: &Earlier| {
            let by_rule = longest(rules, one.kind, on, &history);
            Earlier { until: one.until.max(by_rule.map_or(on, |rule| rule.out.after(on))), ..*one }
        };
        history.extend(entries.iter().map(out).max_by_key(|one| one.until));
    }
    history
}

fn fits(repeat: Repeat, kind: Stoppage, on: Date, history: &[Earlier]) -> bool {
    let counts = |one: &&Earlier| {
        let from = match repeat.from {
            CountedFrom::Stoppage => one.on,
            CountedFrom::EndOfSuspension => one.until,
        };
        let days_out = (one.until - one.on).get_days();
        repeat.within.after(from) >= on
            && repeat.after_days_out.is_none_or(|least| days_out >= i32::from(least))
    };
    let before = history.iter().filter(counts).count();
    kind.is_of_the_head() && before + 1 >= usize::from(repeat.times)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn rule(out: Length, repeated: Option<Repeat>) -> StandDownRule {
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

    fn repeat(times: u16, within: Length) -> Option<Repeat> {
        let from = CountedFrom::Stoppage;
        Some(Repeat { times, within, from, after_days_out: None })
    }

    fn rules() -> StandDownRules {
        let rules = vec![
            rule(Length::Days(28), None),
            rule(Length::Months(3), repeat(2, Length::Months(3))),
            rule(Length::Months(12), repeat(3, Length::Months(12))),
        ];
        StandDownRules { rules, bodies: vec![] }
    }

    fn earliest(kind: Stoppage, on: Date, earlier: &[(Date, Stoppage)]) -> Date {
        let earlier: Vec<Earlier> =
            earlier.iter().map(|&(on, kind)| Earlier { on, kind, until: on }).collect();
        rules().stand_down("amateur", kind, on, &earlier).unwrap().earliest
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
        let on = date(2026, 9, 12);
        let error = rules().stand_down("another body", HEAD, on, &[]).unwrap_err();
        assert!(error.to_string().contains("choose the body whose rules bind"));
        let other = rules().stand_down("amateur", Stoppage::Stopped, on, &[]).unwrap();
        assert_eq!((other.earliest, other.rule.as_ref()), (on, None));
        assert_eq!(other.words("amateur"), "ask amateur (no rule for this ending is on file)");
    }

    #[test]
    fn rules_that_are_not_all_known_give_a_bound_and_no_date() {
        let on = date(2026, 9, 12);
        let cut_off = BodyFacts {
            body: "amateur".into(),
            incomplete: Some("cut off after the second".into()),
            way_back: vec![],
            source: String::new(),
        };
        let partly = StandDownRules { bodies: vec![cut_off], ..rules() };
        let bound = partly.stand_down("amateur", HEAD, on, &[]).unwrap();
        assert_eq!(bound.earliest, date(2026, 10, 10));
        let words = "ask amateur: at least 28 days (cut off after the second)";
        assert_eq!(bound.words("amateur"), words);
        let mut from_memory = rules();
        from_memory.rules[2].confirmed = false;
        assert!(from_memory.stand_down("amateur", HEAD, on, &[]).unwrap().open.is_some());
        let known = rules().stand_down("amateur", HEAD, on, &[]).unwrap();
        assert_eq!(
            (known.open.as_ref(), known.words("amateur").as_str()),
            (None, "28 days by the rule of amateur")
        );
    }
}
