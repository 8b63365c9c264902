//! Small words that pages, papers and sentences share.

use crate::units::Mass;
use jiff::civil::Date;
use std::fmt;

/// The words with their first letter as a capital: "can't tell" as "Can't tell".
pub fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A number with what it counts: "1 day", "2 days". For words that take an s.
pub fn counted<N: Copy + fmt::Display + PartialEq + From<u8>>(count: N, one: &str) -> String {
    if count == N::from(1) { format!("1 {one}") } else { format!("{count} {one}s") }
}

/// A load as it is called out: "40 kg", "37.5 kg".
pub fn kilograms(mass: Mass) -> String {
    let number = format!("{:.1}", mass.in_kilograms());
    format!("{} kg", number.trim_end_matches(".0"))
}

/// A place in a row: "1st", "22nd", "13th".
pub fn ordinal(place: u32) -> String {
    let ending = match (place % 10, place % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{place}{ending}")
}

/// Where a place among a hundred may lie: "anywhere from the 64th percentile up".
pub fn anywhere_between(low_percentile: f64, high_percentile: f64) -> String {
    // Nobody is at the hundredth: the ends of the scale need no name.
    let at = |percentile: f64| ordinal(percentile.round().clamp(0.0, 100.0) as u32);
    match (low_percentile.round() <= 1.0, high_percentile.round() >= 99.0) {
        (true, true) => "could be anywhere".to_owned(),
        (false, true) => format!("anywhere from the {} percentile up", at(low_percentile)),
        (true, false) => format!("anywhere up to the {} percentile", at(high_percentile)),
        (false, false) => {
            format!(
                "anywhere from the {} to the {} percentile",
                at(low_percentile),
                at(high_percentile)
            )
        }
    }
}

/// A day near enough to need no year: "14 September".
pub fn day(date: Date) -> String {
    date.strftime("%-d %B").to_string()
}

/// The same with its weekday: "Monday 14 September".
pub fn weekday_and_day(date: Date) -> String {
    date.strftime("%A %-d %B").to_string()
}

/// A day that may be long ago or far off: "14 September 2026".
pub fn day_and_year(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// A day in a narrow column: "14 Sep".
pub fn short_day(date: Date) -> String {
    date.strftime("%-d %b").to_string()
}

/// The same where years mix: "14 Sep 2026".
pub fn short_day_and_year(date: Date) -> String {
    date.strftime("%-d %b %Y").to_string()
}

/// The same with its weekday: "Mon 14 Sep".
pub fn short_weekday_and_day(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

/// The same where years mix: "Mon 14 Sep 2026".
pub fn weekday_day_and_year(date: Date) -> String {
    date.strftime("%a %-d %b %Y").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    // 14 September 2026 is a Monday: ISO week 38 of 2026 begins with it.
    #[test]
    fn a_day_is_said_in_seven_ways() {
        let date = jiff::civil::date(2026, 9, 4).saturating_add(jiff::Span::new().days(10));
        let said = [day, weekday_and_day, day_and_year, short_day, short_day_and_year];
        assert_eq!(
            said.map(|way| way(date)),
            ["14 September", "Monday 14 September", "14 September 2026", "14 Sep", "14 Sep 2026"]
        );
        assert_eq!(short_weekday_and_day(date), "Mon 14 Sep");
        assert_eq!(weekday_day_and_year(date), "Mon 14 Sep 2026");
    }

    #[test]
    fn a_place_has_its_ending() {
        let said = [1, 2, 3, 4, 11, 12, 13, 21, 22, 33, 101, 111].map(ordinal);
        let expected = [
            "1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "22nd", "33rd", "101st",
            "111th",
        ];
        assert_eq!(said, expected);
        assert_eq!(anywhere_between(64.2, 99.6), "anywhere from the 64th percentile up");
        assert_eq!(anywhere_between(0.3, 42.0), "anywhere up to the 42nd percentile");
        assert_eq!(anywhere_between(36.0, 91.0), "anywhere from the 36th to the 91st percentile");
        assert_eq!(anywhere_between(0.0, 100.0), "could be anywhere");
    }

    #[test]
    fn a_load_has_no_idle_nought() {
        let said = [40.0, 37.5, 100.0, 0.04].map(|kg| kilograms(Mass::kilograms(kg)));
        assert_eq!(said, ["40 kg", "37.5 kg", "100 kg", "0 kg"]);
    }

    #[test]
    fn one_is_not_several() {
        let said = [0, 1, 2].map(|days| counted(days, "day"));
        assert_eq!(said, ["0 days", "1 day", "2 days"]);
    }

    #[test]
    fn only_the_first_letter_changes() {
        assert_eq!(capitalised("can't tell"), "Can't tell");
        assert_eq!(capitalised("éa B"), "Éa B");
        assert_eq!(capitalised("ßa"), "SSa", "Unicode: the capital of ß is two letters");
        assert_eq!(capitalised(""), "");
    }
}
