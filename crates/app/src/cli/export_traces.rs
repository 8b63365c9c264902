//! Recordings in an export: a table of them, and each as it was received.

use super::export::{Cells, named, unwritable, written};
use super::record::RecordError;
use crate::flow::trace::in_words;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::trial::TrialEvent;
use cornerwork_core::units::Quantity;
use cornerwork_io::store::Recordings;
use std::fs::File;
use std::io::Write;
use std::path::Path;

/// Folder of the recordings inside the export.
pub(super) const FOLDER: &str = "recordings";

/// One row a recording. Events that a person put right have a time; the others are left to the
/// rules.
pub(super) fn table(gym: &Gym) -> Cells {
    let mut names = named([
        "trace",
        "day",
        "athlete",
        "kind",
        "exercise",
        "side",
        "load_kg",
        "box_height_m",
        "file",
        "recording",
        "sha256",
        "read_with",
        "set_aside",
    ]);
    let moved = |event: TrialEvent| format!("{}_moved_to_s", event.name().replace('-', "_"));
    names.extend(TrialEvent::ALL.map(moved));
    std::iter::once(names).chain(gym.traces.all().map(row)).collect()
}

fn row(trace: &FiledRecording) -> Vec<String> {
    let filing = &trace.filing;
    let mut row = vec![
        trace.id.to_string(),
        filing.day.to_string(),
        filing.athlete.to_string(),
        filing.kind.id().to_owned(),
        filing.exercise.as_ref().map_or_else(String::new, ToString::to_string),
        filing.side.map_or_else(String::new, |side| side.code().to_owned()),
        filing.load.si().to_string(),
        written(filing.box_height.map(Quantity::si)),
        trace.file.clone(),
        file_name(trace),
        trace.hash.to_string(),
        trace.reading.as_ref().map_or_else(String::new, in_words),
        trace.set_aside.clone().unwrap_or_default(),
    ];
    row.extend(TrialEvent::ALL.map(|event| written(trace.moved.at(event))));
    row
}

/// A name no other recording has, and that every system takes.
fn file_name(trace: &FiledRecording) -> String {
    let safe = |letter: char| match letter {
        letter if letter.is_alphanumeric() || " ._-".contains(letter) => letter,
        _ => '_',
    };
    let name: String = trace.file.chars().map(safe).take(80).collect();
    format!("{} {name}", &trace.hash.to_string()[..12])
}

/// Writes every recording as it was received; no file is replaced.
pub(super) async fn write(
    gym: &Gym,
    recordings: &Recordings,
    out: &Path,
) -> Result<(), RecordError> {
    let folder = out.join(FOLDER);
    let unwritten =
        |path: &Path, error: std::io::Error| RecordError::Unsound(unwritable(path, &error));
    if !gym.traces.is_empty() {
        std::fs::create_dir_all(&folder).map_err(|error| unwritten(&folder, error))?;
    }
    for trace in gym.traces.all() {
        let bytes = recordings.read(trace.hash).await?;
        let path = folder.join(file_name(trace));
        File::create_new(&path)
            .and_then(|mut file| file.write_all(&bytes).and_then(|()| file.sync_all()))
            .map_err(|error| unwritten(&path, error))?;
    }
    Ok(())
}
