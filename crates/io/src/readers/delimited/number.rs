//! Decimal numbers from bytes: a quick way for plain ones, the standard parser for the rest.

/// Powers of ten that a double holds exactly.
const EXACT_POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];
/// More digits than this could overflow the sum below.
const MOST_DIGITS: usize = 18;
/// Integers up to here are doubles exactly.
const EXACT_INTEGERS: u64 = 1 << 53;

/// A plain decimal (sign, digits, mark, digits) at the front of `bytes`, and how many bytes it
/// takes. `None` when there is none, or when it has too many digits to be sure of the last bit.
///
/// An integer below 2^53 and a power of ten up to 10^22 are exact doubles, so their quotient is
/// rounded once: it is the double nearest to the number as written, which is what the standard
/// parser returns (Clinger 1990, How to read floating point numbers accurately, PLDI).
#[inline]
pub(super) fn plain(bytes: &[u8], mark: u8) -> Option<(f64, usize)> {
    let signed = usize::from(matches!(bytes.first(), Some(b'-' | b'+')));
    let (whole, whole_digits) = digits(&bytes[signed..], 0);
    let mut length = signed + whole_digits;
    let (mut sum, mut fraction_digits) = (whole, 0);
    if bytes.get(length) == Some(&mark) {
        length += 1;
        (sum, fraction_digits) = digits(&bytes[length..], whole);
        length += fraction_digits;
    }
    let count = whole_digits + fraction_digits;
    if count == 0 || count > MOST_DIGITS || sum > EXACT_INTEGERS {
        return None;
    }
    let size = sum as f64 / EXACT_POWERS[fraction_digits];
    Some((if bytes[0] == b'-' { -size } else { size }, length))
}

/// Goes on with a sum of digits; the sum is meaningless after too many of them.
#[inline]
fn digits(bytes: &[u8], sum: u64) -> (u64, usize) {
    let mut sum = sum;
    for (count, byte) in bytes.iter().enumerate() {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return (sum, count);
        }
        sum = sum.wrapping_mul(10).wrapping_add(u64::from(digit));
    }
    (sum, bytes.len())
}

/// A whole cell as a finite number, blanks around it allowed. `None` when it is not one.
pub(super) fn parse(cell: &[u8], mark: u8) -> Option<f64> {
    let cell = cell.trim_ascii();
    if let Some((value, length)) = plain(cell, mark)
        && length == cell.len()
    {
        return Some(value);
    }
    let text = std::str::from_utf8(cell).ok()?;
    if mark == b'.' {
        return text.parse().ok().filter(|value: &f64| value.is_finite());
    }
    if text.contains('.') {
        return None;
    }
    let text = text.replacen(char::from(mark), ".", 1);
    text.parse().ok().filter(|value: &f64| value.is_finite())
}

/// Seconds of a time of day, `hours:minutes:seconds` or `minutes:seconds`.
pub(super) fn clock_s(cell: &[u8], mark: u8) -> Option<f64> {
    let mut parts = cell.trim_ascii().rsplit(|&byte| byte == b':');
    let seconds = parts.next().and_then(|part| parse(part, mark))?;
    let minutes = parts.next().and_then(|part| parse(part, mark))?;
    let hours = parts.next().map_or(Some(0.0), |part| parse(part, mark))?;
    let sexagesimal = |value: f64| (0.0..60.0).contains(&value);
    (parts.next().is_none() && sexagesimal(seconds) && sexagesimal(minutes) && hours >= 0.0)
        .then_some((hours * 60.0 + minutes) * 60.0 + seconds)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn times_of_day_are_seconds() {
        assert_eq!(clock_s(b"10:31:02.125", b'.'), Some(37_862.125));
        assert_eq!(clock_s(b"01:02,5", b','), Some(62.5));
        assert_eq!(clock_s(b"1:75", b'.'), None);
        assert_eq!(clock_s(b"12", b'.'), None);
    }

    #[test]
    fn what_is_not_a_finite_decimal_is_refused() {
        for cell in ["", "-", ".", "NaN", "inf", "1e999", "0x1p3", "1.2.3", "7 35", "12a", "1,2"] {
            assert_eq!(parse(cell.as_bytes(), b'.'), None, "{cell}");
        }
        for cell in ["1.5", "1.000,5", "1,2,3"] {
            assert_eq!(parse(cell.as_bytes(), b','), None, "{cell}");
        }
    }

    fn same(text: &str) {
        let standard: f64 = text.parse().unwrap();
        let ours = parse(text.as_bytes(), b'.').unwrap();
        assert_eq!(ours.to_bits(), standard.to_bits(), "{text}");
        let comma = parse(text.replace('.', ",").as_bytes(), b',').unwrap();
        assert_eq!(comma.to_bits(), standard.to_bits(), "{text} with a comma");
    }

    #[test]
    fn edges_of_the_quick_way_equal_the_standard_parser() {
        for text in [
            "0",
            "-0",
            "+0.0",
            "5.",
            ".5",
            "-.5",
            "9007199254740992",
            "9007199254740993",
            "9007199254740991.5",
            "0.000000000000000001",
            "123456789012345678",
            "1234567890123456789",
            "0.0022222222222222222",
            "1e5",
            "1E-5",
            "4.35",
            "0.3",
            "2.675",
            "000000000000000000000000001.5",
            "0.1000000000000000055511151231257827",
        ] {
            same(text);
        }
    }

    proptest! {
        #[test]
        fn plain_decimals_equal_the_standard_parser(
            text in "[+-]?[0-9]{1,12}(\\.[0-9]{0,14})?"
        ) {
            same(&text);
        }

        #[test]
        fn written_doubles_come_back(bits in any::<u64>()) {
            let value = f64::from_bits(bits);
            prop_assume!(value.is_finite());
            same(&value.to_string());
            same(&format!("{value:e}"));
        }

        #[test]
        fn forces_at_any_precision_equal_the_standard_parser(
            value in -30_000.0..30_000.0f64, decimals in 0usize..20
        ) {
            same(&format!("{value:.decimals$}"));
        }
    }
}
