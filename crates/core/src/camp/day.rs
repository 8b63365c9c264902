//! What a day of a camp means: how far it is, which phase, what is due and what should no longer
//! be done.

use super::camps::{CampPlan, Mark};
use super::phase::{Phase, PhaseKind, days_between};
use jiff::ToSpan;
use jiff::civil::Date;

/// A day of a camp.
#[derive(Clone, Debug, PartialEq)]
pub struct CampDay {
    /// Days to the first bell; negative when it is past.
    pub days_to_bout: i32,
    /// The phase, with which day of how many.
    pub phase: Option<(PhaseKind, i32, i32)>,
    /// What is marked on it.
    pub marks: Vec<Mark>,
    /// Days to the next open sparring, where one is marked within a week.
    pub days_to_sparring: Option<i32>,
}

impl CampDay {
    /// "24 days to the bout, power day 10 of 20".
    pub fn sentence(&self) -> String {
        let bout = match self.days_to_bout {
            0 => "the bout is today".to_owned(),
            1 => "1 day to the bout".to_owned(),
            days if days < 0 => format!("{} days after the bout", -days),
            days => format!("{days} days to the bout"),
        };
        match self.phase {
            Some((kind, day, of)) => format!("{bout}, {kind} day {day} of {of}"),
            None => bout,
        }
    }
}

/// The day in a camp that leads to a bout on `first_bell`.
pub fn day_of(plan: &CampPlan, first_bell: Date, date: Date) -> CampDay {
    let phase = plan.phase_on(date);
    let named = |phase: &Phase| Some((phase.kind, phase.day_of(date)?, phase.days()));
    CampDay {
        days_to_bout: days_between(date, first_bell),
        phase: phase.and_then(named),
        marks: plan.marks.iter().filter(|(day, _)| *day == date).map(|(_, mark)| *mark).collect(),
        days_to_sparring: (0..=7).find(|days| plan.spars_on(date.saturating_add(days.days()))),
    }
}

/// Kinds of work that have a last day before a bout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    /// Depth and drop jumps.
    DepthJump,
    /// Heavy work of the legs.
    HeavyLegs,
    /// Maximal efforts against what does not move.
    MaximalIsometric,
    /// A test to the maximum.
    MaximalTest,
}

impl Work {
    /// As said.
    pub const fn words(self) -> &'static str {
        match self {
            Self::DepthJump => "depth jumps",
            Self::HeavyLegs => "heavy leg work",
            Self::MaximalIsometric => "maximal isometric work",
            Self::MaximalTest => "a test to the maximum",
        }
    }
}

/// How many days before a bout, and before open sparring, work must be over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LastDays {
    /// Depth jumps.
    pub depth_jump: i32,
    /// Heavy legs.
    pub heavy_legs: i32,
    /// Maximal isometric work.
    pub maximal_isometric: i32,
    /// Tests to the maximum.
    pub maximal_test: i32,
    /// Days between depth jumps and open sparring.
    pub depth_jump_before_sparring: i32,
}

impl Default for LastDays {
    /// Common practice, no source: the shorter end of what is usual (depth jumps 7 to 10 days,
    /// heavy legs 9 to 12, maximal isometric work 3 to 5 days out, 48 hours before sparring).
    fn default() -> Self {
        Self {
            depth_jump: 7,
            heavy_legs: 9,
            maximal_isometric: 3,
            maximal_test: 9,
            depth_jump_before_sparring: 2,
        }
    }
}

/// Why work should not be done on a day; a coach may answer for it with a reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TooLate {
    /// Too near the bout.
    #[error("{days} days to the bout: {} end {least} days before it (common practice, no source).", work.words())]
    BeforeBout {
        /// What.
        work: Work,
        /// How far the bout is.
        days: i32,
        /// How far it should be.
        least: i32,
    },
    /// Too near open sparring.
    #[error(
        "Open sparring in {days} days: depth jumps keep {least} days from it (common practice, no source)."
    )]
    BeforeSparring {
        /// How far sparring is.
        days: i32,
        /// How far it should be.
        least: i32,
    },
}

/// What speaks against work on a day.
pub fn too_late(day: &CampDay, work: Work, rules: &LastDays) -> Option<TooLate> {
    let least = match work {
        Work::DepthJump => rules.depth_jump,
        Work::HeavyLegs => rules.heavy_legs,
        Work::MaximalIsometric => rules.maximal_isometric,
        Work::MaximalTest => rules.maximal_test,
    };
    let days = day.days_to_bout;
    if (0..least).contains(&days) {
        return Some(TooLate::BeforeBout { work, days, least });
    }
    let least = rules.depth_jump_before_sparring;
    let near = day.days_to_sparring.filter(|days| work == Work::DepthJump && *days < least);
    near.map(|days| TooLate::BeforeSparring { days, least })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{Weekday, date};

    fn camp() -> CampPlan {
        let phase = |kind, from, to| Phase { kind, from, to };
        CampPlan {
            phases: vec![
                phase(PhaseKind::Power, date(2026, 9, 14), date(2026, 10, 3)),
                phase(PhaseKind::Taper, date(2026, 10, 5), date(2026, 10, 16)),
            ],
            sparring: vec![Weekday::Tuesday, Weekday::Friday],
            marks: [(date(2026, 9, 25), Mark::NoSparring), (date(2026, 9, 23), Mark::Test)].into(),
        }
    }

    #[test]
    fn a_day_says_how_far_it_is() {
        let day = day_of(&camp(), date(2026, 10, 17), date(2026, 9, 23));
        // 7 days of September and 17 of October.
        assert_eq!(day.sentence(), "24 days to the bout, power day 10 of 20");
        assert_eq!(day.marks, [Mark::Test]);
        assert_eq!(day.days_to_sparring, Some(6), "Friday was taken out, so Tuesday the 29th");
        let sunday = day_of(&camp(), date(2026, 10, 17), date(2026, 10, 4));
        assert_eq!(sunday.sentence(), "13 days to the bout");
    }

    #[test]
    fn depth_jumps_keep_away_from_bout_and_sparring() {
        let rules = LastDays::default();
        let on = |day| day_of(&camp(), date(2026, 10, 17), day);
        assert_eq!(too_late(&on(date(2026, 9, 23)), Work::DepthJump, &rules), None);
        assert_eq!(
            too_late(&on(date(2026, 9, 28)), Work::DepthJump, &rules),
            Some(TooLate::BeforeSparring { days: 1, least: 2 })
        );
        let late = too_late(&on(date(2026, 10, 11)), Work::DepthJump, &rules).unwrap();
        assert_eq!(
            late.to_string(),
            "6 days to the bout: depth jumps end 7 days before it (common practice, no source)."
        );
        assert!(too_late(&on(date(2026, 10, 10)), Work::HeavyLegs, &rules).is_some());
        assert_eq!(too_late(&on(date(2026, 10, 13)), Work::MaximalIsometric, &rules), None);
    }
}
