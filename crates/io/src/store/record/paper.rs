//! Sheets printed and reps typed in from them, as they are kept.

use super::kit::LoadRecord;
use super::rep::{RepRecorded, SideRecord};
use super::scalar::{Number, Text, each};
use super::{Record, record};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::paper::{PaperChange, SheetRow};
use cornerwork_core::session::program::SessionId;
use cornerwork_core::units::Length;
use serde::{Deserialize, Serialize};

/// The form in which a change that comes of paper is kept.
pub(super) fn write(change: PaperChange) -> Result<Record, serde_json::Error> {
    match change {
        PaperChange::SheetPrinted { session, rows } => {
            record(&SheetPrinted { session: Text(session), rows: each(rows) })
        }
        PaperChange::RepTyped { session, set, rep, entry } => {
            record(&RepTyped { session: Text(session), set, place: rep, rep: entry.into() })
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct SheetPrinted {
    session: Text<SessionId>,
    rows: Vec<RowRecord>,
}

impl From<SheetPrinted> for Change {
    fn from(SheetPrinted { session, rows }: SheetPrinted) -> Self {
        Self::Paper(PaperChange::SheetPrinted { session: session.0, rows: each(rows) })
    }
}

#[derive(Serialize, Deserialize)]
struct RowRecord {
    station: u8,
    athlete: Text<AthleteId>,
    exercise: Text<ExerciseId>,
    side: Option<SideRecord>,
    load: LoadRecord,
    box_height_m: Option<Number>,
    sets: u32,
    reps: u32,
}

impl From<SheetRow> for RowRecord {
    fn from(row: SheetRow) -> Self {
        let SheetRow { station, athlete, exercise, side, load, box_height, sets, reps } = row;
        Self {
            station,
            athlete: Text(athlete),
            exercise: Text(exercise),
            side: side.map(Into::into),
            load: load.into(),
            box_height_m: box_height.map(|height| Number(height.in_metres())),
            sets,
            reps,
        }
    }
}

impl From<RowRecord> for SheetRow {
    fn from(row: RowRecord) -> Self {
        Self {
            station: row.station,
            athlete: row.athlete.0,
            exercise: row.exercise.0,
            side: row.side.map(Into::into),
            load: row.load.into(),
            box_height: row.box_height_m.map(|height| Length::metres(height.0)),
            sets: row.sets,
            reps: row.reps,
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct RepTyped {
    session: Text<SessionId>,
    set: u32,
    /// Which blank of the set, from 1.
    place: u32,
    /// Beside the others, so that whoever looks for the athlete finds them where reps have them.
    #[serde(flatten)]
    rep: RepRecorded,
}

impl From<RepTyped> for Change {
    fn from(RepTyped { session, set, place, rep }: RepTyped) -> Self {
        let entry = rep.into();
        Self::Paper(PaperChange::RepTyped { session: session.0, set, rep: place, entry })
    }
}
