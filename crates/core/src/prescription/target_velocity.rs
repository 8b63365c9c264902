//! The load to hang for a target velocity.

use crate::estimate::Estimate;
use crate::exercise::Span;
use crate::kit::{Loadable, nearest_at_most};
use crate::note::{Note, Noted};
use crate::profile::load_velocity::{LoadVelocityProfile, beyond_tested};
use crate::units::{Mass, Velocity};
use crate::working::{Input, Working};

/// A velocity to train at and the window that still counts as it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VelocityTarget {
    aim: Velocity,
    window: Span<Velocity>,
}

/// Half the width of a window nobody stated: about the typical error of a mean velocity (common
/// practice, no source).
const USUAL_HALF_WIDTH: Velocity = Velocity::metres_per_second(0.05);

impl VelocityTarget {
    /// The middle of a window of positive velocities; `None` where its ends are out of order or
    /// not above zero.
    pub fn window(low: Velocity, high: Velocity) -> Option<Self> {
        let window = Span::new(low, high).filter(|window| window.low > Velocity::ZERO)?;
        Some(Self { aim: (low + high) / 2.0, window })
    }

    /// A single velocity, with the usual window around it.
    pub fn at(aim: Velocity) -> Option<Self> {
        Self::window(aim - USUAL_HALF_WIDTH, aim + USUAL_HALF_WIDTH)
            .map(|target| Self { aim, ..target })
    }

    /// The velocity aimed at.
    pub const fn aim(&self) -> Velocity {
        self.aim
    }

    /// From slowest to fastest that still counts.
    pub const fn span(&self) -> Span<Velocity> {
        self.window
    }
}

/// What to do about a target velocity.
#[derive(Clone, Debug, PartialEq)]
pub enum TargetVelocityAnswer {
    /// Hang this.
    Hang(TargetLoad),
    /// Even the lightest load is too slow: no plate can be taken off. A lighter implement, or a
    /// lower window.
    LighterImplementOrLowerWindow(Reached),
    /// Even the heaviest load allowed is too fast: more plates, or a faster window.
    HeavierKitOrHigherWindow(Reached),
}

/// The load for a target velocity.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetLoad {
    /// Where an average rep has the velocity aimed at.
    pub load: Mass,
    /// The same with its interval; absent when the fall is not established.
    pub load_estimate: Option<Estimate<Mass>>,
    /// What to hang, and what to expect with it.
    pub hang: Reached,
    /// Whether the expected velocity lies in the window.
    pub in_window: bool,
}

/// A load that can be hung and the velocity one rep with it should have.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// Load and plates.
    pub load: Loadable,
    /// Velocity of the next rep with it.
    pub expected: Estimate<Velocity>,
}

/// Why there is no load to hang.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum TargetVelocityError {
    /// Nothing can be hung below the cap.
    #[error("No load can be made at or below {cap_kg} kg: even the bar alone is heavier.")]
    NothingUnderCap {
        /// Heaviest load allowed, in kg.
        cap_kg: f64,
    },
}

/// The load to hang so that the next reps move at the target velocity.
///
/// `loads` are those the station can make; `cap` is the heaviest allowed and is never passed.
/// The curve is read backwards at the velocity aimed at; the nearest load is hung and the curve is
/// read forwards there.
///
/// # Errors
/// [`TargetVelocityError::NothingUnderCap`].
pub fn load_for_target(
    profile: &LoadVelocityProfile,
    target: VelocityTarget,
    loads: &[Loadable],
    cap: Mass,
) -> Result<Noted<TargetVelocityAnswer>, TargetVelocityError> {
    let nothing = TargetVelocityError::NothingUnderCap { cap_kg: cap.in_kilograms() };
    let reached = |wanted: Mass| {
        let load = nearest_at_most(loads, wanted, cap).ok_or(nothing)?;
        let expected = profile.expected_at(load.total(), 1);
        Ok(Reached { load: load.clone(), expected })
    };
    let wanted = wanted_load(profile, target.aim);
    let (lightest, heaviest) = (reached(Mass::ZERO)?, reached(cap)?);
    let window = target.window;
    let answer = if lightest.expected.value < window.low {
        TargetVelocityAnswer::LighterImplementOrLowerWindow(lightest)
    } else if heaviest.expected.value > window.high {
        TargetVelocityAnswer::HeavierKitOrHigherWindow(heaviest)
    } else {
        let hang = reached(wanted)?;
        TargetVelocityAnswer::Hang(TargetLoad {
            load: wanted,
            load_estimate: profile.load_at(target.aim).ok(),
            in_window: window.contains(hang.expected.value),
            hang,
        })
    };
    let notes = notes(profile, target, &answer);
    Ok(Noted { value: answer, notes })
}

