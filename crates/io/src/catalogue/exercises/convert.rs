//! From the form of the file to the types of the core, checking each entry on the way.

use std::collections::BTreeMap;

use cornerwork_core::exercise::{
    BodyPart, BoxCap, Cue, Dimension, Direction, Dose, Exercise, ExerciseId, Fact, Family, Fault,
    FaultTag, LoadModel, MOST_CUE_WORDS, Measure, MeasureKind, Pattern, Permissions, Quality,
    Sides, Span, StopRule, Swap, TargetWindow, Unit,
};
use cornerwork_core::units::{Duration, Length, Mass};

use super::file::{
    DoseEntry, ExerciseEntry, FaultEntry, LimitsEntry, MeasureEntry, PermissionsEntry, StopEntry,
    SwapEntry, TargetEntry,
};
use super::problem::EntryFault;

type Checked<T> = Result<T, EntryFault>;

/// What entries may refer to.
#[derive(Clone, Debug, Default)]
pub(super) struct Glossary {
    pub measures: BTreeMap<MeasureKind, Measure>,
    pub faults: BTreeMap<FaultTag, Fault>,
}

const NO_SOURCE: &str = "common practice, no source";

/// Looks a word up in one of the core's fixed lists.
macro_rules! word {
    ($list:ident, $field:literal, $word:expr) => {
        $list::from_id($word).ok_or_else(|| EntryFault::UnknownWord {
            field: $field,
            word: $word.to_owned(),
            known: $list::ALL.iter().map(|value| value.id()).collect::<Vec<_>>().join(", "),
        })
    };
}

pub(super) fn measure(entry: &MeasureEntry) -> Checked<Measure> {
    let kind = word!(MeasureKind, "measure", entry.kind.get_ref())?;
    let unit = unit_of(kind, entry.unit.as_deref())?;
    let direction = word!(Direction, "better", &entry.better)?;
    let hard_si = limits("hard", entry.hard, unit)?;
    let usual_si = limits("usual", entry.usual, unit)?;
    within_hard(Measure { kind, direction, unit, decimals: entry.decimals, hard_si, usual_si })
}

fn unit_of(kind: MeasureKind, name: Option<&str>) -> Checked<Unit> {
    let unit = match (name, kind.dimension()) {
        (None, Dimension::Count) => Some(Unit::One),
        (None, Dimension::Index) => Some(Unit::Index),
        (name, _) => name.and_then(Unit::named),
    };
    unit.filter(|unit| unit.dimension() == kind.dimension()).ok_or_else(|| EntryFault::WrongUnit {
        unit: name.unwrap_or_default().to_owned(),
        measure: kind.words(),
    })
}

fn limits(field: &str, ends: [f64; 2], unit: Unit) -> Checked<Span<f64>> {
    let Span { low, high } = span(field, ends)?;
    Ok(Span { low: low * unit.in_si(), high: high * unit.in_si() })
}

fn within_hard(measure: Measure) -> Checked<Measure> {
    let Span { low, high } = measure.usual_si;
    if measure.hard_si.contains(low) && measure.hard_si.contains(high) {
        Ok(measure)
    } else {
        Err(EntryFault::UsualOutsideHard { measure: measure.kind.words() })
    }
}

fn span<T: Copy + PartialOrd + Into<f64>>(field: &str, [low, high]: [T; 2]) -> Checked<Span<T>> {
    Span::new(low, high).ok_or_else(|| EntryFault::Inverted {
        field: field.to_owned(),
        low: low.into(),
        high: high.into(),
    })
}

pub(super) fn fault(entry: &FaultEntry) -> Checked<Fault> {
    let tag = FaultTag::new(entry.tag.get_ref()).ok_or(EntryFault::BadId)?;
    Ok(Fault {
        tag,
        words: entry.words.clone(),
        spoils_measure: entry.spoils_measure,
        stops_set: entry.stops_set,
    })
}

