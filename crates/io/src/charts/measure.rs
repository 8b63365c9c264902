//! How wide a text will be, without a font at hand.
//!
//! Advance widths of Helvetica in thousandths of an em (Adobe core 14 font metrics), which the
//! embedded typeface shares by design; system typefaces come close, and a margin covers the rest.

/// Spare width for typefaces a little wider than the measured one.
const MARGIN: f64 = 1.04;
/// How much wider the bold face runs.
const BOLD: f64 = 1.08;

/// Width of a text in the same unit as its size.
pub(super) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let thousandths: u32 = text.chars().map(advance).sum();
    let face = if bold { BOLD } else { 1.0 };
    f64::from(thousandths) / 1000.0 * size * face * MARGIN
}

/// The text itself, or its start with an ellipsis where the whole is too wide.
pub(super) fn fitted(text: &str, size: f64, bold: bool, room: f64) -> String {
    if width(text, size, bold) <= room {
        return text.to_owned();
    }
    let mut start = text.to_owned();
    while start.pop().is_some() {
        let short = format!("{}…", start.trim_end());
        if width(&short, size, bold) <= room {
            return short;
        }
    }
    String::new()
}

const fn advance(letter: char) -> u32 {
    match letter {
        'i' | 'j' | 'l' | '\'' => 222,
        ' ' | '\u{a0}' | '.' | ',' | ':' | ';' | '/' | '!' | 'f' | 't' | 'I' | '|' => 278,
        'r' | '(' | ')' | '-' | '·' | '²' | '³' => 333,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
        'w' => 722,
        'm' => 833,
        '0'..='9' | 'a'..='z' | 'L' | '–' => 556,
        '+' | '=' | '<' | '>' | '−' | '±' | '×' => 584,
        'F' | 'T' | 'Z' => 611,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667,
        'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722,
        'G' | 'O' | 'Q' => 778,
        'M' => 833,
        '%' => 889,
        'W' => 944,
        // Anything else is taken as wide as the widest of the Latin letters and signs.
        _ => 1016,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Widths from the font's own tables: `oracles/text_widths.py`.
    #[test]
    fn no_letter_is_taken_narrower_than_the_embedded_typeface_draws_it() {
        let golden = include_str!("../../../../testdata/golden/text_widths.csv");
        for line in golden.lines().filter(|line| line.starts_with("U+")) {
            let (code, width) = line.split_once(',').unwrap();
            let code = u32::from_str_radix(&code[2..], 16).unwrap();
            let letter = char::from_u32(code).unwrap();
            let real: f64 = width.parse().unwrap();
            assert!(f64::from(advance(letter)) >= real - 1.0, "'{letter}': {real}");
        }
    }

    #[test]
    fn a_text_too_wide_keeps_its_start() {
        let room = width("best to beat", 13.0, false);
        assert_eq!(fitted("best to beat", 13.0, false, room), "best to beat");
        let short = fitted("best to beat of the whole camp", 13.0, false, room);
        assert!(short.starts_with("best") && short.ends_with('…'), "{short}");
        assert!(width(&short, 13.0, false) <= room);
        assert_eq!(fitted("anything", 13.0, false, 1.0), "");
    }
}
