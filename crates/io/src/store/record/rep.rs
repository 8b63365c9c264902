//! Reps and what is mended on them, as they are kept.

use super::kit::LoadRecord;
use super::scalar::{Number, Text, values, words};
use cornerwork_core::exercise::{ExerciseId, FaultTag};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::{Change, OperationId};
use cornerwork_core::session::rep::{DoneWith, Method, RepEntry, Seen, SeenFault, Side};
use cornerwork_core::units::{Duration, Length};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

words!(SideRecord, Side { Left, Right, Lead, Rear });

/// How a rep was measured, or how it looked.
#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum MethodRecord {
    FlightTime,
    TakeOffVelocity,
    Sensor,
    ByHand,
    // Since version 2.
    LookedFast,
    LookedAsWanted,
    LookedSlow,
}

impl From<Method> for MethodRecord {
    fn from(method: Method) -> Self {
        match method {
            Method::FlightTime => Self::FlightTime,
            Method::TakeOffVelocity => Self::TakeOffVelocity,
            Method::Sensor => Self::Sensor,
            Method::ByHand => Self::ByHand,
            Method::ByEye(Seen::Fast) => Self::LookedFast,
            Method::ByEye(Seen::AsWanted) => Self::LookedAsWanted,
            Method::ByEye(Seen::Slow) => Self::LookedSlow,
        }
    }
}

impl From<MethodRecord> for Method {
    fn from(record: MethodRecord) -> Self {
        match record {
            MethodRecord::FlightTime => Self::FlightTime,
            MethodRecord::TakeOffVelocity => Self::TakeOffVelocity,
            MethodRecord::Sensor => Self::Sensor,
            MethodRecord::ByHand => Self::ByHand,
            MethodRecord::LookedFast => Self::ByEye(Seen::Fast),
            MethodRecord::LookedAsWanted => Self::ByEye(Seen::AsWanted),
            MethodRecord::LookedSlow => Self::ByEye(Seen::Slow),
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct RepRecorded {
    athlete: Text<AthleteId>,
    exercise: Text<ExerciseId>,
    station: Option<u8>,
    load: LoadRecord,
    box_height_m: Option<Number>,
    side: Option<SideRecord>,
    /// The exercise's measure in SI units.
    value: Option<Number>,
    contact_time_s: Option<Number>,
    method: MethodRecord,
    at: Text<Timestamp>,
}

impl From<RepEntry> for RepRecorded {
    fn from(entry: RepEntry) -> Self {
        let RepEntry {
            athlete,
            exercise,
            station,
            load,
            box_height,
            side,
            value,
            contact_time,
            method,
            at,
        } = entry;
        Self {
            athlete: Text(athlete),
            exercise: Text(exercise),
            station,
            load: load.into(),
            box_height_m: box_height.map(|height| Number(height.in_metres())),
            side: side.map(Into::into),
            value: value.map(Number),
            contact_time_s: contact_time.map(|time| Number(time.in_seconds())),
            method: method.into(),
            at: Text(at),
        }
    }
}

impl From<RepRecorded> for RepEntry {
    fn from(record: RepRecorded) -> Self {
        Self {
            athlete: record.athlete.0,
            exercise: record.exercise.0,
            station: record.station,
            load: record.load.into(),
            box_height: record.box_height_m.map(|height| Length::metres(height.0)),
            side: record.side.map(Into::into),
            value: record.value.map(|value| value.0),
            contact_time: record.contact_time_s.map(|time| Duration::seconds(time.0)),
            method: record.method.into(),
            at: record.at.0,
        }
    }
}

impl From<RepRecorded> for Change {
    fn from(record: RepRecorded) -> Self {
        Self::RepRecorded(record.into())
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct RepCorrected {
    pub rep: Text<OperationId>,
    pub value: Option<Number>,
    pub reason: String,
}

impl From<RepCorrected> for Change {
    fn from(RepCorrected { rep, value, reason }: RepCorrected) -> Self {
        Self::RepCorrected { rep: rep.0, value: value.map(|value| value.0), reason }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct RepsMoved {
    pub reps: Vec<Text<OperationId>>,
    pub athlete: Text<AthleteId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done_with: Option<DoneWithRecord>,
    pub reason: String,
}

impl From<RepsMoved> for Change {
    fn from(RepsMoved { reps, athlete, done_with, reason }: RepsMoved) -> Self {
        let done_with = done_with.map(DoneWith::from);
        Self::RepsMoved { reps: values(reps), athlete: athlete.0, done_with, reason }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct DoneWithRecord {
    pub load: LoadRecord,
    pub box_height_m: Option<Number>,
}

impl From<DoneWith> for DoneWithRecord {
    fn from(DoneWith { load, box_height }: DoneWith) -> Self {
        Self { load: load.into(), box_height_m: box_height.map(|it| Number(it.in_metres())) }
    }
}

impl From<DoneWithRecord> for DoneWith {
    fn from(DoneWithRecord { load, box_height_m }: DoneWithRecord) -> Self {
        Self { load: load.into(), box_height: box_height_m.map(|it| Length::metres(it.0)) }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct RepSetAside {
    pub rep: Text<OperationId>,
    pub reason: String,
}

impl From<RepSetAside> for Change {
    fn from(RepSetAside { rep, reason }: RepSetAside) -> Self {
        Self::RepSetAside { rep: rep.0, reason }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct FaultSeen {
    pub rep: Text<OperationId>,
    pub tag: Text<FaultTag>,
    pub spoils_number: bool,
}

impl From<FaultSeen> for Change {
    fn from(FaultSeen { rep, tag, spoils_number }: FaultSeen) -> Self {
        Self::FaultSeen { rep: rep.0, fault: SeenFault { tag: tag.0, spoils_number } }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct Withdrawn {
    pub operation: Text<OperationId>,
    pub reason: String,
}

impl From<Withdrawn> for Change {
    fn from(Withdrawn { operation, reason }: Withdrawn) -> Self {
        Self::Withdrawn { operation: operation.0, reason }
    }
}
