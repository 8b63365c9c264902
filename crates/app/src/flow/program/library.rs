//! The gym's own exercises: typed on the page or read from a file, by the library's rules.

use crate::flow::house::House;
use cornerwork_core::exercise::{Exercise, ExerciseId, Pattern, Quality};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::ProgramChange;
use cornerwork_io::catalogue::exercises::{ExerciseFileError, TypedExercise};

/// What is looked for in the library.
#[derive(Clone, Debug, Default)]
pub struct Search {
    /// Words that must stand in name, other names or kit.
    pub words: String,
    /// A pattern.
    pub pattern: Option<Pattern>,
    /// A quality.
    pub quality: Option<Quality>,
}

/// The exercises that fit, in the order of the library.
pub fn found<'a>(house: &'a House, gym: &'a Gym, search: &Search) -> Vec<&'a Exercise> {
    let words: Vec<String> = search.words.split_whitespace().map(str::to_lowercase).collect();
    let fits = |exercise: &&Exercise| {
        let mut text = exercise.name.to_lowercase();
        for more in exercise.also_called.iter().chain(&exercise.kit) {
            text.push(' ');
            text.push_str(&more.to_lowercase());
        }
        words.iter().all(|word| text.contains(word))
            && search.pattern.is_none_or(|pattern| exercise.patterns.contains(&pattern))
            && search.quality.is_none_or(|quality| exercise.qualities.contains(&quality))
    };
    house.every_exercise(gym).filter(fits).collect()
}

/// An exercise typed on the page. What the form does not show stays as it was.
///
/// # Errors
/// A sentence a problem, each with what to type instead.
pub fn typed(house: &House, gym: &Gym, form: &TypedExercise) -> Result<ProgramChange, String> {
    said_all(form)?;
    let taken = form.id.trim().is_empty();
    let id = ExerciseId::new(&form.id());
    let known = id.as_ref().and_then(|id| house.exercise(gym, id));
    if taken && let Some(known) = known {
        return Err(format!("{} is in the library already. Open it to change it.", known.name));
    }
    let text = form.as_file()?;
    let read = house.exercises.read_own(gym.program.exercises(), "the form", &text);
    let mut exercises = read.map_err(|error| {
        let faults: Vec<String> =
            error.problems.iter().map(|problem| format!("{}.", problem.fault)).collect();
        faults.join(" ")
    })?;
    if let (Some(known), [exercise]) = (known, exercises.as_mut_slice()) {
        keep_the_rest(exercise, known);
    }
    entered(house, gym, exercises)
}

/// What the page can say in its own words, before the rules of the file are asked.
fn said_all(form: &TypedExercise) -> Result<(), String> {
    let empty = |text: &str| text.trim().is_empty();
    let drop = form.stop.trim().trim_end_matches(['%', ' ']).replace(',', ".");
    let stops = drop.is_empty() || drop.parse().is_ok_and(|drop| (1.0..=50.0).contains(&drop));
    let sentence = if empty(&form.name) {
        "Give the exercise a name."
    } else if empty(&form.sets) || empty(&form.repetitions) || empty(&form.rest_s) {
        "Say how many sets, how many reps and how many seconds of rest are usual."
    } else if empty(&form.patterns) {
        "Tick at least one movement."
    } else if empty(&form.qualities) {
        "Tick at least one thing it trains."
    } else if !stops {
        return Err(format!(
            "\"{}\" is no drop to stop at. Type 1 to 50 percent, or nothing.",
            form.stop.trim()
        ));
    } else {
        return Ok(());
    };
    Err(sentence.to_owned())
}

/// Fields the form does not show.
fn keep_the_rest(exercise: &mut Exercise, known: &Exercise) {
    exercise.also_called.clone_from(&known.also_called);
    exercise.test = known.test;
    exercise.targets.clone_from(&known.targets);
    exercise.dose.hold = known.dose.hold;
    exercise.dose.distance = known.dose.distance;
    exercise.dose.intensity.clone_from(&known.dose.intensity);
    exercise.faults.clone_from(&known.faults);
    exercise.permissions = known.permissions.clone();
    exercise.facts.clone_from(&known.facts);
    let for_faults = known.cues.iter().filter(|cue| cue.for_fault.is_some()).cloned();
    exercise.cues.extend(for_faults);
    let same_measure = |kind| known.measure_of(kind).cloned();
    if let Some(measure) = same_measure(exercise.measure.kind) {
        exercise.measure = measure;
    }
    for measure in &mut exercise.also_measured {
        if let Some(same) = same_measure(measure.kind) {
            *measure = same;
        }
    }
    if exercise.stop.is_none()
        && matches!(known.stop, Some(cornerwork_core::exercise::StopRule::UnderWindow { .. }))
    {
        exercise.stop = known.stop;
    }
}

/// A file of exercises, as the library's own file is written.
///
/// # Errors
/// Every problem on a line of its own, with its place in the file.
pub fn from_file(
    house: &House,
    gym: &Gym,
    file: &str,
    text: &str,
) -> Result<ProgramChange, String> {
    if text.trim().is_empty() {
        return Err("The file is empty. It needs at least one [[exercise]].".to_owned());
    }
    let read = house.exercises.read_own(gym.program.exercises(), file, text);
    let exercises = read.map_err(|error: ExerciseFileError| error.to_string())?;
    if exercises.is_empty() {
        return Err("The file has no [[exercise]]. Nothing was changed.".to_owned());
    }
    entered(house, gym, exercises)
}

/// A number on record keeps what it means: an exercise with reps keeps its measure.
fn entered(house: &House, gym: &Gym, exercises: Vec<Exercise>) -> Result<ProgramChange, String> {
    for exercise in &exercises {
        let Some(known) = house.exercise(gym, &exercise.id) else { continue };
        let on_record = gym.reps.iter().filter(|rep| rep.entry.exercise == exercise.id).count();
        let same = known.measure.kind == exercise.measure.kind
            && known.measure.direction == exercise.measure.direction;
        if on_record > 0 && !same {
            return Err(format!(
                "{on_record} reps of {} are on record in {}. Keep that measure first, or enter \
                 the exercise under another name.",
                known.name,
                known.measure.kind.words()
            ));
        }
    }
    Ok(ProgramChange::ExercisesEntered(exercises))
}

/// The gym's own version taken away.
///
/// # Errors
/// A sentence when it has none, or when reps or sessions hang on it.
pub fn dropped(house: &House, gym: &Gym, id: &ExerciseId) -> Result<ProgramChange, String> {
    let own = gym.program.exercise(id).ok_or_else(|| format!("{id} is not of this gym's own."))?;
    let in_library = house.exercises.get(id).is_some();
    let used = gym.reps.iter().any(|rep| rep.entry.exercise == *id);
    let planned =
        gym.program.sessions().find(|plan| plan.blocks.iter().any(|block| block.exercise == *id));
    match (in_library, used, planned) {
        (false, true, _) => Err(format!("Reps of {} are on record: it stays.", own.name)),
        (false, _, Some(plan)) => {
            Err(format!("{} stands in \"{}\". Take it out there first.", own.name, plan.name))
        }
        _ => Ok(ProgramChange::ExerciseDropped(id.clone())),
    }
}
