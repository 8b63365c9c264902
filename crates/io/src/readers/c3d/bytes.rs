//! Numbers from bytes, in the order of the processor that wrote them.

use super::error::C3dError;

/// Whose byte order the file is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Processor {
    /// Little endian, IEEE floats.
    Intel,
    /// Little endian integers, VAX floats.
    Dec,
    /// Big endian, IEEE floats.
    Mips,
}

impl Processor {
    pub(super) fn of(code: u8, at: usize) -> Result<Self, C3dError> {
        match code {
            84 => Ok(Self::Intel),
            85 => Ok(Self::Dec),
            86 => Ok(Self::Mips),
            _ => Err(C3dError::UnknownProcessor { at, code }),
        }
    }

    pub(super) fn word(self, bytes: [u8; 2]) -> u16 {
        match self {
            Self::Intel | Self::Dec => u16::from_le_bytes(bytes),
            Self::Mips => u16::from_be_bytes(bytes),
        }
    }

    pub(super) fn float(self, bytes: [u8; 4]) -> f64 {
        f64::from(match self {
            Self::Intel => f32::from_le_bytes(bytes),
            Self::Mips => f32::from_be_bytes(bytes),
            Self::Dec => vax(bytes),
        })
    }
}

/// A VAX float: the halves change places, and the exponent counts from two more.
fn vax([a, b, c, d]: [u8; 4]) -> f32 {
    f32::from_le_bytes([c, d, a, b]) / 4.0
}

/// The bytes of a file, asked for by offset.
#[derive(Clone, Copy)]
pub(super) struct Bytes<'a> {
    pub(super) all: &'a [u8],
    pub(super) processor: Processor,
}

impl<'a> Bytes<'a> {
    pub(super) fn slice(
        self,
        what: &'static str,
        at: usize,
        length: usize,
    ) -> Result<&'a [u8], C3dError> {
        let end = at.saturating_add(length);
        let missing = C3dError::Truncated { what, end, length: self.all.len() };
        self.all.get(at..end).ok_or(missing)
    }

    fn array<const N: usize>(self, what: &'static str, at: usize) -> Result<[u8; N], C3dError> {
        let mut array = [0; N];
        array.copy_from_slice(self.slice(what, at, N)?);
        Ok(array)
    }

    pub(super) fn byte(self, what: &'static str, at: usize) -> Result<u8, C3dError> {
        self.array(what, at).map(|[byte]| byte)
    }

    pub(super) fn word(self, what: &'static str, at: usize) -> Result<u16, C3dError> {
        self.array(what, at).map(|bytes| self.processor.word(bytes))
    }

    pub(super) fn float(self, what: &'static str, at: usize) -> Result<f64, C3dError> {
        self.array(what, at).map(|bytes| self.processor.float(bytes))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // VAX Architecture Reference Manual, F_floating: 1.0 is 0x00004080, -2.5 is 0x0000C120 as
    // words in order of address (from memory).
    #[test]
    fn vax_floats_are_those_of_the_manual() {
        assert_eq!(vax([0x80, 0x40, 0x00, 0x00]), 1.0);
        assert_eq!(vax([0x20, 0xC1, 0x00, 0x00]), -2.5);
        assert_eq!(vax([0; 4]), 0.0);
    }
}
