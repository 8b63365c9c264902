//! Repeated jumps on the spot: ten hops after a first jump, or any series.
//!
//! A hop is a contact and the flight that follows it. The first jump has no rebound before it and
//! is left out (the 10/5 test: Harper et al. 2011, as described by Comyns et al. 2019, Int J
//! Sports Physiol Perform 14:1200).

use super::flight::{self, Flight, Flown};
use super::recording::{self, Recording};
use super::weighing;
use super::{Conditions, TrialError};
use crate::capture::ForceCapture;
use crate::note::{Note, Noted};
use crate::signal::Moment;

/// The constants a series is read by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Checks of the recording.
    pub recording: recording::Rules,
    /// Flight.
    pub flight: flight::Rules,
    /// Weighing.
    pub weighing: weighing::Rules,
    /// A longer contact ends the series (engineering choice).
    pub series_ends_s: f64,
    /// A longer flight ends it too: a landing was beside the plate (engineering choice).
    pub longest_flight_s: f64,
    /// A longer contact is a pause and gets a caveat (engineering choice).
    pub pause_s: f64,
    /// Hops in a full series.
    pub full_series: usize,
    /// Fewest hops that are scored (Stratford et al. 2020, Biomechanics 1:1: seven were enough).
    pub least_scored: usize,
    /// Best hops that make the score.
    pub scored: usize,
    /// Hops with a longer contact are not scored, when given.
    pub longest_contact_s: Option<f64>,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            recording: recording::Rules::default(),
            flight: flight::Rules::default(),
            weighing: weighing::Rules::default(),
            series_ends_s: 1.0,
            longest_flight_s: 0.80,
            pause_s: 0.40,
            full_series: 10,
            least_scored: 7,
            scored: 5,
            longest_contact_s: None,
        }
    }
}

/// A contact and the flight after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hop {
    /// The feet come down.
    pub touch_down: Moment,
    /// They leave.
    pub take_off: Moment,
    /// They come down again.
    pub landing: Moment,
    /// Seconds on the ground.
    pub contact_s: f64,
    /// Seconds in the air.
    pub flight_s: f64,
}

impl Hop {
    /// Reactive strength index: height from flight time over contact time, m/s.
    pub fn reactive_strength_index(&self, gravity_m_s2: f64) -> f64 {
        gravity_m_s2 * self.flight_s * self.flight_s / 8.0 / self.contact_s
    }
}

/// A series of hops.
#[derive(Clone, Debug, PartialEq)]
pub struct RepeatedJumps {
    /// The rules it was read by.
    pub rules: Rules,
    /// What was known beside the trace.
    pub conditions: Conditions,
    /// The force, checked and zeroed.
    pub recording: Recording,
    /// The hops of the longest unbroken series, in order.
    pub hops: Vec<Hop>,
    /// Mass of the system in kg: weighed, or else as logged.
    pub system_mass_kg: Option<f64>,
}

/// Reads a series. Fails when not even one hop (a contact between two flights) is found.
pub fn read(
    capture: &ForceCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<RepeatedJumps>, TrialError> {
    let Flown { recording, flights, mut notes } =
        flight::in_capture(capture, &rules.recording, &rules.flight)?;
    let trace = &recording.total;
    let landed: Vec<Flight> = flights.into_iter().filter(|flight| flight.landed).collect();
    let all: Vec<Hop> = landed
        .windows(2)
        .map(|pair| Hop {
            touch_down: pair[0].landing,
            take_off: pair[1].take_off,
            landing: pair[1].landing,
            contact_s: trace.between_s(pair[0].landing, pair[1].take_off),
            flight_s: trace.between_s(pair[1].take_off, pair[1].landing),
        })
        .collect();
    let missed = |hop: &Hop| hop.flight_s > rules.longest_flight_s;
    notes.extend(all.iter().find(|hop| missed(hop)).map(missing_landing));
    let hops = all
        .split(|hop| hop.contact_s > rules.series_ends_s || missed(hop))
        .max_by_key(|series| series.len())
        .filter(|series| !series.is_empty())
        .ok_or(TrialError::TooFewHops { found: 0, least: 1 })?
        .to_vec();
    let system_mass_kg = system_mass_kg(&recording, &hops, conditions, rules);
    let series =
        RepeatedJumps { rules: *rules, conditions: *conditions, recording, hops, system_mass_kg };
    notes.extend(series.plausibility());
    Ok(Noted { value: series, notes })
}

fn missing_landing(hop: &Hop) -> Note {
    Note::new(
        "missing-landing",
        format!(
            "The plate stays empty for {:.2} s between two hops, longer than a hop lasts: a landing \
             was beside it. The series ends there.",
            hop.flight_s
        ),
    )
}

/// Weighed before the hops or after them, else as logged.
fn system_mass_kg(
    recording: &Recording,
    hops: &[Hop],
    conditions: &Conditions,
    rules: &Rules,
) -> Option<f64> {
    let trace = &recording.total;
    let (first, last) = (hops.first()?, hops.last()?);
    let weigh = |range| weighing::find(trace, range, conditions, &rules.weighing).ok();
    let weight_n = weigh(0..first.touch_down.before + 1)
        .or_else(|| weigh(last.landing.after()..trace.len()))
        .map(|weighing| weighing.weight_n)
        .or_else(|| conditions.expected_weight_n())?;
    Some(weight_n / conditions.gravity_m_s2())
}

impl RepeatedJumps {
    /// The best hops by reactive strength index, best first; empty when too few were made.
    pub fn best(&self) -> Vec<Hop> {
        if self.hops.len() < self.rules.least_scored {
            return Vec::new();
        }
        let gravity = self.conditions.gravity_m_s2();
        let quick = |hop: &&Hop| {
            self.rules.longest_contact_s.is_none_or(|longest| hop.contact_s <= longest)
        };
        let mut best: Vec<Hop> = self.hops.iter().filter(quick).copied().collect();
        best.sort_by(|a, b| {
            b.reactive_strength_index(gravity).total_cmp(&a.reactive_strength_index(gravity))
        });
        best.truncate(self.rules.scored);
        best
    }

    fn plausibility(&self) -> Vec<Note> {
        let mut notes = Vec::new();
        let (found, full) = (self.hops.len(), self.rules.full_series);
        if found < full {
            let scored = if found < self.rules.least_scored {
                format!("; a score needs {}", self.rules.least_scored)
            } else {
                String::new()
            };
            notes.push(Note::new(
                "too-few-hops",
                format!("{found} hops were found where {full} make a series{scored}."),
            ));
        }
        let pauses = self.hops.iter().filter(|hop| hop.contact_s > self.rules.pause_s).count();
        if pauses > 0 {
            notes.push(Note::new(
                "pause-between-hops",
                format!("{pauses} contacts last over {} s: no rebound.", self.rules.pause_s),
            ));
        }
        notes
    }
}
