//! The trace: signals on a shared time axis, with their phases and events by name.

use super::{Axis, CurvePoint, Table, span};
use crate::estimate::Interval;

/// One or more signals on time.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Heading.
    pub title: String,
    /// The finding in words.
    pub description: String,
    /// The shared time.
    pub time: Axis,
    /// One panel a quantity, top to bottom.
    pub signals: Vec<Signal>,
    /// Stretches of time, in order, by name.
    pub phases: Vec<Phase>,
    /// Moments by name.
    pub events: Vec<Event>,
}

/// One panel: what is measured, as lines, perhaps with a mean and its band.
#[derive(Clone, Debug, PartialEq)]
pub struct Signal {
    /// What is measured.
    pub axis: Axis,
    /// The lines, the athlete's first.
    pub lines: Vec<Line>,
    /// Mean of several trials and its band, in order of time; empty when there is none.
    pub mean: Vec<CurvePoint>,
    /// What the mean is of: "mean of 5 jumps"; empty when there is none.
    pub mean_name: String,
    /// Levels by name: body weight.
    pub levels: Vec<super::Mark>,
}

impl Signal {
    /// A panel of one line and nothing else.
    pub fn line(axis: Axis, line: Line) -> Self {
        Self {
            axis,
            lines: vec![line],
            mean: Vec::new(),
            mean_name: String::new(),
            levels: Vec::new(),
        }
    }
}

/// One line sampled at a steady rate.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What the line is, where there are several: "left"; may be empty.
    pub name: String,
    /// Whether it is one of many: drawn thin, and named in the table only.
    pub faint: bool,
    /// Time of the first sample, on the shared axis.
    pub start: f64,
    /// Time from one sample to the next.
    pub step: f64,
    /// The samples; one that is not finite is a gap in the line.
    pub values: Vec<f64>,
}

impl Line {
    /// The samples with their times.
    pub fn samples(&self) -> impl Iterator<Item = (f64, f64)> {
        self.values
            .iter()
            .enumerate()
            .map(|(index, value)| (self.step.mul_add(index as f64, self.start), *value))
    }
    /// What lies between two times, with one sample more on each side so that the line runs
    /// through to the edge.
    fn within(&self, over: Interval<f64>) -> Self {
        let place = |time: f64| ((time - self.start) / self.step).max(0.0);
        let first = (place(over.low).floor() as usize).min(self.values.len());
        let end = (place(over.high).ceil() as usize + 1).clamp(first, self.values.len());
        Self {
            start: self.step.mul_add(first as f64, self.start),
            values: self.values[first..end].to_vec(),
            name: self.name.clone(),
            faint: self.faint,
            step: self.step,
        }
    }
    /// Time of the last sample; the start when there is none.
    pub fn end(&self) -> f64 {
        self.step.mul_add(self.values.len().saturating_sub(1) as f64, self.start)
    }
}

/// A stretch of time with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// From when to when.
    pub over: Interval<f64>,
    /// Its name: "braking".
    pub name: String,
}

/// A moment with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// When.
    pub at: f64,
    /// Its name: "take-off".
    pub name: String,
}

impl Trace {
    /// The stretch of the trace between two times: samples, phases and events in it.
    #[must_use]
    pub fn within(&self, over: Interval<f64>) -> Self {
        let inside = |time: f64| over.low <= time && time <= over.high;
        let cut = |signal: &Signal| Signal {
            axis: signal.axis.clone(),
            lines: signal.lines.iter().map(|line| line.within(over)).collect(),
            mean: signal.mean.iter().filter(|point| inside(point.across)).copied().collect(),
            mean_name: signal.mean_name.clone(),
            levels: signal.levels.clone(),
        };
        let shorten = |phase: &Phase| {
            let (low, high) = (phase.over.low.max(over.low), phase.over.high.min(over.high));
            (low < high).then(|| Phase { over: Interval { low, high }, name: phase.name.clone() })
        };
        Self {
            title: self.title.clone(),
            description: self.description.clone(),
            time: self.time.clone(),
            signals: self.signals.iter().map(cut).collect(),
            phases: self.phases.iter().filter_map(shorten).collect(),
            events: self.events.iter().filter(|event| inside(event.at)).cloned().collect(),
        }
    }
    /// Events, phases, and the lowest and highest of each line with their times: what one reads
    /// off a trace. The samples themselves are the capture, not a table for reading.
    pub fn table(&self) -> Table {
        let time = |at: f64| self.time.number(at);
        let mut table = Table::new(["what".to_owned(), self.time.label(), "value".to_owned()]);
        for event in &self.events {
            table.row([event.name.as_str(), &time(event.at), ""]);
        }
        for phase in &self.phases {
            let over = format!("{} to {}", time(phase.over.low), time(phase.over.high));
            table.row([phase.name.as_str(), &over, ""]);
        }
        for signal in &self.signals {
            for line in &signal.lines {
                for (what, sample) in extremes(line) {
                    let name = [signal.axis.quantity.as_str(), line.name.as_str(), what]
                        .into_iter()
                        .filter(|part| !part.is_empty())
                        .collect::<Vec<_>>()
                        .join(", ");
                    table.row([name, time(sample.0), signal.axis.value(sample.1)]);
                }
            }
            for (what, point) in ends_of_mean(&signal.mean) {
                let name = format!("{}, {}, {what}", signal.axis.quantity, signal.mean_name);
                let value = match point.interval {
                    Some(Interval { low, high }) => {
                        let number = |value: f64| signal.axis.number(value);
                        let value = signal.axis.value(point.up);
                        format!("{value} ({} to {})", number(low), number(high))
                    }
                    None => signal.axis.value(point.up),
                };
                table.row([name, time(point.across), value]);
            }
            for level in &signal.levels {
                table.row([level.name.as_str(), "", &signal.axis.value(level.at)]);
            }
        }
        table
    }
    /// The time all lines, means, phases and events span together.
    pub fn duration(&self) -> Option<Interval<f64>> {
        let lines = self.signals.iter().flat_map(|signal| {
            let ends = signal
                .lines
                .iter()
                .filter(|line| !line.values.is_empty())
                .flat_map(|line| [line.start, line.end()]);
            ends.chain(signal.mean.iter().map(|point| point.across))
        });
        span(lines).or_else(|| {
            let phases = self.phases.iter().flat_map(|phase| [phase.over.low, phase.over.high]);
            span(phases.chain(self.events.iter().map(|event| event.at)))
        })
    }
}

