//! Changes as they are kept: a kind, a version of that kind's record, and a JSON body.
//!
//! The records are types of their own, so the domain may be renamed and reshaped without touching
//! what lies on disk. Field names carry their unit. A field this program does not know is passed
//! over; a kind or a version it does not know is not: half-read history would be worse than none.

mod camp;
mod evening;
mod kit;
mod library;
mod paper;
mod people;
mod program;
mod rep;
mod restriction;
mod safety;
mod scalar;
mod trace;

use camp::{
    BoutCancelled, BoutEntered, BoutMoved, CampPlanned, ContestEntered, DayCleared, DayMarked,
    TravelAgreed, WorkAnswered,
};
use cornerwork_core::session::operation::Change;
use evening::{
    BoxSet, DoneMeanwhile, EveningClosed, EveningOpened, EveningReopened, GroupsRotated, LoadHung,
    SetClosed, TargetSet, TurnTaken,
};
use jiff::Timestamp;
use kit::{BarWeighed, BoxesMeasured, JumpMatCompared, PlatesCounted};
use library::{ExerciseDropped, ExercisesEntered};
use paper::{RepTyped, SheetPrinted};
use people::{AthleteEntered, AthleteEnteredWithAge, BodyMassMeasured, BoutAgreed, GymNamed};
use program::{PresenceChanged, SessionDropped, SessionPlanned};
use rep::{FaultSeen, RepCorrected, RepRecorded, RepSetAside, RepsMoved, Withdrawn};
use restriction::{RestrictionLifted, RestrictionSet};
use safety::{
    AthleteCleared, AthleteForgotten, AthleteStopped, BoxConfirmed, Consented, CycleNoted,
    HeadCoachNamed, LimitAgreed, MedicalNoted, MemberEntered, MemberTakenOver, OutExtended,
    SessionClosed, StopSignSeen,
};
use scalar::{Number, Text, as_texts};
use serde::Serialize;
use serde::de::DeserializeOwned;
use trace::{
    TraceEventMoved, TraceFiled, TraceFiledAnew, TraceReadAs, TraceReadingForgotten,
    TraceReadingNamed, TraceSetAside, TraceTakenBackIn,
};

/// A change in the form that is kept.
pub(super) struct Record {
    /// Kebab-case name of the change; never renamed.
    pub(super) kind: &'static str,
    /// Version of this kind's body.
    pub(super) version: i64,
    /// JSON object.
    pub(super) body: String,
}

/// Why a kept change cannot be read.
pub(super) enum Unreadable {
    /// A kind, or a version of it, that this program does not know.
    UnknownKind,
    /// Not the JSON this kind has.
    Damaged(serde_json::Error),
}

/// A record type: what it is called, and which change it turns back into.
trait Kept: Serialize + DeserializeOwned + Into<Change> {
    const KIND: &'static str;
    const VERSION: i64;
}

macro_rules! kinds {
    ($($kind:literal, $version:literal: $record:ident;)*) => {
        $(impl Kept for $record {
            const KIND: &'static str = $kind;
            const VERSION: i64 = $version;
        })*

        /// The change that was kept, of the version that is written today.
        fn read_latest(kind: &str, version: i64, body: &str) -> Result<Change, Unreadable> {
            match (kind, version) {
                $(($kind, $version) => read_as::<$record>(body),)*
                _ => Err(Unreadable::UnknownKind),
            }
        }
    };
}

