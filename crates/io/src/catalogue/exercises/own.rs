//! A gym's own exercises, from a file or from a form: read by the rules of the library.

use super::{ExerciseFileError, Exercises, Sheet, unreadable};
use cornerwork_core::exercise::{Exercise, ExerciseId};
use toml::{Table, Value};

impl Exercises {
    /// The entries of a gym's own file, checked against this library and the gym's other
    /// exercises. An entry may take the place of one with its id; nothing else changes. `file` is
    /// the name used in problems.
    ///
    /// # Errors
    /// [`ExerciseFileError`] with every problem found.
    pub fn read_own<'a>(
        &self,
        own: impl Iterator<Item = &'a Exercise>,
        file: &str,
        text: &str,
    ) -> Result<Vec<Exercise>, ExerciseFileError> {
        let read: super::ExerciseFile =
            toml::from_str(text).map_err(|error| unreadable(file, text, &error))?;
        let entered: Vec<ExerciseId> =
            read.exercise.iter().filter_map(|entry| ExerciseId::new(entry.id.get_ref())).collect();
        let mut others = Self { glossary: self.glossary.clone(), ..Self::default() };
        let own: Vec<&Exercise> = own.collect();
        let not_own = |known: &&Exercise| own.iter().all(|one| one.id != known.id);
        for exercise in self.in_order.iter().filter(not_own).chain(own.iter().copied()) {
            if !entered.contains(&exercise.id) {
                others.keep(exercise.clone());
            }
        }
        let mut sheet = Sheet { file, text, problems: Vec::new() };
        let added = others.add(read, &mut sheet);
        others.check_swaps(&added, &mut sheet);
        if !sheet.problems.is_empty() {
            return Err(ExerciseFileError { problems: sheet.problems });
        }
        Ok(added.iter().filter_map(|(id, _)| others.get(id)).cloned().collect())
    }

    fn keep(&mut self, exercise: Exercise) {
        self.place.insert(exercise.id.clone(), self.in_order.len());
        self.in_order.push(exercise);
    }
}

/// An exercise as typed into a form: words as ids of the library's lists, several on one line
/// parted by commas, sentences one a line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TypedExercise {
    /// Name for people; the id is made of it when none is given.
    pub name: String,
    /// Stable name of the entry that is changed; empty for a new one.
    pub id: String,
    /// Chapter.
    pub family: String,
    /// Movements.
    pub patterns: String,
    /// Qualities.
    pub qualities: String,
    /// Sides.
    pub sides: String,
    /// What the load means.
    pub load: String,
    /// Measures, the one that is called out first.
    pub measures: String,
    /// Sets: "3" or "3 to 5".
    pub sets: String,
    /// Repetitions.
    pub repetitions: String,
    /// Rest in seconds.
    pub rest_s: String,
    /// Drop in percent that stops a set; empty for none.
    pub stop: String,
    /// Cues.
    pub cues: String,
    /// What has to be in the room.
    pub kit: String,
    /// Cautions.
    pub cautions: String,
    /// Swaps: "knee: box-jump".
    pub swaps: String,
    /// Where dose and cautions come from.
    pub source: String,
}

