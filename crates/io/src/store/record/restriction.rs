//! Hard stops as they are kept.

use super::rep::SideRecord;
use super::scalar::{Text, as_texts, values};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
pub(super) struct RestrictionSet {
    id: String,
    athlete: Text<AthleteId>,
    barred: BarredRecord,
    from: Text<Date>,
    earliest_end: Option<Text<Date>>,
    needs_clearance: bool,
    ground: String,
    instead: Option<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum BarredRecord {
    Everything,
    Exercises { exercises: Vec<Text<ExerciseId>> },
    OneSide { exercises: Vec<Text<ExerciseId>>, side: SideRecord },
}

impl From<Barred> for BarredRecord {
    fn from(barred: Barred) -> Self {
        match barred {
            Barred::Everything => Self::Everything,
            Barred::Exercises(exercises) => Self::Exercises { exercises: as_texts(exercises) },
            Barred::OneSide { exercises, side } => {
                Self::OneSide { exercises: as_texts(exercises), side: side.into() }
            }
        }
    }
}

impl From<BarredRecord> for Barred {
    fn from(record: BarredRecord) -> Self {
        match record {
            BarredRecord::Everything => Self::Everything,
            BarredRecord::Exercises { exercises } => Self::Exercises(values(exercises)),
            BarredRecord::OneSide { exercises, side } => {
                Self::OneSide { exercises: values(exercises), side: side.into() }
            }
        }
    }
}

impl From<Restriction> for RestrictionSet {
    fn from(restriction: Restriction) -> Self {
        let Restriction {
            id,
            athlete,
            barred,
            from,
            earliest_end,
            needs_clearance,
            ground,
            instead,
        } = restriction;
        Self {
            id: id.0,
            athlete: Text(athlete),
            barred: barred.into(),
            from: Text(from),
            earliest_end: earliest_end.map(Text),
            needs_clearance,
            ground,
            instead,
        }
    }
}

impl From<RestrictionSet> for Change {
    fn from(record: RestrictionSet) -> Self {
        Self::RestrictionSet(Restriction {
            id: RestrictionId(record.id),
            athlete: record.athlete.0,
            barred: record.barred.into(),
            from: record.from.0,
            earliest_end: record.earliest_end.map(|date| date.0),
            needs_clearance: record.needs_clearance,
            ground: record.ground,
            instead: record.instead,
        })
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct RestrictionLifted {
    pub restriction: String,
    pub cleared_by: String,
}

impl From<RestrictionLifted> for Change {
    fn from(RestrictionLifted { restriction, cleared_by }: RestrictionLifted) -> Self {
        Self::RestrictionLifted { restriction: RestrictionId(restriction), cleared_by }
    }
}
