//! Exercises of a gym's own, as they are kept: everything of an entry, so that what it meant then
//! can be read without any library.

use super::scalar::{Number, Text, each};
use cornerwork_core::exercise::{
    BodyPart, BoxCap, Cue, Direction, Dose, Exercise, ExerciseId, Fact, Family, Fault, FaultTag,
    LoadModel, Measure, MeasureKind, Pattern, Permissions, Quality, Sides, Span, StopRule, Swap,
    TargetWindow, Unit,
};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::program::ProgramChange;
use cornerwork_core::units::{Duration, Length, Mass};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A word of one of the library's fixed lists, written as its id.
#[derive(Clone, Copy)]
struct Word<T>(T);

macro_rules! fixed_words {
    ($($list:ty),*) => {$(
        impl Serialize for Word<$list> {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.0.id())
            }
        }
        impl<'de> Deserialize<'de> for Word<$list> {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let id = String::deserialize(deserializer)?;
                <$list>::from_id(&id).map(Self).ok_or_else(|| {
                    serde::de::Error::custom(format!("\"{id}\" is no known {}", stringify!($list)))
                })
            }
        }
    )*};
}
fixed_words!(Family, Pattern, Quality, Sides, LoadModel, MeasureKind, Direction, BodyPart);

fn from_words<T>(words: Vec<Word<T>>) -> Vec<T> {
    words.into_iter().map(|word| word.0).collect()
}

/// A unit, written as its symbol; one without a written unit is told by its measure.
fn unit_of(kind: MeasureKind, symbol: &str) -> Result<Unit, String> {
    let of_kind = |unit: &Unit| unit.dimension() == kind.dimension() && unit.symbol() == symbol;
    let unit = Unit::ALL.iter().copied().find(of_kind);
    unit.ok_or_else(|| format!("\"{symbol}\" is no unit for {}", kind.words()))
}

#[derive(Serialize, Deserialize)]
struct MeasureFields {
    kind: Word<MeasureKind>,
    unit: String,
    decimals: usize,
    better: Word<Direction>,
    hard_si: [Number; 2],
    usual_si: [Number; 2],
}

#[derive(Clone, Serialize, Deserialize)]
#[serde(try_from = "MeasureFields", into = "MeasureFields")]
struct MeasureRecord(Measure);

impl From<MeasureRecord> for MeasureFields {
    fn from(MeasureRecord(measure): MeasureRecord) -> Self {
        Self {
            kind: Word(measure.kind),
            unit: measure.unit.symbol().to_owned(),
            decimals: measure.decimals,
            better: Word(measure.direction),
            hard_si: ends(measure.hard_si),
            usual_si: ends(measure.usual_si),
        }
    }
}

impl TryFrom<MeasureFields> for MeasureRecord {
    type Error = String;
    fn try_from(fields: MeasureFields) -> Result<Self, String> {
        Ok(Self(Measure {
            kind: fields.kind.0,
            direction: fields.better.0,
            unit: unit_of(fields.kind.0, &fields.unit)?,
            decimals: fields.decimals,
            hard_si: span(fields.hard_si),
            usual_si: span(fields.usual_si),
        }))
    }
}

const fn ends(span: Span<f64>) -> [Number; 2] {
    [Number(span.low), Number(span.high)]
}

const fn span([low, high]: [Number; 2]) -> Span<f64> {
    Span { low: low.0, high: high.0 }
}

fn seconds(span: Span<Duration>) -> [Number; 2] {
    [Number(span.low.in_seconds()), Number(span.high.in_seconds())]
}

fn durations([low, high]: [Number; 2]) -> Span<Duration> {
    Span { low: Duration::seconds(low.0), high: Duration::seconds(high.0) }
}

#[derive(Serialize, Deserialize)]
struct DoseRecord {
    sets: [u16; 2],
    repetitions: [u16; 2],
    hold_s: Option<[Number; 2]>,
    distance_m: Option<[Number; 2]>,
    rest_s: [Number; 2],
    intensity: Option<String>,
}

impl From<Dose> for DoseRecord {
    fn from(dose: Dose) -> Self {
        let metres = |span: Span<Length>| [span.low, span.high].map(|end| Number(end.in_metres()));
        Self {
            sets: [dose.sets.low, dose.sets.high],
            repetitions: [dose.repetitions.low, dose.repetitions.high],
            hold_s: dose.hold.map(seconds),
            distance_m: dose.distance.map(metres),
            rest_s: seconds(dose.rest),
            intensity: dose.intensity,
        }
    }
}

