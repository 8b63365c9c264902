//! Who works in the demo gym and who consented to what, limits and weigh-ins, the stoppage of the
//! story, and how hard every session felt.

use super::calendar::{Camp, TONIGHT, at, days_before_tonight, session_on};
use super::history::first_day_of;
use super::journal::{COACH, DOCTOR, Journal, PHYSIO};
use super::people::{PEOPLE, Person};
use super::performance::Chance;
use super::restrictions::{self, STAND_DOWN_FROM};
use super::session_notes::Notes;
use super::staff::{AMATEURS_COACH, GUARDIAN, PROFESSIONALS_COACH, STAFF, Staff};
use cornerwork_core::camp::body_mass::MassLimit;
use cornerwork_core::camp::consent::{Consent, ConsentTo, Giver};
use cornerwork_core::camp::permission::{Role, Signed};
use cornerwork_core::camp::safety_change::{Member, SafetyChange};
use cornerwork_core::camp::stand_down::{Stoppage, StoppageRecord};
use cornerwork_core::camp::training_load::{ClosedSession, Exertion, SessionKind};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::Change;
use cornerwork_core::units::Mass;
use jiff::civil::{Date, date};

/// Random numbers of this file are drawn from streams of their own, after those of the people.
const FIRST_STREAM: u64 = 1000;
/// Share of sessions of which someone asked how hard they felt.
const ASKED: f64 = 0.94;

pub(super) fn write(journal: &mut Journal, seed: u64) {
    let first = first_day_of(&PEOPLE[0]).min(Camp::HarbourOpen.first_test());
    for Staff { name, role, number } in STAFF {
        let member = Member {
            name: name.to_owned(),
            role,
            pin: number.map(|(_, kept)| kept.to_owned()),
            // Each asked for one of their own.
            pin_is_private: number.is_some(),
            child: (role == Role::Guardian).then(|| by_code("A06").id()),
        };
        write_at(journal, first, 9, COACH, SafetyChange::MemberEntered(member));
    }
    head_coaches(journal, first);
    consents(journal);
    limits(journal);
    stoppage(journal);
    notes(journal);
    for (place, person) in PEOPLE.iter().enumerate() {
        let chance = &mut Chance::new(seed, FIRST_STREAM + place as u64);
        sessions(journal, person, chance, &mut Notes::on(seed, place));
    }
}

fn by_code(code: &str) -> &'static Person {
    PEOPLE.iter().find(|person| person.code == code).unwrap_or(&PEOPLE[0])
}

fn write_at(journal: &mut Journal, day: Date, hour: i8, author: &str, change: SafetyChange) {
    journal.write(at(day, hour, 10), author, Change::Safety(change));
}

/// Amateurs and professionals each have theirs.
fn head_coaches(journal: &mut Journal, staff_entered: Date) {
    for person in &PEOPLE {
        let name = match person.days() {
            Camp::HarbourOpen => AMATEURS_COACH,
            Camp::Lanternlight => PROFESSIONALS_COACH,
        };
        let (athlete, name) = (person.id(), Some(name.to_owned()));
        let named = SafetyChange::HeadCoachNamed { athlete, name };
        write_at(journal, first_day_of(person).max(staff_entered), 10, COACH, named);
    }
}

fn consents(journal: &mut Journal) {
    let words = [
        ("A06", ConsentTo::Training, true, Giver::Guardian, GUARDIAN, vec![]),
        ("A06", ConsentTo::Training, true, Giver::Athlete, "Suhaila Merrowdene", vec![]),
        ("A06", ConsentTo::Photo, false, Giver::Guardian, GUARDIAN, vec![]),
        ("A05", ConsentTo::HealthNotes, true, Giver::Athlete, "Tavish Quillmarrow", vec![]),
        (
            "N02",
            ConsentTo::CycleAndMood,
            true,
            Giver::Athlete,
            "Yevka Fennimist",
            vec![Role::Coach],
        ),
    ];
    for (code, to, given, giver, name, shared_with) in words {
        let person = by_code(code);
        let on = first_day_of(person);
        let consent = Consent {
            athlete: person.id(),
            to,
            given,
            giver,
            name: name.to_owned(),
            shared_with,
            on,
        };
        write_at(journal, on, 7, COACH, SafetyChange::Consented(consent));
    }
}

