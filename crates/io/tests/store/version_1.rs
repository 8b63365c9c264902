//! One operation of every kind, as the first released store kept them.
//!
//! `testdata/store/v1/gym.sqlite` was made of exactly these, so the list is never edited: a change
//! made later gets a list and a database of its own.

use cornerwork_core::exercise::{ExerciseId, FaultTag};
use cornerwork_core::kit::{Bar, BarKind, Plate, PlateRack, PlateStack};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::evening::{EveningPlan, Station, Target};
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::rep::{Load, Method, RepEntry, SeenFault, Side};
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use cornerwork_core::units::{Duration, Length, Mass};
use jiff::Timestamp;
use jiff::civil::date;

/// Every kind of change once; those with inner choices once for each choice.
pub(crate) fn operations() -> Vec<Operation> {
    [set_up(), hard_stops(), evening(), reps(), mending()]
        .concat()
        .into_iter()
        .zip(1_u32..)
        .map(|(change, number)| Operation {
            id: id(number),
            at: moment(i64::from(number)),
            author: "Wren Tallis".into(),
            change,
        })
        .collect()
}

/// A UUID of version 7 with a readable end.
pub(crate) fn id(number: u32) -> OperationId {
    OperationId(0x0199_7777_0000_7000_8000_0000_0000_0000 + u128::from(number))
}

/// 23 September 2026, 18:00 UTC, and so many seconds, with microseconds that must survive.
fn moment(seconds: i64) -> Timestamp {
    Timestamp::from_microsecond((1_790_186_400 + seconds) * 1_000_000 + 123_457).unwrap()
}

fn athlete(code: &str) -> AthleteId {
    AthleteId::new(code).unwrap()
}

/// The first version kept an age; it was told on the day of the entry, 23 September, which is 24
/// September in the earliest time zone.
fn told_then(years: u8) -> Born {
    Born::Aged { years, on: date(2026, 9, 24) }
}

fn exercise(name: &str) -> ExerciseId {
    ExerciseId::new(name).unwrap()
}

fn forty_five_pounds() -> Plate {
    Plate::new("45 lb", Mass::pounds(45.0)).unwrap()
}

fn set_up() -> Vec<Change> {
    let weighed = Bar::weighed("hex-blue", "hex blue", Mass::kilograms(27.4), BarKind::Hex);
    let assumed = Bar::assumed("long", "the long one", Mass::kilograms(20.0), BarKind::Landmine);
    let stacks = [
        PlateStack { plate: forty_five_pounds(), count: 2 },
        PlateStack { plate: Plate::kilograms(1.25).unwrap(), count: 4 },
    ];
    vec![
        Change::GymNamed { name: "Harbour Street".into(), invented: true },
        Change::AthleteEntered(Athlete {
            id: athlete("A04"),
            name: "Ióna \"Quick\" Marsh".into(),
            sex: Sex::Female,
            born: told_then(17),
            stance: Stance::Southpaw,
            level: "amateur elite".into(),
        }),
        Change::AthleteEntered(Athlete {
            id: athlete("A11"),
            name: "Tobin Rusk".into(),
            sex: Sex::Male,
            born: told_then(24),
            stance: Stance::Orthodox,
            level: "professional (8 x 3)".into(),
        }),
        Change::BodyMassMeasured {
            athlete: athlete("A04"),
            mass: Mass::kilograms(63.45),
            at: moment(-3600),
        },
        Change::BarWeighed(weighed.unwrap()),
        Change::BarWeighed(assumed.unwrap()),
        Change::PlatesCounted(PlateRack::of(stacks).with_collars(Mass::kilograms(0.1)).unwrap()),
        Change::BoxesMeasured(vec![Length::centimetres(30.5), Length::inches(24.0)]),
        Change::BoutAgreed(Bout {
            id: "harbour-open".into(),
            name: "Harbour Open".into(),
            date: date(2026, 10, 17),
            athletes: vec![athlete("A04"), athlete("A11")],
        }),
    ]
}

