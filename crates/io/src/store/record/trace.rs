//! What was done with recordings, as it is kept.

use super::rep::SideRecord;
use super::scalar::{Number, Text, as_texts, each, values, words};
use super::{Record, record};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::{Change, OperationId};
use cornerwork_core::session::trace::{
    ColumnUse, FiledTrace, Filing, NamedReading, Reading, RecordingHash, TraceChange,
};
use cornerwork_core::trial::{Kind, TrialEvent};
use cornerwork_core::units::{Length, Mass, Quantity};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

words!(KindRecord, Kind { CountermovementJump, SquatJump, DropJump, RepeatedJump, Isometric, Bar });
words!(EventRecord, TrialEvent { Weighing, Onset, TouchDown, TakeOff, Landing });

#[derive(Serialize, Deserialize)]
pub(super) struct TraceFiled {
    hash: Text<RecordingHash>,
    file: String,
    filing: FilingRecord,
    reading: Option<ReadingRecord>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TraceReadAs {
    traces: Vec<Text<OperationId>>,
    reading: ReadingRecord,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TraceReadingNamed {
    name: String,
    heading: Vec<String>,
    reading: ReadingRecord,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TraceReadingForgotten {
    name: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TraceFiledAnew {
    trace: Text<OperationId>,
    filing: FilingRecord,
    reason: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TraceEventMoved {
    trace: Text<OperationId>,
    event: EventRecord,
    from_s: Option<Number>,
    to_s: Option<Number>,
    reason: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TraceSetAside {
    trace: Text<OperationId>,
    reason: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TraceTakenBackIn {
    trace: Text<OperationId>,
    reason: String,
}

#[derive(Serialize, Deserialize)]
struct FilingRecord {
    athlete: Text<AthleteId>,
    kind: KindRecord,
    exercise: Option<Text<ExerciseId>>,
    side: Option<SideRecord>,
    load_kg: Number,
    box_height_m: Option<Number>,
    horizontal: bool,
    ballistic: bool,
    day: Text<Date>,
}

#[derive(Serialize, Deserialize)]
struct ReadingRecord {
    columns: Vec<ColumnRecord>,
    rate_hz: Option<Number>,
    decimal_mark: Option<char>,
    name: Option<String>,
}

#[derive(Serialize, Deserialize)]
struct ColumnRecord {
    role: String,
    column: String,
    unit: Option<String>,
}

impl From<Filing> for FilingRecord {
    fn from(filing: Filing) -> Self {
        let Filing { athlete, kind, exercise, side, load, box_height, horizontal, ballistic, day } =
            filing;
        Self {
            athlete: Text(athlete),
            kind: kind.into(),
            exercise: exercise.map(Text),
            side: side.map(Into::into),
            load_kg: Number(load.in_kilograms()),
            box_height_m: box_height.map(|height| Number(height.si())),
            horizontal,
            ballistic,
            day: Text(day),
        }
    }
}

impl From<FilingRecord> for Filing {
    fn from(record: FilingRecord) -> Self {
        Self {
            athlete: record.athlete.0,
            kind: record.kind.into(),
            exercise: record.exercise.map(|exercise| exercise.0),
            side: record.side.map(Into::into),
            load: Mass::kilograms(record.load_kg.0),
            box_height: record.box_height_m.map(|height| Length::metres(height.0)),
            horizontal: record.horizontal,
            ballistic: record.ballistic,
            day: record.day.0,
        }
    }
}

impl From<Reading> for ReadingRecord {
    fn from(Reading { columns, rate_hz, decimal_mark, name }: Reading) -> Self {
        Self { columns: each(columns), rate_hz: rate_hz.map(Number), decimal_mark, name }
    }
}

impl From<ReadingRecord> for Reading {
    fn from(ReadingRecord { columns, rate_hz, decimal_mark, name }: ReadingRecord) -> Self {
        let rate_hz = rate_hz.map(|rate| rate.0);
        Self { columns: each(columns), rate_hz, decimal_mark, name }
    }
}

impl From<ColumnUse> for ColumnRecord {
    fn from(ColumnUse { role, column, unit }: ColumnUse) -> Self {
        Self { role, column, unit }
    }
}

impl From<ColumnRecord> for ColumnUse {
    fn from(ColumnRecord { role, column, unit }: ColumnRecord) -> Self {
        Self { role, column, unit }
    }
}

/// The form in which a change is kept.
pub(super) fn write(change: TraceChange) -> Result<Record, serde_json::Error> {
    match change {
        TraceChange::Filed(FiledTrace { hash, file, filing, reading }) => record(&TraceFiled {
            hash: Text(hash),
            file,
            filing: filing.into(),
            reading: reading.map(Into::into),
        }),
        TraceChange::ReadAs { traces, reading } => {
            record(&TraceReadAs { traces: as_texts(traces), reading: reading.into() })
        }
        TraceChange::ReadingNamed(NamedReading { name, heading, reading }) => {
            record(&TraceReadingNamed { name, heading, reading: reading.into() })
        }
        TraceChange::ReadingForgotten { name } => record(&TraceReadingForgotten { name }),
        TraceChange::FiledAnew { trace, filing, reason } => {
            record(&TraceFiledAnew { trace: Text(trace), filing: filing.into(), reason })
        }
        TraceChange::EventMoved { trace, event, from_s, to_s, reason } => {
            record(&TraceEventMoved {
                trace: Text(trace),
                event: event.into(),
                from_s: from_s.map(Number),
                to_s: to_s.map(Number),
                reason,
            })
        }
        TraceChange::SetAside { trace, reason } => {
            record(&TraceSetAside { trace: Text(trace), reason })
        }
        TraceChange::TakenBackIn { trace, reason } => {
            record(&TraceTakenBackIn { trace: Text(trace), reason })
        }
    }
}

impl From<TraceFiled> for Change {
    fn from(TraceFiled { hash, file, filing, reading }: TraceFiled) -> Self {
        Self::Trace(TraceChange::Filed(FiledTrace {
            hash: hash.0,
            file,
            filing: filing.into(),
            reading: reading.map(Into::into),
        }))
    }
}

impl From<TraceReadAs> for Change {
    fn from(TraceReadAs { traces, reading }: TraceReadAs) -> Self {
        let reading = reading.into();
        Self::Trace(TraceChange::ReadAs { traces: values(traces), reading })
    }
}

impl From<TraceReadingNamed> for Change {
    fn from(TraceReadingNamed { name, heading, reading }: TraceReadingNamed) -> Self {
        let reading = reading.into();
        Self::Trace(TraceChange::ReadingNamed(NamedReading { name, heading, reading }))
    }
}

impl From<TraceReadingForgotten> for Change {
    fn from(TraceReadingForgotten { name }: TraceReadingForgotten) -> Self {
        Self::Trace(TraceChange::ReadingForgotten { name })
    }
}

impl From<TraceFiledAnew> for Change {
    fn from(TraceFiledAnew { trace, filing, reason }: TraceFiledAnew) -> Self {
        Self::Trace(TraceChange::FiledAnew { trace: trace.0, filing: filing.into(), reason })
    }
}

impl From<TraceEventMoved> for Change {
    fn from(record: TraceEventMoved) -> Self {
        Self::Trace(TraceChange::EventMoved {
            trace: record.trace.0,
            event: record.event.into(),
            from_s: record.from_s.map(|time| time.0),
            to_s: record.to_s.map(|time| time.0),
            reason: record.reason,
        })
    }
}

impl From<TraceSetAside> for Change {
    fn from(TraceSetAside { trace, reason }: TraceSetAside) -> Self {
        Self::Trace(TraceChange::SetAside { trace: trace.0, reason })
    }
}

impl From<TraceTakenBackIn> for Change {
    fn from(TraceTakenBackIn { trace, reason }: TraceTakenBackIn) -> Self {
        Self::Trace(TraceChange::TakenBackIn { trace: trace.0, reason })
    }
}
