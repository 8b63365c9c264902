//! Rows to columns of numbers, a piece of the file at a time.

use super::cells::Delimiter;
use super::error::DelimitedError;
use super::layout::Layout;
use super::{PIECE, number};
use std::io::Read;

/// No row of samples is longer.
const MOST_LINE: usize = 1024 * 1024;
/// Characters of a cell that is no number shown in the message.
const SHOWN: usize = 24;

/// Columns being filled.
pub(super) struct Rows<'a> {
    layout: &'a Layout,
    /// For each column of the file, where its values go.
    targets: Vec<Option<usize>>,
    values: Vec<Vec<f64>>,
    /// Line of the first blank cell of each target.
    ended: Vec<Option<u64>>,
    line: u64,
}

/// Reads the columns of the given indices. `head` is what was read already, `source` the rest.
///
/// A column may end before the others, as when one instrument stops earlier: its blank cells at
/// the end are not values. A blank with a value after it is an error.
pub(super) fn read(
    layout: &Layout,
    columns: &[usize],
    head: Vec<u8>,
    whole: bool,
    source: &mut impl Read,
) -> Result<Vec<Vec<f64>>, DelimitedError> {
    let mut rows = Rows::new(layout, columns);
    let mut buffer = head;
    let (mut start, mut finished) = (layout.first_byte, whole);
    loop {
        let end = if finished {
            buffer.len()
        } else {
            let last = buffer[start..].iter().rposition(|&byte| byte == b'\n');
            last.map_or(start, |newline| start + newline + 1)
        };
        while start < end {
            start = rows.row(&buffer[..end], start)?;
        }
        if finished {
            return Ok(rows.values);
        }
        buffer.drain(..end);
        start = 0;
        let kept = buffer.len();
        if kept > MOST_LINE {
            return Err(DelimitedError::LineTooLong { line: rows.line, most: MOST_LINE });
        }
        finished = source.by_ref().take(PIECE).read_to_end(&mut buffer)? == 0;
    }
}

impl<'a> Rows<'a> {
    fn new(layout: &'a Layout, columns: &[usize]) -> Self {
        let mut targets = vec![None; layout.columns.len()];
        for (target, &column) in columns.iter().enumerate() {
            targets[column] = Some(target);
        }
        Self {
            layout,
            targets,
            values: vec![Vec::new(); columns.len()],
            ended: vec![None; columns.len()],
            line: layout.first_line,
        }
    }

    /// Reads the row at `start` and returns where the next begins.
    fn row(&mut self, bytes: &[u8], start: usize) -> Result<usize, DelimitedError> {
        let delimiter = self.layout.delimiter;
        let expected = self.layout.columns.len();
        let mut at = delimiter.skip_blanks(bytes, start);
        if let Some(next) = end_of_line(bytes, at) {
            self.line += 1;
            return Ok(next);
        }
        let mut column = 0;
        loop {
            match self.targets.get(column).copied() {
                Some(Some(target)) => {
                    at = match self.plain_number(bytes, at, target) {
                        Some(end) => end,
                        None => self.number(bytes, at, column, target)?,
                    };
                }
                Some(None) => at = delimiter.cell(bytes, at).1,
                None => {
                    let (cell, end) = delimiter.cell(bytes, at);
                    if !cell.is_empty() {
                        let found = column + self.cells_left(bytes, at);
                        return Err(DelimitedError::UnevenRow { line: self.line, found, expected });
                    }
                    at = end;
                }
            }
            column += 1;
            if let Some(next) = end_of_line(bytes, at) {
                return self.finish_row(column, next);
            }
            at += 1;
            if delimiter == Delimiter::Blanks {
                at = delimiter.skip_blanks(bytes, at);
                if let Some(next) = end_of_line(bytes, at) {
                    return self.finish_row(column, next);
                }
            }
        }
    }

    fn finish_row(&mut self, found: usize, next: usize) -> Result<usize, DelimitedError> {
        let expected = self.layout.columns.len();
        let only_unused_missing =
            found + 1 == expected && self.targets.last().is_some_and(Option::is_none);
        if found < expected && !only_unused_missing {
            return Err(DelimitedError::UnevenRow { line: self.line, found, expected });
        }
        self.line += 1;
        Ok(next)
    }

    /// Takes a plain decimal that is all there is in its cell, as nearly all are, and returns where
    /// its delimiter stands. Apart from [`Self::number`] because a large error to be returned would
    /// slow every cell down.
    #[inline]
    fn plain_number(&mut self, bytes: &[u8], at: usize, target: usize) -> Option<usize> {
        let (value, length) = number::plain(&bytes[at..], self.layout.decimal_mark)?;
        let end = at + length;
        let end = match bytes.get(end) {
            None | Some(b'\n') => end,
            Some(b'\r') if bytes.get(end + 1) == Some(&b'\n') => end + 1,
            Some(&byte) if self.layout.delimiter.parts(byte) => end,
            Some(_) => return None,
        };
        if self.ended[target].is_some() {
            return None;
        }
        self.values[target].push(value);
        Some(end)
    }

    /// Reads any cell into a target and returns where its delimiter stands.
    fn number(
        &mut self,
        bytes: &[u8],
        at: usize,
        column: usize,
        target: usize,
    ) -> Result<usize, DelimitedError> {
        let mark = self.layout.decimal_mark;
        let (cell, end) = self.layout.delimiter.cell(bytes, at);
        if cell.is_empty() {
            self.ended[target].get_or_insert(self.line);
            return Ok(end);
        }
        let value = number::parse(cell, mark)
            .or_else(|| number::clock_s(cell, mark))
            .ok_or_else(|| self.not_a_number(cell, column))?;
        if let Some(line) = self.ended[target] {
            let column = self.layout.columns[column].name.clone();
            return Err(DelimitedError::MissingValue { line, column });
        }
        self.values[target].push(value);
        Ok(end)
    }

    fn not_a_number(&self, cell: &[u8], column: usize) -> DelimitedError {
        DelimitedError::NotANumber {
            line: self.line,
            column: self.layout.columns[column].name.clone(),
            text: String::from_utf8_lossy(cell).chars().take(SHOWN).collect(),
        }
    }

    fn cells_left(&self, bytes: &[u8], at: usize) -> usize {
        let line = bytes[at..].split(|&byte| byte == b'\n').next().unwrap_or_default();
        self.layout.delimiter.cells(line).len()
    }
}

/// Where the next line begins, when the line ends at `at`.
fn end_of_line(bytes: &[u8], at: usize) -> Option<usize> {
    match bytes.get(at) {
        None => Some(at),
        Some(b'\n') => Some(at + 1),
        Some(b'\r') if bytes.get(at + 1).is_none_or(|&byte| byte == b'\n') => {
            Some((at + 2).min(bytes.len()))
        }
        Some(_) => None,
    }
}
