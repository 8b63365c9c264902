//! `import --data`: a folder of recordings filed in a gym, by the same use case as the page.

use super::import::{ImportArguments, progress, quoted, some_of};
use super::{answer, reading_options};
use crate::flow::clock::Clock;
use crate::flow::filing::TypedFiling;
use crate::flow::house::House;
use crate::flow::trace;
use crate::flow::traces::{self, Fate, HandedIn};
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::trace::Reading;
use cornerwork_io::catalogue::safety_rules::SafetyRules;
use cornerwork_io::store::{SqliteStore, StoreError};
use futures_util::StreamExt;
use jiff::tz::TimeZone;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// Who files from the command line.
const AUTHOR: &str = "import";

/// Files the folder and says what became of each file, in the order of names. Several are read at
/// once; what is kept of a file once it is told is its count, or its name beside a reason.
pub(super) fn run(
    arguments: &ImportArguments,
    data: &Path,
    files: &[PathBuf],
) -> Result<(), String> {
    let runtime = tokio::runtime::Runtime::new().map_err(|error| error.to_string())?;
    runtime.block_on(async {
        let house = open(data).await?;
        let bar = progress(files.len());
        let filed = files.iter().map(|file| {
            // Recordings of a set stand in the order of their ids.
            let id = OperationId(Uuid::now_v7().as_u128());
            file_one(&house, arguments, file, id)
        });
        let mut filed = futures_util::stream::iter(filed).buffered(arguments.workers());
        let mut writer = Writer::new(arguments.json);
        while let Some(told) = filed.next().await {
            writer.write(&told?)?;
            bar.inc(1);
        }
        bar.finish_and_clear();
        writer.finish()
    })
}

async fn open(data: &Path) -> Result<House, String> {
    let store = SqliteStore::open_existing(data).await.map_err(|error| match error {
        StoreError::InUse { .. } => format!(
            "The gym in {} is open in another program. Hand the files in on its page Traces, or \
             stop that program and import again.",
            data.display()
        ),
        error => error.to_string(),
    })?;
    let rules = SafetyRules::in_folder(data).map_err(|error| error.to_string())?;
    House::open(store, Clock::machine(TimeZone::system()), rules).await
}

/// What became of one file.
struct Told {
    file: String,
    fate: Fate,
}

/// Files one recording. A wrong argument ends the whole import, a wrong file only itself.
async fn file_one(
    house: &House,
    arguments: &ImportArguments,
    path: &Path,
    id: OperationId,
) -> Result<Told, String> {
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let refused = |sentence: String| Told { file: file.clone(), fate: Fate::Refused(sentence) };
    let read = {
        let path = path.to_owned();
        tokio::task::spawn_blocking(move || std::fs::read(path)).await
    };
    let bytes = match read.map_err(|error| error.to_string())? {
        Ok(bytes) => bytes,
        Err(error) => return Ok(refused(format!("The file cannot be read: {error}."))),
    };
    let reading = match reading(house, arguments, &bytes)? {
        Ok(reading) => reading,
        Err(sentence) => return Ok(refused(sentence)),
    };
    let filing = {
        let ledger = house.keeper.ledger();
        typed(arguments).read(house, ledger.gym(), &file)
    };
    let filing = match filing {
        Ok(filing) => filing,
        Err(sentence) => return Ok(refused(sentence)),
    };
    let (author, name) = (AUTHOR.into(), file.clone());
    let handed = HandedIn { id, author, file: name, bytes, filing, reading };
    let fate = traces::file(house, handed).await;
    Ok(Told { file, fate })
}

type ForThisFile = Result<Option<Reading>, String>;

