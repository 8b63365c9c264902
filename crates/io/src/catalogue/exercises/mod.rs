//! Reads the exercise library: the one the program carries, and a gym's own file beside it.

mod convert;
mod file;
mod own;
mod problem;

use std::collections::BTreeMap;

use cornerwork_core::exercise::{Exercise, ExerciseId, Library, Measure, MeasureKind};
use toml::Spanned;

use convert::Glossary;
use file::ExerciseFile;
pub use own::TypedExercise;
pub use problem::{EntryFault, ExerciseFileError, Problem};

/// The library the program carries.
const BUILT_IN: &str = include_str!("../../../../../data/exercises.toml");

/// Every exercise, in the order of the files, and by id.
#[derive(Clone, Debug, Default)]
pub struct Exercises {
    in_order: Vec<Exercise>,
    place: BTreeMap<ExerciseId, usize>,
    glossary: Glossary,
}

impl Library for Exercises {
    fn exercise(&self, id: &ExerciseId) -> Option<&Exercise> {
        self.get(id)
    }
}

impl Exercises {
    /// The library the program carries. It fails only when the program was built with a faulty
    /// file, which a test forbids.
    pub fn built_in() -> Result<Self, ExerciseFileError> {
        Self::default().with_added("data/exercises.toml", BUILT_IN)
    }

    /// This library with the entries of another file after its own. `file` is the name used in
    /// problems. Entries may use the measures and faults of both; nothing is replaced.
    pub fn with_added(mut self, file: &str, text: &str) -> Result<Self, ExerciseFileError> {
        let read = toml::from_str(text).map_err(|error| unreadable(file, text, &error))?;
        let mut sheet = Sheet { file, text, problems: Vec::new() };
        let lines = self.add(read, &mut sheet);
        self.check_swaps(&lines, &mut sheet);
        if sheet.problems.is_empty() {
            Ok(self)
        } else {
            Err(ExerciseFileError { problems: sheet.problems })
        }
    }

    /// The exercise of this id.
    pub fn get(&self, id: &ExerciseId) -> Option<&Exercise> {
        self.place.get(id).map(|&place| &self.in_order[place])
    }

    /// The exercise whose id is this text.
    pub fn named(&self, id: &str) -> Option<&Exercise> {
        ExerciseId::new(id).and_then(|id| self.get(&id))
    }

    /// Every exercise, in the order of the files.
    pub fn in_order(&self) -> &[Exercise] {
        &self.in_order
    }

    /// How a measure is typed, shown and limited where no exercise says otherwise: body mass,
    /// contract weight, box height and load among them.
    pub fn measure(&self, kind: MeasureKind) -> Option<&Measure> {
        self.glossary.measures.get(&kind)
    }

    /// Adds what is sound, notes what is not, and returns where the new exercises stand.
    fn add(&mut self, read: ExerciseFile, sheet: &mut Sheet<'_>) -> Vec<(ExerciseId, usize)> {
        for entry in &read.measure {
            let measures = &mut self.glossary.measures;
            let taken = |measure: Measure| match measures.insert(measure.kind, measure) {
                Some(_) => Err(EntryFault::DuplicateId),
                None => Ok(()),
            };
            sheet.note(&entry.kind, convert::measure(entry).and_then(taken));
        }
        for entry in &read.fault {
            let faults = &mut self.glossary.faults;
            let taken = |fault: cornerwork_core::exercise::Fault| match faults
                .insert(fault.tag.clone(), fault)
            {
                Some(_) => Err(EntryFault::DuplicateId),
                None => Ok(()),
            };
            sheet.note(&entry.tag, convert::fault(entry).and_then(taken));
        }
        let mut added = Vec::new();
        for entry in read.exercise {
            let id = entry.id.clone();
            let exercise = convert::exercise(entry, &self.glossary);
            let taken = exercise.and_then(|exercise| self.insert(exercise));
            if let Some(new) = sheet.note(&id, taken) {
                added.push((new, sheet.line(id.span().start)));
            }
        }
        added
    }

    fn insert(&mut self, exercise: Exercise) -> Result<ExerciseId, EntryFault> {
        let id = exercise.id.clone();
        if self.place.contains_key(&id) {
            return Err(EntryFault::DuplicateId);
        }
        self.place.insert(id.clone(), self.in_order.len());
        self.in_order.push(exercise);
        Ok(id)
    }

    /// Swaps may point forwards, so they are checked when every entry is in.
    fn check_swaps(&self, added: &[(ExerciseId, usize)], sheet: &mut Sheet<'_>) {
        for (id, line) in added {
            for swap in self.get(id).into_iter().flat_map(|exercise| &exercise.swaps) {
                if self.get(&swap.to).is_none() {
                    let hurt = swap.injured.words();
                    let fault = EntryFault::UnknownSwap { hurt, to: swap.to.to_string() };
                    sheet.found(*line, id.as_str(), fault);
                }
            }
        }
    }
}

/// The file being read and what was found wrong with it.
struct Sheet<'a> {
    file: &'a str,
    text: &'a str,
    problems: Vec<Problem>,
}

impl Sheet<'_> {
    fn note<T>(&mut self, id: &Spanned<String>, result: Result<T, EntryFault>) -> Option<T> {
        result.map_err(|fault| self.found(self.line(id.span().start), id.get_ref(), fault)).ok()
    }

    fn found(&mut self, line: usize, entry: &str, fault: EntryFault) {
        let (file, entry) = (self.file.to_owned(), entry.to_owned());
        self.problems.push(Problem { file, line, entry, fault });
    }

    fn line(&self, byte: usize) -> usize {
        line_of(self.text, byte)
    }
}

fn line_of(text: &str, byte: usize) -> usize {
    1 + text.bytes().take(byte).filter(|&b| b == b'\n').count()
}

fn unreadable(file: &str, text: &str, error: &toml::de::Error) -> ExerciseFileError {
    let start = error.span().map_or(0, |span| span.start);
    ExerciseFileError {
        problems: vec![Problem {
            file: file.to_owned(),
            line: line_of(text, start),
            entry: "the file".to_owned(),
            fault: EntryFault::Unreadable(error.message().to_owned()),
        }],
    }
}
