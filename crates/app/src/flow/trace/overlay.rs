//! Trials on one clock that begins where all of them do the same thing: jumps at take-off, an
//! isometric effort at its onset, a repetition of a bar where the lift starts. Recordings that hold
//! a series are laid over each other repetition by repetition.

use super::analysis::{Analysis, Signals};
use super::figure::{figure, time_of};
use super::repetitions::{self, Repetition};
use cornerwork_core::estimate::Interval;
use cornerwork_core::report::figure::{Axis, CurvePoint, Decimals, Event, Line, Signal, Trace};
use cornerwork_core::signal::ensemble::{Shifted, Together, together};
use cornerwork_core::trial::{Kind, TrialEvent};

/// Fewest trials whose mean is drawn.
const FEWEST: usize = 3;
/// Step of the mean, seconds.
const STEP_S: f64 = 0.005;
/// The quantities drawn over each other, as the figure of one trial names them, top to bottom.
const DRAWN: [&str; 3] = ["force", "velocity", RISE];
/// What is drawn from where it stands at the start: no lift begins at the same height of the reel.
const RISE: &str = "position";

/// A recording to be laid over others.
pub struct Aligned<'a> {
    /// What its line is called; may be empty.
    pub name: String,
    /// What it shows.
    pub analysis: &'a Analysis,
}

/// What trials of a kind are laid over each other by, in words.
const fn common_event(kind: Kind) -> &'static str {
    match kind {
        Kind::CountermovementJump | Kind::SquatJump | Kind::DropJump | Kind::RepeatedJump => {
            TrialEvent::TakeOff.name()
        }
        Kind::Isometric => TrialEvent::Onset.name(),
        Kind::Bar => "the start of the lift",
    }
}

/// Seconds shown around the common event of whole trials.
const fn window_of(kind: Kind) -> Interval<f64> {
    match kind {
        // The rise and its first windows; the peak seconds later is a number of its own.
        Kind::Isometric => Interval { low: -0.3, high: 1.2 },
        Kind::DropJump => Interval { low: -0.6, high: 0.9 },
        _ => Interval { low: -1.2, high: 0.9 },
    }
}

/// The picture of several recordings of one kind, the first of them in ink; `None` where there is
/// nothing to lay over each other.
pub fn overlay(recordings: &[Aligned<'_>]) -> Option<Trace> {
    let (own, others) = recordings.split_first()?;
    match repetitions::of(own.analysis) {
        Some(own_reps) => of_series(own, &own_reps, others),
        None => of_trials(recordings),
    }
}

/// One line to come: a stretch of a picture on the common clock.
struct Piece {
    name: String,
    picture: Trace,
    zero_s: f64,
}

impl Piece {
    /// A stretch around an instant of a picture, in seconds from that instant.
    fn cut(name: String, picture: &Trace, zero_s: f64, around: Interval<f64>) -> Self {
        let over = Interval { low: zero_s + around.low, high: zero_s + around.high };
        Self { name, picture: picture.within(over), zero_s }
    }

    fn line(&self, quantity: &str) -> Option<(&Axis, Line)> {
        let found = self.picture.signals.iter().find(|signal| signal.axis.quantity == quantity);
        let signal = found?;
        let line = signal.lines.first()?;
        let mut line =
            Line { name: self.name.clone(), start: line.start - self.zero_s, ..line.clone() };
        if quantity == RISE {
            let ground = shifted(&line).at(0.0)?;
            line.values.iter_mut().for_each(|value| *value -= ground);
        }
        Some((&signal.axis, line))
    }
}

fn shifted(line: &Line) -> Shifted<'_> {
    Shifted { start_s: line.start, step_s: line.step, values: &line.values }
}