fn limits(journal: &mut Journal) {
    for person in PEOPLE.iter().filter(|person| !person.is_junior()) {
        let (Some(kilograms), Some(camp)) = (person.limit_kg, person.camp) else { continue };
        let weigh_in = match camp {
            Camp::HarbourOpen => date(2026, 10, 17),
            Camp::Lanternlight => date(2026, 11, 20),
        };
        let limit = MassLimit {
            limit: Mass::kilograms(kilograms),
            weigh_in,
            bout: camp.bout(),
            check_body: (person.code == "B03")
                .then(|| "Lanternlight Commission (invented)".to_owned()),
        };
        let change = SafetyChange::LimitAgreed { athlete: person.id(), limit: Some(limit) };
        write_at(journal, camp.first_test(), 8, COACH, change);
    }
}

/// Four weeks by the rule of an invented body, entered on the night by the doctor.
fn stoppage(journal: &mut Journal) {
    let record = StoppageRecord {
        athlete: by_code("N01").id(),
        kind: Stoppage::StoppedHeadBlows,
        on: STAND_DOWN_FROM,
        body: "Kettlewick Amateur Board (invented)".to_owned(),
        by: Signed { name: DOCTOR.to_owned(), role: Role::Doctor },
        earliest: restrictions::STAND_DOWN_TO,
        date_known: true,
        rule: "28 days by the rule of Kettlewick Amateur Board (invented)".to_owned(),
    };
    write_at(journal, STAND_DOWN_FROM, 22, DOCTOR, SafetyChange::Stopped(record));
}

fn notes(journal: &mut Journal) {
    let note = SafetyChange::MedicalNoted {
        athlete: by_code("A05").id(),
        on: date(2026, 9, 14),
        text: "sprain of the right hand, knuckle of the middle finger".to_owned(),
        by: Signed { name: PHYSIO.to_owned(), role: Role::Physio },
    };
    write_at(journal, date(2026, 9, 14), 9, PHYSIO, note);
    for day in [date(2026, 9, 22), TONIGHT] {
        let note = SafetyChange::CycleNoted {
            athlete: by_code("N02").id(),
            on: day,
            symptoms: 1,
            text: String::new(),
        };
        write_at(journal, day, 8, "Yevka Fennimist", note);
    }
}

/// Strength on its days, sparring on the camp's, boxing on Mondays and Wednesdays.
fn sessions(journal: &mut Journal, person: &Person, chance: &mut Chance, notes: &mut Notes) {
    let camp = person.days();
    for day in days_before_tonight().filter(|day| *day >= camp.first_test()) {
        if person.code == "N01" && day >= STAND_DOWN_FROM {
            continue;
        }
        let strength = session_on(day).is_some() || camp.tests(day);
        let today = [
            strength.then_some((SessionKind::Strength, 6.0, 75.0)),
            camp.spars(day).then_some((SessionKind::Sparring, 7.0, 50.0)),
            (day.weekday().to_monday_one_offset() % 2 == 1
                && day.weekday().to_monday_one_offset() < 6)
                .then_some((SessionKind::Boxing, 5.0, 60.0)),
        ];
        for (kind, felt, minutes) in today.into_iter().flatten() {
            session(journal, &person.id(), (chance, notes), (day, kind, felt, minutes));
        }
    }
}

fn session(
    journal: &mut Journal,
    athlete: &AthleteId,
    (chance, notes): (&mut Chance, &mut Notes),
    (day, kind, felt, minutes): (Date, SessionKind, f64, f64),
) {
    let felt = (felt + chance.normal(1.0)).round().clamp(3.0, 9.0);
    let minutes = (minutes * chance.about_one(0.08) / 5.0).round() * 5.0;
    let rounds = (8.0 + chance.normal(1.2)).round().clamp(6.0, 10.0);
    let exertion = chance.happens(ASKED).then(|| Exertion::new(felt)).flatten();
    let (note, next) = notes.after(kind, felt);
    let closed = ClosedSession {
        athlete: athlete.clone(),
        date: day,
        kind,
        exertion,
        minutes: Some(minutes as u16),
        rounds: if kind == SessionKind::Sparring { rounds as u16 } else { 0 },
        note,
        next,
    };
    write_at(journal, day, 21, COACH, SafetyChange::SessionClosed(closed));
}