/// The load for a velocity; where the fall is not established that of the straight line, without
/// an interval.
fn wanted_load(profile: &LoadVelocityProfile, velocity: Velocity) -> Mass {
    let fall = (velocity - profile.intercept()).in_metres_per_second();
    let straight = Mass::kilograms(fall / profile.slope_m_s_per_kg());
    profile.load_at(velocity).map_or(straight, |load| load.value)
}

fn notes(
    profile: &LoadVelocityProfile,
    target: VelocityTarget,
    answer: &TargetVelocityAnswer,
) -> Vec<Note> {
    let (reached, own) = match answer {
        TargetVelocityAnswer::Hang(found) => (&found.hang, coarse_plates(target, found)),
        TargetVelocityAnswer::LighterImplementOrLowerWindow(reached) => {
            (reached, Some(too_slow(target, reached)))
        }
        TargetVelocityAnswer::HeavierKitOrHigherWindow(reached) => {
            (reached, Some(too_fast(target, reached)))
        }
    };
    own.into_iter().chain(beyond_tested(profile, reached.load.total())).collect()
}

fn too_slow(target: VelocityTarget, reached: &Reached) -> Note {
    Note::new(
        "even-lightest-too-slow",
        format!(
            "Even {:.1} kg ({}) is expected at {:.2} m/s, under the window of {:.2} to {:.2} m/s. \
             Take a lighter implement or a lower window.",
            reached.load.total().in_kilograms(),
            reached.load.in_words(),
            reached.expected.value.in_metres_per_second(),
            target.window.low.in_metres_per_second(),
            target.window.high.in_metres_per_second(),
        ),
    )
}

fn too_fast(target: VelocityTarget, reached: &Reached) -> Note {
    Note::new(
        "even-heaviest-too-fast",
        format!(
            "Even {:.1} kg, the heaviest load here, is expected at {:.2} m/s, over the window of \
             {:.2} to {:.2} m/s. Bring more plates or take a faster window.",
            reached.load.total().in_kilograms(),
            reached.expected.value.in_metres_per_second(),
            target.window.low.in_metres_per_second(),
            target.window.high.in_metres_per_second(),
        ),
    )
}

fn coarse_plates(target: VelocityTarget, found: &TargetLoad) -> Option<Note> {
    (!found.in_window).then(|| {
        Note::new(
            "outside-window",
            format!(
                "The nearest load, {:.1} kg, is expected at {:.2} m/s, outside the window of \
                 {:.2} to {:.2} m/s: smaller plates would be needed.",
                found.hang.load.total().in_kilograms(),
                found.hang.expected.value.in_metres_per_second(),
                target.window.low.in_metres_per_second(),
                target.window.high.in_metres_per_second(),
            ),
        )
    })
}

