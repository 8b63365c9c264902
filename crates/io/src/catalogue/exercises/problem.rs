//! What can be wrong with an exercise file, with the place and a way out.

/// An exercise file that cannot be used: every problem found, one a line.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", lines(problems))]
pub struct ExerciseFileError {
    /// At least one.
    pub problems: Vec<Problem>,
}

/// One problem and where it stands.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{file}, line {line}: {entry}: {fault}")]
pub struct Problem {
    /// The file's name.
    pub file: String,
    /// Line on which the entry's id stands, from 1.
    pub line: usize,
    /// The entry's id.
    pub entry: String,
    /// What is wrong.
    pub fault: EntryFault,
}

/// What is wrong with one entry.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EntryFault {
    /// Not TOML, or a field missing, unknown or of the wrong type.
    #[error("{0}")]
    Unreadable(String),
    /// Not lower-case words joined by hyphens.
    #[error("an id is lower-case words joined by hyphens, like box-jump")]
    BadId,
    /// The id stands twice.
    #[error("this id is already taken; give the entry another")]
    DuplicateId,
    /// A word that is none of a fixed list.
    #[error("\"{word}\" is no {field}; it is one of: {known}")]
    UnknownWord {
        /// Which field.
        field: &'static str,
        /// The word found.
        word: String,
        /// The words there are.
        known: String,
    },
    /// A list that needs at least one item.
    #[error("{field} is empty; name at least one")]
    Empty {
        /// Which field.
        field: &'static str,
    },
    /// A measure without limits of its own.
    #[error("{measure} has no [[measure]] entry; add one with its unit and limits")]
    MeasureUndefined {
        /// The measure.
        measure: &'static str,
    },
    /// Limits or a target for a measure the exercise does not have.
    #[error("{field} names {measure}, which is not among the exercise's measures")]
    NotItsMeasure {
        /// Which field.
        field: &'static str,
        /// The measure.
        measure: &'static str,
    },
    /// No unit of this name, or none of the right dimension.
    #[error("\"{unit}\" is no unit for {measure}")]
    WrongUnit {
        /// The unit found.
        unit: String,
        /// The measure.
        measure: &'static str,
    },
    /// The higher number first, or not a number.
    #[error("{field} runs from {low} to {high}; write the lower number first")]
    Inverted {
        /// Which field.
        field: String,
        /// The first number.
        low: f64,
        /// The second.
        high: f64,
    },
    /// Usual limits that reach outside the hard ones.
    #[error("the usual {measure} reaches outside its hard limits")]
    UsualOutsideHard {
        /// The measure.
        measure: &'static str,
    },
    /// Too long to be shouted.
    #[error("the cue \"{cue}\" has {words} words; 1 to {most} can be heard")]
    CueLength {
        /// The cue.
        cue: String,
        /// Its words.
        words: usize,
        /// The most allowed.
        most: usize,
    },
    /// A fault that no `[[fault]]` describes.
    #[error("the fault \"{tag}\" has no [[fault]] entry")]
    UnknownFault {
        /// The tag.
        tag: String,
    },
    /// A cue for a fault that cannot be tagged on the exercise.
    #[error("fault_cues names \"{tag}\", which is not among the exercise's faults")]
    CueForForeignFault {
        /// The tag.
        tag: String,
    },
    /// A stop rule that never or always stops.
    #[error("a stop needs a drop between 0 and 1 and at least one repetition")]
    SenselessStop,
    /// A stop by a window that is not there.
    #[error("the stop watches a window, but no target is set for {measure}")]
    StopWithoutWindow {
        /// The primary measure.
        measure: &'static str,
    },
    /// A swap to an exercise that is not in the library.
    #[error("the swap for {hurt} leads to \"{to}\", which is not in the library")]
    UnknownSwap {
        /// The hurt part.
        hurt: &'static str,
        /// The missing target.
        to: String,
    },
    /// A swap to itself that is not to the other side.
    #[error("the swap for {hurt} leads back to the exercise; set other_side or name another")]
    SwapToItself {
        /// The hurt part.
        hurt: &'static str,
    },
}

fn lines(problems: &[Problem]) -> String {
    problems.iter().map(Problem::to_string).collect::<Vec<_>>().join("\n")
}
