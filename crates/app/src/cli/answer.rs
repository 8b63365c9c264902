//! How every answer leaves a command: for people, or as one JSON document.

use crate::cli::explain::{self, WorkingObject};
use clap::Args;
use cornerwork_core::estimate::{Estimate, Level};
use cornerwork_core::note::Note;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::units::Quantity;
use cornerwork_core::working::Working;
use cornerwork_io::charts::{Layout, Theme, svg};
use serde::Serialize;
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Width of text on a terminal, in characters.
const WIDTH: usize = 78;
/// Width of a picture in a file, in CSS pixels.
const PICTURE_WIDTH: f64 = 720.0;

/// How the answer is wanted.
#[derive(Args)]
pub(super) struct AnswerArguments {
    /// Print one JSON document instead of text.
    #[arg(long)]
    json: bool,
    /// Say how each number came about.
    #[arg(long)]
    explain: bool,
}

/// How sure intervals are to be.
#[derive(Args)]
pub(super) struct LevelArgument {
    /// Probability of every interval, between 0 and 1.
    #[arg(long, value_name = "P", default_value = "0.9", value_parser = level)]
    pub(super) level: Level,
}

fn level(text: &str) -> Result<Level, String> {
    let probability = text.parse().ok().and_then(Level::new);
    probability.ok_or_else(|| "a probability lies between 0 and 1, such as 0.9".to_owned())
}

impl AnswerArguments {
    /// Prints an answer to standard output.
    ///
    /// # Errors
    /// A sentence when it cannot be written.
    pub(super) fn give(
        &self,
        document: &impl Serialize,
        text: &str,
        workings: &[Working],
    ) -> Result<(), String> {
        let workings = if self.explain { workings } else { &[] };
        let all = if self.json {
            let working = workings.iter().map(WorkingObject::from).collect();
            let document = serde_json::to_string_pretty(&Document { document, working })
                .map_err(|error| format!("The answer cannot be written as JSON: {error}."))?;
            document + "\n"
        } else {
            let workings = workings.iter().map(explain::in_words);
            std::iter::once(text.to_owned()).chain(workings).collect::<Vec<_>>().join("\n")
        };
        print(&all)
    }
}

/// Writes to standard output. Who stops reading, as `head` does, has read enough.
pub(super) fn print(text: &str) -> Result<(), String> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(format!("The answer cannot be written: {error}."))
        }
        _ => Ok(()),
    }
}

#[derive(Serialize)]
struct Document<'a, T> {
    #[serde(flatten)]
    document: &'a T,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    working: Vec<WorkingObject<'a>>,
}

/// A caveat in JSON.
#[derive(Serialize)]
pub(super) struct NoteObject<'a> {
    id: &'static str,
    text: &'a str,
}

impl<'a> From<&'a Note> for NoteObject<'a> {
    fn from(note: &'a Note) -> Self {
        Self { id: note.id, text: &note.text }
    }
}

/// Caveats in JSON.
pub(super) fn note_objects(notes: &[Note]) -> Vec<NoteObject<'_>> {
    notes.iter().map(NoteObject::from).collect()
}

/// Both ends of an interval in SI units.
pub(super) fn ends<Q: Quantity>(estimate: &Estimate<Q>) -> [f64; 2] {
    [estimate.interval.low.si(), estimate.interval.high.si()]
}

/// Caveats on a terminal; nothing without any.
pub(super) fn notes_in_words(notes: &[Note]) -> String {
    let lines = notes.iter().flat_map(|note| wrapped("- ", &note.text));
    lines.map(|line| line + "\n").collect()
}

/// Numbers under their headings, aligned to the right.
pub(super) fn columns<const N: usize>(headings: [&str; N], rows: &[[String; N]]) -> String {
    let length = |text: &str| text.chars().count();
    let width =
        |at: usize| rows.iter().map(|row| length(&row[at])).fold(length(headings[at]), usize::max);
    let line = |cells: [&str; N]| {
        let cells = cells.iter().enumerate();
        let cells: Vec<String> =
            cells.map(|(at, cell)| format!("{cell:>width$}", width = width(at))).collect();
        format!("  {}\n", cells.join("   "))
    };
    let rows = rows.iter().map(|row| line(row.each_ref().map(String::as_str)));
    std::iter::once(line(headings)).chain(rows).collect()
}

/// A text in lines of terminal width, the first after `start` and the others in line with it.
pub(super) fn wrapped(start: &str, text: &str) -> Vec<String> {
    let length = |text: &str| text.chars().count();
    let room = WIDTH.saturating_sub(length(start));
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if length(line) + 1 + length(word) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    let indent = " ".repeat(length(start));
    let begins = std::iter::once(start).chain(std::iter::repeat(indent.as_str()));
    begins.zip(&lines).map(|(begin, line)| format!("{begin}{line}")).collect()
}

/// Writes the figure of a profile to a file of its own.
///
/// # Errors
/// A sentence when the file cannot be written.
pub(super) fn save_picture(figure: impl Into<Figure>, file: &Path) -> Result<(), String> {
    save_laid_out(figure, Layout::new("profile", PICTURE_WIDTH), file)
}

/// Writes a figure with its heading to a file of its own, laid out at another width.
///
/// # Errors
/// A sentence when the file cannot be written.
pub(super) fn save_laid_out(
    figure: impl Into<Figure>,
    layout: Layout,
    file: &Path,
) -> Result<(), String> {
    std::fs::write(file, svg(&figure.into(), &layout.with_heading(), Theme::Ink))
        .map_err(|error| format!("Cannot write {}: {error}.", file.display()))
}
