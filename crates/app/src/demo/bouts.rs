//! Single bouts with their results: a small tournament in September at which one athlete was
//! stopped on the first day, the earlier bouts of the veteran, and what is known of those ahead.

use super::calendar::{Camp, at};
use super::history::first_day_of;
use super::journal::{COACH, Journal};
use super::people::{PEOPLE, Person};
use super::restrictions::STAND_DOWN_FROM;
use cornerwork_core::camp::bout_facts::{BoutFacts, Rounds};
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::contest::{Contest, Outcome};
use cornerwork_core::camp::stand_down::Stoppage;
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::operation::Change;
use jiff::Timestamp;
use jiff::civil::{Date, date, time};

/// The tournament of the stoppage.
const TOLLGATE: &str = "tollgate-cup";

pub(super) fn write(journal: &mut Journal) {
    let noon = at(STAND_DOWN_FROM.saturating_sub(jiff::Span::new().days(20)), 12, 0);
    let bout = Bout {
        id: TOLLGATE.to_owned(),
        name: "Tollgate Cup".to_owned(),
        date: STAND_DOWN_FROM,
        athletes: PEOPLE.iter().filter(|one| one.code == "N01").map(Person::id).collect(),
    };
    let facts = BoutFacts {
        more_days: vec![date(2026, 9, 13)],
        first_bell: Some(time(12, 0, 0, 0)),
        rounds: Some(Rounds { count: 3, minutes: 3 }),
        ..BoutFacts::default()
    };
    journal.write(noon, COACH, Change::Camp(CampChange::BoutEntered { bout, facts }));
    // The doctor entered the stand-down that night.
    let stopped = Outcome::Stopped(Stoppage::StoppedHeadBlows);
    enter(
        journal,
        at(STAND_DOWN_FROM, 23, 0),
        TOLLGATE,
        "N01",
        (STAND_DOWN_FROM, "Bodrin Tarkwell", Some(stopped)),
    );

    let veteran = PEOPLE.iter().find(|one| one.code == "B01").unwrap_or(&PEOPLE[0]);
    let typed_in = at(first_day_of(veteran), 9, 30);
    for (bout, day, opponent, outcome) in [
        ("saltmarket-night", date(2025, 3, 22), "Edvan Lusk", Outcome::Won),
        ("copperfield-bill", date(2025, 8, 30), "Mattox Vireo", Outcome::Lost),
        ("old-mint-evening", date(2026, 1, 24), "Corwin Astley-Pell", Outcome::Won),
    ] {
        enter(journal, typed_in, bout, veteran.code, (day, opponent, Some(outcome)));
    }
    let agreed = at(Camp::Lanternlight.first_test(), 7, 20);
    for (code, opponent) in [("B01", "Renzo Quarrick"), ("B03", "Jory Amblewick")] {
        let day = Camp::Lanternlight.bout();
        enter(journal, agreed, &Camp::Lanternlight.agreed().id, code, (day, opponent, None));
    }
}

/// Day, opponent, result.
type Known = (Date, &'static str, Option<Outcome>);

fn enter(
    journal: &mut Journal,
    when: Timestamp,
    bout: &str,
    code: &str,
    (day, opponent, outcome): Known,
) {
    let whose = PEOPLE.iter().filter(|one| one.code == code);
    for athlete in whose.map(Person::id) {
        let contest = Contest { athlete, day, opponent: opponent.to_owned(), outcome };
        let bout = bout.to_owned();
        let entered = CampChange::ContestEntered { bout, contest, stoppage: None };
        journal.write(when, COACH, Change::Camp(entered));
    }
}
