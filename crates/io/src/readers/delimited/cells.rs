//! Where one cell ends and the next begins.

/// What stands between two columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Delimiter {
    /// One such byte.
    Byte(u8),
    /// Any run of spaces and tabs.
    Blanks,
}

impl Delimiter {
    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Byte(b'\t') => "tab",
            Self::Byte(b';') => "semicolon",
            Self::Byte(_) => "comma",
            Self::Blanks => "blanks",
        }
    }

    pub(super) fn parts(self, byte: u8) -> bool {
        match self {
            Self::Byte(delimiter) => byte == delimiter,
            Self::Blanks => byte == b' ' || byte == b'\t',
        }
    }

    /// The first byte at or after `at` that is no blank in front of a cell.
    pub(super) fn skip_blanks(self, bytes: &[u8], mut at: usize) -> usize {
        while let Some(byte) = bytes.get(at) {
            let blank = *byte == b' ' || (*byte == b'\t' && self.parts(b'\t') && !self.is_tab());
            if !blank {
                break;
            }
            at += 1;
        }
        at
    }

    pub(super) const fn is_tab(self) -> bool {
        matches!(self, Self::Byte(b'\t'))
    }

    /// The cell at `at`, without blanks and quotes around it, and where its delimiter stands, or
    /// the end of its line.
    pub(super) fn cell(self, bytes: &[u8], at: usize) -> (&[u8], usize) {
        let start = self.skip_blanks(bytes, at);
        let quoted = bytes.get(start) == Some(&b'"');
        let mut end = start;
        let mut inside = quoted;
        if quoted {
            end += 1;
        }
        while let Some(&byte) = bytes.get(end) {
            if byte == b'\n' || (!inside && self.parts(byte)) {
                break;
            }
            if byte == b'"' && quoted {
                inside = !inside;
            }
            end += 1;
        }
        let cell = bytes[start..end].trim_ascii();
        let bare = cell.strip_prefix(b"\"").and_then(|cell| cell.strip_suffix(b"\""));
        (bare.unwrap_or(cell).trim_ascii(), end)
    }

    /// All cells of a line.
    pub(super) fn cells(self, line: &[u8]) -> Vec<&[u8]> {
        let mut cells = Vec::new();
        let mut at = 0;
        loop {
            let (cell, end) = self.cell(line, at);
            cells.push(cell);
            if end >= line.len() {
                return cells;
            }
            at = end + 1;
            if self == Self::Blanks {
                at = self.skip_blanks(line, at);
                if line[at..].trim_ascii().is_empty() {
                    return cells;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(line: &str, delimiter: Delimiter) -> Vec<String> {
        let cells = delimiter.cells(line.as_bytes());
        cells.into_iter().map(|cell| String::from_utf8_lossy(cell).into_owned()).collect()
    }

    #[test]
    fn quotes_keep_a_delimiter_inside_and_blanks_run_together() {
        assert_eq!(cells("\"0,5\", \"7 35\",x,", Delimiter::Byte(b',')), ["0,5", "7 35", "x", ""]);
        assert_eq!(cells("  0.5 \t 735  ", Delimiter::Blanks), ["0.5", "735"]);
        assert_eq!(cells("a\t\tb\r", Delimiter::Byte(b'\t')), ["a", "", "b"]);
        assert_eq!(cells("", Delimiter::Byte(b',')), [""]);
    }
}
