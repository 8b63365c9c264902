//! The documents against the tree: links lead somewhere, and every paper cited has its entry.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..").canonicalize().unwrap()
}

/// Files under a folder with one of these endings, without what is built, installed or hidden.
fn files(folder: &Path, endings: &[&str]) -> Vec<PathBuf> {
    const PASSED_OVER: [&str; 3] = ["target", "node_modules", "gym"];
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if name.starts_with('.') || PASSED_OVER.contains(&name.as_str()) {
            continue;
        }
        if path.is_dir() {
            found.extend(files(&path, endings));
        } else if path.extension().is_some_and(|end| endings.iter().any(|ending| end == *ending)) {
            found.push(path);
        }
    }
    found
}

/// Targets of Markdown links and pictures outside fenced blocks.
fn links(text: &str) -> Vec<&str> {
    let prose = text.split("```").step_by(2);
    prose
        .flat_map(|part| part.split("](").skip(1))
        .filter_map(|rest| rest.split(')').next())
        .collect()
}

#[test]
fn links_lead_to_files() {
    for document in files(&root(), &["md"]) {
        let text = fs::read_to_string(&document).unwrap();
        let local = |link: &&str| !link.contains("://") && !link.starts_with('#');
        for link in links(&text).into_iter().filter(local) {
            let path = link.split('#').next().unwrap();
            let there = document.parent().unwrap().join(path).exists();
            assert!(there, "{}: no {link}", document.display());
        }
    }
}

/// "31:123" of "2010, Int J Sports Med 31:123-129" in each citation: volume and first page, found
/// among the words that follow a year.
fn citations(text: &str) -> BTreeSet<String> {
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || "\";".contains(c))
        .map(|word| word.trim_start_matches('('))
        .filter(|word| !["", "//", "///", "//!", "#", "\\"].contains(word))
        .collect();
    let years = words.iter().enumerate().filter(|(_, word)| {
        word.strip_suffix(',').is_some_and(|year| {
            year.len() == 4 && is_number(year) && (year.starts_with("19") || year.starts_with("20"))
        })
    });
    // The longest name of a journal here has eight words.
    let after = |(i, _): (usize, &&str)| words[i + 1..].iter().take(9).copied().collect::<Vec<_>>();
    let named =
        |words: &Vec<&str>| words.first().is_some_and(|word| word.starts_with(char::is_uppercase));
    years.map(after).filter(named).filter_map(|words| words.into_iter().find_map(place)).collect()
}

/// "31:123" of "31(2):123-129.".
fn place(word: &str) -> Option<String> {
    let (volume, pages) = word.split_once(':')?;
    let volume = volume.split('(').next()?;
    let page = pages.split(|c: char| !c.is_ascii_alphanumeric()).next()?;
    let is_page = is_number(page.strip_prefix(['e', 'E']).unwrap_or(page));
    (is_number(volume) && is_page).then(|| format!("{volume}:{page}"))
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_digit())
}

#[test]
fn every_paper_cited_is_in_the_bibliography() {
    let bibliography = fs::read_to_string(root().join("bibliography/references.md")).unwrap();
    let entries = citations(&bibliography);
    assert!(entries.len() > 50, "the bibliography could not be read");
    let places = ["crates", "data", "oracles"].map(|folder| root().join(folder));
    let sources = places.iter().flat_map(|folder| files(folder, &["rs", "toml", "py"]));
    let missing: Vec<_> = sources
        .flat_map(|file| {
            let cited = citations(&fs::read_to_string(&file).unwrap());
            let missing: Vec<_> = cited.difference(&entries).cloned().collect();
            missing.into_iter().map(move |paper| (paper, file.clone()))
        })
        .collect();
    assert!(missing.is_empty(), "not in bibliography/references.md: {missing:#?}");
}

#[test]
fn the_bibliography_is_in_order_and_says_how_far_each_was_read() {
    let bibliography = fs::read_to_string(root().join("bibliography/references.md")).unwrap();
    let entries: Vec<&str> = bibliography.lines().filter(|line| line.starts_with("- ")).collect();
    assert!(entries.is_sorted_by_key(|entry| entry.to_lowercase()), "entries by first author");
    for entry in entries {
        let tags = ["[read]", "[abstract]", "[from memory]"];
        assert!(tags.iter().any(|tag| entry.contains(tag)), "how far was it read? {entry}");
    }
}
