//! ARCHITECTURE.md against the tree: the map names what is there, and dependencies point down.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

type Names = BTreeSet<String>;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..").canonicalize().unwrap()
}

/// Sources by the heading they stand under, e.g. "crates/core/src": the names of the list below.
fn map() -> BTreeMap<String, Names> {
    let text = fs::read_to_string(root().join("ARCHITECTURE.md")).unwrap();
    let mut map = BTreeMap::new();
    let mut place: Option<String> = None;
    for line in text.lines() {
        if line.starts_with('#') {
            place =
                line.strip_prefix("### `").and_then(|rest| rest.split('`').next()).map(Into::into);
            if let Some(place) = &place {
                map.insert(place.clone(), Names::new());
            }
        } else if let (Some(place), Some(rest)) = (&place, line.strip_prefix("- `")) {
            let name = rest.split('`').next().unwrap().to_owned();
            assert!(map.get_mut(place).unwrap().insert(name), "named twice: {line}");
        }
    }
    map
}

/// Modules that stand directly in a source folder.
fn modules(folder: &Path) -> Names {
    fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir() || path.extension().is_some_and(|end| end == "rs"))
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .filter(|name| name != "lib" && name != "main")
        .collect()
}

fn packages() -> Vec<Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["metadata", "--no-deps", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    metadata["packages"].as_array().unwrap().clone()
}

#[test]
fn the_map_names_every_module_and_no_other() {
    let map = map();
    for (place, named) in &map {
        let there = modules(&root().join(place));
        let missing: Vec<_> = there.difference(named).collect();
        let gone: Vec<_> = named.difference(&there).collect();
        assert!(
            missing.is_empty() && gone.is_empty(),
            "ARCHITECTURE.md, under {place}: add a line for {missing:?}, take out {gone:?}"
        );
    }
    for package in packages() {
        let manifest =
            Path::new(package["manifest_path"].as_str().unwrap()).canonicalize().unwrap();
        let source = manifest.parent().unwrap().join("src");
        let place = source.strip_prefix(root()).unwrap().to_string_lossy().into_owned();
        assert!(map.contains_key(&place), "ARCHITECTURE.md has no heading ### `{place}`");
    }
}

/// Which of our own crates each may use in the program, and what the core may use at all.
#[test]
fn dependencies_point_down() {
    let ours = BTreeMap::from([
        ("cornerwork-core", vec![]),
        ("cornerwork-io", vec!["cornerwork-core"]),
        ("cornerwork-paper", vec!["cornerwork-core", "cornerwork-io"]),
        ("cornerwork", vec!["cornerwork-core", "cornerwork-io", "cornerwork-paper"]),
        ("cornerwork-testkit", vec!["cornerwork-core"]),
        ("xtask", vec![]),
    ]);
    for package in packages() {
        let name = package["name"].as_str().unwrap();
        let used: Vec<&str> = package["dependencies"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|dependency| dependency["kind"].is_null())
            .map(|dependency| dependency["name"].as_str().unwrap())
            .collect();
        let allowed = ours.get(name).unwrap_or_else(|| panic!("no layer is stated for {name}"));
        let down = |used: &&&str| ours.contains_key(**used) && !allowed.contains(*used);
        assert_eq!(used.iter().filter(down).collect::<Vec<_>>(), Vec::<&&str>::new(), "{name}");
        if name == "cornerwork-core" {
            assert_eq!(
                used,
                ["jiff", "nalgebra", "statrs", "thiserror"],
                "what the core stands on"
            );
        }
        if name != "cornerwork-io" {
            let forbidden = ["sqlx", "libsqlite3-sys"];
            let sql: Vec<_> = used.iter().filter(|used| forbidden.contains(*used)).collect();
            assert!(sql.is_empty(), "SQL stays in the store, but {name} uses {sql:?}");
        }
    }
}

/// The core asks for nothing: no file, process, network, thread, clock, format or waiting.
#[test]
fn the_core_is_pure() {
    const ASKS: [&str; 12] = [
        "std::fs",
        "std::net",
        "std::env",
        "std::process",
        "std::thread",
        "std::io",
        "SystemTime",
        "std::time::Instant",
        "Timestamp::now",
        "Zoned::now",
        "serde",
        "async fn",
    ];
    for file in sources(&root().join("crates/core/src")) {
        let text = fs::read_to_string(&file).unwrap();
        let code = text.lines().filter(|line| !line.trim_start().starts_with("//"));
        let found: Vec<_> =
            code.filter(|line| ASKS.iter().any(|asks| line.contains(asks))).collect();
        assert!(found.is_empty(), "{} asks for something: {found:?}", file.display());
    }
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries
        .flat_map(|path| if path.is_dir() { sources(&path) } else { vec![path] })
        .filter(|path| path.extension().is_some_and(|end| end == "rs"))
        .collect()
}