kinds! {
    "gym-named", 1: GymNamed;
    "athlete-entered", 2: AthleteEntered;
    "body-mass-measured", 1: BodyMassMeasured;
    "bar-weighed", 2: BarWeighed;
    "plates-counted", 1: PlatesCounted;
    "boxes-measured", 1: BoxesMeasured;
    "jump-mat-compared", 1: JumpMatCompared;
    "bout-agreed", 1: BoutAgreed;
    "bout-entered", 1: BoutEntered;
    "camp-planned", 1: CampPlanned;
    "bout-moved", 1: BoutMoved;
    "bout-cancelled", 1: BoutCancelled;
    "contest-entered", 2: ContestEntered;
    "travel-agreed", 1: TravelAgreed;
    "day-marked", 1: DayMarked;
    "day-cleared", 1: DayCleared;
    "work-answered", 1: WorkAnswered;
    "restriction-set", 1: RestrictionSet;
    "restriction-lifted", 1: RestrictionLifted;
    "target-set", 1: TargetSet;
    "evening-opened", 1: EveningOpened;
    "evening-reopened", 1: EveningReopened;
    "groups-rotated", 1: GroupsRotated;
    "turn-taken", 1: TurnTaken;
    "load-hung", 1: LoadHung;
    "box-set", 1: BoxSet;
    "done-meanwhile", 1: DoneMeanwhile;
    "rep-recorded", 2: RepRecorded;
    "rep-corrected", 1: RepCorrected;
    "reps-moved", 1: RepsMoved;
    "rep-set-aside", 1: RepSetAside;
    "fault-seen", 1: FaultSeen;
    "set-closed", 1: SetClosed;
    "evening-closed", 1: EveningClosed;
    "session-closed", 1: SessionClosed;
    "limit-agreed", 1: LimitAgreed;
    "athlete-stopped", 2: AthleteStopped;
    "out-extended", 1: OutExtended;
    "athlete-cleared", 1: AthleteCleared;
    "stop-sign-seen", 1: StopSignSeen;
    "consented", 1: Consented;
    "box-confirmed", 1: BoxConfirmed;
    "member-entered", 1: MemberEntered;
    "member-taken-over", 1: MemberTakenOver;
    "head-coach-named", 1: HeadCoachNamed;
    "medical-noted", 1: MedicalNoted;
    "cycle-noted", 1: CycleNoted;
    "athlete-forgotten", 1: AthleteForgotten;
    "withdrawn", 1: Withdrawn;
    "exercises-entered", 1: ExercisesEntered;
    "exercise-dropped", 1: ExerciseDropped;
    "session-planned", 1: SessionPlanned;
    "session-dropped", 1: SessionDropped;
    "presence-changed", 1: PresenceChanged;
    "sheet-printed", 1: SheetPrinted;
    "rep-typed", 2: RepTyped;
    "trace-filed", 1: TraceFiled;
    "trace-read-as", 1: TraceReadAs;
    "trace-reading-named", 1: TraceReadingNamed;
    "trace-filed-anew", 1: TraceFiledAnew;
    "trace-event-moved", 1: TraceEventMoved;
    "trace-set-aside", 1: TraceSetAside;
    "trace-taken-back-in", 1: TraceTakenBackIn;
    "trace-reading-forgotten", 1: TraceReadingForgotten;
}

/// The change that was kept at a moment, of any version ever written.
pub(super) fn read(
    kind: &str,
    version: i64,
    body: &str,
    at: Timestamp,
) -> Result<Change, Unreadable> {
    match (kind, version) {
        ("athlete-entered", 1) => serde_json::from_str::<AthleteEnteredWithAge>(body)
            .map(|record| record.entered_at(at))
            .map_err(Unreadable::Damaged),
        ("athlete-stopped", 1) => read_as::<AthleteStopped>(body),
        ("contest-entered", 1) => read_as::<ContestEntered>(body),
        // Had one way to hold the bar.
        ("bar-weighed", 1) => read_as::<BarWeighed>(body),
        // Had no word for a rep that was only seen.
        ("rep-recorded", 1) => read_as::<RepRecorded>(body),
        ("rep-typed", 1) => read_as::<RepTyped>(body),
        _ => read_latest(kind, version, body),
    }
}

fn read_as<R: Kept>(body: &str) -> Result<Change, Unreadable> {
    serde_json::from_str::<R>(body).map(Into::into).map_err(Unreadable::Damaged)
}

fn record<R: Kept>(record: &R) -> Result<Record, serde_json::Error> {
    Ok(Record { kind: R::KIND, version: R::VERSION, body: serde_json::to_string(record)? })
}

