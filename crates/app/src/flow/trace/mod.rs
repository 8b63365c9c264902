//! Use case: what a recording shows. A file goes in; events, phases, numbers and a picture come
//! out.

mod analysis;
mod columns;
mod figure;
mod overlay;
mod repetitions;
mod source;
mod why;
mod words;

pub use analysis::{Analysis, Drift, Hop, Kind, Question, Rules, Signals, analyse, analyse_bar};
pub use columns::{Glance, chosen, glance, in_words, reading_from};
pub use figure::{figure, time_of};
pub use overlay::{Aligned, overlay};
pub use repetitions::word as word_for_repetitions;
pub use source::{Chosen, Source, SourceError, WithColumns, read_bar, read_force};

pub use why::working;
pub use words::name;

use cornerwork_core::words::capitalised;
use thiserror::Error;

/// Why a file gives no numbers.
#[derive(Debug, Error)]
pub enum TraceError {
    /// It could not be read.
    #[error(transparent)]
    Source(#[from] SourceError),
    /// What it holds is no such trial.
    #[error(transparent)]
    Trial(#[from] cornerwork_core::trial::TrialError),
}

/// Reads a recording and answers the question asked of it. The second value says which columns
/// were taken for what, when the file has any.
///
/// # Errors
/// When the file cannot be read or holds no trial of the kind.
pub fn answer(
    source: Source<'_>,
    chosen: &Chosen,
    question: &Question,
) -> Result<(Analysis, Option<String>), TraceError> {
    if question.kind == Kind::Bar {
        let (capture, columns) = read_bar(source, chosen)?;
        return Ok((analyse_bar(&capture, question)?, columns));
    }
    let (capture, columns) = read_force(source, chosen)?;
    Ok((analyse(&capture, question)?, columns))
}

/// An error as a sentence: capital letter and full stop.
pub fn sentence(error: impl std::fmt::Display) -> String {
    let text = error.to_string();
    format!("{}.", capitalised(&text).trim_end_matches('.'))
}
