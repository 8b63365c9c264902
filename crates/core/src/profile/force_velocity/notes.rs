//! What a force-velocity profile must never be shown without.

use super::profile::ForceVelocityProfile;
use crate::note::Note;
use crate::units::{Length, Velocity};

/// Below this many loads the line is two points and hope.
const ENOUGH_LOADS: usize = 4;
/// Push-off velocities should span this much.
const WIDE_ENOUGH: Velocity = Velocity::metres_per_second(0.35);
/// A line that explains less than this is no line.
const STRAIGHT_ENOUGH: f64 = 0.95;
/// Push-off distances met in adults.
const USUAL_PUSH_OFF: std::ops::RangeInclusive<f64> = 0.25..=0.60;
/// No jumper was seen much faster than twice the velocity of his own unloaded push-off.
const FAR: f64 = 2.0;

pub(super) fn about(profile: &ForceVelocityProfile) -> Vec<Note> {
    let own = [few_loads(profile), narrow(profile), bent(profile), far(profile), push_off(profile)];
    always(profile).into_iter().chain(own.into_iter().flatten()).collect()
}

/// The published case against it, and the reply.
fn always(profile: &ForceVelocityProfile) -> [Note; 4] {
    let gain_mm = 1000.0 * gain(profile).in_metres();
    [
        Note::new(
            "hypothesis-not-a-prescription",
            format!(
                "This profile is a hypothesis, not a prescription. By its own theory, rebalancing \
                 at the same power would be worth {gain_mm:.0} mm of jump height."
            ),
        ),
        Note::new(
            "unreliable-between-days",
            "Heights repeat well, this profile does not: between days the velocity side and the \
             balance varied by 17 to 27 % (Valenzuela et al. 2021, Int J Sports Physiol Perform \
             16:1001) and their agreement was poor (Jonson et al. 2024, Eur J Sport Sci, 10.1002/ejsc.12049). The \
             intervals here hold one day only.",
        ),
        Note::new(
            "training-to-balance-unsupported",
            "Training toward the theoretical balance did no better than other training over ten \
             weeks in 40 athletes (Lindberg et al. 2021, Scand J Med Sci Sports 31:2198); others report \
             gains (Jiménez-Reyes et al. 2019, PLoS ONE 14:e0216681).",
        ),
        Note::new(
            "task-specific-extrapolation",
            "The ends of the line are extrapolated, depend on each other and belong to this jump, \
             not to the muscles (Bobbert et al. 2023, Med Sci Sports Exerc 55:1241); much of the \
             unreliability may come from input error (Samozino et al. 2022, Int J Sports Physiol \
             Perform 17:1760).",
        ),
    ]
}

/// Height the theory promises for perfect balance at the same power.
fn gain(profile: &ForceVelocityProfile) -> Length {
    let best = Length::metres(profile.balance.best.height_m);
    (best - profile.predicted_height()).max(Length::ZERO)
}

fn few_loads(profile: &ForceVelocityProfile) -> Option<Note> {
    let loads = profile.points.len();
    (loads < ENOUGH_LOADS).then(|| {
        Note::new("few-loads", format!("Only {loads} loads; five or more make a line firm."))
    })
}

fn narrow(profile: &ForceVelocityProfile) -> Option<Note> {
    let range = fastest(profile) - slowest(profile);
    (range < WIDE_ENOUGH).then(|| {
        Note::new(
            "narrow-velocity-range",
            format!(
                "The push-off velocities span only {:.2} m/s: add a heavier load.",
                range.in_metres_per_second()
            ),
        )
    })
}

fn bent(profile: &ForceVelocityProfile) -> Option<Note> {
    (profile.r_squared < STRAIGHT_ENOUGH).then(|| {
        Note::new(
            "poor-line",
            format!(
                "The line explains only {:.0} % of the variance of force.",
                100.0 * profile.r_squared
            ),
        )
    })
}

fn far(profile: &ForceVelocityProfile) -> Option<Note> {
    let ratio = profile.velocity.value / fastest(profile);
    (ratio > FAR).then(|| {
        Note::new(
            "velocity-far-extrapolated",
            format!("The velocity at no force is {ratio:.1} times the fastest push-off measured."),
        )
    })
}

fn push_off(profile: &ForceVelocityProfile) -> Option<Note> {
    let metres = profile.push_off.in_metres();
    (!USUAL_PUSH_OFF.contains(&metres)).then(|| {
        Note::new(
            "unusual-push-off",
            format!("A push-off distance of {metres:.2} m is unusual: measure it again."),
        )
    })
}

fn slowest(profile: &ForceVelocityProfile) -> Velocity {
    profile.points.iter().map(|point| point.velocity).fold(fastest(profile), Velocity::min)
}

fn fastest(profile: &ForceVelocityProfile) -> Velocity {
    profile.points.iter().map(|point| point.velocity).fold(Velocity::ZERO, Velocity::max)
}