/// The form in which a change is kept; an error for a number that is none.
pub(super) fn write(change: Change) -> Result<Record, serde_json::Error> {
    match change {
        Change::GymNamed { name, invented } => record(&GymNamed { name, invented }),
        Change::AthleteEntered(athlete) => record(&AthleteEntered::from(athlete)),
        Change::BodyMassMeasured { athlete, mass, at } => record(&BodyMassMeasured {
            athlete: Text(athlete),
            mass_kg: Number(mass.in_kilograms()),
            at: Text(at),
        }),
        Change::BarWeighed(bar) => record(&BarWeighed(bar)),
        Change::PlatesCounted(rack) => record(&PlatesCounted(rack)),
        Change::BoxesMeasured(heights) => record(&BoxesMeasured::from(heights)),
        Change::JumpMatCompared { reads_high_by, against } => {
            record(&JumpMatCompared { reads_high_by_m: Number(reads_high_by.in_metres()), against })
        }
        Change::BoutAgreed(bout) => record(&BoutAgreed::from(bout)),
        Change::Camp(change) => camp::write(change),
        Change::RestrictionSet(restriction) => record(&RestrictionSet::from(restriction)),
        Change::RestrictionLifted { restriction, cleared_by } => {
            record(&RestrictionLifted { restriction: restriction.0, cleared_by })
        }
        Change::TargetSet { athlete, exercise, target } => record(&TargetSet {
            athlete: Text(athlete),
            exercise: Text(exercise),
            target: target.map(Into::into),
        }),
        Change::EveningOpened(plan) => record(&EveningOpened::from(plan)),
        Change::EveningReopened { evening, plan } => {
            record(&EveningReopened { evening: Text(evening), plan: plan.into() })
        }
        Change::GroupsRotated => record(&GroupsRotated {}),
        Change::TurnTaken { station, athlete } => {
            record(&TurnTaken { station, athlete: Text(athlete) })
        }
        Change::LoadHung { station, athlete, load } => {
            record(&LoadHung { station, athlete: Text(athlete), load: load.into() })
        }
        Change::BoxSet { station, athlete, height } => record(&BoxSet {
            station,
            athlete: Text(athlete),
            height_m: Number(height.in_metres()),
        }),
        Change::DoneMeanwhile { station, athlete, exercise } => {
            record(&DoneMeanwhile { station, athlete: Text(athlete), exercise: exercise.map(Text) })
        }
        Change::RepRecorded(entry) => record(&RepRecorded::from(entry)),
        Change::RepCorrected { rep, value, reason } => {
            record(&RepCorrected { rep: Text(rep), value: value.map(Number), reason })
        }
        Change::RepsMoved { reps, athlete, done_with, reason } => record(&RepsMoved {
            reps: as_texts(reps),
            athlete: Text(athlete),
            done_with: done_with.map(Into::into),
            reason,
        }),
        Change::RepSetAside { rep, reason } => record(&RepSetAside { rep: Text(rep), reason }),
        Change::FaultSeen { rep, fault } => record(&FaultSeen {
            rep: Text(rep),
            tag: Text(fault.tag),
            spoils_number: fault.spoils_number,
        }),
        Change::SetClosed { station, athlete } => {
            record(&SetClosed { station, athlete: Text(athlete) })
        }
        Change::EveningClosed => record(&EveningClosed {}),
        Change::Program(change) => program::write(change),
        Change::Paper(change) => paper::write(change),
        Change::Safety(change) => safety::write(change),
        Change::Trace(change) => trace::write(change),
        Change::Withdrawn { operation, reason } => {
            record(&Withdrawn { operation: Text(operation), reason })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cornerwork_core::camp::safety_change::SafetyChange;

    // As the first version wrote it.
    #[test]
    fn a_stoppage_of_the_first_version_keeps_its_date() {
        let body = r#"{"athlete":"A05","kind":"knocked-out","on":"2026-09-12","body":"amateur",
            "by":{"name":"Wren","role":"coach"},"earliest":"2026-10-10","rule":"28 days"}"#;
        let Ok(Change::Safety(SafetyChange::Stopped(record))) =
            read("athlete-stopped", 1, body, Timestamp::UNIX_EPOCH)
        else {
            panic!("the first version reads");
        };
        assert!(record.date_known);
        assert_eq!(record.end_in_words(), "not before 10 October 2026");
    }
}
