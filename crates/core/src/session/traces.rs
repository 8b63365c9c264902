//! All recordings of the gym as they stand, and what may be done to them.

use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::operation::{Operation, OperationId};
use crate::session::refusal::Refusal;
use crate::session::trace::{
    FiledTrace, Filing, NamedReading, Reading, RecordingHash, TraceChange,
};
use crate::trial::{Kind, MovedEvents, TrialEvent};
use crate::units::Mass;
use jiff::Timestamp;
use std::collections::{BTreeMap, HashMap};

/// One recording as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct FiledRecording {
    /// The operation that filed it.
    pub id: OperationId,
    /// When it was filed.
    pub filed_at: Timestamp,
    /// Which bytes.
    pub hash: RecordingHash,
    /// Name of the file they came in.
    pub file: String,
    /// What is said of it.
    pub filing: Filing,
    /// How it is read; `None` until somebody has confirmed its columns.
    pub reading: Option<Reading>,
    /// Events put right by eye.
    pub moved: MovedEvents,
    /// Why its numbers are not used, if they are not.
    pub set_aside: Option<String>,
    /// What happened to it since, oldest first.
    pub changes: Vec<OperationId>,
}

impl FiledRecording {
    /// Whether its numbers may be used, once they are known.
    pub const fn counts(&self) -> bool {
        self.set_aside.is_none() && self.reading.is_some()
    }

    /// Whether another is of the same set: same athlete, day, kind, exercise, side, box and load
    /// within half a kilogram.
    pub fn same_set(&self, other: &Self) -> bool {
        let (one, two) = (&self.filing, &other.filing);
        one.athlete == two.athlete
            && one.day == two.day
            && one.kind == two.kind
            && one.exercise == two.exercise
            && one.side == two.side
            && one.box_height == two.box_height
            && (one.load - two.load).abs() <= Mass::kilograms(0.5)
    }
}

/// The recordings of a gym.
#[derive(Clone, Debug, Default)]
pub struct Traces {
    all: BTreeMap<OperationId, FiledRecording>,
    by_hash: HashMap<RecordingHash, OperationId>,
    readings: BTreeMap<String, NamedReading>,
    forgotten: BTreeMap<String, ForgottenReading>,
}

/// A way of reading that is no longer taken for new files.
#[derive(Clone, Debug, PartialEq)]
pub struct ForgottenReading {
    /// As it was.
    pub was: NamedReading,
    /// The operation that forgot it: taken back, it is remembered again.
    pub by: OperationId,
}

impl Traces {
    /// A recording by the operation that filed it.
    pub fn get(&self, id: OperationId) -> Option<&FiledRecording> {
        self.all.get(&id)
    }

    /// The recording of these bytes.
    pub fn of_hash(&self, hash: RecordingHash) -> Option<&FiledRecording> {
        self.all.get(self.by_hash.get(&hash)?)
    }

