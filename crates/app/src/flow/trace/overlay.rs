//! Several recordings on one clock that begins where all of them do the same thing: at take-off,
//! or at the onset of an isometric effort.

use super::analysis::{Analysis, Signals};
use super::figure::{figure, time_of};
use cornerwork_core::estimate::Interval;
use cornerwork_core::report::figure::{Axis, CurvePoint, Decimals, Event, Line, Signal, Trace};
use cornerwork_core::signal::ensemble::{Shifted, together};
use cornerwork_core::trial::{Kind, TrialEvent};

/// Fewest trials whose mean is drawn.
const FEWEST: usize = 3;
/// Step of the mean, seconds.
const STEP_S: f64 = 0.005;
/// Shown before and after the common event, seconds.
const BEFORE_S: f64 = 1.2;
const AFTER_S: f64 = 0.9;
/// The quantities drawn over each other, as the figure of one trial names them.
const DRAWN: [&str; 2] = ["force", "velocity"];

/// A trial to be laid over others.
pub struct Aligned<'a> {
    /// What its line is called; may be empty.
    pub name: String,
    /// What it shows.
    pub analysis: &'a Analysis,
}

/// The event trials of a kind are laid over each other at; `None` for a series.
const fn common_event(kind: Kind) -> Option<TrialEvent> {
    match kind {
        Kind::CountermovementJump | Kind::SquatJump | Kind::DropJump => Some(TrialEvent::TakeOff),
        Kind::Isometric => Some(TrialEvent::Onset),
        Kind::RepeatedJump | Kind::Bar => None,
    }
}

/// Whether trials of a kind can be laid over each other.
pub const fn can_be_aligned(kind: Kind) -> bool {
    common_event(kind).is_some()
}

/// The picture of several trials of one kind, the first of them in ink; `None` where there is
/// nothing to align them by.
pub fn overlay(trials: &[Aligned<'_>]) -> Option<Trace> {
    let kind = trials.first()?.analysis.kind;
    let event = common_event(kind)?;
    let aligned: Vec<(&Aligned<'_>, f64)> =
        trials.iter().filter_map(|trial| Some((trial, time_of(trial.analysis, event)?))).collect();
    if aligned.len() < 2 {
        return None;
    }
    let pictures: Vec<(&str, f64, Trace)> = aligned
        .iter()
        .map(|(trial, zero_s)| (trial.name.as_str(), *zero_s, figure(trial.analysis)))
        .collect();
    let signals = DRAWN.iter().filter_map(|quantity| signal(quantity, &pictures)).collect();
    let trace = Trace {
        title: format!("{} trials over each other", aligned.len()),
        description: format!(
            "{} trials laid over each other at {}. The one of this page is drawn in ink.",
            aligned.len(),
            event.name()
        ),
        time: Axis::new(format!("time from {}", event.name()), "s", Decimals::UpTo(2)),
        signals,
        phases: Vec::new(),
        events: vec![Event { at: 0.0, name: event.name().to_owned() }],
    };
    Some(trace.within(Interval { low: -BEFORE_S, high: AFTER_S }))
}

/// One quantity of all trials, with mean and band where there are enough of them.
fn signal(quantity: &str, pictures: &[(&str, f64, Trace)]) -> Option<Signal> {
    let mut axis = None;
    let mut lines: Vec<Line> = Vec::new();
    for (name, zero_s, picture) in pictures {
        let found = picture.signals.iter().find(|signal| signal.axis.quantity == quantity);
        let Some(signal) = found else { continue };
        let Some(line) = signal.lines.first() else { continue };
        axis.get_or_insert_with(|| signal.axis.clone());
        lines.push(Line { name: (*name).to_owned(), start: line.start - zero_s, ..line.clone() });
    }
    let all: Vec<Shifted<'_>> = lines
        .iter()
        .map(|line| Shifted { start_s: line.start, step_s: line.step, values: &line.values })
        .collect();
    let mean = if all.len() >= FEWEST { together(&all, STEP_S) } else { Vec::new() };
    let mean_name = match mean.len() {
        0 => String::new(),
        _ => format!("mean of {}, band one standard deviation", all.len()),
    };
    Some(Signal {
        axis: axis?,
        mean: mean
            .iter()
            .map(|at| CurvePoint::new(at.time_s, at.mean, at.mean - at.sd, at.mean + at.sd))
            .collect(),
        mean_name,
        lines,
        levels: Vec::new(),
    })
}

impl Analysis {
    /// Seconds the recording spans.
    pub fn span_s(&self) -> Interval<f64> {
        let (start_s, end_s) = match &self.signals {
            Signals::Force { recording, .. } => {
                let trace = &recording.total;
                (trace.sampling.time_s(0), trace.time_s(trace.end()))
            }
            Signals::Bar { position, start_s, .. } => {
                (*start_s, start_s + position.time_s(position.end()))
            }
        };
        Interval { low: start_s, high: end_s }
    }
}
