//! The picture of a recording: its signals on one time axis, with phases and events by name.

use super::analysis::{Analysis, Kind, Signals};
use cornerwork_core::estimate::Interval;
use cornerwork_core::metrics::timing;
use cornerwork_core::report::figure::{Axis, Decimals, Event, Line, Mark, Phase, Signal, Trace};
use cornerwork_core::signal::{self, Moment, Sampling};
use cornerwork_core::trial::TrialEvent;
use cornerwork_core::trial::motion::Motion;
use cornerwork_core::trial::recording::Recording;
use cornerwork_core::words::capitalised;

/// The picture.
pub fn figure(analysis: &Analysis) -> Trace {
    Trace {
        title: capitalised(analysis.kind.name()),
        description: describe(analysis),
        time: Axis::time(),
        signals: match &analysis.signals {
            Signals::Force { recording, motion, weight_n } => {
                of_force(recording, motion.as_ref(), *weight_n)
            }
            Signals::Bar { position, velocity_m_s, start_s } => {
                of_bar(position, velocity_m_s, *start_s)
            }
        },
        phases: phases(analysis),
        events: events(analysis),
    }
}

/// Phases by name; of a series its repetitions by number.
fn phases(analysis: &Analysis) -> Vec<Phase> {
    let phase = |low: f64, high: f64, name: String| Phase { over: Interval { low, high }, name };
    let hops = analysis.hops.iter().enumerate().map(|(index, hop)| {
        let from_s = hop.touch_down_s;
        phase(from_s, from_s + hop.contact_s + hop.flight_s, format!("hop {}", index + 1))
    });
    let named = analysis.phases.iter().enumerate().map(|(index, (name, from_s, to_s))| {
        let name = match analysis.kind {
            Kind::Bar => format!("rep {}", index + 1),
            _ => (*name).to_owned(),
        };
        phase(*from_s, *to_s, name)
    });
    match analysis.kind {
        Kind::RepeatedJump => hops.collect(),
        _ => named.collect(),
    }
}

fn describe(analysis: &Analysis) -> String {
    let phases = phases(analysis)
        .iter()
        .map(|Phase { name, over }| format!("{name} from {:.2} to {:.2} s", over.low, over.high))
        .collect::<Vec<_>>()
        .join(", ");
    format!("{}: {phases}.", analysis.kind.name())
}

/// When an event happened, seconds of the recording; `None` where it was not found.
pub fn time_of(analysis: &Analysis, event: TrialEvent) -> Option<f64> {
    let set = analysis.sets.first()?;
    match event {
        TrialEvent::Weighing => {
            let weighing = analysis.phases.iter().find(|(name, ..)| *name == event.name());
            weighing.map(|(_, from, _)| *from)
        }
        TrialEvent::Onset => set.value(&timing::ONSET),
        TrialEvent::TouchDown => set.value(&timing::TOUCH_DOWN),
        TrialEvent::TakeOff => set.value(&timing::TAKE_OFF),
        TrialEvent::Landing => set.value(&timing::LANDING),
    }
}

/// Events by name; the weighing is a phase and no instant.
fn events(analysis: &Analysis) -> Vec<Event> {
    let instants = TrialEvent::ALL.into_iter().filter(|event| *event != TrialEvent::Weighing);
    instants
        .filter_map(|event| {
            Some(Event { at: time_of(analysis, event)?, name: event.name().to_owned() })
        })
        .collect()
}

fn of_force(recording: &Recording, motion: Option<&Motion>, weight_n: Option<f64>) -> Vec<Signal> {
    let sampling = &recording.total.sampling;
    let line = |name: &str, values: &[f64]| line(name, sampling, 0, values);
    let mut force = Signal::line(
        Axis::new("force", "N", Decimals::Exactly(0)),
        line(if recording.sides.is_some() { "total" } else { "" }, &recording.total.values),
    );
    if let Some(sides) = &recording.sides {
        force.lines.push(line("left", &sides.left_n));
        force.lines.push(line("right", &sides.right_n));
    }
    force.levels.extend(weight_n.map(|at| Mark { at, name: "weight".into() }));
    let mut signals = vec![force];
    if let Some(motion) = motion {
        signals.extend(of_motion(sampling, &recording.total, motion));
    }
    signals
}

fn of_motion(sampling: &Sampling, force: &signal::Trace, motion: &Motion) -> Vec<Signal> {
    let start = motion.start;
    let panel = |quantity: &str, unit: &str, decimals, values: &[f64]| {
        let axis = Axis::new(quantity, unit, Decimals::Exactly(decimals));
        Signal::line(axis, line("", sampling, start, values))
    };
    let power: Vec<f64> =
        motion.velocity_m_s.iter().zip(&force.values[start..]).map(|(v, f)| v * f).collect();
    vec![
        panel("velocity", "m/s", 2, &motion.velocity_m_s),
        panel("displacement", "m", 2, &motion.displacement_m),
        panel("power", "W", 0, &power),
    ]
}

fn of_bar(position: &signal::Trace, velocity_m_s: &[f64], start_s: f64) -> Vec<Signal> {
    let shifted = |values: &[f64]| {
        let mut line = line("", &position.sampling, 0, values);
        line.start += start_s;
        line
    };
    vec![
        Signal::line(Axis::new("position", "m", Decimals::Exactly(2)), shifted(&position.values)),
        Signal::line(Axis::new("velocity", "m/s", Decimals::Exactly(2)), shifted(velocity_m_s)),
    ]
}

/// A line at an even step: as sampled, or by straight lines where the clock is uneven.
fn line(name: &str, sampling: &Sampling, from: usize, values: &[f64]) -> Line {
    let step = sampling.rate_hz().map_or(1.0, |hz| 1.0 / hz);
    let start = if values.is_empty() { 0.0 } else { sampling.time_s(from) };
    let values = match sampling {
        Sampling::Rate(_) => values.to_vec(),
        Sampling::Stamps(stamps) => even(&stamps[from..from + values.len()], step, values),
    };
    Line { name: name.to_owned(), faint: false, start, step, values }
}

fn even(stamps: &[f64], step: f64, values: &[f64]) -> Vec<f64> {
    let (Some(first), Some(last)) = (stamps.first(), stamps.last()) else { return Vec::new() };
    let count = ((last - first) / step).round() as usize + 1;
    let mut before = 0;
    (0..count)
        .map(|index| {
            let at = (step.mul_add(index as f64, *first)).min(*last);
            while before + 1 < stamps.len() && stamps[before + 1] <= at {
                before += 1;
            }
            if before + 1 == stamps.len() {
                return values[before];
            }
            let fraction = (at - stamps[before]) / (stamps[before + 1] - stamps[before]);
            Moment { before, fraction }.of(values)
        })
        .collect()
}