impl From<DoseRecord> for Dose {
    fn from(record: DoseRecord) -> Self {
        let whole = |[low, high]: [u16; 2]| Span { low, high };
        let lengths = |[low, high]: [Number; 2]| Span {
            low: Length::metres(low.0),
            high: Length::metres(high.0),
        };
        Self {
            sets: whole(record.sets),
            repetitions: whole(record.repetitions),
            hold: record.hold_s.map(durations),
            distance: record.distance_m.map(lengths),
            rest: durations(record.rest_s),
            intensity: record.intensity,
        }
    }
}

/// What ends a set early.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum StopRecord {
    DropFromBest { fraction: Number, in_a_row: u16 },
    UnderWindow { in_a_row: u16 },
}

impl From<StopRule> for StopRecord {
    fn from(rule: StopRule) -> Self {
        match rule {
            StopRule::DropFromBest { fraction, in_a_row } => {
                Self::DropFromBest { fraction: Number(fraction), in_a_row }
            }
            StopRule::UnderWindow { in_a_row } => Self::UnderWindow { in_a_row },
        }
    }
}

impl From<StopRecord> for StopRule {
    fn from(record: StopRecord) -> Self {
        match record {
            StopRecord::DropFromBest { fraction, in_a_row } => {
                Self::DropFromBest { fraction: fraction.0, in_a_row }
            }
            StopRecord::UnderWindow { in_a_row } => Self::UnderWindow { in_a_row },
        }
    }
}

#[derive(Serialize, Deserialize)]
struct TargetRecord {
    kind: Word<MeasureKind>,
    window_si: [Number; 2],
    source: String,
}

#[derive(Serialize, Deserialize)]
struct CueRecord {
    text: String,
    for_fault: Option<Text<FaultTag>>,
}

#[derive(Serialize, Deserialize)]
struct FaultRecord {
    tag: Text<FaultTag>,
    words: String,
    spoils_measure: bool,
    stops_set: bool,
}

#[derive(Serialize, Deserialize)]
struct PermissionsRecord {
    barred_under_years: Option<u8>,
    confirm_under_years: Option<u8>,
    box_free_of_age_rules_m: Option<Number>,
    /// Body mass above which, and highest box, in kg and m.
    box_caps: Vec<(Number, Number)>,
    days_before_bout: Option<u16>,
    hours_from_sparring: Option<u16>,
}

impl From<Permissions> for PermissionsRecord {
    fn from(permissions: Permissions) -> Self {
        let cap = |cap: BoxCap| {
            (Number(cap.above_body_mass.in_kilograms()), Number(cap.highest_box.in_metres()))
        };
        Self {
            barred_under_years: permissions.barred_under_years,
            confirm_under_years: permissions.confirm_under_years,
            box_free_of_age_rules_m: permissions
                .box_free_of_age_rules
                .map(|height| Number(height.in_metres())),
            box_caps: permissions.box_caps.into_iter().map(cap).collect(),
            days_before_bout: permissions.days_before_bout,
            hours_from_sparring: permissions.hours_from_sparring,
        }
    }
}

impl From<PermissionsRecord> for Permissions {
    fn from(record: PermissionsRecord) -> Self {
        let cap = |(mass, height): (Number, Number)| BoxCap {
            above_body_mass: Mass::kilograms(mass.0),
            highest_box: Length::metres(height.0),
        };
        Self {
            barred_under_years: record.barred_under_years,
            confirm_under_years: record.confirm_under_years,
            box_free_of_age_rules: record
                .box_free_of_age_rules_m
                .map(|height| Length::metres(height.0)),
            box_caps: record.box_caps.into_iter().map(cap).collect(),
            days_before_bout: record.days_before_bout,
            hours_from_sparring: record.hours_from_sparring,
        }
    }
}

#[derive(Serialize, Deserialize)]
struct SwapRecord {
    injured: Word<BodyPart>,
    to: Text<ExerciseId>,
    other_side: bool,
    note: Option<String>,
}

