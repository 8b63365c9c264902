//! A store made before numbers were hashed gives them up when it is opened.

use crate::forgetting::{bytes_of, holds};
use cornerwork_core::camp::permission::{Role, Signed};
use cornerwork_core::camp::safety_change::{Member, SafetyChange, TakenOver};
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_io::store::SqliteStore;
use jiff::Timestamp;
use jiff::civil::date;
use tempfile::TempDir;

fn physio(pin: Option<&str>) -> Member {
    Member {
        name: "Imre Vossbury".into(),
        role: Role::Physio,
        pin: pin.map(str::to_owned),
        pin_is_private: true,
        child: None,
    }
}

/// Numbers as they were kept once: a plain one, one that was renewed, one taken over, and a hash.
fn old_story() -> Vec<Operation> {
    let by = Signed { name: "Wren".into(), role: Role::Coach };
    let taken = TakenOver { on: date(2026, 9, 1), by, reason: "lost".into() };
    let member = physio(Some("271828"));
    let changes = [
        SafetyChange::MemberEntered(physio(Some("314159"))),
        SafetyChange::MemberEntered(physio(None)),
        SafetyChange::MemberTakenOver { member, taken },
        SafetyChange::MemberEntered(physio(Some("hash:161803"))),
    ];
    (1..)
        .zip(changes)
        .map(|(number, change)| Operation {
            id: OperationId(number),
            at: Timestamp::from_second(1_790_000_000).unwrap(),
            author: "Wren".into(),
            change: Change::Safety(change),
        })
        .collect()
}

/// Stands for the program's hash, which this crate does not know.
fn hash(kept: &str) -> Option<Option<String>> {
    (!kept.starts_with("hash:")).then(|| Some(format!("hash:{}", kept.len())))
}

fn number(operation: &Operation) -> Option<&str> {
    match &operation.change {
        Change::Safety(
            SafetyChange::MemberEntered(member) | SafetyChange::MemberTakenOver { member, .. },
        ) => member.pin.as_deref(),
        other => panic!("only members were entered, not {other:?}"),
    }
}

#[tokio::test]
async fn plain_numbers_become_hashes_and_no_byte_of_them_is_left() {
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    let before = old_story();
    store.append(&before).await.unwrap();
    assert!(bytes_of(&folder).iter().any(|(_, bytes)| holds(bytes, "314159")));
    assert_eq!(store.hash_plain_numbers(hash).await.unwrap(), 2);
    let after = store.load().await.unwrap();
    let numbers: Vec<_> = after.iter().map(number).collect();
    assert_eq!(numbers, [Some("hash:6"), None, Some("hash:6"), Some("hash:161803")]);
    // Who, when, in which order: as it was.
    let told = |all: &[Operation]| -> Vec<_> {
        all.iter().map(|one| (one.id, one.at, one.author.clone())).collect()
    };
    assert_eq!(told(&after), told(&before));
    assert!(store.check().await.unwrap().is_sound());
    for (file, bytes) in bytes_of(&folder) {
        for plain in ["314159", "271828"] {
            assert!(!holds(&bytes, plain), "{plain} in {file}");
        }
    }
    assert_eq!(store.hash_plain_numbers(hash).await.unwrap(), 0, "once");
}

#[tokio::test]
async fn a_number_of_which_no_hash_can_be_made_is_blanked() {
    let folder = TempDir::new().unwrap();
    let store = SqliteStore::open(folder.path()).await.unwrap();
    store.append(&old_story()[..1]).await.unwrap();
    assert_eq!(store.hash_plain_numbers(|_| Some(None)).await.unwrap(), 1);
    assert_eq!(number(&store.load().await.unwrap()[0]), None);
}
