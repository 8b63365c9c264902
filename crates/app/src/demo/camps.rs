//! The two camps as they were agreed and laid out, each on its first morning.

use super::calendar::{Camp, at};
use super::journal::{COACH, Journal};
use cornerwork_core::camp::bout_facts::{BoutFacts, Rounds, Standing};
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::phase::PhaseRules;
use cornerwork_core::camp::travel::Journey;
use cornerwork_core::session::operation::Change;
use jiff::civil::{Date, Weekday, date, time};

pub(super) fn write(journal: &mut Journal) {
    for camp in [Camp::HarbourOpen, Camp::Lanternlight] {
        let (facts, plan) = (facts(camp), plan(camp));
        let bout = camp.agreed();
        let id = bout.id.clone();
        let entered = CampChange::BoutEntered { bout, facts };
        journal.write(at(camp.first_test(), 7, 6), COACH, Change::Camp(entered));
        let planned = CampChange::CampPlanned { bout: id.clone(), plan };
        journal.write(at(camp.first_test(), 7, 10), COACH, Change::Camp(planned));
        if let Some(journey) = journey(camp) {
            let agreed = CampChange::TravelAgreed { bout: id, journey: Some(journey) };
            journal.write(at(camp.first_test(), 7, 14), COACH, Change::Camp(agreed));
        }
    }
}

/// The professionals box abroad, four hours ahead of London in November: a night in the air, and
/// five days until the bout.
fn journey(camp: Camp) -> Option<Journey> {
    (camp == Camp::Lanternlight).then(|| Journey {
        leaves: date(2026, 11, 15).at(21, 0, 0, 0),
        arrives: date(2026, 11, 16).at(8, 10, 0, 0),
    })
}

fn facts(camp: Camp) -> BoutFacts {
    let (more_days, bell, weigh_in, rounds, remark) = match camp {
        Camp::HarbourOpen => (
            vec![date(2026, 10, 18), date(2026, 10, 24), date(2026, 10, 25)],
            time(13, 0, 0, 0),
            None,
            Rounds { count: 3, minutes: 3 },
            "Weigh-in on the morning of each bout day.",
        ),
        Camp::Lanternlight => (
            Vec::new(),
            time(19, 0, 0, 0),
            Some(time(13, 0, 0, 0)),
            Rounds { count: 8, minutes: 3 },
            "Weigh-in the day before, 13:00. Rounds differ: see each contract.",
        ),
    };
    BoutFacts {
        standing: Standing::Confirmed,
        more_days,
        zone: journey(camp).map(|_| "Asia/Dubai".to_owned()),
        first_bell: Some(bell),
        weigh_in_at: weigh_in,
        rounds: Some(rounds),
        remark: remark.to_owned(),
    }
}

fn plan(camp: Camp) -> CampPlan {
    let facts = facts(camp);
    let last_day = facts.more_days.last().copied().unwrap_or_else(|| camp.bout());
    let sparring = match camp {
        Camp::HarbourOpen => vec![Weekday::Tuesday, Weekday::Friday],
        Camp::Lanternlight => vec![Weekday::Tuesday, Weekday::Thursday],
    };
    let bout = (camp.bout(), last_day);
    let (mut plan, _) =
        CampPlan::laid_out(camp.first_test(), bout, sparring, &PhaseRules::default());
    plan.marks.extend(weigh_ins(camp, &facts).map(|day| (day, Mark::WeighIn)));
    plan
}

fn weigh_ins(camp: Camp, facts: &BoutFacts) -> impl Iterator<Item = Date> {
    let first = match camp {
        Camp::HarbourOpen => camp.bout(),
        Camp::Lanternlight => date(2026, 11, 20),
    };
    std::iter::once(first).chain(facts.more_days.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_plan_has_the_test_days_of_the_story() {
        for camp in [Camp::HarbourOpen, Camp::Lanternlight] {
            let tests: Vec<Date> = plan(camp).days_of(Mark::Test).collect();
            assert_eq!(tests, [camp.first_test(), camp.second_test(), camp.third_test()]);
        }
    }

    #[test]
    fn the_plan_spars_on_the_days_of_the_story() {
        // Both know it apart: the story when it invents tired legs, the plan from its weekdays.
        for camp in [Camp::HarbourOpen, Camp::Lanternlight] {
            let plan = plan(camp);
            let days = camp.first_test().series(jiff::Span::new().days(1)).take(44);
            for day in days {
                assert_eq!(plan.spars_on(day), camp.spars(day), "{day}");
            }
        }
    }
}
