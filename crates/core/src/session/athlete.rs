//! Who trains: athletes by a short unique code, because names repeat and nicknames change.

use crate::prescription::ramp::Experience;
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeSet;
use std::fmt;

/// Short unique code of an athlete, shown beside the name: "A04".
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AthleteId(String);

impl AthleteId {
    /// A code from text, trimmed and in capitals; `None` when empty, longer than eight characters
    /// or with anything but letters and digits.
    pub fn new(text: &str) -> Option<Self> {
        let code = text.trim().to_ascii_uppercase();
        let fits = (1..=8).contains(&code.len())
            && code.chars().all(|character| character.is_ascii_alphanumeric());
        fits.then_some(Self(code))
    }
    /// The code as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for AthleteId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Sex as it matters for comparison with peers and for priors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sex {
    /// Female.
    Female,
    /// Male.
    Male,
}

/// How a boxer stands: decides which hand is the lead hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stance {
    /// Left hand leads.
    Orthodox,
    /// Right hand leads.
    Southpaw,
}

/// What is known of when somebody was born.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Born {
    /// On this day.
    On(Date),
    /// The birthday is not known: so many whole years old on a day.
    Aged {
        /// Whole years.
        years: u8,
        /// The day they were told.
        on: Date,
    },
}

impl Born {
    /// Age in whole years on a day; before the birth 0. Where the birthday is not known, it is
    /// taken for the latest it can be, so that nobody is taken for an adult too early. Born on
    /// 29 February, they are a year older on 1 March where there is no such day.
    pub fn age_years(self, on: Date) -> u8 {
        let born = match self {
            Self::On(born) => born,
            Self::Aged { years, on } => on.saturating_sub(i64::from(years).years()),
        };
        let had_birthday = (on.month(), on.day()) >= (born.month(), born.day());
        let years = i32::from(on.year()) - i32::from(born.year()) - i32::from(!had_birthday);
        u8::try_from(years.max(0)).unwrap_or(u8::MAX)
    }

    /// The date of birth, where it is known.
    pub const fn date(self) -> Option<Date> {
        match self {
            Self::On(date) => Some(date),
            Self::Aged { .. } => None,
        }
    }
}

/// The age of majority: whoever is younger is a junior, for whom a guardian speaks.
pub const ADULT_YEARS: u8 = 18;

/// One person who trains here.
#[derive(Clone, Debug, PartialEq)]
pub struct Athlete {
    /// Short unique code.
    pub id: AthleteId,
    /// Given name first, as called out on the floor.
    pub name: String,
    /// Sex, for priors and peers.
    pub sex: Sex,
    /// When they were born, as far as that is known; rules for juniors hang on it.
    pub born: Born,
    /// Stance.
    pub stance: Stance,
    /// Level in the trade's words: one of [`LEVELS`], or "professional (8 x 3)".
    pub level: String,
}

/// The levels a form offers; a gym may write its own.
pub const LEVELS: [&str; 4] = ["novice", "amateur", "amateur elite", "professional"];

/// How words begin that say somebody is new to training with loads.
const NEW_TO_LOADS: [&str; 10] = [
    "novice",
    "beginner",
    "recreation",
    "learner",
    "starter",
    "youth",
    "junior",
    "schoolboy",
    "schoolgirl",
    "cadet",
];

impl Athlete {
    /// The name called across a gym.
    pub fn given_name(&self) -> &str {
        self.name.split_whitespace().next().unwrap_or(&self.name)
    }
    /// How used to loads on a day: by age, else by what the level says. A level that says nothing is taken
    /// for that of a novice.
    pub fn experience(&self, on: Date) -> Experience {
        let level = self.level.to_lowercase();
        let mut words = level.split(|letter: char| !letter.is_alphabetic());
        let new = words.any(|word| NEW_TO_LOADS.iter().any(|new| word.starts_with(new)));
        if self.is_junior(on) {
            Experience::Junior
        } else if new || level.trim().is_empty() {
            Experience::Novice
        } else {
            Experience::Trained
        }
    }
    /// Age in whole years on a day, by [`Born::age_years`].
    pub fn age_years(&self, on: Date) -> u8 {
        self.born.age_years(on)
    }
    /// Under eighteen on a day.
    pub fn is_junior(&self, on: Date) -> bool {
        self.age_years(on) < ADULT_YEARS
    }
}

/// The next free code of a gym: A01 to A99, then B01 and on.
pub fn next_code<'a>(taken: impl Iterator<Item = &'a AthleteId>) -> Option<AthleteId> {
    let taken: BTreeSet<&str> = taken.map(AthleteId::as_str).collect();
    let mut codes =
        ('A'..='Z').flat_map(|row| (1..=99).map(move |place| format!("{row}{place:02}")));
    codes.find(|code| !taken.contains(code.as_str())).and_then(|code| AthleteId::new(&code))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    // Counted on a calendar: 17 until the evening before the birthday, 18 on the day.
    #[test]
    fn a_junior_turns_adult_on_the_birthday() {
        let born = Born::On(date(2008, 12, 1));
        let ages = [date(2026, 11, 30), date(2026, 12, 1), date(2027, 11, 30), date(2008, 11, 1)];
        assert_eq!(ages.map(|on| born.age_years(on)), [17, 18, 18, 0]);
    }

    #[test]
    fn born_on_a_leap_day_they_wait_for_the_first_of_march() {
        let born = Born::On(date(2008, 2, 29));
        let ages = [date(2026, 2, 28), date(2026, 3, 1), date(2028, 2, 28), date(2028, 2, 29)];
        assert_eq!(ages.map(|on| born.age_years(on)), [17, 18, 19, 20]);
    }

    // Seventeen on 10 March 2026, they were 17 at any time in the year before: the eighteenth
    // birthday lies between 11 March 2026 and 10 March 2027.
    #[test]
    fn without_a_birthday_the_latest_possible_counts() {
        let born = Born::Aged { years: 17, on: date(2026, 3, 10) };
        let days = [date(2026, 3, 10), date(2027, 3, 9), date(2027, 3, 10)];
        assert_eq!(days.map(|on| born.age_years(on)), [17, 17, 18]);
        assert_eq!(born.date(), None);
    }

    #[test]
    fn the_next_code_is_the_first_that_is_free() {
        let codes = |codes: &[&str]| {
            let taken: Vec<_> = codes.iter().filter_map(|code| AthleteId::new(code)).collect();
            next_code(taken.iter()).unwrap().to_string()
        };
        assert_eq!(codes(&[]), "A01");
        assert_eq!(codes(&["A01", "A03", "JMP"]), "A02");
        let row: Vec<String> = (1..=99).map(|place| format!("A{place:02}")).collect();
        assert_eq!(codes(&row.iter().map(String::as_str).collect::<Vec<_>>()), "B01");
    }

    #[test]
    fn experience_is_read_from_age_and_level() {
        let today = date(2026, 9, 23);
        let of = |years, level: &str| {
            Athlete {
                id: AthleteId::new("A01").unwrap(),
                name: "Orla".into(),
                sex: Sex::Female,
                born: Born::Aged { years, on: today },
                stance: Stance::Orthodox,
                level: level.into(),
            }
            .experience(today)
        };
        for trained in ["amateur elite", "professional (8 x 3)", "professional debut (4 x 2)"] {
            assert_eq!(of(24, trained), Experience::Trained, "{trained}");
            assert_eq!(of(17, trained), Experience::Junior, "{trained}");
        }
        for novice in ["Novice", "amateur, beginners' class", "junior/youth", " ", ""] {
            assert_eq!(of(24, novice), Experience::Novice, "{novice}");
        }
    }
}
