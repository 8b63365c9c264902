//! Recordings: the same bytes come back, once, from a backup too, and damage is named.

use crate::keeping::{folder, run_outside};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::trace::{FiledTrace, Filing, RecordingHash, TraceChange};
use cornerwork_core::trial::Kind;
use cornerwork_core::units::Mass;
use cornerwork_io::store::{SqliteStore, StoreError, hash_of};
use jiff::Timestamp;
use jiff::civil::date;
use proptest::prelude::*;
use std::env;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

/// The operation that files some bytes for B01.
fn filing_of(hash: RecordingHash, number: u128) -> Operation {
    filing_for("B01", hash, number)
}

fn filing_for(athlete: &str, hash: RecordingHash, number: u128) -> Operation {
    let filing = Filing {
        athlete: AthleteId::new(athlete).unwrap(),
        kind: Kind::CountermovementJump,
        exercise: None,
        side: None,
        load: Mass::ZERO,
        box_height: None,
        horizontal: false,
        ballistic: false,
        day: date(2026, 9, 23),
    };
    let filed = FiledTrace { hash, file: format!("jump{number}.csv"), filing, reading: None };
    Operation {
        id: OperationId(number),
        at: Timestamp::UNIX_EPOCH,
        author: "coach".into(),
        change: Change::Trace(TraceChange::Filed(filed)),
    }
}

/// A recording that no other number makes.
fn bytes_of(number: u128) -> Vec<u8> {
    let rows = (0..500_u32).map(|row| format!("{row},{}\n", 700 + row % 97 + number as u32));
    format!("time_ms,force_n\n{}", rows.collect::<String>()).into_bytes()
}

// NIST, Secure Hash Standard, example of the one-block message "abc".
#[test]
fn the_name_of_bytes_is_their_sha_256() {
    let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(hash_of(b"abc").to_string(), expected);
}

#[test]
fn any_bytes_come_back_as_they_were() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let folder = folder();
    let recordings = runtime.block_on(async {
        SqliteStore::open(folder.path()).await.map(|store| (store.recordings(), store)).unwrap()
    });
    let config = ProptestConfig { cases: 40, failure_persistence: None, ..Default::default() };
    proptest!(config, |(bytes in prop::collection::vec(any::<u8>(), 0..4000))| {
        let back = runtime.block_on(async {
            let hash = recordings.0.keep(&bytes).await.unwrap();
            recordings.0.read(hash).await.unwrap()
        });
        prop_assert_eq!(back, bytes);
    });
}

#[tokio::test]
async fn a_file_that_is_there_is_not_kept_twice_and_goes_into_a_backup() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let recordings = store.recordings();
    let hash = recordings.keep(&bytes_of(1)).await.unwrap();
    assert_eq!(recordings.keep(&bytes_of(1)).await.unwrap(), hash);
    assert_eq!(recordings.keep(&bytes_of(2)).await.unwrap(), hash_of(&bytes_of(2)));
    store.append(&[filing_of(hash, 1)]).await.unwrap();
    let found = store.check().await.unwrap();
    assert!(found.is_sound(), "{found:?}");
    assert_eq!((found.operations, found.recordings), (1, 2));

    let backup = folder.path().join("copy.sqlite");
    store.backup(&backup).await.unwrap();
    let other = crate::keeping::folder();
    SqliteStore::restore(&backup, other.path()).await.unwrap();
    let restored = SqliteStore::open(other.path()).await.unwrap();
    assert_eq!(restored.recordings().read(hash).await.unwrap(), bytes_of(1));
    assert!(restored.check().await.unwrap().is_sound());
}

