//! When a load-velocity line should be read with care.

use super::profile::LoadVelocityProfile;
use crate::note::Note;
use crate::units::{Mass, Velocity};

/// Below this many loads the interval is wide and a bend cannot be seen (common practice).
const ENOUGH_LOADS: usize = 4;
/// Two loads should differ by about 0.5 m/s, 1.0 to 0.5 (García-Ramos et al. 2018, Int J Sports
/// Physiol Perform 13:474); under 0.35 the line hangs on the noise (common practice, no source).
const WIDE_ENOUGH: Velocity = Velocity::metres_per_second(0.35);

/// What is to be said of the line itself.
pub(super) fn about(profile: &LoadVelocityProfile) -> Vec<Note> {
    [fall(profile), bend(profile), few_loads(profile), narrow(profile), no_scatter(profile)]
        .into_iter()
        .flatten()
        .collect()
}

/// Whether there is a load even for a velocity in the middle of those tested.
fn fall(profile: &LoadVelocityProfile) -> Option<Note> {
    (!profile.falls()).then(|| {
        Note::new(
            "slope-not-established",
            "How fast velocity falls with load is not established, so no load can be given. Test \
             loads further apart.",
        )
    })
}

fn bend(profile: &LoadVelocityProfile) -> Option<Note> {
    profile.bends().then(|| {
        Note::new(
            "line-bends",
            "Velocity does not fall in a straight line here: the reps bend more than their noise. \
             Loads are read from the curve.",
        )
    })
}

fn few_loads(profile: &LoadVelocityProfile) -> Option<Note> {
    let loads = profile.load_count();
    (loads < ENOUGH_LOADS).then(|| {
        Note::new(
            "few-loads",
            format!(
                "Only {loads} different loads: a bend could hardly be seen, so the interval allows \
                 for one. Four loads or more narrow it."
            ),
        )
    })
}

fn narrow(profile: &LoadVelocityProfile) -> Option<Note> {
    let tested = profile.tested_velocities();
    let range = tested.high - tested.low;
    (range < WIDE_ENOUGH).then(|| {
        Note::new(
            "narrow-velocity-range",
            format!(
                "The velocities span only {:.2} m/s. Add a lighter or a heavier load until they \
                 span {:.2} m/s.",
                range.in_metres_per_second(),
                WIDE_ENOUGH.in_metres_per_second()
            ),
        )
    })
}

fn no_scatter(profile: &LoadVelocityProfile) -> Option<Note> {
    let assumed = !profile.scatter_was_measured();
    let points = profile.points().len();
    let sd = profile.settings.typical_error.in_metres_per_second();
    assumed.then(|| {
        let why = if points == 2 {
            "Two points show no scatter of their own".to_owned()
        } else {
            format!("All {points} points lie exactly on a line, which real velocities do not")
        };
        Note::new(
            "typical-error-assumed",
            format!("{why}: a typical error of {sd:.2} m/s is assumed, only roughly."),
        )
    })
}

/// What is to be said of an answer at a load that was not tested.
pub(crate) fn beyond_tested(profile: &LoadVelocityProfile, load: Mass) -> Option<Note> {
    let tested = profile.tested_loads();
    (!tested.contains(load)).then(|| {
        Note::new(
            "extrapolated",
            format!(
                "{:.1} kg lies outside the tested loads of {:.1} to {:.1} kg: the line is taken \
                 further than it was seen.",
                load.in_kilograms(),
                tested.low.in_kilograms(),
                tested.high.in_kilograms()
            ),
        )
    })
}
