//! Why no change is claimed, each reason with what to do.

/// Why no change is claimed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ChangeError {
    /// Nothing to compare.
    #[error("A change needs a test day before the block and one after it; days so far: {found}.")]
    TooFewDays {
        /// Days found.
        found: usize,
    },
    /// No day at or before the start of the block.
    #[error(
        "No test on or before the day the block began: there is nothing to compare today with."
    )]
    NoBaseline,
    /// No day after the start of the block.
    #[error("No test since the day the block began: test first, then compare.")]
    NothingSince,
    /// Earlier days were measured another way.
    #[error(
        "No change is claimed: {name} was {earlier} before and {now} now. Test again the old way, or enter the known offset between the two."
    )]
    UnlikeConditions {
        /// Name of the condition.
        name: String,
        /// Its value before.
        earlier: String,
        /// Its value today.
        now: String,
    },
    /// Today's test may not be compared.
    #[error("No change is claimed: today's test is not comparable because {reason}.")]
    NotComparable {
        /// Why, in words that follow "because".
        reason: String,
    },
    /// Nothing is known of the noise and too few days are left to show it.
    #[error(
        "{days} comparable days cannot show how much this test strays: give its typical error, or \
         test on more days."
    )]
    NoiseUnknown {
        /// Comparable days found.
        days: usize,
    },
    /// The noise is no positive number.
    #[error(
        "The typical error is {typical_error}: it must be above zero. Repeats that agree exactly are copied or rounded."
    )]
    NoNoise {
        /// As given.
        typical_error: f64,
    },
    /// A value or setting is not a usable number.
    #[error("{what} is not a usable number.")]
    NotANumber {
        /// Which.
        what: &'static str,
    },
}