/// How the file is to be read, where the command says so.
fn reading(
    house: &House,
    arguments: &ImportArguments,
    bytes: &[u8],
) -> Result<ForThisFile, String> {
    let said = &arguments.reading;
    if !said.states_columns() && !arguments.take_guess {
        return Ok(Ok(None));
    }
    let chosen = {
        let ledger = house.keeper.ledger();
        said.chosen(Some(&ledger.gym().traces))?
    };
    Ok(trace::reading_from(bytes, said.kind(), &chosen)
        .map(Some)
        .map_err(|error| reading_options::unread(&error)))
}

fn typed(arguments: &ImportArguments) -> TypedFiling {
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    TypedFiling {
        athlete: said(&arguments.athlete),
        exercise: said(&arguments.exercise),
        day: said(&arguments.day),
        ..arguments.reading.typed()
    }
}

/// A word for programs, and why where there is a why.
fn in_words(fate: &Fate) -> (&'static str, &str) {
    match fate {
        Fate::Filed { .. } => ("filed", ""),
        Fate::WithoutNumbers { why, .. } => ("filed-without-numbers", why),
        Fate::ToConfirm { .. } => ("columns-to-confirm", ""),
        Fate::Here { what, .. } => ("here-already", what),
        Fate::Refused(sentence) => ("not-taken", sentence),
    }
}

/// Tells of each file as it comes and counts.
struct Writer {
    json: bool,
    all: usize,
    counts: BTreeMap<&'static str, usize>,
    reasons: BTreeMap<String, Vec<String>>,
}

impl Writer {
    const fn new(json: bool) -> Self {
        Self { json, all: 0, counts: BTreeMap::new(), reasons: BTreeMap::new() }
    }

    fn write(&mut self, told: &Told) -> Result<(), String> {
        let (state, why) = in_words(&told.fate);
        let row = if self.json { self.as_json(told) } else { self.as_table(told) };
        self.all += 1;
        *self.counts.entry(state).or_default() += 1;
        if matches!(told.fate, Fate::Refused(_) | Fate::WithoutNumbers { .. }) {
            self.reasons.entry(why.to_owned()).or_default().push(told.file.clone());
        }
        answer::print(&row)
    }

    fn as_table(&self, told: &Told) -> String {
        let head = if self.all == 0 { "file,state,trace,why\n" } else { "" };
        let (state, why) = in_words(&told.fate);
        let trace = told.fate.trace().map_or_else(String::new, |id| id.to_string());
        format!("{head}{},{state},{trace},{}\n", quoted(&told.file), quoted(why))
    }

    fn as_json(&self, told: &Told) -> String {
        let head = match self.all {
            0 => "{\"schema\":\"cornerwork.import-into-gym.1\",\"files\":[\n",
            _ => ",\n",
        };
        let (state, why) = in_words(&told.fate);
        let mut row = json!({ "file": told.file, "state": state });
        if let (Value::Object(row), Some(trace)) = (&mut row, told.fate.trace()) {
            row.insert("trace".into(), trace.to_string().into());
        }
        if let (Value::Object(row), false) = (&mut row, why.is_empty()) {
            row.insert("why".into(), why.into());
        }
        format!("{head}{row}")
    }

    /// How many became what, then each reason with the files it holds for.
    fn finish(self) -> Result<(), String> {
        if self.json {
            answer::print("\n]}\n")?;
        }
        let count = |state: &str| self.counts.get(state).copied().unwrap_or_default();
        let waiting = count("columns-to-confirm");
        eprintln!(
            "{} of {} files filed with numbers, {} without, {waiting} waiting for their columns, {} \
             here already, {} not taken.",
            count("filed"),
            self.all,
            count("filed-without-numbers"),
            count("here-already"),
            count("not-taken")
        );
        for (reason, files) in &self.reasons {
            eprintln!("{}: {reason}", some_of(files));
        }
        if waiting > 0 {
            eprintln!(
                "Confirm the columns on the page Traces, state them with --columns, or take the \
                 guess with --take-guess."
            );
        }
        if count("not-taken") == self.all { Err("No file was filed.".into()) } else { Ok(()) }
    }
}
