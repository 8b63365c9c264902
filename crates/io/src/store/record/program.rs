//! Planned sessions and who comes, as they are kept.

use super::evening::{RoundRecord, rounds, rounds_as_texts};
use super::library::{ExerciseDropped, ExercisesEntered, StopRecord};
use super::rep::SideRecord;
use super::scalar::{Number, Text, each, words};
use super::{Record, record};
use cornerwork_core::exercise::{ExerciseId, Span};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::program::{
    Block, Exception, Exceptional, Intensity, Presence, ProgramChange, Purpose, SessionId,
    SessionPlan,
};
use cornerwork_core::units::{Duration, Mass, Velocity};
use jiff::civil::{Date, Time};
use serde::{Deserialize, Serialize};

/// The form in which a change of the program is kept.
pub(super) fn write(change: ProgramChange) -> Result<Record, serde_json::Error> {
    match change {
        ProgramChange::ExercisesEntered(exercises) => {
            record(&ExercisesEntered { exercises: each(exercises) })
        }
        ProgramChange::ExerciseDropped(id) => record(&ExerciseDropped { exercise: Text(id) }),
        ProgramChange::SessionPlanned(plan) => record(&SessionPlanned::from(plan)),
        ProgramChange::SessionDropped(id) => record(&SessionDropped { session: Text(id) }),
        ProgramChange::PresenceChanged { session, presence, rounds } => record(&PresenceChanged {
            session: Text(session),
            presence: presence.into(),
            rounds: rounds_as_texts(rounds),
        }),
    }
}

words!(PurposeRecord, Purpose { Strength, StrengthSpeed, Power, Taper, Test, Own });

#[derive(Serialize, Deserialize)]
pub(super) struct SessionPlanned {
    id: Text<SessionId>,
    name: String,
    purpose: PurposeRecord,
    date: Option<Text<Date>>,
    starts: Text<Time>,
    minutes: u16,
    blocks: Vec<BlockRecord>,
    people: Vec<PresenceRecord>,
    exceptions: Vec<ExceptionRecord>,
    source: String,
}

impl From<SessionPlan> for SessionPlanned {
    fn from(plan: SessionPlan) -> Self {
        Self {
            id: Text(plan.id),
            name: plan.name,
            purpose: plan.purpose.into(),
            date: plan.date.map(Text),
            starts: Text(plan.starts),
            minutes: plan.minutes,
            blocks: each(plan.blocks),
            people: each(plan.people),
            exceptions: each(plan.exceptions),
            source: plan.source,
        }
    }
}

impl From<SessionPlanned> for Change {
    fn from(record: SessionPlanned) -> Self {
        Self::Program(ProgramChange::SessionPlanned(SessionPlan {
            id: record.id.0,
            name: record.name,
            purpose: record.purpose.into(),
            date: record.date.map(|date| date.0),
            starts: record.starts.0,
            minutes: record.minutes,
            blocks: each(record.blocks),
            people: each(record.people),
            exceptions: each(record.exceptions),
            source: record.source,
        }))
    }
}

#[derive(Serialize, Deserialize)]
struct BlockRecord {
    station: u8,
    exercise: Text<ExerciseId>,
    sets: u32,
    reps: u32,
    rest_s: Number,
    intensity: IntensityRecord,
    stop: Option<StopRecord>,
}

impl From<Block> for BlockRecord {
    fn from(block: Block) -> Self {
        Self {
            station: block.station,
            exercise: Text(block.exercise),
            sets: block.sets,
            reps: block.reps,
            rest_s: Number(block.rest.in_seconds()),
            intensity: block.intensity.into(),
            stop: block.stop.map(Into::into),
        }
    }
}

