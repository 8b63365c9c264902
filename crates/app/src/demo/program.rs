//! What is planned: tonight's session as it was planned yesterday, one for Saturday, and an exercise
//! the gym entered itself. Nothing here is drawn: no number of anybody else moves.

use super::calendar::{TONIGHT, at};
use super::evening::PAIRS;
use super::journal::{COACH, Journal};
use super::names::{self, exercise};
use super::stations::{self, station};
use cornerwork_core::exercise::{
    Cue, Direction, Dose, Exercise, Family, LoadModel, Measure, MeasureKind, Pattern, Permissions,
    Quality, Sides, Span, Unit,
};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::program::{
    Block, Exception, Exceptional, Intensity, Presence, ProgramChange, Purpose, SessionId,
    SessionPlan,
};
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::{Duration, Velocity};
use jiff::civil::{Date, date, time};

const YESTERDAY: Date = date(2026, 9, 22);
const SATURDAY: Date = date(2026, 9, 26);

/// The id of tonight's session.
pub(super) fn tonight() -> Option<SessionId> {
    SessionId::new("2026-09-23-power")
}

pub(super) fn write(journal: &mut Journal) {
    let mut put = |minute, change| {
        journal.write(at(YESTERDAY, 20, minute), COACH, Change::Program(change));
    };
    put(0, ProgramChange::ExercisesEntered(vec![wall_punch()]));
    if let Some(id) = tonight() {
        put(5, ProgramChange::SessionPlanned(session(id, "Power", TONIGHT)));
    }
    if let Some(id) = SessionId::new("2026-09-26-power-short") {
        let mut short = session(id, "Power, short", SATURDAY);
        short.blocks.truncate(3);
        short.minutes = 45;
        put(15, ProgramChange::SessionPlanned(short));
    }
}

/// Tonight's stations and the rules their loads are found by.
fn session(id: SessionId, name: &str, day: Date) -> SessionPlan {
    let metres = Velocity::metres_per_second;
    let window =
        |low, high| Intensity::Velocity { window: Span { low: metres(low), high: metres(high) } };
    let rules = [
        (stations::DEPTH_JUMP, Intensity::BoxRule),
        (stations::THROW, window(2.3, 3.3)),
        (stations::LOADED_JUMP, Intensity::PeakMomentum { share: 1.0 }),
        (stations::JERK, window(1.6, 1.8)),
    ];
    let block = |(number, intensity)| {
        let usual = station(number);
        Block {
            station: number,
            exercise: usual.exercise,
            sets: usual.sets,
            reps: usual.reps,
            rest: usual.rest,
            intensity,
            stop: None,
        }
    };
    let athlete = |code: &&str| cornerwork_core::session::athlete::AthleteId::new(code);
    SessionPlan {
        id,
        name: name.to_owned(),
        purpose: Purpose::Power,
        date: Some(day),
        starts: time(18, 20, 0, 0),
        minutes: 64,
        blocks: rules.map(block).to_vec(),
        people: PAIRS.iter().flatten().filter_map(athlete).map(Presence::whole).collect(),
        exceptions: sore_hand(),
        source: "common practice, no source".to_owned(),
    }
}

/// A05 spares the right hand, the lead hand of a southpaw: throws with the rear, jerks with the
/// left.
fn sore_hand() -> Vec<Exception> {
    let spared = |station, name, side| {
        let athlete = cornerwork_core::session::athlete::AthleteId::new("A05")?;
        let what = Exceptional::Swap { to: exercise(name), only: Some(side) };
        Some(Exception { athlete, station: Some(station), what })
    };
    [
        spared(stations::THROW, names::THROW, Side::Rear),
        spared(stations::JERK, names::JERK, Side::Left),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// An exercise of the gym's own: the old rope works have a wall with a padded post.
fn wall_punch() -> Exercise {
    let once = |low, high| Span { low, high };
    Exercise {
        id: exercise("post-punch-hold"),
        name: "Punch hold on the padded post".to_owned(),
        also_called: vec!["the post".to_owned()],
        family: Family::Holds,
        patterns: vec![Pattern::Push, Pattern::Brace],
        qualities: vec![Quality::EarlyForce],
        test: false,
        sides: Sides::LeadRear,
        measure: Measure {
            kind: MeasureKind::Time,
            direction: Direction::HigherIsBetter,
            unit: Unit::Second,
            decimals: 0,
            hard_si: once(1.0, 60.0),
            usual_si: once(3.0, 20.0),
        },
        also_measured: Vec::new(),
        load_model: LoadModel::Isometric,
        targets: Vec::new(),
        dose: Dose {
            sets: Span { low: 2, high: 3 },
            repetitions: Span { low: 3, high: 3 },
            hold: Some(Span { low: Duration::seconds(3.0), high: Duration::seconds(5.0) }),
            distance: None,
            rest: Span { low: Duration::seconds(60.0), high: Duration::seconds(60.0) },
            intensity: None,
        },
        stop: None,
        cues: vec![
            Cue { text: "Push the post through the wall".to_owned(), for_fault: None },
            Cue { text: "Grow roots, then push".to_owned(), for_fault: None },
        ],
        faults: Vec::new(),
        cautions: vec!["Wrist straight; never on bare knuckles".to_owned()],
        kit: vec!["padded post".to_owned()],
        permissions: Permissions::default(),
        swaps: Vec::new(),
        facts: Vec::new(),
        source: "common practice, no source".to_owned(),
    }
}
