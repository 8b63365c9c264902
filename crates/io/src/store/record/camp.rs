//! Bouts and camps as they are kept.

use super::safety::{AthleteStopped, StoppageKindRecord};
use super::scalar::{Text, as_texts, each, values, words};
use super::{Record, record};
use cornerwork_core::camp::bout_facts::{BoutFacts, Rounds, Standing};
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::contest::{Contest, Outcome};
use cornerwork_core::camp::phase::{Phase, PhaseKind};
use cornerwork_core::camp::travel::Journey;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::operation::Change;
use jiff::civil::{Date, DateTime, Time, Weekday};
use serde::{Deserialize, Serialize};

words!(StandingRecord, Standing { Offered, Confirmed });
words!(MarkRecord, Mark { Sparring, NoSparring, Test, Travel, WeighIn, Off });
words!(KindRecord, PhaseKind { General, Strength, StrengthSpeed, Power, Taper, Recovery });
words!(WeekdayRecord, Weekday { Monday, Tuesday, Wednesday, Thursday, Friday, Saturday, Sunday });

#[derive(Serialize, Deserialize)]
pub(super) struct BoutEntered {
    id: String,
    name: String,
    date: Text<Date>,
    athletes: Vec<Text<AthleteId>>,
    standing: StandingRecord,
    more_days: Vec<Text<Date>>,
    zone: Option<String>,
    first_bell: Option<Text<Time>>,
    /// Not in entries of versions before it could be said.
    weigh_in_at: Option<Text<Time>>,
    rounds: Option<RoundsRecord>,
    remark: String,
}

#[derive(Serialize, Deserialize)]
struct RoundsRecord {
    count: u8,
    minutes: u8,
}

#[derive(Serialize, Deserialize)]
struct PhaseRecord {
    kind: KindRecord,
    from: Text<Date>,
    to: Text<Date>,
}

