//! The phases of a camp, counted back from the bout.
//!
//! A taper begins on the one Monday that lies 8 to 14 days before the first bell: the length a
//! taper needs (Bosquet 2007, Med Sci Sports Exerc 39:1358). Whole weeks, Monday to Sunday, before
//! it are shared out by rules anyone can read and change; no day lies between two phases.

use crate::words::{capitalised, counted};
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use std::fmt;

/// What a stretch of a camp is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PhaseKind {
    /// Work capacity, technique of the lifts, nothing maximal.
    General,
    /// Heavy loads.
    Strength,
    /// Heavy and moderate loads moved fast.
    StrengthSpeed,
    /// Loads at peak momentum, throws, depth jumps.
    Power,
    /// Intensity kept, sets cut.
    Taper,
    /// After the bout: easy days, then the debrief.
    Recovery,
}

impl PhaseKind {
    /// All, in the order they are passed.
    pub const ALL: [Self; 6] = [
        Self::General,
        Self::Strength,
        Self::StrengthSpeed,
        Self::Power,
        Self::Taper,
        Self::Recovery,
    ];
    /// As said.
    pub const fn word(self) -> &'static str {
        match self {
            Self::General => "general",
            Self::Strength => "strength",
            Self::StrengthSpeed => "strength-speed",
            Self::Power => "power",
            Self::Taper => "taper",
            Self::Recovery => "recovery",
        }
    }
    /// The phase of this word.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

impl fmt::Display for PhaseKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A stretch of days, both ends in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Phase {
    /// What it is for.
    pub kind: PhaseKind,
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
}

impl Phase {
    /// How many days it has.
    pub fn days(&self) -> i32 {
        days_between(self.from, self.to) + 1
    }
    /// Which day of it a date is, from 1; `None` outside it.
    pub fn day_of(&self, date: Date) -> Option<i32> {
        (self.from <= date && date <= self.to).then(|| days_between(self.from, date) + 1)
    }
}

/// Whole days from one civil date to another; clock changes and leap days do not disturb it.
pub fn days_between(from: Date, to: Date) -> i32 {
    (to - from).get_days()
}

/// How many weeks a phase takes, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct PhaseRule {
    /// Which phase.
    pub kind: PhaseKind,
    /// Fewer weeks than this are not worth beginning.
    pub at_least_weeks: i32,
    /// What it gets when there is time.
    pub usual_weeks: i32,
    /// Why, with its source.
    pub because: String,
}

/// How weeks are shared out.
#[derive(Clone, Debug, PartialEq)]
pub struct PhaseRules {
    /// Phases before the taper, the dearest first: it is given its weeks before the others.
    pub before_taper: Vec<PhaseRule>,
    /// Days of recovery after the last bout.
    pub recovery_days: i32,
}

impl Default for PhaseRules {
    /// Common practice, no source: round numbers a coach may change.
    fn default() -> Self {
        let rule = |kind, at_least_weeks, usual_weeks, because: &str| PhaseRule {
            kind,
            at_least_weeks,
            usual_weeks,
            because: format!("{because} (common practice, no source)"),
        };
        Self {
            before_taper: vec![
                rule(
                    PhaseKind::Power,
                    1,
                    3,
                    "power comes last, nearest the bout, and is never cut",
                ),
                rule(PhaseKind::Strength, 3, 5, "less than three weeks of heavy work doesn't last"),
                rule(
                    PhaseKind::StrengthSpeed,
                    1,
                    2,
                    "it is a bridge, for when there is time for one",
                ),
                rule(PhaseKind::General, 1, 52, "whatever is left, furthest from the bout"),
            ],
            recovery_days: 7,
        }
    }
}

/// Why a stretch of strength is too short to build any.
const KEEPS: &str = "a week keeps what is built (common practice, no source)";

impl PhaseRules {
    /// Why a phase is there, at the length it has; empty for one these rules do not share out.
    pub fn because(&self, phase: &Phase) -> &str {
        let rule = self.before_taper.iter().find(|rule| rule.kind == phase.kind);
        match rule {
            // Mid-camp a bout moves and weeks come free: those few build nothing new.
            Some(rule)
                if phase.kind == PhaseKind::Strength
                    && (phase.days() + 1) / 7 < rule.at_least_weeks =>
            {
                KEEPS
            }
            Some(rule) => &rule.because,
            None => "",
        }
    }

