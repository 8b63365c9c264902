//! Up, same or down for the next set, from the reps just done.

use super::target_velocity::VelocityTarget;
use crate::kit::Loadable;
use crate::stats::distributions::normal_cdf;
use crate::units::{Mass, Velocity};
use crate::working::{Input, Working};

/// What is known of how velocity falls with load in this lift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fall {
    /// Change of velocity for one more kilogram, m/s; below zero.
    pub slope_m_s_per_kg: f64,
    /// Standard deviation of a single rep.
    pub rep_sd: Velocity,
}

/// The reps of one set at one load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetDone<'a> {
    /// What hung.
    pub load: Mass,
    /// Velocities of the valid reps.
    pub velocities: &'a [Velocity],
}

/// Which way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Move {
    /// Heavier: the reps were over the window.
    Up,
    /// The same load again.
    Same,
    /// Lighter: the reps were under the window.
    Down,
}

/// Why the same load is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kept {
    /// The reps were in the window.
    InWindow,
    /// They were over it, and no heavier load at hand, or under the cap, does better.
    NothingBetterAbove,
    /// They were under it, and no lighter load at hand does better.
    NothingBetterBelow,
}

/// The load of the next set.
#[derive(Clone, Debug, PartialEq)]
pub struct NextSet {
    /// Which way.
    pub step: Move,
    /// What to hang.
    pub load: Loadable,
    /// Mean velocity expected there.
    pub expected: Velocity,
    /// Why the load stays, when it does.
    pub kept: Option<Kept>,
    /// Probability that the true velocity at the old load lies on the side of the window's edge
    /// the answer takes it to be: how sure the direction is.
    pub sureness: f64,
}

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NextSetError {
    /// No valid rep.
    #[error("There is no valid rep in this set to judge by.")]
    NoReps,
    /// The load that was lifted is not among those the station can make.
    #[error("{load_kg} kg cannot be made with the bar and plates of this station.")]
    LoadNotHere {
        /// The load in kg.
        load_kg: f64,
    },
}

/// Up, same or down: the mean of the reps against the window, then along the fall to the load
/// whose expected velocity lies nearest the aim.
///
/// The line is shifted to today's reps and only its slope is used, so a good or a bad day moves
/// the load with it. `cap` is the heaviest load allowed and is never passed.
///
/// # Errors
/// [`NextSetError`]: no reps, or a load this station cannot make.
pub fn next_set(
    done: SetDone<'_>,
    target: VelocityTarget,
    fall: Fall,
    loads: &[Loadable],
    cap: Mass,
) -> Result<NextSet, NextSetError> {
    let mean = mean(done.velocities).ok_or(NextSetError::NoReps)?;
    let old = loads
        .iter()
        .find(|load| (load.total() - done.load).abs() < Mass::kilograms(0.001))
        .ok_or(NextSetError::LoadNotHere { load_kg: done.load.in_kilograms() })?;
    let window = target.span();
    let wanted = if mean > window.high {
        Move::Up
    } else if mean < window.low {
        Move::Down
    } else {
        Move::Same
    };
    let expected_at = |load: &Loadable| {
        mean + Velocity::metres_per_second(
            fall.slope_m_s_per_kg * (load.total() - done.load).in_kilograms(),
        )
    };
    let miss = |load: &Loadable| (expected_at(load) - target.aim()).abs().in_metres_per_second();
    let on_the_way = |load: &&Loadable| match wanted {
        Move::Up => load.total() > old.total() && load.total() <= cap,
        Move::Same => false,
        Move::Down => load.total() < old.total(),
    };
    let better = loads
        .iter()
        .filter(on_the_way)
        .min_by(|one, other| miss(one).total_cmp(&miss(other)))
        .filter(|load| miss(load) < miss(old));
    let load = better.unwrap_or(old);
    Ok(NextSet {
        step: if better.is_some() { wanted } else { Move::Same },
        expected: expected_at(load),
        load: load.clone(),
        kept: better.is_none().then_some(match wanted {
            Move::Up => Kept::NothingBetterAbove,
            Move::Same => Kept::InWindow,
            Move::Down => Kept::NothingBetterBelow,
        }),
        sureness: sureness(mean, target, fall.rep_sd, done.velocities.len()),
    })
}

fn mean(velocities: &[Velocity]) -> Option<Velocity> {
    let count = velocities.len() as f64;
    let mean = velocities.iter().copied().sum::<Velocity>() / count;
    (count > 0.0 && mean.is_finite()).then_some(mean)
}

/// Probability, from the noise of a mean of so many reps and nothing known before, that the true
/// velocity lies over, in or under the window as its mean does.
fn sureness(mean: Velocity, target: VelocityTarget, rep_sd: Velocity, reps: usize) -> f64 {
    let error = rep_sd / (reps as f64).sqrt();
    let window = target.span();
    let below = |edge: Velocity| {
        let distance = edge - mean;
        if error > Velocity::ZERO {
            normal_cdf(distance / error)
        } else if distance >= Velocity::ZERO {
            1.0
        } else {
            0.0
        }
    };
    if mean > window.high {
        1.0 - below(window.high)
    } else if mean < window.low {
        below(window.low)
    } else {
        below(window.high) - below(window.low)
    }
}