#[derive(Serialize, Deserialize)]
struct FactRecord {
    text: String,
    source: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct ExerciseRecord {
    id: Text<ExerciseId>,
    name: String,
    also_called: Vec<String>,
    family: Word<Family>,
    patterns: Vec<Word<Pattern>>,
    qualities: Vec<Word<Quality>>,
    test: bool,
    sides: Word<Sides>,
    measure: MeasureRecord,
    also_measured: Vec<MeasureRecord>,
    load_model: Word<LoadModel>,
    targets: Vec<TargetRecord>,
    dose: DoseRecord,
    stop: Option<StopRecord>,
    cues: Vec<CueRecord>,
    faults: Vec<FaultRecord>,
    cautions: Vec<String>,
    kit: Vec<String>,
    permissions: PermissionsRecord,
    swaps: Vec<SwapRecord>,
    facts: Vec<FactRecord>,
    source: String,
}

impl From<Exercise> for ExerciseRecord {
    fn from(exercise: Exercise) -> Self {
        let target = |target: TargetWindow| TargetRecord {
            kind: Word(target.kind),
            window_si: ends(target.window_si),
            source: target.source,
        };
        let cue = |cue: Cue| CueRecord { text: cue.text, for_fault: cue.for_fault.map(Text) };
        let fault = |fault: Fault| FaultRecord {
            tag: Text(fault.tag),
            words: fault.words,
            spoils_measure: fault.spoils_measure,
            stops_set: fault.stops_set,
        };
        let swap = |swap: Swap| SwapRecord {
            injured: Word(swap.injured),
            to: Text(swap.to),
            other_side: swap.other_side,
            note: swap.note,
        };
        let fact = |fact: Fact| FactRecord { text: fact.text, source: fact.source };
        Self {
            id: Text(exercise.id),
            name: exercise.name,
            also_called: exercise.also_called,
            family: Word(exercise.family),
            patterns: exercise.patterns.into_iter().map(Word).collect(),
            qualities: exercise.qualities.into_iter().map(Word).collect(),
            test: exercise.test,
            sides: Word(exercise.sides),
            measure: MeasureRecord(exercise.measure),
            also_measured: exercise.also_measured.into_iter().map(MeasureRecord).collect(),
            load_model: Word(exercise.load_model),
            targets: exercise.targets.into_iter().map(target).collect(),
            dose: exercise.dose.into(),
            stop: exercise.stop.map(Into::into),
            cues: exercise.cues.into_iter().map(cue).collect(),
            faults: exercise.faults.into_iter().map(fault).collect(),
            cautions: exercise.cautions,
            kit: exercise.kit,
            permissions: exercise.permissions.into(),
            swaps: exercise.swaps.into_iter().map(swap).collect(),
            facts: exercise.facts.into_iter().map(fact).collect(),
            source: exercise.source,
        }
    }
}

impl From<ExerciseRecord> for Exercise {
    fn from(record: ExerciseRecord) -> Self {
        let target = |target: TargetRecord| TargetWindow {
            kind: target.kind.0,
            window_si: span(target.window_si),
            source: target.source,
        };
        let cue =
            |cue: CueRecord| Cue { text: cue.text, for_fault: cue.for_fault.map(|tag| tag.0) };
        let fault = |fault: FaultRecord| Fault {
            tag: fault.tag.0,
            words: fault.words,
            spoils_measure: fault.spoils_measure,
            stops_set: fault.stops_set,
        };
        let swap = |swap: SwapRecord| Swap {
            injured: swap.injured.0,
            to: swap.to.0,
            other_side: swap.other_side,
            note: swap.note,
        };
        let fact = |fact: FactRecord| Fact { text: fact.text, source: fact.source };
        Self {
            id: record.id.0,
            name: record.name,
            also_called: record.also_called,
            family: record.family.0,
            patterns: from_words(record.patterns),
            qualities: from_words(record.qualities),
            test: record.test,
            sides: record.sides.0,
            measure: record.measure.0,
            also_measured: record.also_measured.into_iter().map(|measure| measure.0).collect(),
            load_model: record.load_model.0,
            targets: record.targets.into_iter().map(target).collect(),
            dose: record.dose.into(),
            stop: record.stop.map(Into::into),
            cues: record.cues.into_iter().map(cue).collect(),
            faults: record.faults.into_iter().map(fault).collect(),
            cautions: record.cautions,
            kit: record.kit,
            permissions: record.permissions.into(),
            swaps: record.swaps.into_iter().map(swap).collect(),
            facts: record.facts.into_iter().map(fact).collect(),
            source: record.source,
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct ExercisesEntered {
    pub(super) exercises: Vec<ExerciseRecord>,
}

impl From<ExercisesEntered> for Change {
    fn from(ExercisesEntered { exercises }: ExercisesEntered) -> Self {
        Self::Program(ProgramChange::ExercisesEntered(each(exercises)))
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct ExerciseDropped {
    pub(super) exercise: Text<ExerciseId>,
}

impl From<ExerciseDropped> for Change {
    fn from(ExerciseDropped { exercise }: ExerciseDropped) -> Self {
        Self::Program(ProgramChange::ExerciseDropped(exercise.0))
    }
}
