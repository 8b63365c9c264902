//! Thrift's compact protocol, walked before it is believed.
//!
//! A Parquet file describes itself and each of its pages in it. The library skips what it does not
//! know element by element, as many as are claimed; a damaged byte can claim 2⁶⁰ of them in a file
//! of 580 bytes, and the skipping never ends. Here every element has to be paid for in bytes. Lists
//! and maps of truths are refused: the library takes their elements for nothing, so it would read
//! what follows them otherwise than this walk; no description or page header has one.

/// Deepest nesting followed; a description nests five deep.
const DEEPEST: usize = 32;
/// Kinds of a field that is a truth.
const TRUE: u8 = 1;
const FALSE: u8 = 2;
/// Kind of a field that is a 32-bit number.
const NUMBER: u8 = 5;
/// Kind of a field that holds fields itself.
const STRUCTURE: u8 = 12;

/// Whether a structure is held whole by `bytes`.
pub(super) fn is_whole(bytes: &[u8]) -> bool {
    Walk { rest: bytes }.structure(0).is_some()
}

/// How long a page is once unpacked, by its header. `None` if the header is not held whole by
/// `bytes` or has a field of another kind than the format gives it: the library reads the fields
/// it knows without asking for their kind, and goes on wherever that leaves it.
pub(super) fn unpacked_length(bytes: &[u8]) -> Option<i64> {
    let mut length = 0;
    Walk { rest: bytes }.fields(&mut |walk, id, kind| match (id, kind) {
        (2, NUMBER) => {
            length = zigzag(walk.number()?);
            Some(())
        }
        (1 | 3 | 4, NUMBER) => walk.number().map(drop),
        (5..=8, STRUCTURE) => walk.fields(&mut |walk, inner, kind| {
            is_of_its_kind(id, inner, kind).then(|| walk.field(kind, 1))?
        }),
        (1..=8, _) => None,
        _ => walk.field(kind, 0),
    })?;
    Some(length)
}

/// Whether a field inside the part `part` of a page's header is of the kind the format gives it:
/// of a page of values (5), of a dictionary (7), of a page of values by the second form (8).
const fn is_of_its_kind(part: i64, field: i64, kind: u8) -> bool {
    match (part, field) {
        (5, 1..=4) | (7, 1..=2) | (8, 1..=6) => kind == NUMBER,
        (7, 3) | (8, 7) => matches!(kind, TRUE | FALSE),
        (5, 5) | (8, 8) => kind == STRUCTURE,
        _ => true,
    }
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

    /// Fields up to the one that says stop; `each` takes the value of a field by its id and kind.
    /// A field begins with its kind and how far its id is from the last; a distance of zero is
    /// followed by the id.
    fn fields(&mut self, each: &mut dyn FnMut(&mut Self, i64, u8) -> Option<()>) -> Option<()> {
        let mut id = 0;
        loop {
            let head = self.byte()?;
            id = match (head >> 4, head & 0x0f) {
                (_, 0) => return Some(()),
                (0, _) => zigzag(self.number()?),
                (distance, _) => id + i64::from(distance),
            };
            if id > i64::from(i16::MAX) {
                return None;
            }
            each(self, id, head & 0x0f)?;
        }
    }

    fn structure(&mut self, depth: usize) -> Option<()> {
        self.fields(&mut |walk, _, kind| walk.field(kind, depth))
    }

    /// The value of a field; that of a truth is in the kind itself.
    fn field(&mut self, kind: u8, depth: usize) -> Option<()> {
        match kind {
            TRUE | FALSE => Some(()),
            kind => self.value(kind, depth),
        }
    }

    fn value(&mut self, kind: u8, depth: usize) -> Option<()> {
        if depth > DEEPEST {
            return None;
        }
        match kind {
            3 => self.skip(1),
            4 | NUMBER | 6 => self.number().map(drop),
            7 => self.skip(8),
            8 => {
                let length = self.number()?;
                self.skip(length)
            }
            9 | 10 => self.list(depth + 1),
            11 => self.map(depth + 1),
            STRUCTURE => self.structure(depth + 1),
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
    }

    #[test]
    fn the_header_of_a_page_says_how_long_it_is_unpacked() {
        // Fields 1 to 3 are numbers; field 5 says 4 values, field 4 of it follows a distance of zero.
        let header = [0x15, 0, 0x15, 0x80, 0x08, 0x15, 2, 0x2c, 0x15, 8, 0x05, 8, 6, 0, 0];
        assert_eq!(unpacked_length(&header), Some(512));
        // A number said to be a text, and one inside a part said to be a list of numbers.
        for (place, kind) in [(2, 0x18), (8, 0x19)] {
            let mut other = header;
            other[place] = kind;
            assert_eq!(unpacked_length(&other), None, "{place}");
        }
    }

    #[test]
    fn more_elements_than_bytes_are_refused_at_once() {
        let most = [0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x7f];
        // A list of bytes, a text; a map has to name its kinds.
        for head in [&[0x19, 0xf3][..], &[0x1b], &[0x18]] {
            let bytes = [head, &most, &[0x22, 0, 0]].concat();
            assert!(!is_whole(&bytes));
        }
        // Truths of a list or map cost the library nothing.
        assert!(!is_whole(&[0x19, 0x22, 1, 1, 0]));
        assert!(!is_whole(&[0x1b, 1, 0x32, 7, 1, 0]));
        // Lists in lists without end.
        assert!(!is_whole(&[0x19; 1000]));
    }
}
