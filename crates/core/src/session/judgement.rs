//! A rep against its target and the best to beat: one word, one shape, one difference.

use crate::exercise::Direction;
use crate::session::evening::Target;
use crate::session::rep::{Method, Seen};

/// What a rep is worth, each with a word and a shape of its own so that colour is never needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Beats every earlier rep at this load and side.
    Best,
    /// Meets the target.
    OnTarget,
    /// Beyond the upper edge of the window: time for more load.
    Over,
    /// Misses the target.
    Short,
    /// Clearly under the best, no target set.
    Under,
    /// Near the best, no target set.
    Near,
    /// Nothing to compare with yet.
    First,
    /// Done without a number.
    Done,
    /// Not measured, rated by eye.
    ByEye(Seen),
    /// Has a number that is not used, because it was set aside or a fault spoils it.
    NotCounted,
}

impl Verdict {
    /// The word beside the number.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Best => "new best",
            Self::OnTarget => "on target",
            Self::Over => "over",
            Self::Short => "short",
            Self::Under => "under best",
            Self::Near => "near best",
            Self::First => "first",
            Self::Done => "done",
            Self::ByEye(Seen::Fast) => "fast, by eye",
            Self::ByEye(Seen::AsWanted) => "as wanted, by eye",
            Self::ByEye(Seen::Slow) => "slow, by eye",
            Self::NotCounted => "not counted",
        }
    }
    /// The shape beside the word.
    pub const fn shape(self) -> &'static str {
        match self {
            Self::Best => "◆",
            Self::OnTarget | Self::ByEye(Seen::AsWanted) => "●",
            Self::Over | Self::ByEye(Seen::Fast) => "▲",
            Self::Short | Self::ByEye(Seen::Slow) => "▼",
            Self::Under => "▽",
            Self::Near => "◐",
            Self::First => "○",
            Self::Done | Self::NotCounted => "–",
        }
    }
}

impl Verdict {
    /// What a rep without a number is worth, by how it was taken.
    pub const fn without_number(method: Method) -> Self {
        match method {
            Method::ByEye(seen) => Self::ByEye(seen),
            _ => Self::Done,
        }
    }
}

/// What a rep was held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Against {
    /// The best so far.
    Best(f64),
    /// The least it should be.
    Floor(f64),
    /// Upper edge of the window.
    Ceiling(f64),
}

/// A verdict with its difference, in SI units of the measure; positive is better.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judgement {
    /// The verdict.
    pub verdict: Verdict,
    /// What it was held against, where there was something.
    pub against: Option<Against>,
    /// Value minus what it was held against, with the sign turned where lower is better.
    pub difference: Option<f64>,
}

/// What is known when a rep is judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standard {
    /// Target, if one is set.
    pub target: Option<Target>,
    /// Best earlier value at the same load, side, box and method.
    pub best: Option<f64>,
    /// Which way is better.
    pub direction: Direction,
}

/// A rep this close under its best counts as near it: 3 %, about the typical error of a jump or
/// a throw (coefficient of variation 2.4 to 4.6 % in jump tests: Markovic 2004, J Strength Cond
/// Res 18:551). A convention for one word on a screen, not a test of change.
const NEAR_BEST: f64 = 0.03;

/// Judges one value.
pub fn judge(value: f64, standard: &Standard) -> Judgement {
    let sign = match standard.direction {
        Direction::HigherIsBetter => 1.0,
        Direction::LowerIsBetter => -1.0,
    };
    let held = |verdict, against: Against| {
        let (Against::Best(reference) | Against::Floor(reference) | Against::Ceiling(reference)) =
            against;
        Judgement { verdict, against: Some(against), difference: Some(sign * (value - reference)) }
    };
    if let Some(Target::Window { low, high }) = standard.target {
        return match value {
            _ if value < low => held(Verdict::Short, Against::Floor(low)),
            _ if value > high => held(Verdict::Over, Against::Ceiling(high)),
            _ => Judgement { verdict: Verdict::OnTarget, against: None, difference: None },
        };
    }
    if let Some(best) = standard.best
        && sign * (value - best) > 0.0
    {
        return held(Verdict::Best, Against::Best(best));
    }
    if let Some(Target::AtLeast(floor)) = standard.target {
        let met = sign * (value - floor) >= 0.0;
        let verdict = if met { Verdict::OnTarget } else { Verdict::Short };
        return held(verdict, Against::Floor(floor));
    }
    match standard.best {
        None => Judgement { verdict: Verdict::First, against: None, difference: None },
        Some(best) if sign * (value - best) >= -NEAR_BEST * best.abs() => {
            held(Verdict::Near, Against::Best(best))
        }
        Some(best) => held(Verdict::Under, Against::Best(best)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn standard(target: Option<Target>, best: Option<f64>) -> Standard {
        Standard { target, best, direction: Direction::HigherIsBetter }
    }

    #[test]
    fn a_throw_above_the_best_is_a_best_even_with_a_floor() {
        let judged = judge(3.44, &standard(Some(Target::AtLeast(3.25)), Some(3.38)));
        assert_eq!(judged.verdict, Verdict::Best);
        assert!((judged.difference.unwrap() - 0.06).abs() < 1e-12);
    }

    #[test]
    fn a_window_is_judged_by_its_edges_and_never_by_the_best() {
        let window = standard(Some(Target::Window { low: 1.6, high: 1.8 }), Some(1.5));
        assert_eq!(judge(1.59, &window).verdict, Verdict::Short);
        assert_eq!(judge(1.60, &window).verdict, Verdict::OnTarget);
        assert_eq!(judge(1.80, &window).verdict, Verdict::OnTarget);
        let over = judge(1.93, &window);
        assert_eq!(over.verdict, Verdict::Over);
        assert!((over.difference.unwrap() - 0.13).abs() < 1e-12);
    }

    #[test]
    fn shorter_contact_is_better_when_lower_is() {
        let lower =
            Standard { target: None, best: Some(0.25), direction: Direction::LowerIsBetter };
        let judged = judge(0.24, &lower);
        assert_eq!(judged.verdict, Verdict::Best);
        assert!((judged.difference.unwrap() - 0.01).abs() < 1e-12);
        assert_eq!(judge(0.30, &lower).verdict, Verdict::Under);
    }

    #[test]
    fn words_and_shapes_tell_verdicts_apart_without_colour() {
        let judged = [
            Verdict::Best,
            Verdict::OnTarget,
            Verdict::Over,
            Verdict::Short,
            Verdict::Under,
            Verdict::Near,
            Verdict::First,
        ];
        for (i, one) in judged.iter().enumerate() {
            for other in &judged[i + 1..] {
                assert_ne!(one.shape(), other.shape());
                assert_ne!(one.word(), other.word());
            }
        }
    }
}