/// How the load for a target came about: the line read backwards, the plates, the line read
/// forwards.
pub fn working_of_target(
    profile: &LoadVelocityProfile,
    target: VelocityTarget,
    answer: &TargetVelocityAnswer,
) -> Working {
    let mut working = profile.working_of_load_at(target.aim);
    working.method = "load-for-target-velocity";
    working.inputs.push(Input::new(
        "window",
        format!(
            "{:.2} to {:.2} m/s",
            target.window.low.in_metres_per_second(),
            target.window.high.in_metres_per_second()
        ),
    ));
    let reached = match answer {
        TargetVelocityAnswer::Hang(found) => &found.hang,
        TargetVelocityAnswer::LighterImplementOrLowerWindow(reached)
        | TargetVelocityAnswer::HeavierKitOrHigherWindow(reached) => reached,
    };
    let expected = &reached.expected;
    working.steps.push(format!(
        "hang {:.2} kg ({}); the next rep there: {:.2} m/s, {} interval {:.2} to {:.2} m/s",
        reached.load.total().in_kilograms(),
        reached.load.in_words(),
        expected.value.in_metres_per_second(),
        expected.level,
        expected.interval.low.in_metres_per_second(),
        expected.interval.high.in_metres_per_second(),
    ));
    working
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit::{Bar, BarKind, Plate, PlateRack, PlateStack, loadable};
    use crate::profile::load_velocity::{LoadVelocitySettings, VelocityRep};

    /// Mean velocity of a landmine split jerk falling 0.015 m/s a kilogram with a little scatter.
    fn jerk() -> LoadVelocityProfile {
        let reps = [(20.0, 1.005), (25.0, 0.92), (30.0, 0.855), (40.0, 0.70)].map(|(load, v)| {
            VelocityRep { load: Mass::kilograms(load), velocity: Velocity::metres_per_second(v) }
        });
        LoadVelocityProfile::from_reps(&reps, LoadVelocitySettings::default()).unwrap().value
    }

    fn landmine(bar_kg: f64, plates: &[f64]) -> Vec<Loadable> {
        let bar = Bar::weighed("b", "b", Mass::kilograms(bar_kg), BarKind::Landmine).unwrap();
        let stacks =
            plates.iter().map(|kg| PlateStack { plate: Plate::kilograms(*kg).unwrap(), count: 1 });
        loadable(&bar, &PlateRack::of(stacks))
    }

    fn answer(target: f64, loads: &[Loadable], cap: f64) -> Noted<TargetVelocityAnswer> {
        let target = VelocityTarget::at(Velocity::metres_per_second(target)).unwrap();
        load_for_target(&jerk(), target, loads, Mass::kilograms(cap)).unwrap()
    }

    // Landmine split jerk at a mean velocity of about 0.8 m/s: common practice, no source.
    #[test]
    fn the_nearest_load_is_hung_and_its_velocity_foretold() {
        // Least squares by hand: slope -3.3/218.75 = -0.0150857, mean (28.75, 0.87);
        // 0.8 m/s at 28.75 + 0.07/0.0150857 = 33.390 kg.
        let loads = landmine(20.0, &[10.0, 5.0, 2.5, 1.25]);
        let found = answer(0.8, &loads, 100.0);
        let TargetVelocityAnswer::Hang(found) = found.value else { panic!("{found:?}") };
        assert!((found.load.in_kilograms() - 33.390).abs() < 0.3);
        assert_eq!(found.hang.load.total(), Mass::kilograms(33.75));
        assert_eq!(found.hang.load.in_words(), "10 + 2.5 + 1.25 on the end");
        assert!((found.hang.expected.value.in_metres_per_second() - 0.794_571).abs() < 0.01);
        assert!(found.in_window);
        let interval = found.load_estimate.unwrap().interval;
        assert!(interval.contains(found.load) && interval.high < Mass::kilograms(37.0));
    }

    #[test]
    fn an_empty_bar_too_slow_asks_for_a_lighter_one_and_never_for_a_negative_plate() {
        let found = answer(1.2, &landmine(20.0, &[10.0, 5.0]), 100.0);
        let TargetVelocityAnswer::LighterImplementOrLowerWindow(bar) = &found.value else {
            panic!("{found:?}")
        };
        assert_eq!(bar.load.total(), Mass::kilograms(20.0));
        assert!((bar.expected.value.in_metres_per_second() - 1.002).abs() < 0.01);
        assert!(found.has("even-lightest-too-slow"));
    }

    #[test]
    fn the_heaviest_load_too_fast_asks_for_more_plates() {
        let found = answer(0.5, &landmine(20.0, &[10.0, 5.0]), 100.0);
        assert!(matches!(found.value, TargetVelocityAnswer::HeavierKitOrHigherWindow(_)));
        assert!(found.has("even-heaviest-too-fast"));
    }

    #[test]
    fn a_cap_holds_and_says_that_it_leaves_the_bar_too_fast() {
        let loads = landmine(20.0, &[10.0, 5.0, 2.5, 1.25]);
        let found = answer(0.8, &loads, 26.0);
        let TargetVelocityAnswer::HeavierKitOrHigherWindow(reached) = found.value else {
            panic!("{found:?}")
        };
        assert_eq!(reached.load.total(), Mass::kilograms(25.0));
        let target = VelocityTarget::at(Velocity::metres_per_second(0.8)).unwrap();
        assert_eq!(
            load_for_target(&jerk(), target, &loads, Mass::kilograms(15.0)),
            Err(TargetVelocityError::NothingUnderCap { cap_kg: 15.0 })
        );
    }

    #[test]
    fn coarse_plates_and_far_loads_are_said() {
        // 20 or 45 kg only: 0.83 m/s at 31.4 kg is nearer the bar alone, which moves at 1.00.
        let found = answer(0.83, &landmine(20.0, &[25.0]), 100.0);
        assert!(matches!(&found.value, TargetVelocityAnswer::Hang(load) if !load.in_window));
        assert!(found.has("outside-window"));
        let heavy = answer(0.55, &landmine(20.0, &[25.0, 5.0]), 100.0);
        assert!(heavy.has("extrapolated"));
    }

    #[test]
    fn why_ends_with_what_to_hang() {
        let loads = landmine(20.0, &[10.0, 5.0, 2.5, 1.25]);
        let target = VelocityTarget::at(Velocity::metres_per_second(0.8)).unwrap();
        let working = working_of_target(&jerk(), target, &answer(0.8, &loads, 100.0).value);
        assert!(working.steps.last().unwrap().starts_with("hang 33.75 kg (10 + 2.5 + 1.25 on"));
    }

    #[test]
    fn a_window_has_two_positive_ends_in_order() {
        let v = Velocity::metres_per_second;
        assert_eq!(VelocityTarget::window(v(1.8), v(1.6)), None);
        assert_eq!(VelocityTarget::window(v(0.0), v(1.6)), None);
        assert_eq!(VelocityTarget::at(v(f64::NAN)), None);
    }
}