fn of_trials(trials: &[Aligned<'_>]) -> Option<Trace> {
    let kind = trials.first()?.analysis.kind;
    let event = match kind {
        Kind::Isometric => TrialEvent::Onset,
        _ => TrialEvent::TakeOff,
    };
    let pieces: Vec<Piece> = trials
        .iter()
        .filter_map(|trial| {
            let zero_s = time_of(trial.analysis, event)?;
            let picture = figure(trial.analysis);
            Some(Piece::cut(trial.name.clone(), &picture, zero_s, window_of(kind)))
        })
        .collect();
    let count = pieces.len();
    let signals = DRAWN.iter().filter_map(|quantity| {
        let (axis, lines) = lines(quantity, &pieces)?;
        Some(with_mean(axis, lines, count, Vec::new()))
    });
    let said = format!(
        "{count} trials laid over each other at {}. The one of this page is drawn in ink.",
        event.name()
    );
    let signals = signals.collect();
    (count > 1).then(|| picture(kind, format!("{count} trials over each other"), said, signals))
}

/// The repetitions of one recording, the best in ink, with their mean and band; of every other
/// recording the mean of its repetitions.
fn of_series(own: &Aligned<'_>, reps: &[Repetition], others: &[Aligned<'_>]) -> Option<Trace> {
    let kind = own.analysis.kind;
    let pieces = pieces(own.analysis, reps);
    let means: Vec<(String, Vec<Piece>)> = others
        .iter()
        .filter_map(|other| {
            let reps = repetitions::of(other.analysis)?;
            let name = format!("{}, mean of {}", other.name, reps.len());
            Some((name, self::pieces(other.analysis, &reps)))
        })
        .collect();
    if pieces.len() + means.len() < 2 {
        return None;
    }
    let signals = DRAWN.iter().filter_map(|quantity| {
        let (axis, mut own) = lines(quantity, &pieces)?;
        own.iter_mut().skip(1).for_each(|line| line.faint = true);
        let others = means.iter().filter_map(|(name, pieces)| {
            let (_, lines) = lines(quantity, pieces)?;
            Some(mean_line(name.clone(), &lines))
        });
        Some(with_mean(axis, own, pieces.len(), others.collect()))
    });
    let (count, word) = (reps.len(), repetitions::word(kind)?);
    let said = format!(
        "{count} {word} laid over each other at {}. The {}, {}, is drawn in ink.",
        common_event(kind),
        repetitions::best(kind),
        reps.first()?.name
    );
    let signals = signals.collect();
    Some(picture(kind, format!("{count} {word} over each other"), said, signals))
}

fn pieces(analysis: &Analysis, reps: &[Repetition]) -> Vec<Piece> {
    let picture = figure(analysis);
    let cut = |rep: &Repetition| Piece::cut(rep.name.clone(), &picture, rep.zero_s, rep.around_s);
    reps.iter().map(cut).collect()
}

fn picture(kind: Kind, title: String, description: String, signals: Vec<Signal>) -> Trace {
    let event = common_event(kind);
    Trace {
        title,
        description,
        time: Axis::new(format!("time from {event}"), "s", Decimals::UpTo(2)),
        signals,
        phases: Vec::new(),
        events: vec![Event { at: 0.0, name: event.trim_start_matches("the ").to_owned() }],
    }
}

/// One quantity of all pieces, and its axis; `None` where none of them has it.
fn lines(quantity: &str, pieces: &[Piece]) -> Option<(Axis, Vec<Line>)> {
    let mut found = pieces.iter().filter_map(|piece| piece.line(quantity));
    let (axis, first) = found.next()?;
    let axis = match quantity {
        RISE => Axis::new("rise from the start", "m", Decimals::Exactly(2)),
        _ => axis.clone(),
    };
    let rest: Vec<Line> = found.map(|(_, line)| line).collect();
    Some((axis, std::iter::once(first).chain(rest).collect()))
}

/// The panel of a quantity: mean and band of its lines where there are enough of them, and further
/// lines that do not go into the mean.
fn with_mean(axis: Axis, mut lines: Vec<Line>, count: usize, further: Vec<Line>) -> Signal {
    let mean = if count >= FEWEST { mean_of(&lines) } else { Vec::new() };
    let mean_name = match mean.len() {
        0 => String::new(),
        _ => format!("mean of {}, band one standard deviation", lines.len()),
    };
    lines.extend(further);
    let point =
        |at: &Together| CurvePoint::new(at.time_s, at.mean, at.mean - at.sd, at.mean + at.sd);
    Signal { axis, mean: mean.iter().map(point).collect(), mean_name, lines, levels: Vec::new() }
}

fn mean_of(lines: &[Line]) -> Vec<Together> {
    let all: Vec<Shifted<'_>> = lines.iter().map(shifted).collect();
    together(&all, STEP_S)
}

/// The mean of several lines as a line; the line itself where there is one.
fn mean_line(name: String, lines: &[Line]) -> Line {
    if let [only] = lines {
        return Line { name, ..only.clone() };
    }
    let mean = mean_of(lines);
    let start = mean.first().map_or(0.0, |at| at.time_s);
    Line {
        name,
        faint: false,
        start,
        step: STEP_S,
        values: mean.iter().map(|at| at.mean).collect(),
    }
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
