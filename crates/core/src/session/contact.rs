//! The time on the ground of a rep: against the window the exercise has, else against what was
//! usual off the same box before.

use crate::exercise::Span;
use crate::stats::mean::mean;

/// A time within this share of the usual one counts as usual: about the typical error of contact
/// times between repetitions (common practice, no source).
const AS_USUAL: f64 = 0.10;
/// Fewest times that make something usual.
const FEWEST: usize = 3;
/// The latest this many count.
const LATEST: usize = 20;

/// What a time on the ground is, each with a word and a shape of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContactVerdict {
    /// Inside the exercise's window.
    InWindow,
    /// Over its upper edge.
    TooLong,
    /// Under its lower edge.
    TooShort,
    /// Like those before.
    Usual,
    /// Longer than those before.
    Longer,
    /// Shorter than those before.
    Shorter,
    /// Nothing to compare with yet.
    First,
}

impl ContactVerdict {
    /// The words beside the time.
    pub const fn words(self) -> &'static str {
        match self {
            Self::InWindow => "in the window",
            Self::TooLong => "too long",
            Self::TooShort => "too short",
            Self::Usual => "as usual",
            Self::Longer => "longer than usual",
            Self::Shorter => "shorter than usual",
            Self::First => "first",
        }
    }
    /// The shape beside the words.
    pub const fn shape(self) -> &'static str {
        match self {
            Self::InWindow => "●",
            Self::TooLong => "▼",
            Self::TooShort => "▲",
            Self::Usual => "◐",
            Self::Longer => "▽",
            Self::Shorter => "△",
            Self::First => "○",
        }
    }
}

/// A time on the ground with what it was held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactJudgement {
    /// The verdict.
    pub verdict: ContactVerdict,
    /// The usual time or the edge it missed, in seconds; absent where there is neither.
    pub against_s: Option<f64>,
}

/// Judges a time on the ground, in seconds, by the exercise's window where it has one, else by the
/// mean of the latest times before it.
pub fn judge_contact(seconds: f64, window: Option<Span<f64>>, before: &[f64]) -> ContactJudgement {
    let held = |verdict, against| ContactJudgement { verdict, against_s: Some(against) };
    if let Some(window) = window {
        return match seconds {
            _ if seconds > window.high => held(ContactVerdict::TooLong, window.high),
            _ if seconds < window.low => held(ContactVerdict::TooShort, window.low),
            _ => ContactJudgement { verdict: ContactVerdict::InWindow, against_s: None },
        };
    }
    let latest = &before[before.len().saturating_sub(LATEST)..];
    if latest.len() < FEWEST {
        return ContactJudgement { verdict: ContactVerdict::First, against_s: None };
    }
    let usual = mean(latest);
    match seconds / usual - 1.0 {
        share if share > AS_USUAL => held(ContactVerdict::Longer, usual),
        share if share < -AS_USUAL => held(ContactVerdict::Shorter, usual),
        _ => held(ContactVerdict::Usual, usual),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_window_of_the_exercise_comes_first() {
        let window = Some(Span { low: 0.10, high: 0.25 });
        let verdict = |seconds| judge_contact(seconds, window, &[0.30; 5]).verdict;
        assert_eq!(verdict(0.25), ContactVerdict::InWindow);
        assert_eq!(verdict(0.26), ContactVerdict::TooLong);
        assert_eq!(verdict(0.09), ContactVerdict::TooShort);
    }

    #[test]
    fn without_one_the_own_times_say_what_is_usual() {
        // Mean 0.40 s: usual from 0.36 to 0.44 s.
        let before = [0.38, 0.40, 0.42];
        let judged = |seconds| judge_contact(seconds, None, &before);
        assert_eq!(judged(0.43).verdict, ContactVerdict::Usual);
        assert_eq!(judged(0.45).verdict, ContactVerdict::Longer);
        assert_eq!(judged(0.35).verdict, ContactVerdict::Shorter);
        assert!((judged(0.45).against_s.unwrap() - 0.40).abs() < 1e-12);
        assert_eq!(judge_contact(0.45, None, &before[..2]).verdict, ContactVerdict::First);
    }

    #[test]
    fn only_the_latest_times_are_usual() {
        let before: Vec<f64> = [0.30; 20].into_iter().chain([0.40; 20]).collect();
        assert_eq!(judge_contact(0.41, None, &before).verdict, ContactVerdict::Usual);
    }
}