    /// The same for a camp under way: what is built is kept by a single week, what was passed
    /// already is not asked for again, and weeks to spare go to strength. Power is repeated in
    /// full (common practice, no source).
    fn for_a_camp_under_way(&self, begun: &[Phase]) -> Self {
        let weeks_done = |kind| -> i32 {
            let of_kind = begun.iter().filter(|phase| phase.kind == kind);
            of_kind.map(|phase| (phase.days() + 1) / 7).sum()
        };
        let under_way = |rule: &PhaseRule| match rule.kind {
            PhaseKind::Strength => PhaseRule {
                at_least_weeks: 1,
                usual_weeks: (rule.usual_weeks - weeks_done(rule.kind)).max(1),
                because: KEEPS.to_owned(),
                ..*rule
            },
            PhaseKind::StrengthSpeed => PhaseRule {
                usual_weeks: (rule.usual_weeks - weeks_done(rule.kind)).max(0),
                ..rule.clone()
            },
            // Weeks to spare: nobody goes back to general work in the middle of a camp.
            PhaseKind::General => PhaseRule { kind: PhaseKind::Strength, ..rule.clone() },
            _ => rule.clone(),
        };
        Self { before_taper: self.before_taper.iter().map(under_way).collect(), ..*self }
    }
}

/// The phases of a camp, and what there was no time for.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Earliest first.
    pub phases: Vec<Phase>,
    /// One sentence for each phase that found no room.
    pub lost: Vec<String>,
}

/// Phases from a first day of training to the bout, and recovery after its last day.
///
/// Weeks begin on Monday; days before the first Monday join the first phase, or are general work
/// where that phase is as long as it may be. With fewer days than
/// a taper needs, all of them are taper.
pub fn plan_back(begins: Date, first_bell: Date, last_day: Date, rules: &PhaseRules) -> Outline {
    let (phases, without_room) = lay_out(begins, first_bell, last_day, rules);
    Outline { phases, lost: without_room.into_iter().filter_map(loss).collect() }
}

/// The phases, and the rules of those that found no room.
fn lay_out(
    begins: Date,
    first_bell: Date,
    last_day: Date,
    rules: &PhaseRules,
) -> (Vec<Phase>, Vec<&PhaseRule>) {
    let taper_from = taper_monday(first_bell);
    let first_monday = monday_from(begins);
    let weeks = days_between(first_monday, taper_from).max(0) / 7;
    let given = share_out(weeks, rules);
    let mut phases = Vec::new();
    let mut without_room = Vec::new();
    let mut monday = first_monday;
    for kind in PhaseKind::ALL {
        let Some(place) = rules.before_taper.iter().position(|rule| rule.kind == kind) else {
            continue;
        };
        let rule = &rules.before_taper[place];
        let of_kind = rules.before_taper.iter().zip(&given).filter(|(one, _)| one.kind == kind);
        let weeks: i32 = of_kind.map(|(_, weeks)| weeks).sum();
        if weeks == 0 {
            without_room.push(rule);
            continue;
        }
        let next = monday.saturating_add((7 * weeks).days());
        phases.push(Phase { kind, from: monday, to: next.saturating_sub(1.days()) });
        monday = next;
    }
    begin_in_mid_week(&mut phases, begins, rules);
    let eve = first_bell.saturating_sub(1.days());
    let from =
        if phases.is_empty() { taper_from.min(eve).max(begins.min(eve)) } else { taper_from };
    phases.push(Phase { kind: PhaseKind::Taper, from, to: eve });
    if rules.recovery_days > 0 {
        phases.push(Phase {
            kind: PhaseKind::Recovery,
            from: last_day.saturating_add(1.days()),
            to: last_day.saturating_add(rules.recovery_days.days()),
        });
    }
    (phases, without_room)
}

