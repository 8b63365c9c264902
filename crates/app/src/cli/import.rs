//! `import`: a folder of recordings of one kind, one row of numbers each; with a gym named, filed
//! there (`import_into_gym.rs`).
//!
//! Workers read files and hand over numbers only, through a channel of a few places: memory holds
//! the few recordings being read, however many there are.

use super::trace::ReadingArguments;
use super::{answer, import_into_gym, reading_options, trace_output as output};
use crate::flow::trace::{self, Chosen, Kind, Question, Source};
use clap::Args;
use cornerwork_core::metrics::registry::Family;
use cornerwork_core::metrics::{
    Definition, MetricSet, bar_velocity, force, height, impulse, isometric, landing, power,
    reactive_strength, stiffness, timing,
};
use indicatif::{ProgressBar, ProgressStyle};
use serde_json::json;
use std::collections::BTreeMap;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, sync_channel};

/// Results waiting to be written, for each worker.
const WAITING: usize = 4;
/// Files named for each reason in the summary.
const NAMED: usize = 3;

/// What `import` takes.
#[derive(Args)]
pub(super) struct ImportArguments {
    /// Folder of recordings; its subfolders are left alone.
    folder: PathBuf,
    #[command(flatten)]
    pub(super) reading: ReadingArguments,
    /// Folder of a gym: file the recordings there, as its page Traces does.
    #[arg(long, value_name = "DIR", requires = "athlete")]
    pub(super) data: Option<PathBuf>,
    /// Whose they are: code or name of an athlete of that gym, or by-name to go by the code in each
    /// file's name.
    #[arg(long, value_name = "ATHLETE", requires = "data")]
    pub(super) athlete: Option<String>,
    /// Exercise of a loaded jump or a lift, as the library calls it.
    #[arg(long, value_name = "EXERCISE", requires = "data")]
    pub(super) exercise: Option<String>,
    /// Day of recording, such as 2026-09-23; today if not said.
    #[arg(long, value_name = "DAY", requires = "data")]
    pub(super) day: Option<String>,
    /// Take the guessed columns without asking; else unknown columns wait to be confirmed.
    #[arg(long, requires = "data")]
    pub(super) take_guess: bool,
    /// Print one JSON document instead of a table.
    #[arg(long)]
    pub(super) json: bool,
    /// Files read at once; as many as the machine has processors if not said.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=64))]
    workers: Option<u8>,
}

/// What became of one file.
struct Row {
    file: String,
    numbers: Result<(Vec<MetricSet>, Vec<&'static str>), String>,
}

/// Reads the folder, prints numbers as they come in the order of names, then the summary.
pub(super) fn run(arguments: &ImportArguments) -> Result<(), String> {
    let files = files(&arguments.folder)?;
    if let Some(data) = &arguments.data {
        if arguments.reading.takes_drift_off() {
            return Err("A gym keeps recordings as they are and takes no drift off: leave out \
                        --level-zero and --close-velocity, or leave out --data."
                .to_owned());
        }
        return import_into_gym::run(arguments, data, &files);
    }
    let question = arguments.reading.question()?;
    let chosen = arguments.reading.chosen(None)?;
    let workers = arguments.workers().min(files.len());
    let next = AtomicUsize::new(0);
    let (sender, receiver) = sync_channel(WAITING * workers);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            let (sender, files, next, chosen) = (sender.clone(), &files, &next, &chosen);
            scope.spawn(move || {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some(file) = files.get(index) else { break };
                    // Nobody listens any more when writing has failed.
                    if sender.send((index, read(file, chosen, &question))).is_err() {
                        break;
                    }
                }
            });
        }
        drop(sender);
        let mut writer = Writer::new(question.kind, arguments.json, files.len());
        write_in_order(receiver, &mut writer)?;
        writer.finish()
    })
}

impl ImportArguments {
    /// Files read at once.
    pub(super) fn workers(&self) -> usize {
        let processors = || std::thread::available_parallelism().map_or(1, usize::from);
        self.workers.map_or_else(processors, usize::from)
    }
}

/// Files of the folder in the order of their names; hidden ones are left alone.
fn files(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let unreadable =
        |error: std::io::Error| format!("The folder {} cannot be read: {error}.", folder.display());
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        let entry = entry.map_err(unreadable)?;
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        if !hidden && entry.path().is_file() {
            files.push(entry.path());
        }
    }
    files.sort();
    if files.is_empty() {
        return Err(format!("The folder {} holds no files.", folder.display()));
    }
    Ok(files)
}

fn read(path: &Path, chosen: &Chosen, question: &Question) -> Row {
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let numbers = trace::answer(Source::File(path), chosen, question)
        .map(|(analysis, _)| {
            let notes = analysis.notes.iter().map(|note| note.id).collect();
            (analysis.sets, notes)
        })
        .map_err(|error| reading_options::refusal(&error));
    Row { file, numbers }
}

