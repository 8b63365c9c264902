//! A rep against its target and the best to beat: one word, one shape, one difference.

use crate::estimate::Interval;
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
    /// Above what the athlete's own curve expects of a load first jumped tonight.
    Above,
    /// Within the band of that curve.
    AsExpected,
    /// Below it.
    Below,
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
            Self::Above => "above the curve",
            Self::AsExpected => "as expected",
            Self::Below => "below the curve",
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
            Self::Above => "△",
            Self::AsExpected => "◎",
            Self::Below => "◇",
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
    /// What the athlete's own curve expects.
    Curve(Expected),
    /// The least it should be.
    Floor(f64),
    /// Upper edge of the window.
    Ceiling(f64),
}

/// What the athlete's own curve of the days before expects of one rep, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// The middle.
    pub value: f64,
    /// Where nine reps in ten would lie, what is not known of the curve included.
    pub band: Interval<f64>,
}

/// From when the best comparable number is: a best is claimed like for like only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparable {
    /// There is one of an earlier day.
    EarlierDay,
    /// Of this day only, and one from a set before this one.
    EarlierSet,
    /// Of this set only, or none.
    No,
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
    /// From when there are such values.
    pub comparable: Comparable,
    /// What the own curve expects here, where there is one.
    pub curve: Option<Expected>,
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
        let (Against::Best(reference)
        | Against::Floor(reference)
        | Against::Ceiling(reference)
        | Against::Curve(Expected { value: reference, .. })) = against;
        Judgement { verdict, against: Some(against), difference: Some(sign * (value - reference)) }
    };
    if let Some(Target::Window { low, high }) = standard.target {
        return match value {
            _ if value < low => held(Verdict::Short, Against::Floor(low)),
            _ if value > high => held(Verdict::Over, Against::Ceiling(high)),
            _ => Judgement { verdict: Verdict::OnTarget, against: None, difference: None },
        };
    }
    let beaten = standard.best.filter(|best| sign * (value - best) > 0.0);
    let beaten = beaten.filter(|_| standard.comparable != Comparable::No);
    if let Some(curve) = standard.curve
        && let verdict = against_curve(value, &curve, sign)
        && (standard.comparable != Comparable::EarlierDay
            || (beaten.is_some() && verdict == Verdict::Below))
    {
        return held(verdict, Against::Curve(curve));
    }
    if let Some(best) = beaten {
        return held(Verdict::Best, Against::Best(best));
    }
    if let Some(Target::AtLeast(floor)) = standard.target {
        let met = sign * (value - floor) >= 0.0;
        let verdict = if met { Verdict::OnTarget } else { Verdict::Short };
        return held(verdict, Against::Floor(floor));
    }
    let first = || Judgement { verdict: Verdict::First, against: None, difference: None };
    match standard.best {
        None => first(),
        // More than the rep before it in the first set there is: nothing to celebrate yet.
        Some(best) if sign * (value - best) > 0.0 => first(),
        Some(best) if sign * (value - best) >= -NEAR_BEST * best.abs() => {
            held(Verdict::Near, Against::Best(best))
        }
        Some(best) => held(Verdict::Under, Against::Best(best)),
    }
}

/// A load first jumped tonight has nothing like it to be held against but the own curve. For one
/// load momentum rises with height, so the band of heights judges both.
fn against_curve(value: f64, curve: &Expected, sign: f64) -> Verdict {
    if curve.band.contains(value) {
        Verdict::AsExpected
    } else if sign * (value - curve.value) > 0.0 {
        Verdict::Above
    } else {
        Verdict::Below
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn standard(target: Option<Target>, best: Option<f64>) -> Standard {
        Standard {
            target,
            best,
            comparable: Comparable::EarlierDay,
            curve: None,
            direction: Direction::HigherIsBetter,
        }
    }

    /// 20.0 cm expected at a load first jumped tonight, nine in ten between 18.5 and 21.5 cm.
    fn on_curve(best: Option<f64>, comparable: Comparable) -> Standard {
        let curve = Expected { value: 0.200, band: Interval::between(0.185, 0.215) };
        Standard { comparable, curve: Some(curve), ..standard(None, best) }
    }

    #[test]
    fn a_load_first_jumped_tonight_is_judged_by_the_curve() {
        let judged = judge(0.181, &on_curve(None, Comparable::No));
        assert_eq!(judged.verdict, Verdict::Below);
        assert!((judged.difference.unwrap() + 0.019).abs() < 1e-12);
        // More than the first, and still under the curve: no best.
        let second = judge(0.184, &on_curve(Some(0.181), Comparable::No));
        assert_eq!(second.verdict, Verdict::Below);
        let within = judge(0.192, &on_curve(Some(0.181), Comparable::No));
        assert_eq!(within.verdict, Verdict::AsExpected);
        let above = judge(0.221, &on_curve(Some(0.192), Comparable::EarlierSet));
        assert_eq!(above.verdict, Verdict::Above);
        assert!((above.difference.unwrap() - 0.021).abs() < 1e-12);
    }

    #[test]
    fn a_best_is_claimed_like_for_like_and_never_under_the_curve() {
        let earlier = on_curve(Some(0.190), Comparable::EarlierDay);
        assert_eq!(judge(0.195, &earlier).verdict, Verdict::Best);
        assert_eq!(judge(0.189, &earlier).verdict, Verdict::Near);
        let poor = on_curve(Some(0.170), Comparable::EarlierDay);
        assert_eq!(judge(0.180, &poor).verdict, Verdict::Below);
        // Without a curve: the first set has nothing before it, a later one has the first.
        let first_set = Standard { comparable: Comparable::No, ..standard(None, Some(0.181)) };
        assert_eq!(judge(0.192, &first_set).verdict, Verdict::First);
        assert_eq!(judge(0.150, &first_set).verdict, Verdict::Under);
        let later = Standard { comparable: Comparable::EarlierSet, ..first_set };
        assert_eq!(judge(0.192, &later).verdict, Verdict::Best);
    }

    proptest! {
        /// Whatever stands before, what lies under the band of the curve is no best.
        #[test]
        fn nothing_under_the_curve_is_celebrated(
            value in 0.05..0.60_f64, best in proptest::option::of(0.05..0.60_f64), day in 0..3_usize,
        ) {
            let comparable = [Comparable::EarlierDay, Comparable::EarlierSet, Comparable::No][day];
            let judged = judge(value, &on_curve(best, comparable));
            prop_assert!(judged.verdict != Verdict::Best || value >= 0.185);
            prop_assert!(judged.verdict != Verdict::Best || comparable == Comparable::EarlierDay);
        }
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
        let lower = Standard { direction: Direction::LowerIsBetter, ..standard(None, Some(0.25)) };
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
            Verdict::Above,
            Verdict::AsExpected,
            Verdict::Below,
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