/// The days before the first Monday join the first phase; where that has all the weeks it may
/// take, they are general work.
fn begin_in_mid_week(phases: &mut Vec<Phase>, begins: Date, rules: &PhaseRules) {
    let Some(first) = phases.first_mut().filter(|first| begins < first.from) else { return };
    let eve = first.from.saturating_sub(1.days());
    let rule_of = |kind| rules.before_taper.iter().find(|rule| rule.kind == kind);
    let most_days = rule_of(first.kind).map_or(i32::MAX, |rule| 7 * rule.usual_weeks);
    if days_between(begins, first.to) < most_days || rule_of(PhaseKind::General).is_none() {
        first.from = begins;
    } else {
        phases.insert(0, Phase { kind: PhaseKind::General, from: begins, to: eve });
    }
}

/// The phases after a bout was moved while the camp is under way: what is past stays as it was,
/// the week in hand is finished, and what follows is planned anew.
pub fn plan_anew(
    before: &[Phase],
    today: Date,
    first_bell: Date,
    last_day: Date,
    rules: &PhaseRules,
) -> Outline {
    let next_monday = monday_from(today.saturating_add(1.days()));
    let kept_to = next_monday.saturating_sub(1.days());
    let begun: Vec<Phase> = before
        .iter()
        .filter(|phase| phase.from <= today && phase.kind != PhaseKind::Recovery)
        .map(|phase| Phase { to: phase.to.min(kept_to), ..*phase })
        .filter(|phase| phase.from <= phase.to)
        .collect();
    if begun.is_empty() {
        let begins = before.first().map_or(next_monday, |phase| phase.from.max(today));
        return plan_back(begins, first_bell, last_day, rules);
    }
    let rules = rules.for_a_camp_under_way(&begun);
    let (ahead, without_room) = lay_out(next_monday, first_bell, last_day, &rules);
    let mut phases = begun;
    for phase in ahead.into_iter().filter(|phase| phase.from <= phase.to) {
        match phases.last_mut() {
            Some(last) if last.kind == phase.kind => last.to = phase.to,
            _ => phases.push(phase),
        }
    }
    // A taper that must begin within the week in hand cuts that week short.
    for place in 1..phases.len() {
        let from = phases[place].from;
        let last = &mut phases[place - 1];
        last.to = last.to.min(from.saturating_sub(1.days()));
    }
    phases.retain(|phase| phase.from <= phase.to);
    // What was trained before the move is not lost by it.
    let done = |kind| phases.iter().any(|phase| phase.kind == kind);
    let lost = without_room.into_iter().filter(|rule| !done(rule.kind)).filter_map(loss).collect();
    Outline { phases, lost }
}

/// Weeks for each rule: first the least of each in order of dearness, then the usual.
fn share_out(weeks: i32, rules: &PhaseRules) -> Vec<i32> {
    let mut left = weeks;
    let mut given = vec![0; rules.before_taper.len()];
    let dearest = 2.min(given.len());
    // The least of the two dearest, then the usual of all: a bridge is no use to a camp that has
    // not yet its strength.
    for (given, rule) in given.iter_mut().zip(&rules.before_taper).take(dearest) {
        if rule.at_least_weeks <= left {
            *given = rule.at_least_weeks;
            left -= *given;
        }
    }
    for (given, rule) in given.iter_mut().zip(&rules.before_taper) {
        let more = (rule.usual_weeks - *given).clamp(0, left);
        if *given + more >= rule.at_least_weeks {
            *given += more;
            left -= more;
        }
    }
    given
}

fn loss(rule: &PhaseRule) -> Option<String> {
    // Nobody misses a general phase that was only ever for spare time.
    (rule.kind != PhaseKind::General).then(|| {
        format!(
            "{} finds no room: it needs {}, because {}.",
            capitalised(rule.kind.word()),
            counted(rule.at_least_weeks, "week"),
            rule.because
        )
    })
}

/// The one Monday that lies 8 to 14 days before a date.
fn taper_monday(first_bell: Date) -> Date {
    let since_monday = match first_bell.weekday().since(Weekday::Monday) {
        0 => 7,
        days => i32::from(days),
    };
    first_bell.saturating_sub((since_monday + 7).days())
}

