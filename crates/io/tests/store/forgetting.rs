//! An athlete who leaves takes everything along, and nobody else's record changes.

use crate::keeping::outside;
use cornerwork_core::camp::permission::{Role, Signed};
use cornerwork_core::camp::safety_change::{Member, SafetyChange};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::evening::EveningPlan;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::rep::{Load, Method, RepEntry};
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use cornerwork_core::units::Mass;
use cornerwork_io::store::{Appended, Forgotten, SqliteStore};
use jiff::Timestamp;
use jiff::civil::date;
use sqlx::{Connection, raw_sql};
use tempfile::TempDir;

fn code(text: &str) -> AthleteId {
    AthleteId::new(text).unwrap()
}

fn at(second: i64) -> Timestamp {
    Timestamp::from_second(1_790_000_000 + second).unwrap()
}

fn athlete(id: &str, name: &str) -> Change {
    Change::AthleteEntered(Athlete {
        id: code(id),
        name: name.into(),
        sex: Sex::Female,
        born: Born::On(date(1997, 5, 4)),
        stance: Stance::Orthodox,
        level: "professional".into(),
    })
}

fn rep(id: &str, value: f64) -> Change {
    Change::RepRecorded(RepEntry {
        athlete: code(id),
        exercise: ExerciseId::new("landmine-punch-throw").unwrap(),
        station: None,
        load: Load::none(),
        box_height: None,
        side: None,
        value: Some(value),
        contact_time: None,
        method: Method::Sensor,
        at: at(0),
    })
}

fn restriction(id: &str, athlete: &str) -> Restriction {
    Restriction {
        id: RestrictionId(id.into()),
        athlete: code(athlete),
        barred: Barred::Everything,
        from: date(2026, 9, 1),
        earliest_end: None,
        needs_clearance: false,
        ground: "Mirelle's shoulder".into(),
        instead: None,
    }
}

/// Two athletes, with everything that can tie one to the other.
fn story() -> Vec<Operation> {
    let id = OperationId;
    let changes = vec![
        /* 1 */ Change::GymNamed { name: "B02".into(), invented: false },
        /* 2 */ athlete("B02", "Mirelle Quandown"),
        /* 3 */ athlete("B03", "Desmer Okonquill"),
        /* 4 */
        Change::BodyMassMeasured { athlete: code("B02"), mass: Mass::kilograms(59.1), at: at(0) },
        /* 5 */
        Change::BodyMassMeasured { athlete: code("B03"), mass: Mass::kilograms(80.2), at: at(0) },
        /* 6 */
        Change::BoutAgreed(Bout {
            id: "lanternlight".into(),
            name: "Lanternlight, with Mirelle Quandown".into(),
            date: date(2026, 11, 21),
            athletes: vec![code("B02"), code("B03")],
        }),
        /* 7 */
        Change::EveningOpened(EveningPlan {
            date: date(2026, 9, 23),
            stations: vec![],
            groups: vec![vec![code("B02"), code("B03")]],
            session: None,
            rounds: vec![],
        }),
        /* 8 */ rep("B02", 2.7),
        /* 9: hers, entered under his name */ rep("B03", 2.6),
        /* 10: his, entered under hers */ rep("B02", 3.4),
        /* 11 */ rep("B03", 3.3),
        /* 12 */
        Change::RepsMoved {
            reps: vec![id(9)],
            athlete: code("B02"),
            done_with: None,
            reason: "Mirelle threw".into(),
        },
        /* 13 */
        Change::RepsMoved {
            reps: vec![id(10)],
            athlete: code("B03"),
            done_with: None,
            reason: "not B02".into(),
        },
        /* 14 */
        Change::RepCorrected { rep: id(8), value: Some(2.8), reason: "misread".into() },
        /* 15 */ Change::Withdrawn { operation: id(14), reason: "no".into() },
        /* 16 */ Change::Withdrawn { operation: id(15), reason: "yes".into() },
        /* 17 */
        Change::RepCorrected { rep: id(11), value: Some(3.2), reason: "as Mirelle saw".into() },
        /* 18 */ Change::RestrictionSet(restriction("shoulder", "B02")),
        /* 19 */
        Change::RestrictionLifted {
            restriction: RestrictionId("shoulder".into()),
            cleared_by: "physio".into(),
        },
        /* 20 */
        Change::Safety(SafetyChange::MemberEntered(Member {
            name: "Quandown the elder".into(),
            role: Role::Guardian,
            pin: None,
            pin_is_private: false,
            child: Some(code("B02")),
        })),
        /* 21 */
        Change::Safety(SafetyChange::OutExtended {
            restriction: RestrictionId("B02-stand-down-2026-09-12".into()),
            until: date(2026, 12, 1),
            by: Signed { name: "Teska Hollowbridge".into(), role: Role::Doctor },
        }),
    ];
    (1..)
        .zip(changes)
        .map(|(number, change)| {
            let author = if number % 2 == 0 { "Wren" } else { "Mirelle Quandown" }.to_owned();
            Operation {
                id: id(number),
                at: at(i64::try_from(number).unwrap()),
                author: author.into(),
                change,
            }
        })
        .collect()
}