impl From<BlockRecord> for Block {
    fn from(record: BlockRecord) -> Self {
        Self {
            station: record.station,
            exercise: record.exercise.0,
            sets: record.sets,
            reps: record.reps,
            rest: Duration::seconds(record.rest_s.0),
            intensity: record.intensity.into(),
            stop: record.stop.map(Into::into),
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum IntensityRecord {
    PeakMomentum { share: Number },
    Velocity { low_m_s: Number, high_m_s: Number },
    OneRepMax { share: Number },
    BoxRule,
    Isometric { hold_s: Number },
    Fixed { load_kg: Number },
    BodyWeight,
}

impl From<Intensity> for IntensityRecord {
    fn from(intensity: Intensity) -> Self {
        match intensity {
            Intensity::PeakMomentum { share } => Self::PeakMomentum { share: Number(share) },
            Intensity::Velocity { window } => Self::Velocity {
                low_m_s: Number(window.low.in_metres_per_second()),
                high_m_s: Number(window.high.in_metres_per_second()),
            },
            Intensity::OneRepMax { share } => Self::OneRepMax { share: Number(share) },
            Intensity::BoxRule => Self::BoxRule,
            Intensity::Isometric { hold } => Self::Isometric { hold_s: Number(hold.in_seconds()) },
            Intensity::Fixed { load } => Self::Fixed { load_kg: Number(load.in_kilograms()) },
            Intensity::BodyWeight => Self::BodyWeight,
        }
    }
}

impl From<IntensityRecord> for Intensity {
    fn from(record: IntensityRecord) -> Self {
        let metres = |number: Number| Velocity::metres_per_second(number.0);
        match record {
            IntensityRecord::PeakMomentum { share } => Self::PeakMomentum { share: share.0 },
            IntensityRecord::Velocity { low_m_s, high_m_s } => {
                Self::Velocity { window: Span { low: metres(low_m_s), high: metres(high_m_s) } }
            }
            IntensityRecord::OneRepMax { share } => Self::OneRepMax { share: share.0 },
            IntensityRecord::BoxRule => Self::BoxRule,
            IntensityRecord::Isometric { hold_s } => {
                Self::Isometric { hold: Duration::seconds(hold_s.0) }
            }
            IntensityRecord::Fixed { load_kg } => Self::Fixed { load: Mass::kilograms(load_kg.0) },
            IntensityRecord::BodyWeight => Self::BodyWeight,
        }
    }
}

#[derive(Serialize, Deserialize)]
struct PresenceRecord {
    athlete: Text<AthleteId>,
    from_minute: u16,
    until_minute: Option<u16>,
}

impl From<Presence> for PresenceRecord {
    fn from(Presence { athlete, from_minute, until_minute }: Presence) -> Self {
        Self { athlete: Text(athlete), from_minute, until_minute }
    }
}

impl From<PresenceRecord> for Presence {
    fn from(PresenceRecord { athlete, from_minute, until_minute }: PresenceRecord) -> Self {
        Self { athlete: athlete.0, from_minute, until_minute }
    }
}

#[derive(Serialize, Deserialize)]
struct ExceptionRecord {
    athlete: Text<AthleteId>,
    station: Option<u8>,
    what: ExceptionalRecord,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum ExceptionalRecord {
    Swap { to: Text<ExerciseId>, only: Option<SideRecord> },
    LeftOut,
    Confirmed { reason: String },
    Lighter { fraction: Number },
}

impl From<Exception> for ExceptionRecord {
    fn from(Exception { athlete, station, what }: Exception) -> Self {
        let what = match what {
            Exceptional::Swap { to, only } => {
                ExceptionalRecord::Swap { to: Text(to), only: only.map(Into::into) }
            }
            Exceptional::LeftOut => ExceptionalRecord::LeftOut,
            Exceptional::Confirmed { reason } => ExceptionalRecord::Confirmed { reason },
            Exceptional::Lighter { fraction } => {
                ExceptionalRecord::Lighter { fraction: Number(fraction) }
            }
        };
        Self { athlete: Text(athlete), station, what }
    }
}

impl From<ExceptionRecord> for Exception {
    fn from(ExceptionRecord { athlete, station, what }: ExceptionRecord) -> Self {
        let what = match what {
            ExceptionalRecord::Swap { to, only } => {
                Exceptional::Swap { to: to.0, only: only.map(Into::into) }
            }
            ExceptionalRecord::LeftOut => Exceptional::LeftOut,
            ExceptionalRecord::Confirmed { reason } => Exceptional::Confirmed { reason },
            ExceptionalRecord::Lighter { fraction } => {
                Exceptional::Lighter { fraction: fraction.0 }
            }
        };
        Self { athlete: athlete.0, station, what }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct SessionDropped {
    session: Text<SessionId>,
}

impl From<SessionDropped> for Change {
    fn from(SessionDropped { session }: SessionDropped) -> Self {
        Self::Program(ProgramChange::SessionDropped(session.0))
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct PresenceChanged {
    session: Text<SessionId>,
    presence: PresenceRecord,
    rounds: Vec<RoundRecord>,
}

impl From<PresenceChanged> for Change {
    fn from(record: PresenceChanged) -> Self {
        Self::Program(ProgramChange::PresenceChanged {
            session: record.session.0,
            presence: record.presence.into(),
            rounds: rounds(record.rounds),
        })
    }
}
