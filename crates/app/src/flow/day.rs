//! A day and a clock time as they are typed into a form: one reader and one sentence each.

use jiff::civil::{Date, Time};

/// The day that was typed, for what it is the day of: "the weigh-in".
///
/// # Errors
/// A sentence with what was typed and how to type it.
pub fn typed(text: &str, of: &str) -> Result<Date, String> {
    let text = text.trim();
    text.parse().map_err(|_| format!("\"{text}\" is no day for {of}. Type it like 2026-09-23."))
}

/// A clock time as people write it: "19:30", "19.30", "7.30pm", "7 pm".
///
/// # Errors
/// A sentence with what was typed and how to type it.
pub fn time(text: &str) -> Result<Time, String> {
    let unreadable = || format!("\"{}\" is no time. Type it like 19:30.", text.trim());
    let plain = text.trim().to_ascii_lowercase();
    let (clock, half) = match (plain.strip_suffix("am"), plain.strip_suffix("pm")) {
        (Some(clock), _) => (clock, Some(0)),
        (_, Some(clock)) => (clock, Some(12)),
        _ => (plain.as_str(), None),
    };
    let (hour, minute) = match clock.trim().split_once([':', '.']) {
        Some((hour, minute)) if minute.len() >= 2 => (hour, minute),
        None if half.is_some() => (clock.trim(), "00"),
        _ => return Err(unreadable()),
    };
    // Seconds are passed on as a form sends them and carry nothing here.
    let minute = minute.strip_suffix(":00").unwrap_or(minute);
    if !hour.chars().chain(minute.chars()).all(|digit| digit.is_ascii_digit()) {
        return Err(unreadable());
    }
    let (hour, minute): (i8, i8) =
        hour.parse().ok().zip(minute.parse().ok()).ok_or_else(unreadable)?;
    let hour = match half {
        None => hour,
        Some(half) if (1..=12).contains(&hour) => hour % 12 + half,
        Some(_) => return Err(unreadable()),
    };
    Time::new(hour, minute, 0, 0).map_err(|_| unreadable())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time as clock};

    #[test]
    fn a_day_is_read_and_a_slip_is_told() {
        assert_eq!(typed(" 2028-02-29 ", "the bout"), Ok(date(2028, 2, 29)));
        let told = "\"2027-02-29\" is no day for the bout. Type it like 2026-09-23.";
        assert_eq!(typed("2027-02-29", "the bout").unwrap_err(), told);
        assert!(typed("", "the bout").is_err());
    }

    #[test]
    fn a_time_is_read_as_people_write_it() {
        let evening = ["19:30", " 7.30pm ", "19.30", "7:30 PM", "19:30:00"];
        for text in evening {
            assert_eq!(time(text), Ok(clock(19, 30, 0, 0)), "{text}");
        }
        let others = [("12.15am", 0, 15), ("12 pm", 12, 0), ("9:05", 9, 5), ("7am", 7, 0)];
        for (text, hour, minute) in others {
            assert_eq!(time(text), Ok(clock(hour, minute, 0, 0)), "{text}");
        }
        for text in ["", "19", "7.3", "24:00", "13pm", "0.30pm", "half seven", "19:60", "+7:30"] {
            assert!(time(text).is_err(), "{text}");
        }
    }
}
