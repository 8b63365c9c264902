//! The noise of a test from the very series that is judged, where nobody has stated it.
//!
//! Repeated trials of a day show how far one trial strays; days that should follow an even course
//! show how far a day strays. Which of the two a series can show decides what is assumed.

use super::change::{TestNoise, comparable_with};
use super::test_day::TestDay;
use crate::note::{Note, Noted};
use crate::stats::line::Line;

/// Degrees of freedom that the guess "a day strays as far as a trial" is worth: the ratio of the
/// two may as well be half or double. Common practice, no source.
const WORTH_OF_THE_GUESS: f64 = 4.0;
/// Days beyond the two that level and change use up.
const FEWEST_SPARE_DAYS: usize = 2;

/// A series that does not show its noise.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoiseUnknown {
    /// One trial a day and few days.
    #[error(
        "The noise of this test is not known: no day has two trials that differ, and {days} days \
         are too few to show it. Give its typical error, repeat the trials, or test on more days."
    )]
    NothingRepeated {
        /// Comparable days found.
        days: usize,
    },
}

/// Noise of a series, from those of its days that may be compared with the last one.
///
/// With repeated trials: their pooled standard deviation within days, and the same again from day
/// to day, which is a guess and worth little; the series corrects it. With one trial a day and
/// four days or more: the scatter of the days about an even course (level, then change), taken
/// from the series alone. Fails where neither is there.
pub fn from_days(days: &[TestDay], since_day: f64) -> Result<Noted<TestNoise>, NoiseUnknown> {
    let tested = || days.iter().filter(|day| !day.trials.is_empty());
    let today = tested().max_by(|one, other| one.day.total_cmp(&other.day));
    let usable: Vec<&TestDay> =
        tested().filter(|day| today.is_some_and(|today| comparable_with(day, today))).collect();
    if let Some(trial) = within_days(&usable) {
        let noise = TestNoise {
            day: trial,
            trial,
            degrees_of_freedom: Some(WORTH_OF_THE_GUESS),
            source: format!("the trials of {} days, the same again from day to day", usable.len()),
        };
        let note = Note::new(
            "day-to-day-noise-assumed",
            "How far a day strays from the athlete's usual is taken to be as far as one trial \
             strays from its day, for want of a stated typical error (common practice, no source).",
        );
        return Ok(Noted { value: noise, notes: vec![note] });
    }
    let Some(scatter) = about_an_even_course(&usable, since_day) else {
        return Err(NoiseUnknown::NothingRepeated { days: usable.len() });
    };
    let noise = TestNoise {
        day: scatter,
        trial: 0.0,
        degrees_of_freedom: Some(0.0),
        source: format!("the scatter of these {} days about an even course", usable.len()),
    };
    Ok(Noted::clean(noise))
}

/// Pooled standard deviation of trials about the mean of their day; nothing when none differ.
fn within_days(days: &[&TestDay]) -> Option<f64> {
    let (mut squares, mut degrees) = (0.0, 0.0);
    for day in days {
        let mean = day.mean()?;
        squares += day.trials.iter().map(|trial| (trial - mean).powi(2)).sum::<f64>();
        degrees += day.trials.len() as f64 - 1.0;
    }
    let sd = (squares / degrees).sqrt();
    (degrees > 0.0 && sd > 0.0).then_some(sd)
}

/// Residual standard deviation about level until the block and an even change since.
fn about_an_even_course(days: &[&TestDay], since_day: f64) -> Option<f64> {
    let today = days.iter().map(|day| day.day).fold(f64::NEG_INFINITY, f64::max);
    let share = |day: f64| ((day - since_day) / (today - since_day)).clamp(0.0, 1.0);
    let points: Vec<(f64, f64)> =
        days.iter().filter_map(|day| Some((share(day.day), day.mean()?))).collect();
    if points.len() < 2 + FEWEST_SPARE_DAYS {
        return None;
    }
    let noise = Line::through(&points).ok()?.noise()?;
    (noise.sd > 0.0).then_some(noise.sd)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn repeated_trials_show_the_noise_of_a_trial() {
        // By hand: squares 0.02 and 0.08 on two degrees of freedom, root(0.05).
        let days = [TestDay::new(0.0, [38.0, 38.2]), TestDay::new(35.0, [40.0, 40.4])];
        let found = from_days(&days, 0.0).unwrap();
        assert!(found.has("day-to-day-noise-assumed"));
        assert!((found.value.trial - 0.05_f64.sqrt()).abs() < 1e-12);
        assert_eq!(found.value.day, found.value.trial);
    }

    #[test]
    fn single_trials_show_it_by_the_scatter_of_days() {
        // By hand: baseline 38, 39, 40 about their mean, today fitted exactly: 2 on 4 - 2.
        let days = [(0.0, 38.0), (7.0, 39.0), (14.0, 40.0), (21.0, 42.0)]
            .map(|(day, value)| TestDay::new(day, [value]));
        let found = from_days(&days, 14.0).unwrap().value;
        assert!((found.day - 1.0).abs() < 1e-12);
        assert_eq!(found.degrees_of_freedom, Some(0.0));
        let refused = from_days(&days[..3], 7.0).unwrap_err();
        assert_eq!(refused, NoiseUnknown::NothingRepeated { days: 3 });
    }

    #[test]
    fn copied_trials_show_nothing() {
        let days = [TestDay::new(0.0, [38.0, 38.0]), TestDay::new(35.0, [40.0, 40.0])];
        assert!(from_days(&days, 0.0).is_err());
    }
}
