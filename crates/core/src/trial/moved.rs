//! Events put right by a person who looked at the trace.
//!
//! A rule finds an event in most recordings and misses it in some. A time stated by a person
//! stands in its place, and everything that follows from it is computed anew.

use super::TrialError;
use super::flight::Flight;
use super::onset::{self, Onset};
use super::weighing::Weighing;
use crate::note::Note;
use crate::signal::{Moment, Trace, crossing};
use std::ops::Range;

/// An event of a trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum TrialEvent {
    /// The second in which the system is weighed begins.
    Weighing,
    /// The movement begins.
    Onset,
    /// The feet come down from a box.
    TouchDown,
    /// The feet leave the ground.
    TakeOff,
    /// They come down again.
    Landing,
}

impl TrialEvent {
    /// Every event.
    pub const ALL: [Self; 5] =
        [Self::Weighing, Self::Onset, Self::TouchDown, Self::TakeOff, Self::Landing];

    /// Its name; with a hyphen for a blank also its id.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Weighing => "weighing",
            Self::Onset => "onset",
            Self::TouchDown => "touch-down",
            Self::TakeOff => "take-off",
            Self::Landing => "landing",
        }
    }

    /// The event of a name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|event| event.name() == name)
    }
}

/// Where a person put events, in seconds of the recording; what is `None` the rules find.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MovedEvents {
    /// Beginning of the weighing.
    pub weighing_s: Option<f64>,
    /// Onset.
    pub onset_s: Option<f64>,
    /// Touch-down from a box.
    pub touch_down_s: Option<f64>,
    /// Take-off.
    pub take_off_s: Option<f64>,
    /// Landing.
    pub landing_s: Option<f64>,
}

/// A plate that bears more than this has somebody on it (engineering choice: the least mean of a
/// weighing).
const BEARS_SOMEBODY_N: f64 = 200.0;

impl MovedEvents {
    /// Where an event was put.
    pub const fn at(&self, event: TrialEvent) -> Option<f64> {
        match event {
            TrialEvent::Weighing => self.weighing_s,
            TrialEvent::Onset => self.onset_s,
            TrialEvent::TouchDown => self.touch_down_s,
            TrialEvent::TakeOff => self.take_off_s,
            TrialEvent::Landing => self.landing_s,
        }
    }

    /// Puts an event somewhere, or leaves it to the rules again.
    pub const fn put(&mut self, event: TrialEvent, time_s: Option<f64>) {
        let place = match event {
            TrialEvent::Weighing => &mut self.weighing_s,
            TrialEvent::Onset => &mut self.onset_s,
            TrialEvent::TouchDown => &mut self.touch_down_s,
            TrialEvent::TakeOff => &mut self.take_off_s,
            TrialEvent::Landing => &mut self.landing_s,
        };
        *place = time_s;
    }

    /// What must be said about numbers that rest on moved events.
    pub fn notes(&self) -> Vec<Note> {
        let moved = TrialEvent::ALL.into_iter().filter_map(|event| Some((event, self.at(event)?)));
        moved
            .map(|(event, time_s)| {
                let text = format!("The {} was set by a person, at {time_s:.3} s.", event.name());
                Note::new("event-moved", text)
            })
            .collect()
    }

    /// An event as a moment of the trace: where it was put, else where the rules found it.
    ///
    /// # Errors
    /// [`TrialError::EventOutside`] when it was put where there is no recording.
    pub(super) fn moment(
        &self,
        event: TrialEvent,
        trace: &Trace,
        found: Moment,
    ) -> Result<Moment, TrialError> {
        let Some(time_s) = self.at(event) else { return Ok(found) };
        crossing::moment_at(&trace.sampling, trace.len(), time_s)
            .ok_or(TrialError::EventOutside { event: event.name(), time_s })
    }

    /// A flight with take-off and landing where they were put.
    pub(super) fn flight(&self, trace: &Trace, found: Flight) -> Result<Flight, TrialError> {
        let take_off = self.moment(TrialEvent::TakeOff, trace, found.take_off)?;
        let landing = self.moment(TrialEvent::Landing, trace, found.landing)?;
        in_order(
            trace,
            (TrialEvent::TakeOff.name(), take_off),
            (TrialEvent::Landing.name(), landing),
        )?;
        if self.take_off_s.or(self.landing_s).is_some() {
            in_the_air(trace, take_off, landing)?;
        }
        let landed = found.landed || self.landing_s.is_some();
        Ok(Flight { take_off, landing, landed, ..found })
    }

    /// An onset where it was put, at the nearest sample; `None` when the rules shall find it. What
    /// it must precede is another event or the largest force.
    pub(super) fn onset(
        &self,
        trace: &Trace,
        weighing: &Weighing,
        rules: &onset::Rules,
        (later, later_at): (&'static str, Moment),
    ) -> Result<Option<Onset>, TrialError> {
        if self.onset_s.is_none() {
            return Ok(None);
        }
        let at = nearest(self.moment(TrialEvent::Onset, trace, Moment::at(0))?);
        in_order(trace, (TrialEvent::Onset.name(), at), (later, later_at))?;
        Ok(Some(Onset {
            at,
            excursion: at.before,
            threshold_n: rules.threshold_n(weighing),
            upward: false,
        }))
    }

    /// The window of a weighing that was put at a time, if it lies within a range.
    pub(super) fn weighing(
        trace: &Trace,
        from_s: f64,
        width: usize,
        within: &Range<usize>,
    ) -> Option<Range<usize>> {
        let start = nearest(crossing::moment_at(&trace.sampling, trace.len(), from_s)?).before;
        let window = start..start + width;
        (window.start >= within.start && window.end <= within.end).then_some(window)
    }
}

/// Refuses events in the wrong order.
pub(super) fn in_order(
    trace: &Trace,
    (first, first_at): (&'static str, Moment),
    (second, second_at): (&'static str, Moment),
) -> Result<(), TrialError> {
    let (first_s, second_s) = (trace.time_s(first_at), trace.time_s(second_at));
    if first_s < second_s {
        Ok(())
    } else {
        Err(TrialError::EventsOutOfOrder { first, first_s, second, second_s })
    }
}

/// Refuses a flight over a plate that bears somebody.
fn in_the_air(trace: &Trace, take_off: Moment, landing: Moment) -> Result<(), TrialError> {
    let end = landing.before.min(trace.len().saturating_sub(1));
    let force = &trace.values[take_off.before.min(end)..=end];
    // An event dragged into the push or the landing takes a part of it along.
    let borne = force.iter().filter(|&&force_n| force_n > BEARS_SOMEBODY_N).count();
    if 2 * borne <= force.len() {
        return Ok(());
    }
    let mean_n = force.iter().sum::<f64>() / force.len() as f64;
    let (take_off_s, landing_s) = (trace.time_s(take_off), trace.time_s(landing));
    Err(TrialError::NotInTheAir { take_off_s, landing_s, mean_n })
}

const fn nearest(moment: Moment) -> Moment {
    Moment::at(if moment.fraction < 0.5 { moment.before } else { moment.before + 1 })
}
