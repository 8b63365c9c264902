//! `backup`, `restore`, `check` and `export` on a gym with seven months of reps.

use crate::run::{json, number, refused, run};
use cornerwork::demo;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::Operation;
use cornerwork_io::store::SqliteStore;
use std::path::Path;
use tempfile::TempDir;
use tokio::runtime::Runtime;

/// A folder with a gym, and what was entered in it.
fn gym() -> (TempDir, Vec<Operation>) {
    let folder = tempfile::tempdir().unwrap();
    let operations = demo::operations(1);
    Runtime::new().unwrap().block_on(async {
        let store = SqliteStore::open(&folder.path().join("gym")).await.unwrap();
        for bytes in demo::recordings(1) {
            store.recordings().keep(&bytes).await.unwrap();
        }
        store.append(&operations).await.unwrap();
        store.close().await;
    });
    (folder, operations)
}

fn load(folder: &Path) -> Vec<Operation> {
    Runtime::new().unwrap().block_on(async {
        let store = SqliteStore::open(folder).await.unwrap();
        let operations = store.load().await.unwrap();
        store.close().await;
        operations
    })
}

fn entries(arguments: &str) -> usize {
    number(&json(arguments, ""), "entries") as usize
}

#[test]
fn a_backup_restored_is_the_same_gym() {
    let (folder, operations) = gym();
    let at = folder.path().display();
    assert_eq!(entries(&format!("check --data {at}/gym")), operations.len());
    assert_eq!(entries(&format!("backup --data {at}/gym --out {at}/copy")), operations.len());
    assert_eq!(entries(&format!("restore {at}/copy --data {at}/again")), operations.len());
    let kept: Vec<_> = load(&folder.path().join("gym"));
    assert_eq!(load(&folder.path().join("again")), kept);
    assert_eq!(kept.len(), operations.len());
}

#[test]
fn a_backup_replaces_no_file_and_a_restore_no_gym() {
    let (folder, operations) = gym();
    let at = folder.path().display();
    entries(&format!("backup --data {at}/gym --out {at}/copy"));
    let again = refused(&format!("backup --data {at}/gym --out {at}/copy"), "");
    assert!(again.contains("already a file"), "{again}");
    let over = refused(&format!("restore {at}/copy --data {at}/gym"), "");
    assert!(over.contains("already a gym"), "{over}");
    assert_eq!(load(&folder.path().join("gym")).len(), operations.len());
}

#[test]
fn what_is_no_backup_makes_no_gym() {
    let (folder, _) = gym();
    let at = folder.path().display();
    entries(&format!("backup --data {at}/gym --out {at}/copy"));
    let whole = std::fs::read(folder.path().join("copy")).unwrap();
    std::fs::write(folder.path().join("half"), &whole[..whole.len() / 2]).unwrap();
    std::fs::write(folder.path().join("text"), "no database at all, however long it is").unwrap();
    for file in ["half", "text", "missing"] {
        let sentence = refused(&format!("restore {at}/{file} --data {at}/new"), "");
        assert!(sentence.contains(file), "{sentence}");
        assert!(refused(&format!("check --data {at}/new"), "").contains("There is no gym in"));
    }
}

#[test]
fn a_mistyped_folder_makes_no_empty_gym() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path().display();
    for command in ["check", "export --out x", "backup --out x"] {
        let sentence = refused(&format!("{command} --data {at}/typo"), "");
        assert!(sentence.starts_with("There is no gym in"), "{sentence}");
    }
    assert!(!folder.path().join("typo").exists());
}

#[test]
fn a_damaged_record_is_said_in_one_sentence() {
    let (folder, _) = gym();
    let file = folder.path().join("gym/gym.sqlite");
    let mut bytes = std::fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle..middle + 8192].fill(0xAA);
    std::fs::write(&file, bytes).unwrap();
    let sentence = refused(&format!("check --data {}/gym", folder.path().display()), "");
    assert!(sentence.contains("not whole") || sentence.contains("damaged"), "{sentence}");
}

#[test]
fn the_tables_hold_every_rep_with_its_number_in_si_units() {
    let (folder, operations) = gym();
    let at = folder.path().display();
    let ran = run(&format!("export --data {at}/gym --out {at}/tables"), "");
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let ledger = Ledger::replay(operations);
    let gym = ledger.gym();
    let read =
        |name: &str| csv::Reader::from_path(folder.path().join("tables").join(name)).unwrap();
    let mut reps = read("reps.csv");
    let names = reps.headers().unwrap().clone();
    let at_column = |name: &str| names.iter().position(|column| column == name).unwrap();
    let (load, height) = (at_column("load_kg"), at_column("jump_height_m"));
    let rows: Vec<csv::StringRecord> = reps.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), gym.reps.len());
    let mut heights = 0;
    for (row, rep) in rows.iter().zip(&gym.reps) {
        assert_eq!(row[load].parse::<f64>().unwrap(), rep.entry.load.total.in_kilograms());
        if !row[height].is_empty() {
            heights += 1;
            assert_eq!(row[height].parse().ok(), rep.entry.value);
        }
        // One number a rep at most: the others are empty, not zero.
        let measured = names.iter().zip(row).skip(at_column("set_aside") + 1);
        let numbers = measured.filter(|(_, cell)| !cell.is_empty()).count();
        assert_eq!(numbers, usize::from(rep.entry.value.is_some()));
    }
    assert!(heights > 100);
    assert_eq!(read("athletes.csv").records().count(), gym.athletes.len());
    let masses: usize = gym.athletes.keys().map(|athlete| gym.body_masses(athlete).len()).sum();
    assert_eq!(read("body_masses.csv").records().count(), masses);
    let again = refused(&format!("export --data {at}/gym --out {at}/tables"), "");
    assert!(again.contains("athletes.csv"), "{again}");
}