#[tokio::test]
async fn a_damaged_or_missing_recording_is_named() {
    for (damage, missing) in [
        ("UPDATE recording SET packed = x'00'", false),
        ("UPDATE recording SET length = length - 1", false),
        ("UPDATE recording SET length = 9000000000000000", false),
        ("UPDATE recording SET packed = substr(packed, 1, length(packed) - 1)", false),
        ("DELETE FROM recording", true),
    ] {
        let folder = folder();
        let store = SqliteStore::open(folder.path()).await.unwrap();
        let hash = store.recordings().keep(&bytes_of(3)).await.unwrap();
        store.append(&[filing_of(hash, 3)]).await.unwrap();
        run_outside(&folder, damage).await;
        let named = |error: &StoreError| match error {
            StoreError::RecordingMissing { hash: one } => missing && *one == hash,
            StoreError::RecordingDamaged { hash: one } => !missing && *one == hash,
            _ => false,
        };
        assert!(named(&store.recordings().read(hash).await.unwrap_err()), "{damage}");
        let found = store.check().await.unwrap();
        assert!(!found.is_sound() && found.recordings == 0, "{damage}");
        assert_eq!(found.unreadable.len(), 1, "{damage}");
        assert!(named(&found.unreadable[0]), "{damage}: {found:?}");
    }
}

#[tokio::test]
async fn an_athlete_who_is_deleted_takes_the_recordings_along() {
    let folder = folder();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let recordings = store.recordings();
    let own = recordings.keep(&bytes_of(1)).await.unwrap();
    let other = recordings.keep(&bytes_of(2)).await.unwrap();
    let mixed_up = recordings.keep(&bytes_of(3)).await.unwrap();
    let Change::Trace(TraceChange::Filed(filed)) = filing_for("B02", mixed_up, 3).change else {
        panic!("a filing");
    };
    let anew = TraceChange::FiledAnew {
        trace: OperationId(3),
        filing: filed.filing,
        reason: "mixed up".into(),
    };
    let anew = Operation { change: Change::Trace(anew), ..filing_of(mixed_up, 4) };
    let all = [filing_of(own, 1), filing_for("B02", other, 2), filing_of(mixed_up, 3), anew];
    store.append(&all).await.unwrap();
    store.forget(&AthleteId::new("B01").unwrap(), crate::forgetting::trace).await.unwrap();
    assert!(!recordings.has(own).await.unwrap());
    assert_eq!(recordings.read(other).await.unwrap(), bytes_of(2));
    assert_eq!(recordings.read(mixed_up).await.unwrap(), bytes_of(3), "it was always the other's");
    assert!(store.check().await.unwrap().is_sound());
}

const FOLDER: &str = "STORE_RECORDING_KILL_FOLDER";

/// The process to be killed: this very test binary, told to run this one test.
#[tokio::test]
#[ignore = "the process that the other test kills; alone it does nothing"]
async fn files_until_it_is_killed() {
    let Ok(folder) = env::var(FOLDER) else { return };
    let store = SqliteStore::open(Path::new(&folder)).await.unwrap();
    for number in 1..2000 {
        let hash = store.recordings().keep(&bytes_of(number)).await.unwrap();
        store.append(&[filing_of(hash, number)]).await.unwrap();
        println!("filed {number}");
    }
}

#[tokio::test]
async fn a_recording_filed_before_a_kill_is_there_with_its_bytes() {
    let folder = folder();
    let mut filer = Command::new(env::current_exe().unwrap())
        .args(["recordings::files_until_it_is_killed", "--exact", "--ignored", "--nocapture"])
        .env(FOLDER, folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut last = 0;
    for line in BufReader::new(filer.stdout.take().unwrap()).lines() {
        let Some(number) = line.unwrap().strip_prefix("filed ").map(|n| n.parse::<u128>().unwrap())
        else {
            continue;
        };
        last = number;
        if number == 25 {
            filer.kill().unwrap();
        }
    }
    assert!(!filer.wait().unwrap().success(), "it was killed and did not end by itself");
    assert!(last >= 25);
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let found = store.check().await.unwrap();
    assert!(found.is_sound(), "{found:?}");
    for number in 1..=last {
        let bytes = store.recordings().read(hash_of(&bytes_of(number))).await.unwrap();
        assert_eq!(bytes, bytes_of(number));
    }
}
