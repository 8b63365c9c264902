//! The description at the end of a Parquet file, walked once before it is believed.
//!
//! It is written in Thrift's compact protocol. The library that reads it skips what it does not
//! know element by element, as many as are claimed; a damaged byte can claim 2⁶⁰ of them in a file
//! of 580 bytes, and the skipping never ends. Here every element has to be paid for in bytes.

use ::parquet::errors::{ParquetError, Result};
use ::parquet::file::reader::ChunkReader;

/// Length of the description, and the four letters that end a file.
const TAIL: usize = 8;
/// Deepest nesting followed; a description nests five deep.
const DEEPEST: usize = 32;

/// Refuses a file whose description claims more than it holds. One that has no description is left
/// to the library to refuse.
pub(super) fn check(source: &impl ChunkReader) -> Result<()> {
    let Some(end) = source.len().checked_sub(TAIL as u64) else { return Ok(()) };
    let tail = source.get_bytes(end, TAIL)?;
    let Ok(length) = <[u8; 4]>::try_from(&tail[..4]).map(u32::from_le_bytes) else { return Ok(()) };
    let Some(start) = end.checked_sub(u64::from(length)) else { return Ok(()) };
    let description = source.get_bytes(start, length as usize)?;
    Walk { rest: &description }.structure(0).ok_or_else(|| {
        ParquetError::General("its description claims more than the file holds".into())
    })
}

/// What is left to walk. Every step gives `None` where the bytes end too soon.
struct Walk<'a> {
    rest: &'a [u8],
}

impl Walk<'_> {
    fn skip(&mut self, count: u64) -> Option<()> {
        self.rest = self.rest.get(usize::try_from(count).ok()?..)?;
        Some(())
    }

    fn byte(&mut self) -> Option<u8> {
        let (&byte, rest) = self.rest.split_first()?;
        self.rest = rest;
        Some(byte)
    }

    fn number(&mut self) -> Option<u64> {
        let mut number = 0;
        for shift in (0..70).step_by(7) {
            let byte = self.byte()?;
            number |= u64::from(byte & 0x7f).checked_shl(shift).unwrap_or(0);
            if byte < 0x80 {
                return Some(number);
            }
        }
        None
    }

    /// Fields up to the one that says stop. A field begins with its kind and how far its number is
    /// from the last; a distance of zero is followed by the number itself.
    fn structure(&mut self, depth: usize) -> Option<()> {
        loop {
            let head = self.byte()?;
            if head & 0x0f == 0 {
                return Some(());
            }
            if head >> 4 == 0 {
                self.number()?;
            }
            // The value of a truth is in the kind itself.
            if head & 0x0f > 2 {
                self.value(head & 0x0f, depth)?;
            }
        }
    }

    fn value(&mut self, kind: u8, depth: usize) -> Option<()> {
        if depth > DEEPEST {
            return None;
        }
        match kind {
            1..=3 => self.skip(1),
            4..=6 => self.number().map(drop),
            7 => self.skip(8),
            8 => {
                let length = self.number()?;
                self.skip(length)
            }
            9 | 10 => self.list(depth + 1),
            11 => self.map(depth + 1),
            12 => self.structure(depth + 1),
            13 => self.skip(16),
            _ => None,
        }
    }

    fn list(&mut self, depth: usize) -> Option<()> {
        let head = self.byte()?;
        let count = match head >> 4 {
            15 => self.number()?,
            few => u64::from(few),
        };
        (0..count).try_for_each(|_| self.value(head & 0x0f, depth))
    }

    fn map(&mut self, depth: usize) -> Option<()> {
        let count = self.number()?;
        let kinds = if count > 0 { self.byte()? } else { 0 };
        (0..count).try_for_each(|_| {
            self.value(kinds >> 4, depth)?;
            self.value(kinds & 0x0f, depth)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn walks(bytes: &[u8]) -> bool {
        Walk { rest: bytes }.structure(0).is_some()
    }

    #[test]
    fn fields_lists_and_structures_are_walked_to_their_end() {
        // Field 1 an i32 of 300; field 2 a list of two texts; field 3 a structure with a truth.
        let bytes = [0x15, 0xac, 0x02, 0x19, 0x28, 1, b'a', 2, b'b', b'c', 0x1c, 0x11, 0, 0];
        assert!(walks(&bytes));
        for end in 0..bytes.len() {
            assert!(!walks(&bytes[..end]), "cut at {end}");
        }
    }

    #[test]
    fn more_elements_than_bytes_are_refused_at_once() {
        let most = [0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x7f];
        // A list of truths, a map of truths, a text.
        for head in [&[0x19, 0xf2][..], &[0x1b], &[0x18]] {
            let bytes = [head, &most, &[0x22, 0, 0]].concat();
            assert!(!walks(&bytes));
        }
        // Lists in lists without end.
        assert!(!walks(&[0x19; 1000]));
    }
}
