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
        let cells = self.delimiter.cells(line);
        let any = cells.iter().any(|cell| number::parse(cell, self.mark).is_some());
        any.then(|| Pattern(cells.iter().map(|cell| self.stands_for_number(cell)).collect()))
    }

    /// A number, a time of day, or what instruments write where a number is missing: a row that
    /// begins with one is a row, to be refused with its line, not a heading to be passed over.
    fn stands_for_number(self, cell: &[u8]) -> bool {
        let missing: [&[u8]; 9] =
            [b"", b"nan", b"inf", b"+inf", b"-inf", b"na", b"n/a", b"null", b"-"];
        number::parse(cell, self.mark).is_some()
            || missing.contains(&cell.to_ascii_lowercase().as_slice())
            || number::clock_s(cell, self.mark).is_some()
    }

    /// The pattern most of the lines share, with how many do.
    fn commonest(self, lines: &[&[u8]]) -> Option<(usize, Pattern)> {
        let patterns: Vec<Pattern> = lines.iter().filter_map(|line| self.pattern(line)).collect();
        patterns
            .iter()
            .map(|pattern| patterns.iter().filter(|other| *other == pattern).count())
            .zip(&patterns)
            .rev()
            .max_by_key(|(count, _)| *count)
            .map(|(count, pattern)| (count, pattern.clone()))
    }
}

/// Finds out how a file is written from its beginning; `whole` says whether that is all of it.
pub(super) fn find(
    head: &[u8],
    whole: bool,
    decimal_mark: Option<u8>,
) -> Result<Layout, DelimitedError> {
    let lines = Lines::of(head, whole)?;
    let probe = lines.last(PROBED);
    let (spelling, pattern) = choose(&probe, decimal_mark, lines.texts.len())?;
    let starts = |spelling: Spelling, pattern: &Pattern| lines.first_row(spelling, pattern);
    let nothing = || DelimitedError::NoRows { searched: lines.texts.len() };
    let first = starts(spelling, &pattern).ok_or_else(nothing)?;
    let comma = Spelling { delimiter: Delimiter::Byte(b';'), mark: b',' };
    if decimal_mark.is_none() && could_be_decimal_comma(spelling, &pattern, comma, &probe) {
        let heading = first.checked_sub(1).map(|above| lines.texts[above]);
        match heading.map(|line| spelling.delimiter.cells(line).len()) {
            Some(2) => {}
            Some(1) => return Ok(lines.layout(comma, &Pattern(vec![true]), first)),
            _ => return Err(DelimitedError::AmbiguousComma { line: lines.numbers[first] }),
        }
    }
    Ok(lines.layout(spelling, &pattern, first))
}

/// The spelling under which most lines look alike, then with most numbers and fewest other cells.
fn choose(
    probe: &[&[u8]],
    decimal_mark: Option<u8>,
    searched: usize,
) -> Result<(Spelling, Pattern), DelimitedError> {
    let allowed = |spelling: &Spelling| decimal_mark.is_none_or(|mark| mark == spelling.mark);
    let mut best: Option<((usize, isize), Spelling, Pattern)> = None;
    for spelling in Spelling::ALL.into_iter().filter(allowed) {
        let Some((alike, pattern)) = spelling.commonest(probe) else { continue };
        let others = pattern.0.len() - pattern.numbers();
        let rank = (alike, pattern.numbers() as isize - others as isize);
        if best.as_ref().is_none_or(|(least, ..)| rank > *least) {
            best = Some((rank, spelling, pattern));
        }
    }
    best.map(|(_, spelling, pattern)| (spelling, pattern))
        .ok_or(DelimitedError::NoRows { searched })
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

/// The lines of the head that are not blank, with their numbers and offsets.
struct Lines<'a> {
    texts: Vec<&'a [u8]>,
    numbers: Vec<u64>,
    offsets: Vec<usize>,
}

impl<'a> Lines<'a> {
    fn of(head: &'a [u8], whole: bool) -> Result<Self, DelimitedError> {
        let mut lines = Self { texts: Vec::new(), numbers: Vec::new(), offsets: Vec::new() };
        let mut offset = 0;
        for (index, text) in head.split_inclusive(|&byte| byte == b'\n').enumerate() {
            let complete = whole || text.ends_with(b"\n");
            if complete && !text.trim_ascii().is_empty() {
                lines.texts.push(text.strip_suffix(b"\n").unwrap_or(text));
                lines.numbers.push(index as u64 + 1);
                lines.offsets.push(offset);
            }
            offset += text.len();
        }
        if lines.texts.is_empty() {
            return Err(DelimitedError::Empty);
        }
        Ok(lines)
    }

    fn last(&self, count: usize) -> Vec<&'a [u8]> {
        self.texts[self.texts.len().saturating_sub(count)..].to_vec()
    }

    /// The first line that looks like a row and is followed by lines most of which do.
    fn first_row(&self, spelling: Spelling, pattern: &Pattern) -> Option<usize> {
        let is_row = |line: &&[u8]| spelling.pattern(line).as_ref() == Some(pattern);
        (0..self.texts.len()).find(|&first| {
            let following = self.texts[first + 1..].iter().take(FOLLOWING);
            let asked = following.len();
            is_row(&self.texts[first]) && 2 * following.filter(|line| is_row(line)).count() >= asked
        })
    }

    /// Cells of a row without the blank ones at its end.
    fn filled(&self, delimiter: Delimiter, row: usize) -> usize {
        let cells = delimiter.cells(self.texts[row]);
        cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1)
    }

    fn layout(&self, spelling: Spelling, pattern: &Pattern, first: usize) -> Layout {
        let delimiter = spelling.delimiter;
        let count = pattern.0.len();
        let above = &self.texts[..first];
        let preview = self.texts[first..].iter().take(PREVIEWED).map(|line| {
            let cells = delimiter.cells(line);
            cells.iter().map(|cell| number::parse(cell, spelling.mark)).collect()
        });
        Layout {
            delimiter,
            decimal_mark: spelling.mark,
            columns: columns(above, delimiter, count, self.filled(delimiter, first)),
            first_line: self.numbers[first],
            stated_rate_hz: stated_rate_hz(above),
            first_byte: self.offsets[first],
            preview: preview.collect(),
        }
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