impl TypedExercise {
    /// The id: as given, or the name in lower-case words joined by hyphens.
    pub fn id(&self) -> String {
        if !self.id.trim().is_empty() {
            return self.id.trim().to_owned();
        }
        let name = self.name.to_lowercase();
        let words: Vec<&str> = name
            .split(|letter: char| !letter.is_ascii_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        words.join("-")
    }

    /// The same as an entry of a file, so that a form is read by the rules of a file.
    ///
    /// # Errors
    /// A sentence for a number or a swap that cannot be read.
    pub fn as_file(&self) -> Result<String, String> {
        let mut dose = Table::new();
        dose.insert("sets".into(), range("sets", &self.sets)?);
        dose.insert("repetitions".into(), range("repetitions", &self.repetitions)?);
        dose.insert("rest_s".into(), range("rest in seconds", &self.rest_s)?);
        let mut entry = Table::new();
        let mut put = |key: &str, value: Value| entry.insert(key.to_owned(), value);
        put("id", self.id().into());
        put("name", self.name.trim().into());
        put("family", self.family.trim().into());
        put("patterns", listed(&self.patterns, ','));
        put("qualities", listed(&self.qualities, ','));
        put("sides", self.sides.trim().into());
        put("load", self.load.trim().into());
        put("measures", listed(&self.measures, ','));
        put("dose", dose.into());
        put("cues", listed(&self.cues, '\n'));
        put("kit", listed(&self.kit, ','));
        put("cautions", listed(&self.cautions, '\n'));
        put("swaps", swaps(&self.swaps)?);
        if !self.source.trim().is_empty() {
            put("source", self.source.trim().into());
        }
        if let Some(drop) = stop(&self.stop)? {
            put("stop", drop);
        }
        let mut file = Table::new();
        file.insert("exercise".into(), Value::Array(vec![entry.into()]));
        toml::to_string(&file).map_err(|error| error.to_string())
    }

    /// The form as it would be typed for an exercise.
    pub fn of(exercise: &Exercise) -> Self {
        let joined = |words: Vec<&str>| words.join(", ");
        let ids = |low: u16, high: u16| {
            if low == high { low.to_string() } else { format!("{low} to {high}") }
        };
        let rest = exercise.dose.rest;
        let (low, high) = (rest.low.in_seconds(), rest.high.in_seconds());
        let swap = |swap: &cornerwork_core::exercise::Swap| {
            let side = if swap.other_side { " (other side)" } else { "" };
            format!("{}: {}{side}", swap.injured.id(), swap.to)
        };
        let stop = match exercise.stop {
            Some(cornerwork_core::exercise::StopRule::DropFromBest { fraction, .. }) => {
                format!("{:.0}", fraction * 100.0)
            }
            _ => String::new(),
        };
        let general = exercise.cues.iter().filter(|cue| cue.for_fault.is_none());
        Self {
            name: exercise.name.clone(),
            id: exercise.id.to_string(),
            family: exercise.family.id().to_owned(),
            patterns: joined(exercise.patterns.iter().map(|one| one.id()).collect()),
            qualities: joined(exercise.qualities.iter().map(|one| one.id()).collect()),
            sides: exercise.sides.id().to_owned(),
            load: exercise.load_model.id().to_owned(),
            measures: joined(exercise.measures().map(|measure| measure.kind.id()).collect()),
            sets: ids(exercise.dose.sets.low, exercise.dose.sets.high),
            repetitions: ids(exercise.dose.repetitions.low, exercise.dose.repetitions.high),
            rest_s: if low == high { format!("{low}") } else { format!("{low} to {high}") },
            stop,
            cues: general.map(|cue| cue.text.as_str()).collect::<Vec<_>>().join("\n"),
            kit: exercise.kit.join(", "),
            cautions: exercise.cautions.join("\n"),
            swaps: exercise.swaps.iter().map(swap).collect::<Vec<_>>().join("\n"),
            source: exercise.source.clone(),
        }
    }
}

fn listed(text: &str, between: char) -> Value {
    let items = text.split(between).map(str::trim).filter(|item| !item.is_empty());
    Value::Array(items.map(Value::from).collect())
}

/// "3" or "3 to 5", as two whole numbers.
fn range(what: &str, text: &str) -> Result<Value, String> {
    let wrong = || format!("\"{}\" is no range of {what}. Type 3, or 3 to 5.", text.trim());
    let parts: Vec<&str> = text.split(" to ").flat_map(|part| part.split(['-', '–'])).collect();
    let number = |part: &str| part.trim().parse::<u16>().map(i64::from).map_err(|_| wrong());
    let ends = match parts.as_slice() {
        [only] => [number(only)?, number(only)?],
        [low, high] => [number(low)?, number(high)?],
        _ => return Err(wrong()),
    };
    Ok(Value::Array(ends.map(Value::from).to_vec()))
}

fn stop(text: &str) -> Result<Option<Value>, String> {
    let text = text.trim().trim_end_matches('%').trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    let percent: f64 = text
        .parse()
        .map_err(|_| format!("\"{text}\" is no drop. Type percent, like 8, or nothing."))?;
    let mut rule = Table::new();
    rule.insert("drop".into(), (percent / 100.0).into());
    Ok(Some(rule.into()))
}

/// One swap a line, "knee: box-jump"; " (other side)" after it for the side that is not hurt.
fn swaps(text: &str) -> Result<Value, String> {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    let swap = |line: &str| {
        let wrong = || format!("\"{line}\" is no swap. Type it like knee: box-jump.");
        let (hurt, to) = line.split_once(':').ok_or_else(wrong)?;
        let (to, other_side) = match to.trim().strip_suffix("(other side)") {
            Some(to) => (to.trim(), true),
            None => (to.trim(), false),
        };
        let mut swap = Table::new();
        swap.insert("hurt".into(), hurt.trim().into());
        swap.insert("to".into(), to.into());
        swap.insert("other_side".into(), other_side.into());
        Ok(Value::from(swap))
    };
    lines.map(swap).collect::<Result<Vec<_>, String>>().map(Value::Array)
}
