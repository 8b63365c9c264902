//! What a day of a camp means: how far it is, which phase, what is due.

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
}