pub(super) fn exercise(entry: ExerciseEntry, glossary: &Glossary) -> Checked<Exercise> {
    let id = ExerciseId::new(entry.id.get_ref()).ok_or(EntryFault::BadId)?;
    let mut measures = measures(&entry.measures, &entry.limits, glossary)?;
    let targets = each(&entry.targets, |target| self::target(target, &measures))?;
    let faults = each(&entry.faults, |tag| known_fault(tag, glossary))?;
    let stop = entry.stop.as_ref().map(|stop| self::stop(stop, &measures[0], &targets));
    let sides = entry.sides.as_deref().map(|sides| word!(Sides, "sides", sides));
    let exercise = Exercise {
        name: entry.name,
        also_called: entry.also_called,
        family: word!(Family, "family", &entry.family)?,
        patterns: named("patterns", &entry.patterns, |word| word!(Pattern, "pattern", word))?,
        qualities: named("qualities", &entry.qualities, |word| word!(Quality, "quality", word))?,
        test: entry.test,
        sides: sides.transpose()?.unwrap_or(Sides::None),
        measure: measures.remove(0),
        also_measured: measures,
        load_model: word!(LoadModel, "load", &entry.load)?,
        targets,
        dose: dose(entry.dose)?,
        stop: stop.transpose()?,
        cues: cues(entry.cues, entry.fault_cues, &faults)?,
        faults,
        cautions: entry.cautions,
        kit: entry.kit,
        permissions: permissions(&entry.permissions),
        swaps: each(&entry.swaps, |swap| self::swap(swap, &id))?,
        facts: entry.facts.into_iter().map(|f| Fact { text: f.says, source: f.source }).collect(),
        source: entry.source.unwrap_or_else(|| NO_SOURCE.to_owned()),
        id,
    };
    Ok(exercise)
}

fn each<A, B>(items: &[A], convert: impl FnMut(&A) -> Checked<B>) -> Checked<Vec<B>> {
    items.iter().map(convert).collect()
}

fn named<B>(
    field: &'static str,
    words: &[String],
    convert: impl Fn(&str) -> Checked<B>,
) -> Checked<Vec<B>> {
    if words.is_empty() {
        return Err(EntryFault::Empty { field });
    }
    each(words, |word| convert(word))
}

fn measures(
    words: &[String],
    changes: &BTreeMap<String, LimitsEntry>,
    glossary: &Glossary,
) -> Checked<Vec<Measure>> {
    let mut measures = named("measures", words, |word| {
        let kind = word!(MeasureKind, "measure", word)?;
        let known = glossary.measures.get(&kind).cloned();
        known.ok_or(EntryFault::MeasureUndefined { measure: kind.words() })
    })?;
    for (word, change) in changes {
        let kind = word!(MeasureKind, "measure", word)?;
        let measure = measures.iter_mut().find(|measure| measure.kind == kind);
        let measure =
            measure.ok_or(EntryFault::NotItsMeasure { field: "limits", measure: kind.words() })?;
        *measure = changed(measure, change)?;
    }
    Ok(measures)
}

fn changed(measure: &Measure, change: &LimitsEntry) -> Checked<Measure> {
    let hard = change.hard.map(|ends| limits("hard", ends, measure.unit)).transpose()?;
    let usual = change.usual.map(|ends| limits("usual", ends, measure.unit)).transpose()?;
    let direction = change.better.as_deref().map(|word| word!(Direction, "better", word));
    within_hard(Measure {
        hard_si: hard.unwrap_or(measure.hard_si),
        usual_si: usual.unwrap_or(measure.usual_si),
        direction: direction.transpose()?.unwrap_or(measure.direction),
        decimals: change.decimals.unwrap_or(measure.decimals),
        ..measure.clone()
    })
}

fn target(entry: &TargetEntry, measures: &[Measure]) -> Checked<TargetWindow> {
    let kind = word!(MeasureKind, "measure", &entry.measure)?;
    let measure = measures.iter().find(|measure| measure.kind == kind);
    let measure =
        measure.ok_or(EntryFault::NotItsMeasure { field: "targets", measure: kind.words() })?;
    let window_si = limits("window", entry.window, measure.unit)?;
    Ok(TargetWindow { kind, window_si, source: entry.source.clone() })
}

