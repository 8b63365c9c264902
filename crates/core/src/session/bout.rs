//! The date everything counts back from.

use crate::session::athlete::AthleteId;
use jiff::civil::Date;

/// A bout or a tournament's first bout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bout {
    /// Stable short name, unique: "harbour-open".
    pub id: String,
    /// Name as said: "Harbour Open".
    pub name: String,
    /// Date at the venue.
    pub date: Date,
    /// Who boxes there.
    pub athletes: Vec<AthleteId>,
}

impl Bout {
    /// Whole days from a date to the bout; negative when it is past.
    pub fn days_from(&self, today: Date) -> i32 {
        // Both dates are civil, so a day is a day whatever the clocks did in between.
        (self.date - today).get_days()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_count_across_the_end_of_summer_time_and_a_leap_day() {
        let bout = |date| Bout { id: "x".into(), name: "x".into(), date, athletes: vec![] };
        // Closed form: 23 September to 17 October is 7 + 17 days.
        assert_eq!(bout(date(2026, 10, 17)).days_from(date(2026, 9, 23)), 24);
        // Clocks go back on 25 October 2026 in Europe; civil days do not notice.
        assert_eq!(bout(date(2026, 11, 21)).days_from(date(2026, 9, 23)), 59);
        // 2028 is a leap year: 28 February to 1 March is two days.
        assert_eq!(bout(date(2028, 3, 1)).days_from(date(2028, 2, 28)), 2);
        assert_eq!(bout(date(2026, 9, 20)).days_from(date(2026, 9, 23)), -3);
    }
}
