//! The plan of an evening and what moves on it, as they are kept.

use super::kit::LoadRecord;
use super::scalar::{Number, Text, as_texts, each, values};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::{EveningPlan, Station, Target};
use cornerwork_core::session::operation::{Change, OperationId};
use cornerwork_core::session::program::{Round, SessionId};
use cornerwork_core::units::{Duration, Length};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
pub(super) struct EveningOpened {
    date: Text<Date>,
    stations: Vec<StationRecord>,
    groups: Vec<Vec<Text<AthleteId>>>,
    /// Evenings were opened without a planned session before there were any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    session: Option<Text<SessionId>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    rounds: Vec<RoundRecord>,
}

/// For each station those who work there in one round.
pub(super) type RoundRecord = Vec<Vec<Text<AthleteId>>>;

pub(super) fn rounds_as_texts(rounds: Vec<Round>) -> Vec<RoundRecord> {
    rounds.into_iter().map(|round| round.into_iter().map(as_texts).collect()).collect()
}

pub(super) fn rounds(records: Vec<RoundRecord>) -> Vec<Round> {
    records.into_iter().map(|round| round.into_iter().map(values).collect()).collect()
}

#[derive(Serialize, Deserialize)]
struct StationRecord {
    number: u8,
    exercise: Text<ExerciseId>,
    bars: Vec<String>,
    sets: u32,
    reps: u32,
    rest_s: Number,
}

impl From<Station> for StationRecord {
    fn from(Station { number, exercise, bars, sets, reps, rest }: Station) -> Self {
        let rest_s = Number(rest.in_seconds());
        Self { number, exercise: Text(exercise), bars, sets, reps, rest_s }
    }
}

impl From<StationRecord> for Station {
    fn from(record: StationRecord) -> Self {
        let StationRecord { number, exercise, bars, sets, reps, rest_s } = record;
        let rest = Duration::seconds(rest_s.0);
        Self { number, exercise: exercise.0, bars, sets, reps, rest }
    }
}

impl From<EveningPlan> for EveningOpened {
    fn from(EveningPlan { date, stations, groups, session, rounds }: EveningPlan) -> Self {
        Self {
            date: Text(date),
            stations: each(stations),
            groups: groups.into_iter().map(as_texts).collect(),
            session: session.map(Text),
            rounds: rounds_as_texts(rounds),
        }
    }
}

impl From<EveningOpened> for EveningPlan {
    fn from(record: EveningOpened) -> Self {
        Self {
            date: record.date.0,
            stations: each(record.stations),
            groups: record.groups.into_iter().map(values).collect(),
            session: record.session.map(|session| session.0),
            rounds: rounds(record.rounds),
        }
    }
}

impl From<EveningOpened> for Change {
    fn from(record: EveningOpened) -> Self {
        Self::EveningOpened(record.into())
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct EveningReopened {
    pub evening: Text<OperationId>,
    pub plan: EveningOpened,
}

impl From<EveningReopened> for Change {
    fn from(EveningReopened { evening, plan }: EveningReopened) -> Self {
        Self::EveningReopened { evening: evening.0, plan: plan.into() }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct GroupsRotated {}

impl From<GroupsRotated> for Change {
    fn from(GroupsRotated {}: GroupsRotated) -> Self {
        Self::GroupsRotated
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct EveningClosed {}

impl From<EveningClosed> for Change {
    fn from(EveningClosed {}: EveningClosed) -> Self {
        Self::EveningClosed
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct TurnTaken {
    pub station: u8,
    pub athlete: Text<AthleteId>,
}

impl From<TurnTaken> for Change {
    fn from(TurnTaken { station, athlete }: TurnTaken) -> Self {
        Self::TurnTaken { station, athlete: athlete.0 }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct SetClosed {
    pub station: u8,
    pub athlete: Text<AthleteId>,
}

impl From<SetClosed> for Change {
    fn from(SetClosed { station, athlete }: SetClosed) -> Self {
        Self::SetClosed { station, athlete: athlete.0 }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct LoadHung {
    pub station: u8,
    pub athlete: Text<AthleteId>,
    pub load: LoadRecord,
}

impl From<LoadHung> for Change {
    fn from(LoadHung { station, athlete, load }: LoadHung) -> Self {
        Self::LoadHung { station, athlete: athlete.0, load: load.into() }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct DoneMeanwhile {
    pub station: u8,
    pub athlete: Text<AthleteId>,
    pub exercise: Option<Text<ExerciseId>>,
}

impl From<DoneMeanwhile> for Change {
    fn from(DoneMeanwhile { station, athlete, exercise }: DoneMeanwhile) -> Self {
        let exercise = exercise.map(|exercise| exercise.0);
        Self::DoneMeanwhile { station, athlete: athlete.0, exercise }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct BoxSet {
    pub station: u8,
    pub athlete: Text<AthleteId>,
    pub height_m: Number,
}

impl From<BoxSet> for Change {
    fn from(BoxSet { station, athlete, height_m }: BoxSet) -> Self {
        Self::BoxSet { station, athlete: athlete.0, height: Length::metres(height_m.0) }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct TargetSet {
    pub athlete: Text<AthleteId>,
    pub exercise: Text<ExerciseId>,
    pub target: Option<TargetRecord>,
}

/// A target in SI units of the exercise's measure.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum TargetRecord {
    AtLeast { value: Number },
    Window { low: Number, high: Number },
}

impl From<Target> for TargetRecord {
    fn from(target: Target) -> Self {
        match target {
            Target::AtLeast(value) => Self::AtLeast { value: Number(value) },
            Target::Window { low, high } => Self::Window { low: Number(low), high: Number(high) },
        }
    }
}

impl From<TargetRecord> for Target {
    fn from(record: TargetRecord) -> Self {
        match record {
            TargetRecord::AtLeast { value } => Self::AtLeast(value.0),
            TargetRecord::Window { low, high } => Self::Window { low: low.0, high: high.0 },
        }
    }
}

impl From<TargetSet> for Change {
    fn from(TargetSet { athlete, exercise, target }: TargetSet) -> Self {
        Self::TargetSet { athlete: athlete.0, exercise: exercise.0, target: target.map(Into::into) }
    }
}
