//! From three probabilities to one word, by a table anyone can read.

use std::fmt;

/// Probabilities that a true change rose or fell by more than matters, or did neither.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odds {
    /// Rose by more than the smallest change that matters.
    pub rise: f64,
    /// Neither.
    pub no_matter: f64,
    /// Fell by more than the smallest change that matters.
    pub fall: f64,
}

/// Which way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Upwards.
    Up,
    /// Downwards.
    Down,
}

/// How sure a direction is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sureness {
    /// From three in five.
    Maybe,
    /// From four in five.
    Likely,
    /// From nineteen in twenty.
    AlmostSure,
}

/// The word for a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// A direction with its sureness.
    Moved(Direction, Sureness),
    /// At least three in five that nothing that matters happened.
    MostlyUnchanged,
    /// Nothing is that sure; leaning where a direction is likelier than not.
    CannotTell(Option<Direction>),
}

/// Lowest probability of a direction for each word, strongest first. Common practice, no source:
/// round numbers, stated so that they can be argued with.
pub const WORDS: [(f64, Sureness); 3] =
    [(0.95, Sureness::AlmostSure), (0.80, Sureness::Likely), (0.60, Sureness::Maybe)];

/// Lowest probability of no change that matters for 'mostly unchanged'.
pub const MOSTLY_UNCHANGED: f64 = 0.60;

/// Lowest probability of a direction for 'leaning'.
const LEANING: f64 = 0.50;

impl Odds {
    /// The word these odds earn.
    pub fn verdict(&self) -> Verdict {
        let (direction, odds) = self.likelier_direction();
        if self.no_matter >= MOSTLY_UNCHANGED {
            return Verdict::MostlyUnchanged;
        }
        match WORDS.iter().find(|(from, _)| odds >= *from) {
            Some(&(_, sureness)) => Verdict::Moved(direction, sureness),
            None => Verdict::CannotTell((odds >= LEANING).then_some(direction)),
        }
    }
    /// The likelier of rise and fall with its probability.
    pub fn likelier_direction(&self) -> (Direction, f64) {
        if self.rise >= self.fall {
            (Direction::Up, self.rise)
        } else {
            (Direction::Down, self.fall)
        }
    }
}

impl fmt::Display for Direction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Up => "up",
            Self::Down => "down",
        })
    }
}

impl fmt::Display for Sureness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Maybe => "maybe",
            Self::Likely => "likely",
            Self::AlmostSure => "almost sure",
        })
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Moved(direction, sureness) => write!(f, "{sureness} {direction}"),
            Self::MostlyUnchanged => f.write_str("mostly unchanged"),
            Self::CannotTell(None) => f.write_str("can't tell"),
            Self::CannotTell(Some(direction)) => write!(f, "can't tell, leaning {direction}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn word(rise: f64, fall: f64) -> String {
        Odds { rise, no_matter: 1.0 - rise - fall, fall }.verdict().to_string()
    }

    #[test]
    fn each_word_begins_at_its_line() {
        // The table above, at its edges.
        assert_eq!(word(0.95, 0.0), "almost sure up");
        assert_eq!(word(0.949, 0.0), "likely up");
        assert_eq!(word(0.0, 0.80), "likely down");
        assert_eq!(word(0.60, 0.05), "maybe up");
        assert_eq!(word(0.0, 0.53), "can't tell, leaning down");
        assert_eq!(word(0.47, 0.08), "can't tell");
        assert_eq!(word(0.26, 0.11), "mostly unchanged");
    }
}
