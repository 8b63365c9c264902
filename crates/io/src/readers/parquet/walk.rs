//! Thrift's compact protocol, walked before it is believed.
//!
//! A Parquet file describes itself and each of its pages in it. The library skips what it does not
//! know element by element, as many as are claimed; a damaged byte can claim 2⁶⁰ of them in a file
//! of 580 bytes, and the skipping never ends. Here every element has to be paid for in bytes. Lists
//! and maps of truths are refused: the library takes their elements for nothing, so it would read
//! what follows them otherwise than this walk; no description or page header has one. So is a field
//! of another kind than the format gives it: the library reads the fields it knows without asking
//! for their kind, and goes on wherever that leaves it.

use super::shape::{FILE, Kind, PAGE, Shape};

/// Deepest nesting followed; a description nests five deep.
const DEEPEST: usize = 32;

/// Whether the description of a file is held whole by `bytes`, each field of its kind.
pub(super) fn is_description(bytes: &[u8]) -> bool {
    Walk { rest: bytes }.structure(FILE, 0).is_some()
}

/// How long a page is once unpacked, by its header. `None` if the header is not held whole by
/// `bytes`, each field of its kind.
pub(super) fn unpacked_length(bytes: &[u8]) -> Option<i64> {
    Walk { rest: bytes }.structure(PAGE, 0)?;
    let mut length = 0;
    Walk { rest: bytes }.fields(&mut |walk, id, code| match id {
        2 => {
            length = zigzag(walk.number()?);
            Some(())
        }
        _ => walk.field(code, 0),
    })?;
    Some(length)
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

    /// Fields up to the one that says stop; `each` takes the value of a field by its id and the code
    /// of its kind. A field begins with that code and how far its id is from the last; a distance of
    /// zero is followed by the id.
    fn fields(&mut self, each: &mut dyn FnMut(&mut Self, i16, u8) -> Option<()>) -> Option<()> {
        let mut id = 0_i16;
        loop {
            let head = self.byte()?;
            id = match (head >> 4, head & 0x0f) {
                (_, 0) => return Some(()),
                (0, _) => i16::try_from(zigzag(self.number()?)).ok()?,
                (distance, _) => id.checked_add(distance.into())?,
            };
            each(self, id, head & 0x0f)?;
        }
    }

    /// A structure whose fields are of their kind; a field it does not know may be of any.
    fn structure(&mut self, shape: Shape, depth: usize) -> Option<()> {
        self.fields(&mut |walk, id, code| match shape.iter().find(|(known, _)| *known == id) {
            Some((_, kind)) if kind.is_written_as(code) => walk.known(*kind, code, depth),
            Some(_) => None,
            None => walk.field(code, depth),
        })
    }

    fn known(&mut self, kind: Kind, code: u8, depth: usize) -> Option<()> {
        match kind {
            _ if depth > DEEPEST => None,
            Kind::Structure(shape) => self.structure(shape, depth + 1),
            Kind::List(of) => self.elements(|walk, code| {
                of.is_written_as(code).then(|| walk.known(*of, code, depth + 1))?
            }),
            Kind::Truth | Kind::Byte | Kind::Integer | Kind::Double | Kind::Text => {
                self.field(code, depth)
            }
        }
    }

    /// The value of a field; that of a truth is in the code of its kind.
    fn field(&mut self, code: u8, depth: usize) -> Option<()> {
        match code {
            1 | 2 => Some(()),
            code => self.value(code, depth),
        }
    }

    fn value(&mut self, code: u8, depth: usize) -> Option<()> {
        if depth > DEEPEST {
            return None;
        }
        match code {
            3 => self.skip(1),
            4..=6 => self.number().map(drop),
            7 => self.skip(8),
            8 => {
                let length = self.number()?;
                self.skip(length)
            }
            9 | 10 => self.elements(|walk, code| walk.value(code, depth + 1)),
            11 => self.map(depth + 1),
            12 => self.structure(&[], depth + 1),
            13 => self.skip(16),
            _ => None,
        }
    }

    /// As many elements as a list claims; `each` takes one by the code of their kind.
    fn elements(&mut self, each: impl Fn(&mut Self, u8) -> Option<()>) -> Option<()> {
        let head = self.byte()?;
        let count = match head >> 4 {
            15 => self.number()?,
            few => u64::from(few),
        };
        (0..count).try_for_each(|_| each(self, head & 0x0f))
    }

    fn map(&mut self, depth: usize) -> Option<()> {
        let count = self.number()?;
        let codes = if count > 0 { self.byte()? } else { 0 };
        (0..count).try_for_each(|_| {
            self.value(codes >> 4, depth)?;
            self.value(codes & 0x0f, depth)
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

    fn is_whole(bytes: &[u8]) -> bool {
        Walk { rest: bytes }.structure(&[], 0).is_some()
    }

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
    fn every_field_of_a_description_is_of_its_kind() {
        // Version 1; a list of one element of a schema, its name "m"; no rows; no row groups.
        let file = [0x15, 2, 0x19, 0x1c, 0x48, 1, b'm', 0, 0x16, 0, 0x19, 0x0c, 0];
        assert!(is_description(&file));
        // The version a text; the schema a list of texts; the name a number; rows a structure.
        for (place, other) in [(0, 0x18), (3, 0x18), (4, 0x45), (8, 0x1c)] {
            let mut damaged = file;
            damaged[place] = other;
            assert!(!is_description(&damaged), "{place}");
        }
        // An id that the library would cut to that of the version: -65535 to 1.
        assert!(!is_description(&[0x08, 0xfd, 0xff, 0x07, 1, b'a', 0]));
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
