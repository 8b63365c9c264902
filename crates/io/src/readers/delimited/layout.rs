//! How a table is written: what parts its columns, what marks its decimals, where its rows begin
//! and what its columns are called.

use super::cells::Delimiter;
use super::error::DelimitedError;
use super::heading::{self, Heading};
use super::number;

/// Lines looked at to tell one spelling from another, from the end of the head: rows, most likely.
const PROBED: usize = 24;
/// Rows after the first that must look like it, at least half of them.
const FOLLOWING: usize = 8;
/// First rows kept as numbers, to judge columns without a name by.
const PREVIEWED: usize = 32;

/// How a file is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// What parts the columns.
    pub delimiter: Delimiter,
    /// What marks decimals, `.` or `,`.
    pub decimal_mark: u8,
    /// The columns, in order.
    pub columns: Vec<Column>,
    /// Line of the first row of numbers, counted from one.
    pub first_line: u64,
    /// Samples a second, when a line above the rows states them.
    pub stated_rate_hz: Option<f64>,
    /// Offset of the first row.
    pub(super) first_byte: usize,
    /// The first rows as numbers; `None` where a cell is none.
    pub(super) preview: Vec<Vec<Option<f64>>>,
}

/// A column of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its name, or its number from one when it has none.
    pub name: String,
    /// Whether the file names it.
    pub is_named: bool,
    pub(super) heading: Heading,
}

impl Layout {
    /// The first rows as numbers, to be looked at; `None` where a cell is none.
    pub fn first_rows(&self) -> &[Vec<Option<f64>>] {
        &self.preview
    }

    /// Names of the columns, in order.
    pub fn heading(&self) -> Vec<String> {
        self.columns.iter().map(|column| column.name.clone()).collect()
    }

    /// A file without columns: one of plates that carry their own description.
    pub fn without_columns() -> Self {
        Self::of_names(&[])
    }

    /// The columns of a file that is no text, by name and whether they hold numbers.
    pub(in crate::readers) fn of_names(columns: &[(String, bool)]) -> Self {
        let named = |(name, _): &(String, bool)| Column {
            name: name.clone(),
            is_named: true,
            heading: Heading::read(name, None),
        };
        Self {
            delimiter: Delimiter::Blanks,
            decimal_mark: b'.',
            columns: columns.iter().map(named).collect(),
            first_line: 1,
            stated_rate_hz: None,
            first_byte: 0,
            preview: vec![columns.iter().map(|(_, numbers)| numbers.then_some(0.0)).collect()],
        }
    }
}

/// A way to read lines as cells.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Spelling {
    delimiter: Delimiter,
    mark: u8,
}

/// Which cells of a line are numbers.
#[derive(Clone, PartialEq, Eq)]
struct Pattern(Vec<bool>);

impl Pattern {
    fn numbers(&self) -> usize {
        self.0.iter().filter(|number| **number).count()
    }
}

impl Spelling {
    const ALL: [Self; 8] = [
        Self { delimiter: Delimiter::Byte(b'\t'), mark: b'.' },
        Self { delimiter: Delimiter::Byte(b'\t'), mark: b',' },
        Self { delimiter: Delimiter::Byte(b';'), mark: b'.' },
        Self { delimiter: Delimiter::Byte(b';'), mark: b',' },
        Self { delimiter: Delimiter::Byte(b','), mark: b'.' },
        // decimal commas in quoted cells
        Self { delimiter: Delimiter::Byte(b','), mark: b',' },
        Self { delimiter: Delimiter::Blanks, mark: b'.' },
        Self { delimiter: Delimiter::Blanks, mark: b',' },
    ];

    /// The pattern of a line; `None` when no cell is a number.
    fn pattern(self, line: &[u8]) -> Option<Pattern> {
        if self.delimiter.parts(self.mark) && !line.contains(&b'"') {
            return None;
        }
        let mut any = false;
        let stands_for_number = |cell: &&[u8]| {
            let is_number = number::parse(cell, self.mark).is_some();
            any |= is_number;
            is_number || self.stands_for_missing(cell)
        };
        let pattern = self.delimiter.cells(line).iter().map(stands_for_number).collect();
        any.then_some(Pattern(pattern))
    }

    /// A time of day, or what instruments write where a number is missing: a row that begins with
    /// one is a row, to be refused with its line, not a heading to be passed over.
    fn stands_for_missing(self, cell: &[u8]) -> bool {
        let missing = ["", "nan", "inf", "+inf", "-inf", "na", "n/a", "null", "-"];
        missing.iter().any(|word| cell.eq_ignore_ascii_case(word.as_bytes()))
            || number::clock_s(cell, self.mark).is_some()
    }

