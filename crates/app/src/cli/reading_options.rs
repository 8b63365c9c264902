//! The option that answers a complaint of the readers. Their sentences are for pages and commands
//! alike and know no options; a command adds its own here.

use crate::flow::trace::{SourceError, TraceError, sentence};
use cornerwork_core::note::Note;
use cornerwork_io::readers::delimited::DelimitedError;
use cornerwork_io::readers::parquet::ParquetFileError;

/// Why a recording gives no numbers, and the option that helps where one does.
pub(super) fn refusal(error: &TraceError) -> String {
    match error {
        TraceError::Source(error) => unread(error),
        TraceError::Trial(error) => sentence(error),
    }
}

/// Why a recording cannot be read, and the option that helps where one does.
pub(super) fn unread(error: &SourceError) -> String {
    let option = match error {
        SourceError::Delimited(error) | SourceError::Parquet(ParquetFileError::Columns(error)) => {
            option(error)
        }
        _ => None,
    };
    with_option(sentence(error), option)
}

/// A caveat, and the option that settles it where one does.
pub(super) fn note(note: &Note) -> String {
    let option = (note.id == "plates-added-up").then(|| {
        "--columns left=NAME,right=NAME, or left=1,right=2 by number in a C3D file".to_owned()
    });
    with_option(note.text.clone(), option)
}

fn with_option(sentence: String, option: Option<String>) -> String {
    match option {
        Some(option) => format!("{sentence} Option: {option}."),
        None => sentence,
    }
}

fn option(error: &DelimitedError) -> Option<String> {
    Some(match error {
        DelimitedError::AmbiguousComma { .. } => "--decimal point or --decimal comma".to_owned(),
        DelimitedError::NoColumn { wanted, .. } | DelimitedError::Unclear { wanted, .. } => {
            format!("--columns {wanted}=NAME")
        }
        DelimitedError::NoClock => "--rate HZ".to_owned(),
        DelimitedError::RatesDisagree { .. } => "--columns time=none".to_owned(),
        DelimitedError::CoarseTime { .. } => "--rate HZ --columns time=none".to_owned(),
        DelimitedError::UnclearTimeUnit { .. } => {
            "--columns time=NAME:s or --columns time=NAME:ms".to_owned()
        }
        DelimitedError::UnclearLengthUnit { .. } => {
            "--columns position=NAME:cm (or mm, m)".to_owned()
        }
        _ => return None,
    })
}
