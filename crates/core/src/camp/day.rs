//! What a day of a camp means: how far it is, which phase, what is due.

use super::camp_plan::{CampPlan, Mark};
use super::phase::{Phase, PhaseKind, days_between};
use crate::exercise::Permissions;
use crate::words::counted;
use jiff::ToSpan;
use jiff::civil::Date;

/// A day of a camp.
#[derive(Clone, Debug, PartialEq)]
pub struct CampDay {
    /// Days to the first bell; negative when it is past.
    pub days_to_bout: i32,
    /// Whether a tournament is under way and this is one of its days or a day between them.
    pub between_bouts: bool,
    /// The phase, with which day of how many.
    pub phase: Option<(PhaseKind, i32, i32)>,
    /// What is marked on it.
    pub marks: Vec<Mark>,
    /// Days to the next open sparring, where one is marked within a week.
    pub days_to_sparring: Option<i32>,
}

/// "24 days to the bout", "the bout is today", "1 day after the bout".
pub fn to_the_bout(days: i32) -> String {
    match days {
        0 => "the bout is today".to_owned(),
        days if days < 0 => format!("{} after the bout", counted(-days, "day")),
        days => format!("{} to the bout", counted(days, "day")),
    }
}

impl CampDay {
    /// "24 days to the bout, power day 10 of 21".
    pub fn sentence(&self) -> String {
        if self.between_bouts && self.days_to_bout > 0 {
            let days = counted(self.days_to_bout, "day");
            return format!("{days} to the next bout, between bouts: primers only");
        }
        let bout = to_the_bout(self.days_to_bout);
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
        between_bouts: false,
        phase: phase.and_then(named),
        marks: plan.marks.iter().filter(|(day, _)| *day == date).map(|(_, mark)| *mark).collect(),
        days_to_sparring: (0..=7).find(|days| plan.spars_on(date.saturating_add(days.days()))),
    }
}

/// Why work should not be done on a day; a coach may answer for it with a reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TooNear {
    /// Too near the bout.
    #[error("the bout is {} away and it is kept {} from a bout", in_days(*.days), counted(*.least, "day"))]
    Bout {
        /// How far the bout is.
        days: i32,
        /// How far it should be.
        least: i32,
    },
    /// Too near open sparring.
    #[error(
        "open sparring is {} away and it is kept {least_hours} hours from sparring",
        in_days(*.days)
    )]
    Sparring {
        /// How far sparring is.
        days: i32,
        /// How far it should be.
        least_hours: u16,
    },
}

fn in_days(days: i32) -> String {
    match days {
        0 => "less than a day".to_owned(),
        days => counted(days, "day"),
    }
}

/// What speaks against an exercise on a day, by the distances its entry in the library asks for.
/// Those are editable there, and say where they come from.
pub fn too_near(day: &CampDay, permissions: &Permissions) -> Vec<TooNear> {
    let days = day.days_to_bout;
    let bout = permissions.days_before_bout.map(i32::from);
    let bout = bout.filter(|least| (0..*least).contains(&days));
    let bout = bout.map(|least| TooNear::Bout { days, least });
    let sparring = permissions.hours_from_sparring.zip(day.days_to_sparring);
    // Sparring has a day and no hour: 48 hours are two nights between.
    let sparring = sparring.filter(|(hours, days)| *days * 24 < i32::from(*hours));
    let sparring = sparring.map(|(least_hours, days)| TooNear::Sparring { days, least_hours });
    bout.into_iter().chain(sparring).collect()
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
        assert_eq!(day.sentence(), "24 days to the bout, power day 10 of 21");
        assert_eq!(day.marks, [Mark::Test]);
        assert_eq!(day.days_to_sparring, Some(6), "Friday was taken out, so Tuesday the 29th");
        let sunday = day_of(&camp(), date(2026, 10, 17), date(2026, 10, 4));
        assert_eq!(sunday.sentence(), "13 days to the bout");
    }

    #[test]
    fn work_keeps_the_distance_its_entry_asks_for() {
        // Depth jumps as in the library: 10 days from a bout, 48 hours from sparring.
        let depth_jump = Permissions {
            days_before_bout: Some(10),
            hours_from_sparring: Some(48),
            ..Permissions::default()
        };
        let on = |day| too_near(&day_of(&camp(), date(2026, 10, 17), day), &depth_jump);
        assert_eq!(on(date(2026, 9, 26)), [], "Saturday: sparring is three days off");
        assert_eq!(on(date(2026, 9, 27)), [], "two nights before Tuesday");
        let eve = TooNear::Sparring { days: 1, least_hours: 48 };
        assert_eq!(on(date(2026, 9, 28)), [eve]);
        assert_eq!(
            eve.to_string(),
            "open sparring is 1 day away and it is kept 48 hours from sparring"
        );
        // 7 to 17 October are ten days, 8 to 17 nine.
        assert_eq!(on(date(2026, 10, 7)), []);
        let near = on(date(2026, 10, 11));
        assert_eq!(near, [TooNear::Bout { days: 6, least: 10 }]);
        assert_eq!(
            near[0].to_string(),
            "the bout is 6 days away and it is kept 10 days from a bout"
        );
        assert_eq!(on(date(2026, 10, 18)), [], "the bout is past");
    }

    #[test]
    fn between_the_days_of_a_tournament_only_primers() {
        let day = CampDay {
            days_to_bout: 6,
            between_bouts: true,
            phase: None,
            marks: Vec::new(),
            days_to_sparring: None,
        };
        assert_eq!(day.sentence(), "6 days to the next bout, between bouts: primers only");
    }
}
