//! Killed in mid-set, without a word: what was acknowledged is there, once.

use crate::keeping::{folder, named};
use cornerwork_core::session::operation::{Operation, OperationId};
use cornerwork_io::store::SqliteStore;
use std::collections::HashSet;
use std::env;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// Where the writing process finds its folder, and the number it starts from.
const FOLDER: &str = "STORE_KILL_FOLDER";
const START: &str = "STORE_KILL_START";
/// Stands before each id the writing process acknowledges.
const ACKNOWLEDGED: &str = "acknowledged ";
/// Operations of one submission.
const GROUP: u32 = 4;
/// More than a round ever reaches: the writer ends even if nobody kills it.
const ROUND: u32 = 4000;

/// The process to be killed: this very test binary, told to run this one test.
#[tokio::test]
#[ignore = "the process that the other test kills; alone it does nothing"]
async fn writes_until_it_is_killed() {
    let Ok(folder) = env::var(FOLDER) else { return };
    let start: u32 = env::var(START).unwrap().parse().unwrap();
    let store = SqliteStore::open(Path::new(&folder)).await.unwrap();
    for first in (start..start + ROUND).step_by(GROUP as usize) {
        let group: Vec<Operation> = (first..first + GROUP).map(|n| named(n, "rep")).collect();
        store.append(&group).await.unwrap();
        for operation in group {
            println!("{ACKNOWLEDGED}{}", operation.id);
        }
    }
}

fn writer(folder: &Path, start: u32) -> Child {
    Command::new(env::current_exe().unwrap())
        .args(["kill::writes_until_it_is_killed", "--exact", "--ignored", "--nocapture"])
        .env(FOLDER, folder)
        .env(START, start.to_string())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Kills the writer once it has acknowledged so many, and gives all it acknowledged.
fn acknowledged_before_the_kill(mut writer: Child, enough: usize) -> Vec<OperationId> {
    let lines = BufReader::new(writer.stdout.take().unwrap()).lines();
    let mut acknowledged = Vec::new();
    for line in lines {
        let Some(id) = line.unwrap().strip_prefix(ACKNOWLEDGED).map(str::to_owned) else {
            continue;
        };
        acknowledged.push(id.parse().unwrap());
        if acknowledged.len() == enough {
            writer.kill().unwrap();
        }
    }
    assert!(!writer.wait().unwrap().success(), "it was killed and did not end by itself");
    acknowledged
}

#[tokio::test]
async fn what_was_acknowledged_before_a_kill_is_there_once() {
    let folder = folder();
    let mut acknowledged = Vec::new();
    for (round, enough) in [1, 2, 7, 30, 64, 101, 3, 15].into_iter().enumerate() {
        let start = u32::try_from(round).unwrap() * ROUND;
        let before_kill = acknowledged_before_the_kill(writer(folder.path(), start), enough);
        assert!(before_kill.len() >= enough);
        acknowledged.extend(before_kill);

        // The lock died with the process, or this would be refused.
        let store = SqliteStore::open(folder.path()).await.unwrap();
        let soundness = store.check().await.unwrap();
        assert!(soundness.is_sound(), "{soundness:?}");
        let kept: Vec<OperationId> =
            store.load().await.unwrap().iter().map(|operation| operation.id).collect();
        let once: HashSet<_> = kept.iter().copied().collect();
        assert_eq!(once.len(), kept.len(), "nothing is there twice");
        assert!(acknowledged.iter().all(|id| once.contains(id)), "nothing acknowledged is lost");
        // A submission is there whole or not at all: groups start at multiples of their size.
        for group in kept.chunks(GROUP as usize) {
            let whole = group.iter().zip(group[0].0..).all(|(id, number)| id.0 == number);
            assert!(whole && group.len() == GROUP as usize, "{group:?}");
        }
        store.close().await;
    }
}
