//! What a change of date does to a camp, as a list anyone can read.

use super::camp_plan::{CampPlan, Mark};
use super::phase::{Phase, PhaseKind, days_between};
use crate::words::short_day as short;
use crate::words::{capitalised, counted};
use jiff::civil::Date;

/// The differences between two layouts of one camp, in sentences, earliest first.
///
/// What lies before `today` is the same in both and is not named.
pub fn differences(
    before: (&CampPlan, Date),
    after: (&CampPlan, Date),
    today: Date,
) -> Vec<String> {
    let ((old, old_bell), (new, new_bell)) = (before, after);
    let mut said = Vec::new();
    if old_bell != new_bell {
        let days = days_between(old_bell, new_bell);
        let way = if days > 0 { "later" } else { "earlier" };
        said.push(format!(
            "The bout is on {} instead of {}, {} {way}; {} left.",
            long(new_bell),
            long(old_bell),
            counted(days.abs(), "day"),
            are_left(days_between(today, new_bell))
        ));
    }
    for kind in PhaseKind::ALL {
        let ahead = |plan: &CampPlan| -> Vec<Phase> {
            let of_kind = plan.phases.iter().filter(|phase| phase.kind == kind);
            of_kind.filter(|phase| phase.to >= today).copied().collect()
        };
        let (was, is) = (ahead(old), ahead(new));
        if was == is {
            continue;
        }
        let name = capitalised(kind.word());
        said.push(match (spans(&was), spans(&is)) {
            (Some(was), Some(is)) => format!("{name}: {is} instead of {was}."),
            (None, Some(is)) => format!("{name} is added: {is}."),
            (Some(was), None) => format!("{name} falls away: it was {was}."),
            (None, None) => continue,
        });
    }
    for mark in Mark::ALL {
        let ahead = |plan: &CampPlan| -> Vec<Date> {
            plan.days_of(mark).filter(|day| *day >= today).collect()
        };
        let (was, is) = (ahead(old), ahead(new));
        if was != is {
            let name = capitalised(mark.word());
            said.push(format!("{name}: {} instead of {}.", listed(&is), listed(&was)));
        }
    }
    said
}

fn spans(phases: &[Phase]) -> Option<String> {
    let words = |phase: &Phase| format!("{} to {}", short(phase.from), short(phase.to));
    (!phases.is_empty()).then(|| phases.iter().map(words).collect::<Vec<_>>().join(" and "))
}

fn listed(days: &[Date]) -> String {
    if days.is_empty() {
        return "none".to_owned();
    }
    days.iter().map(|day| short(*day)).collect::<Vec<_>>().join(", ")
}

fn long(date: Date) -> String {
    date.strftime("%a %-d %B %Y").to_string()
}

fn are_left(days: i32) -> String {
    if days == 1 { "1 day is".to_owned() } else { format!("{days} days are") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camp::phase::{PhaseRules, plan_anew, plan_back};
    use jiff::civil::date;

    #[test]
    fn a_debut_moved_by_two_weeks() {
        let (bell, later) = (date(2026, 11, 21), date(2026, 12, 5));
        let today = date(2026, 10, 24);
        let rules = PhaseRules { recovery_days: 0, ..PhaseRules::default() };
        let old = CampPlan {
            phases: plan_back(date(2026, 8, 31), bell, bell, &rules).phases,
            marks: [(date(2026, 11, 9), Mark::Test)].into(),
            ..CampPlan::default()
        };
        let new = CampPlan {
            phases: plan_anew(&old.phases, today, later, later, &rules).phases,
            marks: [(date(2026, 11, 23), Mark::Test)].into(),
            ..CampPlan::default()
        };
        assert_eq!(
            differences((&old, bell), (&new, later), today),
            [
                "The bout is on Sat 5 December 2026 instead of Sat 21 November 2026, 14 days later; 42 days are left.",
                "Strength is added: 26 Oct to 1 Nov.",
                "Power: 19 Oct to 25 Oct and 2 Nov to 22 Nov instead of 19 Oct to 8 Nov.",
                "Taper: 23 Nov to 4 Dec instead of 9 Nov to 20 Nov.",
                "Test day: 23 Nov instead of 9 Nov.",
            ]
        );
        assert!(differences((&old, bell), (&old, bell), today).is_empty());
    }
}
