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

/// "Raiffa", "1961" of "(Raiffa and Schlaifer 1961, ...)" and of "Souza et al. 2020": each name
/// before a year, without the words between, and the year.
fn names_and_years(text: &str) -> BTreeSet<(String, String)> {
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || "\"`()[]|".contains(c))
        .filter(|word| !["", "//", "///", "//!", "#", "\\"].contains(word))
        .collect();
    let year = |word: &str| {
        let (digits, rest) = word.split_at_checked(4)?;
        let century = digits.starts_with("19") || digits.starts_with("20");
        let ends = rest.is_empty() || rest.starts_with([',', '.', ';', ':']);
        (is_number(digits) && century && ends).then(|| digits.to_owned())
    };
    let before = |at: usize| {
        let mut names = words[..at].iter().rev().map(|word| word.trim_end_matches([',', '.']));
        names.find(|word| !["al", "et", "others", "and", "&"].contains(word))
    };
    let dated = words.iter().enumerate().filter_map(|(at, word)| Some((at, year(word)?)));
    dated
        .filter_map(|(at, year)| {
            let name = before(at)?;
            let name = name.strip_suffix("'s").unwrap_or(name);
            is_surname(name).then(|| (name.to_owned(), year))
        })
        .collect()
}

/// A word like a surname that is not a month, a body, a standard or the start of a sentence.
fn is_surname(word: &str) -> bool {
    const NOT_PEOPLE: [&str; 6] = ["Agreement", "Association", "CGPM", "Just", "Law", "UK"];
    const MONTHS: &str = "Jan January Feb February Mar March Apr April May Jun June Jul July Aug \
        August Sep September Oct October Nov November Dec December";
    let letters = word.chars().all(|c| c.is_alphabetic() || "-'’".contains(c));
    let named = word.starts_with(char::is_uppercase) && word.chars().count() > 1;
    let month = MONTHS.split_whitespace().any(|month| word == month);
    named && letters && !month && !NOT_PEOPLE.contains(&word)
}

#[test]
fn names_before_years_are_found() {
    let found = names_and_years(
        "(Raiffa and Schlaifer 1961, Applied), McMahon & Cheng 1990; Souza et al. 2020. 1 Dec 2026",
    );
    let found: Vec<(&str, &str)> =
        found.iter().map(|(name, year)| (name.as_str(), year.as_str())).collect();
    assert_eq!(found, [("Cheng", "1990"), ("Schlaifer", "1961"), ("Souza", "2020")]);
}

// Author and year, wherever they stand: also without journal, and books.
#[test]
fn every_author_and_year_is_in_the_bibliography() {
    let bibliography = fs::read_to_string(root().join("bibliography/references.md")).unwrap();
    let entries: Vec<&str> = bibliography.lines().filter(|line| line.starts_with("- ")).collect();
    let known = |(name, year): &(String, String)| {
        entries.iter().any(|entry| entry.contains(name.as_str()) && entry.contains(year.as_str()))
    };
    let folders = ["crates", "data", "oracles", "docs"].map(|folder| root().join(folder));
    let sources = folders.iter().flat_map(|folder| files(folder, &["rs", "toml", "py", "R", "md"]));
    let missing: Vec<_> = sources
        .flat_map(|file| {
            let cited = names_and_years(&fs::read_to_string(&file).unwrap());
            let missing: Vec<_> = cited.into_iter().filter(|one| !known(one)).collect();
            missing.into_iter().map(move |one| (one, file.clone()))
        })
        .collect();
    assert!(missing.is_empty(), "not in bibliography/references.md: {missing:#?}");
}

#[test]
fn a_published_number_has_authors_and_a_place() {
    for (place, text) in ["data/exercises.toml", "data/velocity_thresholds.toml"]
        .map(|place| (place, fs::read_to_string(root().join(place)).unwrap()))
    {
        for unusable in ["paper not identified", "thesis", "NSCA journal", "author not seen"] {
            assert!(!text.contains(unusable), "{place}: {unusable}");
        }
    }
}

/// Accents taken off, for the order of names.
fn plain(text: &str) -> String {
    let plain = |c: char| match c {
        'á' | 'ä' => 'a',
        'ç' | 'ć' => 'c',
        'é' => 'e',
        'í' => 'i',
        'ñ' => 'n',
        'ó' | 'ö' => 'o',
        'ú' => 'u',
        other => other,
    };
    text.to_lowercase().chars().map(plain).collect()
}

#[test]
fn the_bibliography_is_in_order_and_says_how_far_each_was_read() {
    let bibliography = fs::read_to_string(root().join("bibliography/references.md")).unwrap();
    assert!(bibliography.contains("None was read in full"), "what was read is said at the top");
    let (papers, books) = bibliography.split_once("## Books").unwrap();
    let entries = |part: &str| -> Vec<String> {
        part.lines().filter(|line| line.starts_with("- ")).map(str::to_owned).collect()
    };
    let (papers, books) = (entries(papers), entries(books));
    for part in [&papers, &books] {
        assert!(part.is_sorted_by_key(|entry| plain(entry)), "entries by first author");
    }
    for entry in papers.iter().chain(&books) {
        let tags = ["[read]", "[abstract]", "[from memory]", "[not confirmed]"];
        assert!(tags.iter().any(|tag| entry.contains(tag)), "how far was it read? {entry}");
    }
}