    /// All of them, in the order of their ids: as they were filed.
    pub fn all(&self) -> impl DoubleEndedIterator<Item = &FiledRecording> {
        self.all.values()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// Those of one athlete.
    pub fn of(&self, athlete: &AthleteId) -> impl DoubleEndedIterator<Item = &FiledRecording> {
        let athlete = athlete.clone();
        self.all().filter(move |trace| trace.filing.athlete == athlete)
    }

    /// Those of one athlete, kind and exercise that may be used.
    pub fn usable<'a>(
        &'a self,
        athlete: &AthleteId,
        kind: Kind,
        exercise: Option<&'a ExerciseId>,
    ) -> impl Iterator<Item = &'a FiledRecording> {
        self.of(athlete).filter(move |trace| {
            trace.counts()
                && trace.filing.kind == kind
                && (exercise.is_none() || trace.filing.exercise.as_ref() == exercise)
        })
    }

    /// The set a recording belongs to, itself among them, in the order of filing.
    pub fn set_of(&self, trace: &FiledRecording) -> Vec<&FiledRecording> {
        self.all().filter(|other| trace.same_set(other)).collect()
    }

    /// Ways of reading, by the names people gave them.
    pub fn readings(&self) -> impl Iterator<Item = &NamedReading> {
        self.readings.values()
    }

    /// Those that were forgotten and not named anew since.
    pub fn forgotten_readings(&self) -> impl Iterator<Item = &ForgottenReading> {
        self.forgotten.values()
    }

    /// The way of reading of a name, in any case.
    pub fn reading_named(&self, name: &str) -> Option<&NamedReading> {
        self.readings.get(&key(name))
    }

    /// The way of reading remembered for files with these columns.
    pub fn reading_for(&self, heading: &[String]) -> Option<&NamedReading> {
        self.readings().find(|named| named.heading == heading)
    }

    /// Adds one operation; one that no longer fits changes nothing.
    pub(super) fn apply(&mut self, operation: &Operation, change: &TraceChange) {
        match change {
            TraceChange::Filed(filed) => self.file(operation, filed),
            TraceChange::ReadAs { traces, reading } => {
                for id in traces {
                    self.change(operation, *id, |trace| trace.reading = Some(reading.clone()));
                }
            }
            TraceChange::ReadingNamed(named) => {
                self.forgotten.remove(&key(&named.name));
                self.readings.insert(key(&named.name), named.clone());
            }
            TraceChange::ReadingForgotten { name } => {
                if let Some(was) = self.readings.remove(&key(name)) {
                    let forgotten = ForgottenReading { was, by: operation.id };
                    self.forgotten.insert(key(name), forgotten);
                }
            }
            TraceChange::FiledAnew { trace, filing, .. } => {
                self.change(operation, *trace, |trace| trace.filing = filing.clone());
            }
            TraceChange::EventMoved { trace, event, to_s, .. } => {
                self.change(operation, *trace, |trace| trace.moved.put(*event, *to_s));
            }
            TraceChange::SetAside { trace, reason } => {
                self.change(operation, *trace, |trace| trace.set_aside = Some(reason.clone()));
            }
            TraceChange::TakenBackIn { trace, .. } => {
                self.change(operation, *trace, |trace| trace.set_aside = None);
            }
        }
    }

    fn file(&mut self, operation: &Operation, filed: &FiledTrace) {
        self.by_hash.insert(filed.hash, operation.id);
        let recording = FiledRecording {
            id: operation.id,
            filed_at: operation.at,
            hash: filed.hash,
            file: filed.file.clone(),
            filing: filed.filing.clone(),
            reading: filed.reading.clone(),
            moved: MovedEvents::default(),
            set_aside: None,
            changes: Vec::new(),
        };
        self.all.insert(operation.id, recording);
    }

    fn change(
        &mut self,
        operation: &Operation,
        id: OperationId,
        what: impl FnOnce(&mut FiledRecording),
    ) {
        if let Some(trace) = self.all.get_mut(&id) {
            what(trace);
            trace.changes.push(operation.id);
        }
    }

    /// Whether a change fits what is on record. Whether the athlete is known is asked by the gym.
    pub(super) fn check(&self, change: &TraceChange) -> Result<(), Refusal> {
        match change {
            TraceChange::Filed(filed) => match self.of_hash(filed.hash) {
                Some(there) => Err(Refusal::RecordingFiled {
                    file: there.file.clone(),
                    athlete: there.filing.athlete.to_string(),
                    day: there.filing.day,
                }),
                None => Ok(()),
            },
            TraceChange::ReadAs { traces, .. } => traces.iter().try_for_each(|id| self.known(*id)),
            TraceChange::ReadingNamed(named) if named.name.trim().is_empty() => {
                Err(Refusal::ReadingWithoutName)
            }
            TraceChange::ReadingNamed(_) => Ok(()),
            TraceChange::ReadingForgotten { name } => match self.reading_named(name) {
                Some(_) => Ok(()),
                None => Err(Refusal::UnknownReading { name: name.clone() }),
            },
            TraceChange::EventMoved { trace, event, to_s, .. } => {
                self.known(*trace)?;
                self.movable(*trace, *event, *to_s)
            }
            TraceChange::FiledAnew { trace, .. }
            | TraceChange::SetAside { trace, .. }
            | TraceChange::TakenBackIn { trace, .. } => self.known(*trace),
        }
    }

    fn known(&self, id: OperationId) -> Result<(), Refusal> {
        let unknown = || Refusal::UnknownOperation { id };
        self.all.contains_key(&id).then_some(()).ok_or_else(unknown)
    }

    fn movable(
        &self,
        id: OperationId,
        event: TrialEvent,
        to_s: Option<f64>,
    ) -> Result<(), Refusal> {
        let kind = self.all[&id].filing.kind;
        let fits = kind.movable().contains(&event) && to_s.is_none_or(f64::is_finite);
        let refused = || Refusal::EventNotMovable { event: event.name(), kind: kind.name() };
        fits.then_some(()).ok_or_else(refused)
    }
}

/// Names are the same in any case and with any blanks around them.
fn key(name: &str) -> String {
    name.trim().to_lowercase()
}