fn write_in_order(results: Receiver<(usize, Row)>, writer: &mut Writer) -> Result<(), String> {
    let mut early = BTreeMap::new();
    let mut expected = 0;
    for (index, row) in results {
        early.insert(index, row);
        while let Some(row) = early.remove(&expected) {
            writer.write(&row)?;
            expected += 1;
        }
    }
    Ok(())
}

/// Writes rows and keeps count.
struct Writer {
    json: bool,
    kind: Kind,
    columns: Vec<&'static Definition>,
    bar: ProgressBar,
    done: usize,
    failed: BTreeMap<String, Vec<String>>,
}

impl Writer {
    fn new(kind: Kind, json: bool, files: usize) -> Self {
        let columns = families(kind).into_iter().flat_map(|family| family.metrics.iter().copied());
        let bar = progress(files);
        Self { json, kind, columns: columns.collect(), bar, done: 0, failed: BTreeMap::new() }
    }

    fn write(&mut self, row: &Row) -> Result<(), String> {
        self.bar.inc(1);
        match &row.numbers {
            Ok((sets, notes)) => {
                let text = if self.json {
                    self.as_json(&row.file, sets, notes)
                } else {
                    self.as_table(&row.file, sets, notes)
                };
                self.done += 1;
                answer::print(&text)
            }
            Err(reason) => {
                self.failed.entry(reason.clone()).or_default().push(row.file.clone());
                Ok(())
            }
        }
    }

    fn as_json(&self, file: &str, sets: &[MetricSet], notes: &[&str]) -> String {
        let before = if self.done == 0 { self.opening() } else { ",\n".into() };
        let trials: Vec<_> = sets.iter().map(output::numbers).collect();
        let row = json!({ "file": file, "trials": trials, "notes": notes });
        format!("{before}{row}")
    }

    fn opening(&self) -> String {
        format!(
            "{{\"schema\":\"cornerwork.import.1\",\"kind\":\"{}\",\"files\":[\n",
            self.kind.id()
        )
    }

    /// One line a trial; a repetition of a bar is a trial. A number that is absent is a blank.
    fn as_table(&self, file: &str, sets: &[MetricSet], notes: &[&str]) -> String {
        let mut text = String::new();
        if self.done == 0 {
            text += "file,trial";
            for column in &self.columns {
                text.push(',');
                text += column.id;
            }
            text += ",notes\n";
        }
        for (index, set) in sets.iter().enumerate() {
            text += &format!("{},{}", quoted(file), index + 1);
            for column in &self.columns {
                text.push(',');
                if let Some(metric) = set.metric(column.id) {
                    text += &metric.value.to_string();
                }
            }
            text += &format!(",{}\n", notes.join(" "));
        }
        text
    }

    fn finish(self) -> Result<(), String> {
        self.bar.finish_and_clear();
        if self.json {
            let opening = if self.done == 0 { self.opening() } else { String::new() };
            let failures: Vec<_> = self
                .failed
                .iter()
                .flat_map(|(why, files)| {
                    files.iter().map(move |file| json!({"file": file, "reason": why}))
                })
                .collect();
            answer::print(&format!("{opening}\n],\"failures\":{}}}\n", json!(failures)))?;
        }
        let failed: usize = self.failed.values().map(Vec::len).sum();
        eprintln!("{} of {} files read.", self.done, self.done + failed);
        for (reason, files) in &self.failed {
            eprintln!("{}: {reason}", some_of(files));
        }
        if self.done == 0 { Err("No file could be read.".into()) } else { Ok(()) }
    }
}

/// A bar on a terminal, nothing elsewhere.
pub(super) fn progress(files: usize) -> ProgressBar {
    let bar = if std::io::stderr().is_terminal() {
        ProgressBar::new(files as u64)
    } else {
        ProgressBar::hidden()
    };
    if let Ok(style) = ProgressStyle::with_template("{bar:40} {pos} of {len}, {eta} to go") {
        bar.set_style(style);
    }
    bar
}

/// The first files of a list, and how many more there are.
pub(super) fn some_of(files: &[String]) -> String {
    let named = files.iter().take(NAMED).cloned().collect::<Vec<_>>().join(", ");
    match files.len().saturating_sub(NAMED) {
        0 => named,
        more => format!("{named} and {more} more"),
    }
}

pub(super) fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// The families of metrics a kind of trial can have.
fn families(kind: Kind) -> Vec<&'static Family> {
    match kind {
        Kind::Bar => vec![&bar_velocity::FAMILY, &power::FAMILY],
        Kind::Isometric => vec![&timing::FAMILY, &force::FAMILY, &isometric::FAMILY],
        Kind::CountermovementJump | Kind::SquatJump | Kind::DropJump | Kind::RepeatedJump => vec![
            &height::FAMILY,
            &timing::FAMILY,
            &force::FAMILY,
            &impulse::FAMILY,
            &power::FAMILY,
            &reactive_strength::FAMILY,
            &stiffness::FAMILY,
            &landing::FAMILY,
        ],
    }
}
