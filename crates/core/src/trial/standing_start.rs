//! From standing still to the movement: the part all jumps from the floor share.

use super::flight::Flight;
use super::landing::StandingAgain;
use super::motion::{Anchor, Motion};
use super::onset::{self, Leaving, Onset};
use super::recording::Recording;
use super::release::{self, Release};
use super::stance::{self, Between};
use super::sway::Stance;
use super::weighing::{self, Weighing};
use super::{Conditions, TrialError, TrialEvent, quality, recording};
use crate::note::Note;
use crate::signal::{Moment, Trace};
use std::ops::Range;

/// A system weighed at rest, and its motion from there.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingStart {
    /// The quiet second by which the onset was found.
    pub weighing: Weighing,
    /// Weight, and velocity at the onset, from all standing that was used; with their doubt.
    pub stance: Stance,
    /// What is left of the push where take-off is read.
    pub release: Release,
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
    /// Stances.
    pub stance: stance::Rules,
    /// The end of the push.
    pub release: release::Rules,
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
    flight: &Flight,
    clipped: &[Range<usize>],
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Result<StandingStart, Note>, TrialError> {
    let (trace, take_off) = (&recording.total, flight.take_off);
    let before = (TrialEvent::TakeOff.name(), take_off);
    let search = weighing.window.end..take_off.before + 1;
    let onset = conditions
        .moved
        .onset(trace, &weighing, &rules.onset, before)?
        .or_else(|| onset::find(trace, search, &weighing, Leaving::EitherWay, &rules.onset));
    Ok(onset.ok_or_else(no_onset).and_then(|onset| {
        integrate(recording, weighing, onset, flight, clipped, conditions, rules)
    }))
}

fn integrate(
    recording: &Recording,
    weighing: Weighing,
    onset: Onset,
    flight: &Flight,
    clipped: &[Range<usize>],
    conditions: &Conditions,
    rules: &Rules,
) -> Result<StandingStart, Note> {
    let moving = onset.at.before..flight.take_off.before + 1;
    let least_rate_hz = rules.recording.least_integration_rate_hz;
    let barred = quality::bars_integration(recording, moving.clone(), least_rate_hz)
        .or_else(|| quality::clipped_within(clipped, &moving));
    if let Some(reason) = barred {
        return Err(reason);
    }
    let (trace, gravity_m_s2) = (&recording.total, conditions.gravity_m_s2());
    let moved = &conditions.moved;
    let chosen = moved.weighing_s.or(moved.onset_s).is_some();
    let (at, rules_of_stance) = (onset.at.before, &rules.stance);
    let stance = stance::before(trace, &weighing, at, chosen, gravity_m_s2, rules_of_stance)
        .ok_or_else(no_onset)?;
    // Where a person put the onset, the body is at rest; the sway stays in the doubt.
    let velocity_m_s = if moved.onset_s.is_some() { 0.0 } else { stance.velocity_m_s };
    let release = match moved.take_off_s {
        Some(_) => Release::default(),
        None => release::after(trace, flight, &rules.release),
    };
    Ok(from_stance(
        trace,
        weighing,
        onset,
        Stance { velocity_m_s, ..stance },
        release,
        gravity_m_s2,
    ))
}

fn from_stance(
    trace: &Trace,
    weighing: Weighing,
    onset: Onset,
    stance: Stance,
    release: Release,
    gravity_m_s2: f64,
) -> StandingStart {
    let motion = Motion::integrate(
        trace,
        (onset.at.before, trace.len()),
        stance.weight_n,
        gravity_m_s2,
        Anchor { at: onset.at, velocity_m_s: stance.velocity_m_s },
    );
    let system_mass_kg = stance.weight_n / gravity_m_s2;
    StandingStart { weighing, stance, release, onset, motion, system_mass_kg }
}

fn no_onset() -> Note {
    Note::new(
        "no-onset",
        "No movement was found between the weighing and take-off; numbers that need it are \
         withheld.",
    )
}

impl StandingStart {
    /// Weight of body and load, newtons.
    pub const fn weight_n(&self) -> f64 {
        self.stance.weight_n
    }

    /// The same start with weight and velocity that agree with standing after the landing too.
    pub(super) fn together_with(
        self,
        again: &StandingAgain,
        trace: &Trace,
        gravity_m_s2: f64,
        rules: &stance::Rules,
    ) -> Self {
        let begins = Moment::at(again.stretch.start);
        let Some(after) = stance::after(trace, again.stretch.clone(), gravity_m_s2, rules) else {
            return self;
        };
        let lasts_s = trace.between_s(self.onset.at, begins);
        let between = Between {
            velocity_m_s: self.motion.velocity_at(begins),
            lasts_s,
            noise_m_s: self.noise_m_s(trace, lasts_s, gravity_m_s2),
        };
        let stance = stance::together(&self.stance, &after, between, gravity_m_s2, rules);
        from_stance(trace, self.weighing, self.onset, stance, self.release, gravity_m_s2)
    }

    /// Velocity when the plate is empty by impulse and momentum, m/s, and its standard error.
    ///
    /// The error is what weighing and sway leave in doubt (an error `e` of the relative weight
    /// changes the velocity by `e (v - v0 + g T)`, T the time from onset to take-off: from v = v0 +
    /// g/W ∫F dt - g T), what is not known of the end of the push, and the noise of every sample.
    pub fn take_off_velocity(
        &self,
        recording: &Recording,
        flight: &Flight,
        gravity_m_s2: f64,
    ) -> (f64, f64) {
        let trace = &recording.total;
        let lost = self.release.lost_m_s(flight.threshold_n, self.weight_n(), gravity_m_s2);
        let velocity = self.motion.velocity_at(flight.take_off) - lost;
        let lasts_s = trace.between_s(self.onset.at, flight.take_off);
        let by_weight = -(velocity - self.stance.velocity_m_s + gravity_m_s2 * lasts_s);
        let variance = self.stance.doubt.carried_to((by_weight, 1.0))
            + (gravity_m_s2 * self.release.standard_error_s).powi(2)
            + self.noise_m_s(trace, lasts_s, gravity_m_s2).powi(2);
        (velocity, variance.sqrt())
    }

    /// What the noise of single samples makes of a velocity integrated over a time, m/s.
    fn noise_m_s(&self, trace: &Trace, lasts_s: f64, gravity_m_s2: f64) -> f64 {
        let step_s = trace.sampling.rate_hz().map_or(0.0, f64::recip);
        gravity_m_s2 * self.stance.noise_n / self.weight_n() * (step_s * lasts_s).sqrt()
    }
}