    /// The pattern most of the lines share, with how many do.
    fn commonest(self, lines: &[&[u8]]) -> Option<(usize, Pattern)> {
        let mut counts: Vec<(usize, Pattern)> = Vec::new();
        for pattern in lines.iter().filter_map(|line| self.pattern(line)) {
            match counts.iter_mut().find(|(_, other)| *other == pattern) {
                Some((count, _)) => *count += 1,
                None => counts.push((1, pattern)),
            }
        }
        counts.into_iter().rev().max_by_key(|(count, _)| *count)
    }
}

/// Finds out how a file is written from its beginning; `whole` says whether that is all of it.
pub(super) fn find(
    head: &[u8],
    whole: bool,
    decimal_mark: Option<u8>,
) -> Result<Layout, DelimitedError> {
    let lines = Lines::of(head, whole)?;
    let nothing = || DelimitedError::NoRows { searched: lines.count() };
    let probe = lines.last(PROBED);
    let (spelling, pattern) = choose(&probe, decimal_mark).ok_or_else(nothing)?;
    let rows = lines.rows(spelling, &pattern).ok_or_else(nothing)?;
    let comma = Spelling { delimiter: Delimiter::Byte(b';'), mark: b',' };
    if decimal_mark.is_none() && could_be_decimal_comma(spelling, &pattern, comma, &probe) {
        match rows.above.last().map(|line| spelling.delimiter.cells(line).len()) {
            Some(2) => {}
            Some(1) => return Ok(rows.layout(comma, 1)),
            _ => return Err(DelimitedError::AmbiguousComma { line: rows.first.number }),
        }
    }
    Ok(rows.layout(spelling, pattern.0.len()))
}

/// The spelling under which most lines look alike, then with most numbers and fewest other cells.
fn choose(probe: &[&[u8]], decimal_mark: Option<u8>) -> Option<(Spelling, Pattern)> {
    let allowed = |spelling: &Spelling| decimal_mark.is_none_or(|mark| mark == spelling.mark);
    // Where nothing parts the cells every line is one cell, and the first spelling has said so.
    let is_news = |spelling: &Spelling| {
        let parts = |byte: &u8| spelling.delimiter.parts(*byte);
        spelling.delimiter.is_tab() || probe.iter().any(|line| line.iter().any(parts))
    };
    let mut best: Option<((usize, isize), Spelling, Pattern)> = None;
    for spelling in Spelling::ALL.into_iter().filter(allowed).filter(is_news) {
        let Some((alike, pattern)) = spelling.commonest(probe) else { continue };
        let others = pattern.0.len() - pattern.numbers();
        let rank = (alike, pattern.numbers() as isize - others as isize);
        if best.as_ref().is_none_or(|(least, ..)| rank > *least) {
            best = Some((rank, spelling, pattern));
        }
    }
    best.map(|(_, spelling, pattern)| (spelling, pattern))
}

/// `633,21` is two columns or one number; with a point or a sign in it, only the former.
fn could_be_decimal_comma(
    spelling: Spelling,
    pattern: &Pattern,
    comma: Spelling,
    probe: &[&[u8]],
) -> bool {
    spelling.delimiter == Delimiter::Byte(b',')
        && pattern.0.len() == 2
        && comma.commonest(probe).is_some_and(|(alike, pattern)| {
            pattern.0.len() == 1 && spelling.commonest(probe).is_some_and(|(all, _)| all == alike)
        })
}

/// A line that is not blank.
#[derive(Clone, Copy)]
struct Line<'a> {
    text: &'a [u8],
    number: u64,
    offset: usize,
}

/// The complete lines of the head, found as they are asked for: of the thousands there are, a few
/// tell how they are written.
#[derive(Clone, Copy)]
struct Lines<'a> {
    head: &'a [u8],
}

impl<'a> Lines<'a> {
    fn of(head: &'a [u8], whole: bool) -> Result<Self, DelimitedError> {
        let last_end = head.iter().rposition(|&byte| byte == b'\n').map(|end| end + 1);
        let lines = match last_end {
            None if !whole => {
                return Err(DelimitedError::LineTooLong { line: 1, most: head.len() });
            }
            Some(end) if !whole => Self { head: &head[..end] },
            _ => Self { head },
        };
        if whole && head.trim_ascii().is_empty() { Err(DelimitedError::Empty) } else { Ok(lines) }
    }