/// How the next set came about.
pub fn working_of_next_set(
    done: SetDone<'_>,
    target: VelocityTarget,
    fall: Fall,
    next: &NextSet,
) -> Working {
    let metres = |v: Velocity| format!("{:.2} m/s", v.in_metres_per_second());
    let window = target.span();
    let reps: Vec<String> = done.velocities.iter().map(|v| metres(*v)).collect();
    let mean = mean(done.velocities).unwrap_or(Velocity::ZERO);
    Working {
        title: "load of the next set".into(),
        method: "next-set-by-velocity",
        version: 1,
        inputs: vec![
            Input::new("load", format!("{:.2} kg", done.load.in_kilograms())),
            Input::new("reps", reps.join(", ")),
            Input::new("window", format!("{} to {}", metres(window.low), metres(window.high))),
            Input::new("fall", format!("{:.4} m/s for each kg", fall.slope_m_s_per_kg)),
        ],
        steps: vec![
            format!("mean of the reps {}", metres(mean)),
            format!(
                "expected at {:.2} kg: {:.2} {:+.4} x ({:.2} - {:.2}) = {}",
                next.load.total().in_kilograms(),
                mean.in_metres_per_second(),
                fall.slope_m_s_per_kg,
                next.load.total().in_kilograms(),
                done.load.in_kilograms(),
                metres(next.expected)
            ),
        ],
        source: "common practice, no source; the fall is the athlete's own line",
        doubt: format!("the direction is right with probability {:.2}", next.sureness),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit::{Bar, BarKind, Plate, PlateRack, PlateStack, loadable};
    use proptest::prelude::*;

    /// A 20 kg landmine bar with pairs of the usual plates, all of which may go on its one end.
    fn loads() -> Vec<Loadable> {
        let bar = Bar::weighed("b", "b", Mass::kilograms(20.0), BarKind::Landmine).unwrap();
        let stacks = [20.0, 15.0, 10.0, 5.0, 2.5, 1.25]
            .map(|kg| PlateStack { plate: Plate::kilograms(kg).unwrap(), count: 2 });
        loadable(&bar, &PlateRack::of(stacks))
    }

    fn metres(v: f64) -> Velocity {
        Velocity::metres_per_second(v)
    }

    fn split_jerk(velocities: &[f64], plates_kg: f64, cap_kg: f64) -> NextSet {
        let velocities: Vec<Velocity> = velocities.iter().copied().map(metres).collect();
        let done = SetDone { load: Mass::kilograms(20.0 + plates_kg), velocities: &velocities };
        let target = VelocityTarget::window(metres(1.6), metres(1.8)).unwrap();
        let fall = Fall { slope_m_s_per_kg: -0.0275, rep_sd: metres(0.05) };
        next_set(done, target, fall, &loads(), Mass::kilograms(cap_kg)).unwrap()
    }

    // Reps 1.93 and 1.90 over a window of 1.60 to 1.80 with 10 kg of plates:
    // 1.915 - 0.0275 x 7.5 = 1.709, inside the window and nearest 1.70.
    #[test]
    fn reps_over_the_window_send_the_load_up_into_it() {
        let next = split_jerk(&[1.93, 1.90], 10.0, 100.0);
        assert_eq!((next.step, next.kept), (Move::Up, None));
        assert_eq!(next.load.total(), Mass::kilograms(37.5));
        assert!((next.expected.in_metres_per_second() - 1.70875).abs() < 1e-9);
        // z = 0.115 / (0.05 / sqrt 2) = 3.2527: upper tail 0.99943 (normal table).
        assert!((next.sureness - 0.99943).abs() < 1e-5);
    }

    #[test]
    fn reps_in_the_window_stay() {
        let next = split_jerk(&[1.70, 1.72], 10.0, 100.0);
        assert_eq!((next.step, next.kept), (Move::Same, Some(Kept::InWindow)));
    }

    #[test]
    fn an_empty_bar_under_the_window_has_nothing_lighter() {
        let next = split_jerk(&[1.53, 1.50], 0.0, 100.0);
        assert_eq!((next.step, next.kept), (Move::Same, Some(Kept::NothingBetterBelow)));
        assert_eq!(split_jerk(&[1.53, 1.50], 5.0, 100.0).step, Move::Down);
    }

    #[test]
    fn the_cap_holds() {
        assert_eq!(split_jerk(&[1.93], 10.0, 34.0).load.total(), Mass::kilograms(33.75));
        let next = split_jerk(&[1.93], 10.0, 30.0);
        assert_eq!((next.step, next.kept), (Move::Same, Some(Kept::NothingBetterAbove)));
    }

    #[test]
    fn nothing_to_judge_by_is_no_answer() {
        let target = VelocityTarget::window(metres(1.6), metres(1.8)).unwrap();
        let fall = Fall { slope_m_s_per_kg: -0.0275, rep_sd: metres(0.05) };
        let ask = |load, velocities: &[Velocity]| {
            let done = SetDone { load: Mass::kilograms(load), velocities };
            next_set(done, target, fall, &loads(), Mass::kilograms(100.0)).unwrap_err()
        };
        assert_eq!(ask(30.0, &[]), NextSetError::NoReps);
        assert_eq!(ask(30.1, &[metres(1.7)]), NextSetError::LoadNotHere { load_kg: 30.1 });
    }

    proptest! {
        // Whatever the reps: the load goes towards the window or stays, and a move always brings
        // the expected velocity nearer the aim.
        #[test]
        fn a_move_is_towards_the_aim(v in 0.5..3.0_f64, plates in 0_usize..20) {
            let loads = loads();
            let old = loads[plates].total();
            let next = split_jerk(&[v], old.in_kilograms() - 20.0, 200.0);
            prop_assert!((next.expected.in_metres_per_second() - 1.7).abs() <= (v - 1.7).abs() + 1e-12);
            match next.step {
                Move::Up => prop_assert!(v > 1.8 && next.load.total() > old),
                Move::Same => prop_assert!((next.load.total() - old).in_kilograms().abs() < 1e-9),
                Move::Down => prop_assert!(v < 1.6 && next.load.total() < old),
            }
            prop_assert!((0.0..=1.0).contains(&next.sureness));
        }
    }
}