fn dose(entry: DoseEntry) -> Checked<Dose> {
    let seconds = |field, ends: [f64; 2]| {
        let Span { low, high } = span(field, ends)?;
        Ok(Span { low: Duration::seconds(low), high: Duration::seconds(high) })
    };
    let metres = |ends: [f64; 2]| {
        let Span { low, high } = span("distance_m", ends)?;
        Ok(Span { low: Length::metres(low), high: Length::metres(high) })
    };
    Ok(Dose {
        sets: span("sets", entry.sets)?,
        repetitions: span("repetitions", entry.repetitions)?,
        hold: entry.hold_s.map(|ends| seconds("hold_s", ends)).transpose()?,
        distance: entry.distance_m.map(metres).transpose()?,
        rest: seconds("rest_s", entry.rest_s)?,
        intensity: entry.intensity,
    })
}

fn stop(entry: &StopEntry, primary: &Measure, targets: &[TargetWindow]) -> Checked<StopRule> {
    match (entry.drop, entry.in_a_row.unwrap_or(1), entry.under_window) {
        (Some(fraction), in_a_row @ 1.., None) if fraction > 0.0 && fraction < 1.0 => {
            Ok(StopRule::DropFromBest { fraction, in_a_row })
        }
        (None, _, Some(in_a_row @ 1..)) => {
            if targets.iter().any(|target| target.kind == primary.kind) {
                Ok(StopRule::UnderWindow { in_a_row })
            } else {
                Err(EntryFault::StopWithoutWindow { measure: primary.kind.words() })
            }
        }
        _ => Err(EntryFault::SenselessStop),
    }
}

fn known_fault(tag: &str, glossary: &Glossary) -> Checked<Fault> {
    let known = FaultTag::new(tag).and_then(|tag| glossary.faults.get(&tag).cloned());
    known.ok_or_else(|| EntryFault::UnknownFault { tag: tag.to_owned() })
}

fn cues(
    general: Vec<String>,
    for_faults: BTreeMap<String, String>,
    faults: &[Fault],
) -> Checked<Vec<Cue>> {
    if general.is_empty() {
        return Err(EntryFault::Empty { field: "cues" });
    }
    let general = general.into_iter().map(|text| cue(text, None));
    let for_faults = for_faults.into_iter().map(|(tag, text)| {
        let fault = faults.iter().find(|fault| fault.tag.as_str() == tag);
        let fault = fault.ok_or(EntryFault::CueForForeignFault { tag })?;
        cue(text, Some(fault.tag.clone()))
    });
    general.chain(for_faults).collect()
}

fn cue(text: String, for_fault: Option<FaultTag>) -> Checked<Cue> {
    let words = text.split_whitespace().count();
    if (1..=MOST_CUE_WORDS).contains(&words) {
        Ok(Cue { text, for_fault })
    } else {
        Err(EntryFault::CueLength { cue: text, words, most: MOST_CUE_WORDS })
    }
}

fn permissions(entry: &PermissionsEntry) -> Permissions {
    Permissions {
        barred_under_years: entry.barred_under_years,
        confirm_under_years: entry.confirm_under_years,
        box_free_of_age_rules: entry.box_free_of_age_rules_cm.map(Length::centimetres),
        box_caps: entry
            .box_caps
            .iter()
            .map(|cap| BoxCap {
                above_body_mass: Mass::kilograms(cap.above_body_mass_kg),
                highest_box: Length::centimetres(cap.highest_box_cm),
            })
            .collect(),
        days_before_bout: entry.days_before_bout,
        hours_from_sparring: entry.hours_from_sparring,
    }
}

fn swap(entry: &SwapEntry, from: &ExerciseId) -> Checked<Swap> {
    let injured = word!(BodyPart, "hurt part", &entry.hurt)?;
    let to = ExerciseId::new(&entry.to)
        .ok_or_else(|| EntryFault::UnknownSwap { hurt: injured.words(), to: entry.to.clone() })?;
    if to == *from && !entry.other_side {
        return Err(EntryFault::SwapToItself { hurt: injured.words() });
    }
    Ok(Swap { injured, to, other_side: entry.other_side, note: entry.note.clone() })
}