    fn iter(self) -> impl Iterator<Item = Line<'a>> + Clone {
        let texts = self.head.split_inclusive(|&byte| byte == b'\n').zip(1..);
        let placed = texts.scan(0, |next, (text, number)| {
            let offset = *next;
            *next += text.len();
            Some(Line { text: text.strip_suffix(b"\n").unwrap_or(text), number, offset })
        });
        placed.filter(|line| !line.text.trim_ascii().is_empty())
    }

    fn count(self) -> usize {
        self.head.split_inclusive(|&byte| byte == b'\n').count()
    }

    fn last(self, count: usize) -> Vec<&'a [u8]> {
        let backward = self.head.rsplit(|&byte| byte == b'\n');
        let filled = backward.filter(|text| !text.trim_ascii().is_empty());
        let mut last: Vec<&[u8]> = filled.take(count).collect();
        last.reverse();
        last
    }

    /// The rows: from the first line that looks like one and is followed by lines most of which do.
    fn rows(self, spelling: Spelling, pattern: &Pattern) -> Option<Rows<'a>> {
        let is_row = |line: &Line<'_>| spelling.pattern(line.text).as_ref() == Some(pattern);
        let mut above = Vec::new();
        let mut lines = self.iter();
        while let Some(first) = lines.next() {
            let following = || lines.clone().take(FOLLOWING);
            if is_row(&first) && 2 * following().filter(is_row).count() >= following().count() {
                let preview = std::iter::once(first).chain(lines).take(PREVIEWED);
                return Some(Rows {
                    above,
                    first,
                    preview: preview.map(|line| line.text).collect(),
                });
            }
            above.push(first.text);
        }
        None
    }
}

/// Where the rows begin.
struct Rows<'a> {
    /// Lines above the first.
    above: Vec<&'a [u8]>,
    first: Line<'a>,
    /// The first and some after it.
    preview: Vec<&'a [u8]>,
}

impl Rows<'_> {
    fn layout(&self, Spelling { delimiter, mark }: Spelling, count: usize) -> Layout {
        let numbers = |line: &&[u8]| {
            delimiter.cells(line).iter().map(|cell| number::parse(cell, mark)).collect()
        };
        Layout {
            delimiter,
            decimal_mark: mark,
            columns: columns(&self.above, delimiter, count, self.filled(delimiter)),
            first_line: self.first.number,
            stated_rate_hz: stated_rate_hz(&self.above),
            first_byte: self.first.offset,
            preview: self.preview.iter().map(numbers).collect(),
        }
    }

    /// Cells of the first row without the blank ones at its end.
    fn filled(&self, delimiter: Delimiter) -> usize {
        let cells = delimiter.cells(self.first.text);
        cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1)
    }
}

/// Names from the line above the rows; from the one above that if it is a row of units.
/// A line is a heading only if it names as many columns as the rows have, or have filled.
fn columns(above: &[&[u8]], delimiter: Delimiter, count: usize, filled: usize) -> Vec<Column> {
    let titles = |line: &[u8]| -> Option<Vec<String>> {
        let cells = delimiter.cells(line);
        let text = |cell: &&[u8]| String::from_utf8_lossy(cell).into_owned();
        let mut titles: Vec<String> = cells.iter().map(text).collect();
        while titles.last().is_some_and(String::is_empty) {
            titles.pop();
        }
        (titles.len() == count || titles.len() == filled).then_some(titles)
    };
    let mut lines = above.iter().rev().map(|line| titles(line));
    let nearest = lines.next().flatten();
    let is_units = |titles: &Vec<String>| {
        let mut filled = titles.iter().filter(|title| !title.is_empty()).peekable();
        filled.peek().is_some() && filled.all(|title| heading::is_unit(title))
    };
    let (names, units) = match nearest {
        Some(units) if is_units(&units) => match lines.next().flatten() {
            Some(names) => (Some(names), Some(units)),
            None => (Some(units), None),
        },
        names => (names, None),
    };
    let at = |titles: &Option<Vec<String>>, index: usize| {
        let title = titles.as_ref().and_then(|titles| titles.get(index));
        title.filter(|title| !title.is_empty()).cloned()
    };
    (0..count)
        .map(|index| {
            let name = at(&names, index);
            let unit = at(&units, index);
            Column {
                heading: Heading::read(name.as_deref().unwrap_or_default(), unit.as_deref()),
                is_named: name.is_some(),
                name: name.unwrap_or_else(|| (index + 1).to_string()),
            }
        })
        .collect()
}

/// The rate a line above the rows states, such as `Sampling rate: 1000 Hz`: the one number of the
/// one line that speaks of hertz or sampling. `None` when there are several that differ.
fn stated_rate_hz(above: &[&[u8]]) -> Option<f64> {
    let mut rates = above.iter().filter_map(|line| {
        let text = String::from_utf8_lossy(line).to_lowercase();
        let speaks = (text.contains("hz") || text.contains("sampl"))
            && !text.contains("filter")
            && !text.contains("cut");
        let mut numbers = text
            .split(|c: char| !(c.is_ascii_digit() || c == '.'))
            .filter_map(|part| part.parse::<f64>().ok());
        let rate = numbers.next().filter(|rate| speaks && *rate > 0.0)?;
        numbers.next().is_none().then_some(rate)
    });
    let first = rates.next()?;
    rates.all(|rate| rate == first).then_some(first)
}
