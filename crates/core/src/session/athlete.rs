//! Who trains: athletes by a short unique code, because names repeat and nicknames change.

use crate::prescription::ramp::Experience;
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

/// One person who trains here.
#[derive(Clone, Debug, PartialEq)]
pub struct Athlete {
    /// Short unique code.
    pub id: AthleteId,
    /// Given name first, as called out on the floor.
    pub name: String,
    /// Sex, for priors and peers.
    pub sex: Sex,
    /// Age in whole years when entered; rules for juniors hang on it.
    pub age_years: u8,
    /// Stance.
    pub stance: Stance,
    /// Level in the trade's words: "amateur elite", "professional (8 x 3)".
    pub level: String,
}

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
    /// How used to loads: by age, else by what the level says. A level that says nothing is taken
    /// for that of a novice.
    pub fn experience(&self) -> Experience {
        let level = self.level.to_lowercase();
        let mut words = level.split(|letter: char| !letter.is_alphabetic());
        let new = words.any(|word| NEW_TO_LOADS.iter().any(|new| word.starts_with(new)));
        if self.is_junior() {
            Experience::Junior
        } else if new || level.trim().is_empty() {
            Experience::Novice
        } else {
            Experience::Trained
        }
    }
    /// Under eighteen.
    pub const fn is_junior(&self) -> bool {
        self.age_years < 18
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn experience_is_read_from_age_and_level() {
        let of = |age_years, level: &str| {
            Athlete {
                id: AthleteId::new("A01").unwrap(),
                name: "Orla".into(),
                sex: Sex::Female,
                age_years,
                stance: Stance::Orthodox,
                level: level.into(),
            }
            .experience()
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
