//! A day as it is typed into a form: one reader, one sentence.

use jiff::civil::Date;

/// The day that was typed, for what it is the day of: "the weigh-in".
///
/// # Errors
/// A sentence with what was typed and how to type it.
pub fn typed(text: &str, of: &str) -> Result<Date, String> {
    let text = text.trim();
    text.parse().map_err(|_| format!("\"{text}\" is no day for {of}. Type it like 2026-09-23."))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_day_is_read_and_a_slip_is_told() {
        assert_eq!(typed(" 2028-02-29 ", "the bout"), Ok(date(2028, 2, 29)));
        let told = "\"2027-02-29\" is no day for the bout. Type it like 2026-09-23.";
        assert_eq!(typed("2027-02-29", "the bout").unwrap_err(), told);
        assert!(typed("", "the bout").is_err());
    }
}