/// The trace a deletion leaves.
pub(crate) fn trace(entries: u32) -> Operation {
    let forgotten = SafetyChange::AthleteForgotten { entries, on: date(2026, 9, 23) };
    let change = Change::Safety(forgotten);
    Operation { id: OperationId(900), at: at(900), author: "Wren".into(), change }
}

pub(crate) fn bytes_of(folder: &TempDir) -> Vec<(String, Vec<u8>)> {
    std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| (path.display().to_string(), std::fs::read(path).unwrap()))
        .collect()
}

pub(crate) fn holds(bytes: &[u8], words: &str) -> bool {
    bytes.windows(words.len()).any(|window| window == words.as_bytes())
}

#[tokio::test]
async fn no_byte_of_a_deleted_athlete_is_left_in_the_folder() {
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    store.append(&story()).await.unwrap();
    assert!(bytes_of(&folder).iter().any(|(_, bytes)| holds(bytes, "Mirelle")));
    let forgotten = store.forget(&code("B02"), trace).await.unwrap();
    assert!(forgotten.packed);
    assert_eq!(forgotten.entries, 12, "2, 4, 8, 9, 12, 14, 15, 16, 18, 19, 20 and 21");
    assert!(store.check().await.unwrap().is_sound(), "the order has no gap");
    // Both while the program runs and after it has stopped.
    for (file, bytes) in bytes_of(&folder) {
        for words in ["Mirelle", "Quandown", "shoulder"] {
            assert!(!holds(&bytes, words), "{words} in {file}");
        }
    }
    let operations = store.load().await.unwrap();
    store.close().await;
    for (file, bytes) in bytes_of(&folder) {
        assert!(!holds(&bytes, "Mirelle"), "{file}");
    }
    let told = format!("{operations:?}");
    assert!(!told.contains("Mirelle") && !told.contains("AthleteId(\"B02\")"), "{told}");
}

#[tokio::test]
async fn what_is_others_stays_as_it_was() {
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    store.append(&story()).await.unwrap();
    let before = Ledger::replay(store.load().await.unwrap());
    store.forget(&code("B02"), trace).await.unwrap();
    let after = Ledger::replay(store.load().await.unwrap());
    let his = |ledger: &Ledger| -> Vec<Option<f64>> {
        ledger.gym().reps_of(&code("B03")).map(|rep| rep.entry.value).collect()
    };
    assert_eq!(his(&before), [Some(3.4), Some(3.2)]);
    assert_eq!(his(&after), his(&before));
    assert_eq!(after.gym().name, "B02", "the gym is called what it is called");
    assert_eq!(after.gym().body_masses(&code("B03")), before.gym().body_masses(&code("B03")));
    assert_eq!(after.gym().bouts["lanternlight"].athletes, [code("B03")]);
    assert_eq!(after.gym().bouts["lanternlight"].name, "Lanternlight, with (removed)");
    assert_eq!(after.gym().evening.as_ref().unwrap().plan.groups, [[code("B03")]]);
    assert!(after.gym().athlete(&code("B02")).is_none());
    let again = Operation { id: OperationId(901), ..trace(0) };
    let again = store.forget(&code("B02"), |_| again).await.unwrap();
    assert_eq!(again.entries, 0, "there is nothing left to delete");
    store.close().await;
}

/// Other devices know the places of the order: none is given to another entry.
#[tokio::test]
async fn a_deletion_leaves_its_trace_and_every_place_where_it_was() {
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let all = story();
    store.append(&all).await.unwrap();
    store.forget(&code("B02"), trace).await.unwrap();
    let left = store.load().await.unwrap();
    assert_eq!(left.last(), Some(&trace(12)), "kept in the same moment, with what it came to");
    let places: Vec<Appended> = store.append(&left).await.unwrap();
    let gone = [2, 4, 8, 9, 12, 14, 15, 16, 18, 19, 20, 21];
    let expected: Vec<Appended> = (1..=22)
        .filter(|sequence| !gone.contains(sequence))
        .map(|sequence| Appended::Known { sequence })
        .collect();
    assert_eq!(places, expected);
    // A device that still holds a deleted rep sends it again: it is known, and does not come back.
    assert_eq!(store.append(&all[7..8]).await.unwrap(), [Appended::Known { sequence: 8 }]);
    assert_eq!(store.load().await.unwrap(), left);
    assert!(store.check().await.unwrap().is_sound());
}

/// Packing needs room for a second file. Where there is none the deletion stands all the same, says
/// so, and is finished when the gym is opened again.
#[tokio::test]
async fn a_deletion_that_could_not_be_packed_is_finished_at_the_next_start() {
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    store.append(&story()).await.unwrap();
    // A reader that is in the middle of something: the file cannot be packed under it.
    let mut reading = outside(&folder).await;
    raw_sql("BEGIN; SELECT * FROM operation").execute(&mut reading).await.unwrap();
    let forgotten = store.forget(&code("B02"), trace).await.unwrap();
    assert_eq!(forgotten, Forgotten { entries: 12, packed: false });
    let told = format!("{:?}", store.load().await.unwrap());
    assert!(!told.contains("Mirelle"), "the record itself is without her");
    reading.close().await.unwrap();
    store.close().await;
    let store = SqliteStore::open(folder.path()).await.unwrap();
    assert!(store.check().await.unwrap().is_sound());
    for (file, bytes) in bytes_of(&folder) {
        assert!(!holds(&bytes, "Mirelle"), "{file}");
    }
}