/// The date itself when it is a Monday, else the next.
fn monday_from(date: Date) -> Date {
    date.saturating_add(i32::from(Weekday::Monday.since(date.weekday())).days())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use proptest::prelude::*;

    fn phase(kind: PhaseKind, from: Date, to: Date) -> Phase {
        Phase { kind, from, to }
    }

    fn planned(begins: Date, bell: Date) -> Outline {
        plan_back(begins, bell, bell, &PhaseRules { recovery_days: 0, ..PhaseRules::default() })
    }

    #[test]
    fn a_week_of_strength_is_not_explained_by_the_three_it_takes_to_build() {
        let rules = PhaseRules::default();
        let from = date(2026, 11, 30);
        let week = rules.because(&phase(PhaseKind::Strength, from, date(2026, 12, 6)));
        assert!(week.starts_with("a week keeps what is built"), "{week}");
        let three = rules.because(&phase(PhaseKind::Strength, from, date(2026, 12, 20)));
        assert!(three.starts_with("less than three weeks of heavy work"), "{three}");
        assert_eq!(rules.because(&phase(PhaseKind::Taper, from, date(2026, 12, 11))), "");
    }

    #[test]
    fn two_camps_counted_back_by_hand() {
        // Laid out on a calendar by hand: Saturday 17 October 2026 from Monday 10 August.
        assert_eq!(
            planned(date(2026, 8, 10), date(2026, 10, 17)).phases,
            [
                phase(PhaseKind::Strength, date(2026, 8, 10), date(2026, 9, 13)),
                phase(PhaseKind::Power, date(2026, 9, 14), date(2026, 10, 4)),
                phase(PhaseKind::Taper, date(2026, 10, 5), date(2026, 10, 16)),
            ]
        );
        // Saturday 21 November from Monday 31 August.
        assert_eq!(
            planned(date(2026, 8, 31), date(2026, 11, 21)).phases,
            [
                phase(PhaseKind::Strength, date(2026, 8, 31), date(2026, 10, 4)),
                phase(PhaseKind::StrengthSpeed, date(2026, 10, 5), date(2026, 10, 18)),
                phase(PhaseKind::Power, date(2026, 10, 19), date(2026, 11, 8)),
                phase(PhaseKind::Taper, date(2026, 11, 9), date(2026, 11, 20)),
            ]
        );
    }

    #[test]
    fn day_ten_of_twenty_one() {
        let power = phase(PhaseKind::Power, date(2026, 9, 14), date(2026, 10, 4));
        assert_eq!((power.day_of(date(2026, 9, 23)), power.days()), (Some(10), 21));
        assert_eq!(power.day_of(date(2026, 10, 5)), None);
    }

    #[test]
    fn three_weeks_notice_keeps_power_and_taper_and_says_what_is_lost() {
        let short = planned(date(2026, 10, 31), date(2026, 11, 21));
        let kinds: Vec<PhaseKind> = short.phases.iter().map(|phase| phase.kind).collect();
        assert_eq!(kinds, [PhaseKind::Power, PhaseKind::Taper]);
        assert_eq!(short.phases[0].from, date(2026, 10, 31), "from the day of the offer");
        assert_eq!(
            short.lost,
            [
                "Strength finds no room: it needs 3 weeks, because less than three weeks of heavy \
                 work doesn't last (common practice, no source).",
                "Strength-speed finds no room: it needs 1 week, because it is a bridge, for when \
                 there is time for one (common practice, no source).",
            ]
        );
    }

    #[test]
    fn a_camp_keeps_to_its_own_limits_and_no_day_is_left_out() {
        // Tuesday 1 December to Saturday 9 January, on a calendar by hand: the taper begins on
        // Monday 28 December, three whole weeks lie before it, and six days before those.
        let camp = planned(date(2026, 12, 1), date(2027, 1, 9));
        assert_eq!(
            camp.phases,
            [
                phase(PhaseKind::General, date(2026, 12, 1), date(2026, 12, 6)),
                phase(PhaseKind::Power, date(2026, 12, 7), date(2026, 12, 27)),
                phase(PhaseKind::Taper, date(2026, 12, 28), date(2027, 1, 8)),
            ]
        );
        assert!(camp.lost.iter().any(|said| said.starts_with("Strength-speed finds no room")));
    }

    #[test]
    fn a_later_bout_keeps_what_is_done_and_repeats_power() {
        let before = planned(date(2026, 8, 31), date(2026, 11, 21)).phases;
        let later = date(2026, 12, 5);
        let rules = PhaseRules { recovery_days: 0, ..PhaseRules::default() };
        let after = plan_anew(&before, date(2026, 10, 24), later, later, &rules);
        assert_eq!(after.phases[..2], before[..2], "what is done stays");
        assert_eq!(
            after.phases[2..],
            [
                phase(PhaseKind::Power, date(2026, 10, 19), date(2026, 10, 25)),
                phase(PhaseKind::Strength, date(2026, 10, 26), date(2026, 11, 1)),
                phase(PhaseKind::Power, date(2026, 11, 2), date(2026, 11, 22)),
                phase(PhaseKind::Taper, date(2026, 11, 23), date(2026, 12, 4)),
            ]
        );
    }

    #[test]
    fn an_earlier_bout_drops_what_is_unfinished_and_keeps_the_taper() {
        let before = planned(date(2026, 8, 31), date(2026, 11, 21)).phases;
        let rules = PhaseRules { recovery_days: 0, ..PhaseRules::default() };
        let bell = date(2026, 10, 31);
        let after = plan_anew(&before, date(2026, 10, 7), bell, bell, &rules);
        let kinds: Vec<PhaseKind> = after.phases.iter().map(|phase| phase.kind).collect();
        assert_eq!(
            kinds,
            [PhaseKind::Strength, PhaseKind::StrengthSpeed, PhaseKind::Power, PhaseKind::Taper]
        );
        assert_eq!(after.phases[3].from, date(2026, 10, 19));
    }

    proptest! {
        #[test]
        fn phases_follow_one_another_and_the_taper_is_eight_to_fourteen_days(
            start in 0i32..800, length in 1i32..200
        ) {
            let begins = date(2026, 1, 1).saturating_add(start.days());
            let bell = begins.saturating_add(length.days());
            let outline = plan_back(begins, bell, bell, &PhaseRules::default());
            for pair in outline.phases.windows(2) {
                prop_assert!(pair[0].from <= pair[0].to, "{pair:?}");
                prop_assert!(pair[0].to < pair[1].from, "{pair:?}");
                // Between the taper and recovery lies the bout.
                let gap = if pair[1].kind == PhaseKind::Recovery { 2 } else { 1 };
                prop_assert_eq!(days_between(pair[0].to, pair[1].from), gap, "{:?}", pair);
            }
            let taper = outline.phases.iter().find(|phase| phase.kind == PhaseKind::Taper).unwrap();
            prop_assert_eq!(days_between(taper.to, bell), 1);
            if length >= 21 {
                prop_assert!((8..=14).contains(&taper.days()), "{taper:?}");
            }
            prop_assert!(outline.phases[0].from >= begins);
            for rule in PhaseRules::default().before_taper {
                let days = outline.phases.iter().filter(|one| one.kind == rule.kind).map(Phase::days);
                prop_assert!(days.sum::<i32>() <= 7 * rule.usual_weeks, "{:?} {:?}", rule.kind, outline);
            }
        }

        #[test]
        fn a_move_never_touches_what_is_past(
            length in 20i32..150, done in 1i32..140, shift in -60i32..60
        ) {
            let begins = date(2026, 3, 2);
            let bell = begins.saturating_add(length.days());
            let today = begins.saturating_add(done.min(length - 1).days());
            let moved = bell.saturating_add(shift.days()).max(today.saturating_add(1.days()));
            let rules = PhaseRules::default();
            let before = plan_back(begins, bell, bell, &rules).phases;
            let after = plan_anew(&before, today, moved, moved, &rules).phases;
            for date in (0..days_between(begins, today)).map(|day| begins.saturating_add(day.days())) {
                let kind_at = |phases: &[Phase]| phases.iter().find(|phase| phase.day_of(date).is_some()).map(|phase| phase.kind);
                prop_assert_eq!(kind_at(&before), kind_at(&after), "{}", date);
            }
            for pair in after.windows(2) {
                prop_assert!(pair[0].to < pair[1].from, "{pair:?}");
            }
        }
    }
}