/// The lowest and the highest sample of a line, nothing when it has none.
fn extremes(line: &Line) -> impl Iterator<Item = (&'static str, (f64, f64))> {
    let finite = || line.samples().filter(|(_, value)| value.is_finite());
    let lowest = finite().min_by(|one, other| one.1.total_cmp(&other.1));
    let highest = finite().max_by(|one, other| one.1.total_cmp(&other.1));
    [("lowest", lowest), ("highest", highest)]
        .into_iter()
        .filter_map(|(what, sample)| Some((what, sample?)))
}

/// The lowest and the highest point of a mean, with what its band spans there.
fn ends_of_mean(mean: &[CurvePoint]) -> impl Iterator<Item = (&'static str, &CurvePoint)> {
    let lowest = mean.iter().min_by(|one, other| one.up.total_cmp(&other.up));
    let highest = mean.iter().max_by(|one, other| one.up.total_cmp(&other.up));
    [("lowest", lowest), ("highest", highest)]
        .into_iter()
        .filter_map(|(what, point)| Some((what, point?)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::figure::Decimals;

    #[test]
    fn a_stretch_keeps_what_lies_in_it() {
        let line =
            Line { name: String::new(), faint: false, start: 1.0, step: 0.5, values: vec![1.0; 9] };
        let phase = |low, high| Phase { over: Interval { low, high }, name: String::new() };
        let event = |at| Event { at, name: String::new() };
        let trace = Trace {
            title: String::new(),
            description: String::new(),
            time: Axis::time(),
            signals: vec![Signal::line(Axis::time(), line)],
            phases: vec![phase(1.0, 2.2), phase(2.2, 3.0), phase(3.0, 5.0), phase(4.0, 5.0)],
            events: vec![event(1.0), event(2.5), event(4.9)],
        };
        let part = trace.within(Interval { low: 2.1, high: 3.4 });
        let kept = &part.signals[0].lines[0];
        assert_eq!((kept.start, kept.end()), (2.0, 3.5));
        let over = [(2.1, 2.2), (2.2, 3.0), (3.0, 3.4)];
        assert_eq!(part.phases, over.map(|(low, high)| phase(low, high)));
        assert_eq!(part.events, [event(2.5)]);
        let nothing = part.within(Interval { low: 90.0, high: 91.0 });
        assert!(nothing.signals[0].lines[0].values.is_empty() && nothing.events.is_empty());
    }

    #[test]
    fn the_table_reads_extremes_with_their_times_and_skips_gaps() {
        let force = Axis::new("force", "N", Decimals::Exactly(0));
        let line = Line {
            name: String::new(),
            faint: false,
            start: 1.0,
            step: 0.5,
            values: vec![f64::NAN, 700.0, 1500.0, 20.0],
        };
        let trace = Trace {
            title: String::new(),
            description: String::new(),
            time: Axis::time(),
            signals: vec![Signal::line(force, line)],
            phases: vec![],
            events: vec![Event { at: 2.1, name: "take-off".into() }],
        };
        let rows = trace.table().rows;
        assert_eq!(rows[0], ["take-off", "2.10", ""]);
        assert_eq!(rows[1], ["force, lowest", "2.50", "20 N"]);
        assert_eq!(rows[2], ["force, highest", "2.00", "1500 N"]);
        assert_eq!(trace.duration(), Some(Interval { low: 1.0, high: 2.5 }));
    }

    #[test]
    fn the_table_reads_the_mean_with_its_band() {
        let force = Axis::new("force", "N", Decimals::Exactly(0));
        let line = Line { name: "a".into(), faint: true, start: 0.0, step: 1.0, values: vec![3.0] };
        let point = |across, up: f64| CurvePoint::new(across, up, up - 50.0, up + 50.0);
        let signal = Signal {
            mean: vec![point(0.5, 800.0), point(1.5, 1900.0)],
            mean_name: "mean of 3".into(),
            ..Signal::line(force, line)
        };
        let trace = Trace {
            title: String::new(),
            description: String::new(),
            time: Axis::time(),
            signals: vec![signal],
            phases: vec![],
            events: vec![],
        };
        let rows = trace.table().rows;
        assert_eq!(rows[2], ["force, mean of 3, lowest", "0.50", "800 N (750 to 850)"]);
        assert_eq!(rows[3], ["force, mean of 3, highest", "1.50", "1900 N (1850 to 1950)"]);
    }
}