#[derive(Serialize, Deserialize)]
struct PlanRecord {
    phases: Vec<PhaseRecord>,
    sparring: Vec<WeekdayRecord>,
    marks: Vec<(Text<Date>, MarkRecord)>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct CampPlanned {
    bout: String,
    plan: PlanRecord,
}

#[derive(Serialize, Deserialize)]
pub(super) struct BoutMoved {
    bout: String,
    athletes: Vec<Text<AthleteId>>,
    into: String,
    to: Text<Date>,
    plan: PlanRecord,
    reason: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct BoutCancelled {
    bout: String,
    athletes: Vec<Text<AthleteId>>,
    reason: String,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum OutcomeRecord {
    Won,
    Lost,
    Drawn,
    NoContest,
    Walkover,
    Withdrew,
    Stopped(StoppageKindRecord),
}

#[derive(Serialize, Deserialize)]
pub(super) struct ContestEntered {
    bout: String,
    athlete: Text<AthleteId>,
    day: Text<Date>,
    opponent: String,
    outcome: Option<OutcomeRecord>,
    stoppage: Option<AthleteStopped>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct TravelAgreed {
    bout: String,
    journey: Option<JourneyRecord>,
}

/// Departure by the gym's clock, arrival by the venue's.
#[derive(Serialize, Deserialize)]
struct JourneyRecord {
    leaves: Text<DateTime>,
    arrives: Text<DateTime>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct DayMarked {
    bout: String,
    date: Text<Date>,
    mark: MarkRecord,
}

#[derive(Serialize, Deserialize)]
pub(super) struct WorkAnswered {
    athlete: Text<AthleteId>,
    date: Text<Date>,
    exercise: Text<ExerciseId>,
    reason: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct DayCleared {
    bout: String,
    date: Text<Date>,
    mark: MarkRecord,
}

impl From<Phase> for PhaseRecord {
    fn from(Phase { kind, from, to }: Phase) -> Self {
        Self { kind: kind.into(), from: Text(from), to: Text(to) }
    }
}

impl From<PhaseRecord> for Phase {
    fn from(PhaseRecord { kind, from, to }: PhaseRecord) -> Self {
        Self { kind: kind.into(), from: from.0, to: to.0 }
    }
}

impl From<CampPlan> for PlanRecord {
    fn from(CampPlan { phases, sparring, marks }: CampPlan) -> Self {
        let marks = marks.into_iter().map(|(day, mark)| (Text(day), mark.into())).collect();
        Self { phases: each(phases), sparring: each(sparring), marks }
    }
}

impl From<PlanRecord> for CampPlan {
    fn from(PlanRecord { phases, sparring, marks }: PlanRecord) -> Self {
        let marks = marks.into_iter().map(|(day, mark)| (day.0, mark.into())).collect();
        Self { phases: each(phases), sparring: each(sparring), marks }
    }
}

/// The form in which a change of camps is kept.
pub(super) fn write(change: CampChange) -> Result<Record, serde_json::Error> {
    match change {
        CampChange::BoutEntered { bout, facts } => record(&entered(bout, facts)),
        CampChange::CampPlanned { bout, plan } => record(&CampPlanned { bout, plan: plan.into() }),
        CampChange::BoutMoved { bout, athletes, into, to, plan, reason } => record(&BoutMoved {
            bout,
            athletes: as_texts(athletes),
            into,
            to: Text(to),
            plan: plan.into(),
            reason,
        }),
        CampChange::BoutCancelled { bout, athletes, reason } => {
            record(&BoutCancelled { bout, athletes: as_texts(athletes), reason })
        }
        CampChange::ContestEntered { bout, contest, stoppage } => record(&ContestEntered {
            bout,
            athlete: Text(contest.athlete),
            day: Text(contest.day),
            opponent: contest.opponent,
            outcome: contest.outcome.map(Into::into),
            stoppage: stoppage.map(Into::into),
        }),
        CampChange::TravelAgreed { bout, journey } => record(&TravelAgreed {
            bout,
            journey: journey.map(|Journey { leaves, arrives }| JourneyRecord {
                leaves: Text(leaves),
                arrives: Text(arrives),
            }),
        }),
        CampChange::DayMarked { bout, date, mark } => {
            record(&DayMarked { bout, date: Text(date), mark: mark.into() })
        }
        CampChange::WorkAnswered { athlete, date, exercise, reason } => record(&WorkAnswered {
            athlete: Text(athlete),
            date: Text(date),
            exercise: Text(exercise),
            reason,
        }),
        CampChange::DayCleared { bout, date, mark } => {
            record(&DayCleared { bout, date: Text(date), mark: mark.into() })
        }
    }
}

fn entered(bout: Bout, facts: BoutFacts) -> BoutEntered {
    let Bout { id, name, date, athletes } = bout;
    let BoutFacts { standing, more_days, zone, first_bell, weigh_in_at, rounds, remark } = facts;
    BoutEntered {
        id,
        name,
        date: Text(date),
        athletes: as_texts(athletes),
        standing: standing.into(),
        more_days: as_texts(more_days),
        zone,
        first_bell: first_bell.map(Text),
        weigh_in_at: weigh_in_at.map(Text),
        rounds: rounds.map(|Rounds { count, minutes }| RoundsRecord { count, minutes }),
        remark,
    }
}

impl From<BoutEntered> for Change {
    fn from(record: BoutEntered) -> Self {
        let rounds = record.rounds.map(|RoundsRecord { count, minutes }| Rounds { count, minutes });
        Self::Camp(CampChange::BoutEntered {
            bout: Bout {
                id: record.id,
                name: record.name,
                date: record.date.0,
                athletes: values(record.athletes),
            },
            facts: BoutFacts {
                standing: record.standing.into(),
                more_days: values(record.more_days),
                zone: record.zone,
                first_bell: record.first_bell.map(|bell| bell.0),
                weigh_in_at: record.weigh_in_at.map(|time| time.0),
                rounds,
                remark: record.remark,
            },
        })
    }
}

impl From<CampPlanned> for Change {
    fn from(CampPlanned { bout, plan }: CampPlanned) -> Self {
        Self::Camp(CampChange::CampPlanned { bout, plan: plan.into() })
    }
}

impl From<BoutMoved> for Change {
    fn from(BoutMoved { bout, athletes, into, to, plan, reason }: BoutMoved) -> Self {
        let (athletes, plan) = (values(athletes), plan.into());
        Self::Camp(CampChange::BoutMoved { bout, athletes, into, to: to.0, plan, reason })
    }
}

impl From<BoutCancelled> for Change {
    fn from(BoutCancelled { bout, athletes, reason }: BoutCancelled) -> Self {
        Self::Camp(CampChange::BoutCancelled { bout, athletes: values(athletes), reason })
    }
}

impl From<Outcome> for OutcomeRecord {
    fn from(outcome: Outcome) -> Self {
        match outcome {
            Outcome::Won => Self::Won,
            Outcome::Lost => Self::Lost,
            Outcome::Drawn => Self::Drawn,
            Outcome::NoContest => Self::NoContest,
            Outcome::Walkover => Self::Walkover,
            Outcome::Withdrew => Self::Withdrew,
            Outcome::Stopped(kind) => Self::Stopped(kind.into()),
        }
    }
}

impl From<OutcomeRecord> for Outcome {
    fn from(record: OutcomeRecord) -> Self {
        match record {
            OutcomeRecord::Won => Self::Won,
            OutcomeRecord::Lost => Self::Lost,
            OutcomeRecord::Drawn => Self::Drawn,
            OutcomeRecord::NoContest => Self::NoContest,
            OutcomeRecord::Walkover => Self::Walkover,
            OutcomeRecord::Withdrew => Self::Withdrew,
            OutcomeRecord::Stopped(kind) => Self::Stopped(kind.into()),
        }
    }
}

impl From<ContestEntered> for Change {
    fn from(record: ContestEntered) -> Self {
        let contest = Contest {
            athlete: record.athlete.0,
            day: record.day.0,
            opponent: record.opponent,
            outcome: record.outcome.map(Into::into),
        };
        let (bout, stoppage) = (record.bout, record.stoppage.map(Into::into));
        Self::Camp(CampChange::ContestEntered { bout, contest, stoppage })
    }
}

impl From<TravelAgreed> for Change {
    fn from(TravelAgreed { bout, journey }: TravelAgreed) -> Self {
        let journey = journey.map(|JourneyRecord { leaves, arrives }| Journey {
            leaves: leaves.0,
            arrives: arrives.0,
        });
        Self::Camp(CampChange::TravelAgreed { bout, journey })
    }
}

impl From<DayMarked> for Change {
    fn from(DayMarked { bout, date, mark }: DayMarked) -> Self {
        Self::Camp(CampChange::DayMarked { bout, date: date.0, mark: mark.into() })
    }
}

impl From<WorkAnswered> for Change {
    fn from(WorkAnswered { athlete, date, exercise, reason }: WorkAnswered) -> Self {
        let (athlete, date, exercise) = (athlete.0, date.0, exercise.0);
        Self::Camp(CampChange::WorkAnswered { athlete, date, exercise, reason })
    }
}

impl From<DayCleared> for Change {
    fn from(DayCleared { bout, date, mark }: DayCleared) -> Self {
        Self::Camp(CampChange::DayCleared { bout, date: date.0, mark: mark.into() })
    }
}
