//! What the store costs beside SQLite itself, on the disk the program runs on.
//!
//! `cargo bench -p cornerwork-io --bench store [-- FOLDER]`; the folder decides which disk.

use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::kit::Plate;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::rep::{Load, Method, RepEntry};
use cornerwork_core::units::Mass;
use cornerwork_io::store::SqliteStore;
use jiff::Timestamp;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection, SqliteJournalMode, SqliteSynchronous};
use sqlx::{Connection, query, raw_sql};
use std::error::Error;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Commits timed for each line of the table.
const COMMITS: usize = 1000;
/// A season of a gym.
const OPERATIONS: usize = 15_000;
const STARTS: usize = 15;

type Outcome<T> = Result<T, Box<dyn Error>>;

#[tokio::main]
async fn main() -> Outcome<()> {
    let on_disk = std::env::args().skip(1).find(|argument| !argument.starts_with('-'));
    let on_disk = on_disk.map_or_else(std::env::temp_dir, PathBuf::from);
    println!("{COMMITS} commits a line, WAL, synchronous=FULL, in {}", on_disk.display());
    println!("{:<28}{:>10}{:>10}{:>14}", "", "median", "p99", "operations/s");
    let folder = tempfile::tempdir_in(&on_disk)?;
    let bare = bare_commits(folder.path()).await?;
    line("bare SQLite, 1 a commit", 1, bare);
    for group in [1, 4, 16, 64] {
        let folder = tempfile::tempdir_in(&on_disk)?;
        line(&format!("store, {group} a commit"), group, appends(folder.path(), group).await?);
    }
    let folder = tempfile::tempdir_in(&on_disk)?;
    starts(folder.path()).await
}

fn line(name: &str, group: usize, mut times: Vec<Duration>) {
    let total: Duration = times.iter().sum();
    times.sort_unstable();
    let rate = (group * times.len()) as f64 / total.as_secs_f64();
    let [median, p99] = [times.len() / 2, times.len() * 99 / 100].map(|place| times[place]);
    println!("{name:<28}{:>10}{:>10}{rate:>14.0}", milliseconds(median), milliseconds(p99));
}

fn milliseconds(time: Duration) -> String {
    format!("{:.2} ms", time.as_secs_f64() * 1000.0)
}

/// One row of the same size a commit, with the same settings and nothing of ours.
async fn bare_commits(folder: &Path) -> Outcome<Vec<Duration>> {
    let options = SqliteConnectOptions::new()
        .filename(folder.join("bare.sqlite"))
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full);
    let mut connection = SqliteConnection::connect_with(&options).await?;
    raw_sql("CREATE TABLE row (number INTEGER PRIMARY KEY, id BLOB UNIQUE, body TEXT) STRICT")
        .execute(&mut connection)
        .await?;
    let body = "x".repeat(320);
    let mut times = Vec::with_capacity(COMMITS);
    for number in 0..COMMITS {
        let id = rep(number).id.0.to_be_bytes();
        let start = Instant::now();
        query("INSERT INTO row (id, body) VALUES ($1, $2)")
            .bind(&id[..])
            .bind(&body)
            .execute(&mut connection)
            .await?;
        times.push(start.elapsed());
    }
    connection.close().await?;
    Ok(times)
}

async fn appends(folder: &Path, group: usize) -> Outcome<Vec<Duration>> {
    let store = SqliteStore::open(folder).await?;
    let mut times = Vec::with_capacity(COMMITS);
    for commit in 0..COMMITS {
        let operations: Vec<Operation> = (commit * group..(commit + 1) * group).map(rep).collect();
        let start = Instant::now();
        store.append(&operations).await?;
        times.push(start.elapsed());
    }
    store.close().await;
    Ok(times)
}

async fn starts(folder: &Path) -> Outcome<()> {
    let store = SqliteStore::open(folder).await?;
    let season: Vec<Operation> = (0..OPERATIONS).map(rep).collect();
    store.append(&season).await?;
    store.close().await;
    let (mut opens, mut loads) = (Vec::new(), Vec::new());
    for _ in 0..STARTS {
        let start = Instant::now();
        let store = SqliteStore::open(folder).await?;
        opens.push(start.elapsed());
        let start = Instant::now();
        let operations = store.load().await?;
        loads.push(start.elapsed());
        assert_eq!(operations.len(), OPERATIONS);
        store.close().await;
    }
    opens.sort_unstable();
    loads.sort_unstable();
    println!("open: median {}", milliseconds(opens[STARTS / 2]));
    println!(
        "load {OPERATIONS} operations: median {}, slowest of {STARTS} {}",
        milliseconds(loads[STARTS / 2]),
        milliseconds(loads[STARTS - 1])
    );
    Ok(())
}

/// A rep as the floor records it, with plates and a number.
fn rep(number: usize) -> Operation {
    let at = Timestamp::UNIX_EPOCH;
    Operation {
        id: OperationId(0x0199_7777_0000_7000_8000_0000_0000_0000 + number as u128),
        at,
        author: "station 2".into(),
        change: Change::RepRecorded(entry(number, at)),
    }
}

#[allow(clippy::unwrap_used, reason = "fixed names that are right")]
fn entry(number: usize, at: Timestamp) -> RepEntry {
    RepEntry {
        athlete: AthleteId::new("A04").unwrap(),
        exercise: ExerciseId::new("landmine-punch-throw").unwrap(),
        station: Some(2),
        load: Load {
            bar: Some("long".into()),
            plates: vec![Plate::kilograms(10.0).unwrap(), Plate::kilograms(2.5).unwrap()],
            total: Mass::kilograms(32.5),
        },
        box_height: None,
        side: None,
        value: Some(2.0 + (number % 100) as f64 / 100.0),
        contact_time: None,
        method: Method::Sensor,
        at,
    }
}
