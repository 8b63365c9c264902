//! `import --data`: a folder of recordings filed in a gym, by the same use case as the page.

use super::answer;
use super::import::{ImportArguments, progress, quoted, some_of};
use crate::flow::clock::Clock;
use crate::flow::filing::TypedFiling;
use crate::flow::house::House;
use crate::flow::trace::{self, sentence};
use crate::flow::traces::{self, Fate, HandedIn};
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::trace::Reading;
use cornerwork_io::catalogue::safety_rules::SafetyRules;
use cornerwork_io::store::{SqliteStore, StoreError};
use jiff::tz::TimeZone;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// Who files from the command line.
const AUTHOR: &str = "import";

/// Files the folder and says what became of each file.
pub(super) fn run(
    arguments: &ImportArguments,
    data: &Path,
    files: &[PathBuf],
) -> Result<(), String> {
    let runtime = tokio::runtime::Runtime::new().map_err(|error| error.to_string())?;
    let told = runtime.block_on(async {
        let house = open(data).await?;
        let bar = progress(files.len());
        let mut told = Vec::with_capacity(files.len());
        for file in files {
            told.push(file_one(&house, arguments, file).await?);
            bar.inc(1);
        }
        bar.finish_and_clear();
        Ok::<_, String>(told)
    })?;
    answer::print(&if arguments.json { as_json(&told) } else { as_table(&told) })?;
    summary(&told)
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
async fn file_one(house: &House, arguments: &ImportArguments, path: &Path) -> Result<Told, String> {
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let refused = |sentence: String| Told { file: file.clone(), fate: Fate::Refused(sentence) };
    let bytes = match std::fs::read(path) {
        Ok(bytes) => bytes,
        Err(error) => return Ok(refused(format!("The file cannot be read: {error}."))),
    };
    let reading = match reading(house, arguments, &bytes).await? {
        Ok(reading) => reading,
        Err(sentence) => return Ok(refused(sentence)),
    };
    let filing = {
        let ledger = house.keeper.ledger().await;
        typed(arguments).read(house, ledger.gym(), &file)
    };
    let filing = match filing {
        Ok(filing) => filing,
        Err(sentence) => return Ok(refused(sentence)),
    };
    let id = OperationId(Uuid::now_v7().as_u128());
    let (author, name) = (AUTHOR.to_owned(), file.clone());
    let handed = HandedIn { id, author, file: name, bytes, filing, reading };
    let fate = traces::file(house, handed).await;
    Ok(Told { file, fate })
}

type ForThisFile = Result<Option<Reading>, String>;

/// How the file is to be read, where the command says so.
async fn reading(
    house: &House,
    arguments: &ImportArguments,
    bytes: &[u8],
) -> Result<ForThisFile, String> {
    let said = &arguments.reading;
    if !said.states_columns() && !arguments.take_guess {
        return Ok(Ok(None));
    }
    let chosen = {
        let ledger = house.keeper.ledger().await;
        said.chosen(Some(&ledger.gym().traces))?
    };
    Ok(trace::reading_from(bytes, said.kind(), &chosen).map(Some).map_err(sentence))
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

fn trace_of(fate: &Fate) -> Option<String> {
    match fate {
        Fate::Filed { trace, .. }
        | Fate::WithoutNumbers { trace, .. }
        | Fate::ToConfirm { trace }
        | Fate::Here { trace, .. } => Some(trace.to_string()),
        Fate::Refused(_) => None,
    }
}

fn as_table(told: &[Told]) -> String {
    let rows = told.iter().map(|one| {
        let (state, why) = in_words(&one.fate);
        let trace = trace_of(&one.fate).unwrap_or_default();
        format!("{},{state},{trace},{}\n", quoted(&one.file), quoted(why))
    });
    std::iter::once("file,state,trace,why\n".to_owned()).chain(rows).collect()
}

fn as_json(told: &[Told]) -> String {
    let files: Vec<Value> = told
        .iter()
        .map(|one| {
            let (state, why) = in_words(&one.fate);
            let mut row = json!({ "file": one.file, "state": state });
            if let (Value::Object(row), Some(trace)) = (&mut row, trace_of(&one.fate)) {
                row.insert("trace".into(), trace.into());
            }
            if let (Value::Object(row), false) = (&mut row, why.is_empty()) {
                row.insert("why".into(), why.into());
            }
            row
        })
        .collect();
    format!("{:#}\n", json!({ "schema": "cornerwork.import-into-gym.1", "files": files }))
}

/// How many became what, then each reason with the files it holds for.
fn summary(told: &[Told]) -> Result<(), String> {
    let count = |state: &str| told.iter().filter(|one| in_words(&one.fate).0 == state).count();
    let (filed, without) = (count("filed"), count("filed-without-numbers"));
    let (waiting, here) = (count("columns-to-confirm"), count("here-already"));
    eprintln!(
        "{filed} of {} files filed with numbers, {without} without, {waiting} waiting for their \
         columns, {here} here already, {} not taken.",
        told.len(),
        count("not-taken")
    );
    let mut reasons: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for one in told {
        match &one.fate {
            Fate::Refused(why) | Fate::WithoutNumbers { why, .. } => {
                reasons.entry(why).or_default().push(one.file.clone());
            }
            _ => {}
        }
    }
    for (reason, files) in reasons {
        eprintln!("{}: {reason}", some_of(&files));
    }
    if waiting > 0 {
        eprintln!(
            "Confirm the columns on the page Traces, state them with --columns, or take the guess \
             with --take-guess."
        );
    }
    if filed + without + waiting + here == 0 { Err("No file was filed.".into()) } else { Ok(()) }
}
