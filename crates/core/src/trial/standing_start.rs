//! From standing still to the movement: the part all jumps from the floor share.

use super::flight::Flight;
use super::motion::{Anchor, Motion};
use super::onset::{self, Leaving, Onset};
use super::recording::Recording;
use super::weighing::{self, Weighing};
use super::{Conditions, TrialError, TrialEvent, quality, recording};
use crate::note::Note;
use crate::signal::Moment;
use std::ops::Range;

/// A system weighed at rest, and its motion from there.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingStart {
    /// The weighing.
    pub weighing: Weighing,
    /// Where the movement began.
    pub onset: Onset,
    /// Motion of the centre of mass from the onset to the end of the recording.
    pub motion: Motion,
    /// Mass of body and load, kg.
    pub system_mass_kg: f64,
}

/// The rules of the steps shared.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rules {
    /// Checks of the recording.
    pub recording: recording::Rules,
    /// Weighing.
    pub weighing: weighing::Rules,
    /// Onset.
    pub onset: onset::Rules,
    /// Clipping.
    pub clipping: quality::ClippingRules,
}

/// The first flight before which the athlete stood still, with that weighing; else the first
/// flight and the reason there is no weighing.
pub(super) fn choose_flight(
    recording: &Recording,
    flights: &[Flight],
    conditions: &Conditions,
    rules: &Rules,
) -> (Flight, Result<Weighing, Note>) {
    let weigh = |flight: &Flight| {
        let before = 0..flight.take_off.before + 1;
        weighing::find(&recording.total, before, conditions, &rules.weighing)
    };
    let first = (flights[0], weigh(&flights[0]));
    if first.1.is_ok() {
        return first;
    }
    flights[1..]
        .iter()
        .map(|flight| (*flight, weigh(flight)))
        .find(|(_, weighing)| weighing.is_ok())
        .unwrap_or(first)
}

/// Finds the onset and integrates from it, or says why the force cannot be integrated. Fails when
/// a person put the onset where it cannot be.
pub(super) fn read(
    recording: &Recording,
    weighing: Weighing,
    take_off: Moment,
    clipped: &[Range<usize>],
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Result<StandingStart, Note>, TrialError> {
    let trace = &recording.total;
    let before = (TrialEvent::TakeOff.name(), take_off);
    let search = weighing.window.end..take_off.before + 1;
    let onset = conditions
        .moved
        .onset(trace, &weighing, &rules.onset, before)?
        .or_else(|| onset::find(trace, search, &weighing, Leaving::EitherWay, &rules.onset));
    Ok(onset.ok_or_else(no_onset).and_then(|onset| {
        integrate(recording, weighing, onset, take_off, clipped, conditions, rules)
    }))
}

fn integrate(
    recording: &Recording,
    weighing: Weighing,
    onset: Onset,
    take_off: Moment,
    clipped: &[Range<usize>],
    conditions: &Conditions,
    rules: &Rules,
) -> Result<StandingStart, Note> {
    let moving = onset.at.before..take_off.before + 1;
    let least_rate_hz = rules.recording.least_integration_rate_hz;
    let barred = quality::bars_integration(recording, moving.clone(), least_rate_hz)
        .or_else(|| quality::clipped_within(clipped, &moving));
    if let Some(reason) = barred {
        return Err(reason);
    }
    let gravity_m_s2 = conditions.gravity_m_s2();
    let motion = Motion::integrate(
        &recording.total,
        (onset.at.before, recording.total.len()),
        weighing.weight_n,
        gravity_m_s2,
        Anchor { at: onset.at, velocity_m_s: 0.0 },
    );
    let system_mass_kg = weighing.weight_n / gravity_m_s2;
    Ok(StandingStart { weighing, onset, motion, system_mass_kg })
}

fn no_onset() -> Note {
    Note::new(
        "no-onset",
        "No movement was found between the weighing and take-off; numbers that need it are \
         withheld.",
    )
}

impl StandingStart {
    /// Velocity at take-off by impulse and momentum, m/s, and its standard error.
    ///
    /// The error is what the weighing leaves in doubt: an error `e` of weight changes the velocity
    /// by `e/W (v + g T)`, T the time from onset to take-off (from v = g/W ∫F dt - g T).
    pub fn take_off_velocity(
        &self,
        recording: &Recording,
        take_off: Moment,
        gravity_m_s2: f64,
    ) -> (f64, f64) {
        let velocity = self.motion.velocity_at(take_off);
        let duration_s = recording.total.between_s(self.onset.at, take_off);
        let relative = self.weighing.standard_error_n / self.weighing.weight_n;
        (velocity, relative * (velocity + gravity_m_s2 * duration_s).abs())
    }
}