fn hard_stops() -> Vec<Change> {
    let restriction = |id: &str, barred| Restriction {
        id: RestrictionId(id.into()),
        athlete: athlete("A11"),
        barred,
        from: date(2026, 9, 20),
        earliest_end: None,
        needs_clearance: true,
        ground: "stopped in the bout of 19 September".into(),
        instead: None,
    };
    vec![
        Change::RestrictionSet(restriction("stand-down", Barred::Everything)),
        Change::RestrictionSet(Restriction {
            earliest_end: Some(date(2026, 10, 1)),
            needs_clearance: false,
            instead: Some("trap-bar pull".into()),
            ..restriction("knee", Barred::Exercises(vec![exercise("drop-jump")]))
        }),
        Change::RestrictionSet(restriction(
            "rear-hand",
            Barred::OneSide { exercises: vec![exercise("landmine-punch-throw")], side: Side::Rear },
        )),
        Change::RestrictionLifted {
            restriction: RestrictionId("rear-hand".into()),
            cleared_by: "Dr. Imre Voss, by letter".into(),
        },
    ]
}

fn evening() -> Vec<Change> {
    let target = |target| Change::TargetSet {
        athlete: athlete("A04"),
        exercise: exercise("landmine-punch-throw"),
        target,
    };
    vec![
        target(Some(Target::AtLeast(2.9))),
        target(Some(Target::Window { low: 0.75, high: 1.0 / 3.0 + 0.5 })),
        target(None),
        Change::EveningOpened(EveningPlan {
            date: date(2026, 9, 23),
            stations: vec![Station {
                number: 2,
                exercise: exercise("landmine-punch-throw"),
                bars: vec!["long".into()],
                sets: 3,
                reps: 4,
                rest: Duration::seconds(150.0),
            }],
            groups: vec![vec![athlete("A04")], vec![]],
            session: None,
            rounds: vec![],
        }),
        Change::GroupsRotated,
        Change::TurnTaken { station: 2, athlete: athlete("A04") },
        Change::LoadHung { station: 2, athlete: athlete("A04"), load: hung() },
        Change::BoxSet { station: 2, athlete: athlete("A04"), height: Length::metres(0.305) },
    ]
}

fn hung() -> Load {
    Load {
        bar: Some("long".into()),
        plates: vec![forty_five_pounds(), Plate::kilograms(1.25).unwrap()],
        total: Mass::kilograms(41.662),
    }
}

fn reps() -> Vec<Change> {
    let bare = RepEntry {
        athlete: athlete("A11"),
        exercise: exercise("countermovement-jump"),
        station: None,
        load: Load::none(),
        box_height: None,
        side: None,
        value: None,
        contact_time: None,
        method: Method::FlightTime,
        at: moment(0),
    };
    let full = |side, method| RepEntry {
        athlete: athlete("A04"),
        exercise: exercise("landmine-punch-throw"),
        station: Some(2),
        load: hung(),
        box_height: Some(Length::metres(0.3)),
        side: Some(side),
        value: Some(2.61),
        contact_time: Some(Duration::seconds(0.187)),
        method,
        at: moment(1),
    };
    [
        bare,
        full(Side::Left, Method::TakeOffVelocity),
        full(Side::Right, Method::Sensor),
        full(Side::Lead, Method::ByHand),
        full(Side::Rear, Method::FlightTime),
    ]
    .map(Change::RepRecorded)
    .to_vec()
}

fn mending() -> Vec<Change> {
    vec![
        Change::RepCorrected { rep: id(23), value: Some(2.91), reason: "misread".into() },
        Change::RepCorrected { rep: id(23), value: None, reason: "nobody saw".into() },
        Change::RepsMoved {
            reps: vec![id(23), id(24)],
            athlete: athlete("A11"),
            done_with: None,
            reason: "wrong name on the tablet".into(),
        },
        Change::RepSetAside { rep: id(24), reason: "slipped".into() },
        Change::FaultSeen {
            rep: id(25),
            fault: SeenFault { tag: FaultTag::new("heels-slap").unwrap(), spoils_number: true },
        },
        Change::SetClosed { station: 2, athlete: athlete("A04") },
        Change::EveningClosed,
        Change::Withdrawn { operation: id(26), reason: "tapped twice".into() },
    ]
}
