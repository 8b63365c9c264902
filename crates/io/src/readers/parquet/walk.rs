//! Thrift's compact protocol, walked before it is believed.
//!
//! A Parquet file describes itself and each of its pages in it. The library skips what it does not
//! know element by element, as many as are claimed; a damaged byte can claim 2⁶⁰ of them in a file
//! of 580 bytes, and the skipping never ends. Here every element has to be paid for in bytes.

/// Deepest nesting followed; a description nests five deep.
const DEEPEST: usize = 32;
/// Kind of a field that is a 32-bit number.
const NUMBER: u8 = 5;

/// Whether a structure is held whole by `bytes`.
pub(super) fn is_whole(bytes: &[u8]) -> bool {
    Walk { rest: bytes }.fields(0, |_, _| ()).is_some()
}

/// The number in one field of a structure, zero where it has none; `None` if the structure is not
/// held whole by `bytes`.
pub(super) fn number_in(bytes: &[u8], field: u64) -> Option<i64> {
    let mut found = 0;
    Walk { rest: bytes }.fields(0, |id, number| {
        if id == field {
            found = number;
        }
    })?;
    Some(found)
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

    /// Fields up to the one that says stop, each number told with its field. A field begins with
    /// its kind and how far its id is from the last; a distance of zero is followed by the id.
    fn fields(&mut self, depth: usize, mut each_number: impl FnMut(u64, i64)) -> Option<()> {
        let mut id = 0;
        loop {
            let head = self.byte()?;
            match (head >> 4, head & 0x0f) {
                (_, 0) => return Some(()),
                (0, _) => id = zigzag(self.number()?).unsigned_abs(),
                (distance, _) => id += u64::from(distance),
            }
            match head & 0x0f {
                // The value of a truth is in the kind itself.
                1 | 2 => {}
                NUMBER => each_number(id, zigzag(self.number()?)),
                kind => self.value(kind, depth)?,
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
            12 => self.fields(depth + 1, |_, _| ()),
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

/// Numbers are written so that small ones are short: 0, -1, 1, -2.
const fn zigzag(number: u64) -> i64 {
    (number >> 1) as i64 ^ -((number & 1) as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_lists_and_structures_are_walked_to_their_end() {
        // Field 1 an i32 of 300; field 2 a list of two texts; field 3 a structure with a truth.
        let bytes = [0x15, 0xac, 0x02, 0x19, 0x28, 1, b'a', 2, b'b', b'c', 0x1c, 0x11, 0, 0];
        assert!(is_whole(&bytes));
        for end in 0..bytes.len() {
            assert!(!is_whole(&bytes[..end]), "cut at {end}");
        }
        assert_eq!(number_in(&bytes, 1), Some(150));
        assert_eq!(number_in(&bytes, 2), Some(0));
        // The id itself, here 9, follows a distance of zero.
        assert_eq!(number_in(&[0x05, 18, 0x03, 0], 9), Some(-2));
    }

    #[test]
    fn more_elements_than_bytes_are_refused_at_once() {
        let most = [0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x7f];
        // A list of truths, a map of truths, a text.
        for head in [&[0x19, 0xf2][..], &[0x1b], &[0x18]] {
            let bytes = [head, &most, &[0x22, 0, 0]].concat();
            assert!(!is_whole(&bytes));
        }
        // Lists in lists without end.
        assert!(!is_whole(&[0x19; 1000]));
    }
}
