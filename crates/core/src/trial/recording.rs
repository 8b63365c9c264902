//! First step: is the capture fit to be read, and what must be said about it?

use super::{TrialError, spikes};
use crate::capture::{ForceCapture, PlatePlace};
use crate::note::Note;
use crate::signal::{Sampling, Stamps, Trace, window};
use std::ops::Range;

/// Limits on what is accepted. All are engineering choices without a source unless one is named.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Below this rate nothing is read.
    pub least_rate_hz: f64,
    /// Below this rate forces are not integrated: at 200 Hz heights lose about 0.5 cm against
    /// 1000 Hz and at 100 Hz 1.4 cm (60 jumps of 20 footballers, congress abstract, July 2010).
    pub least_integration_rate_hz: f64,
    /// Below this rate a caveat is given (Owen et al. 2014, J Strength Cond Res 28:1552, ask for
    /// 1000 Hz; half of it changes heights by 1 to 2 mm, same abstract).
    pub usual_rate_hz: f64,
    /// Steps that differ from the median by more than this fraction are jitter.
    pub jitter_fraction: f64,
    /// Steps longer than this many medians are missing samples.
    pub gap_steps: f64,
    /// Missing stretches up to this long are bridged by a straight line.
    pub bridged_gap_s: f64,
    /// Spikes of a single sample.
    pub spikes: spikes::Rules,
    /// Nobody standing reads less.
    pub least_standing_n: f64,
    /// Nobody landing reads more: ten times the weight of 250 kg, rounded up.
    pub most_force_n: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            least_rate_hz: 30.0,
            least_integration_rate_hz: 200.0,
            usual_rate_hz: 500.0,
            jitter_fraction: 0.01,
            gap_steps: 1.5,
            bridged_gap_s: 0.010,
            spikes: spikes::Rules::default(),
            least_standing_n: 200.0,
            most_force_n: 25_000.0,
        }
    }
}

/// A capture that passed the checks.
#[derive(Clone, Debug, PartialEq)]
pub struct Recording {
    /// All plates on the floor together.
    pub total: Trace,
    /// Left and right, when each has a plate of its own.
    pub sides: Option<Sides>,
    /// The plate on the box, when there is one.
    pub box_plate_n: Option<Vec<f64>>,
    /// Missing stretches too long to bridge, as pairs of neighbouring samples.
    pub gaps: Vec<Range<usize>>,
    /// Samples a second (median).
    pub rate_hz: f64,
    /// What must be said.
    pub notes: Vec<Note>,
}

/// Force under each foot, on the clock of the total.
#[derive(Clone, Debug, PartialEq)]
pub struct Sides {
    /// Left, newtons.
    pub left_n: Vec<f64>,
    /// Right, newtons.
    pub right_n: Vec<f64>,
}

impl Recording {
    /// Whether samples are missing, beyond bridging, between two samples.
    pub fn gap_within(&self, range: Range<usize>) -> Option<&Range<usize>> {
        self.gaps.iter().find(|gap| gap.start < range.end && gap.end > range.start)
    }
}

/// Checks a force capture and adds up its plates.
pub fn prepare(capture: &ForceCapture, rules: &Rules) -> Result<Recording, TrialError> {
    let count = common_length(capture)?;
    check_finite(capture, count)?;
    let mut notes = capture.notes.clone();
    let clock = read_clock(&capture.time, count, rules, &mut notes)?;
    let channel = |values: &[f64]| clock.keep(&values[..count]);
    let total = clock.keep_owned(sum_of_plates(capture, count));
    let sides = capture.plate(PlatePlace::Left).zip(capture.plate(PlatePlace::Right));
    let mut recording = Recording {
        total: Trace { values: total, sampling: clock.sampling.clone() },
        sides: sides.map(|(left, right)| Sides {
            left_n: channel(&left.vertical_force_n),
            right_n: channel(&right.vertical_force_n),
        }),
        box_plate_n: capture.plate(PlatePlace::Box).map(|plate| channel(&plate.vertical_force_n)),
        gaps: clock.gaps,
        rate_hz: clock.rate_hz,
        notes,
    };
    spikes::bridge(&mut recording, &rules.spikes);
    turn_upright(&mut recording, rules);
    Ok(recording)
}

/// Refuses a recording in which nobody can have stood, or that no person can have made.
pub fn check_scale(recording: &Recording, rules: &Rules) -> Result<(), TrialError> {
    let (_, largest_n) = window::extremes(&recording.total.values);
    if largest_n < rules.least_standing_n {
        return Err(TrialError::NeverLoaded { largest_n, least_n: rules.least_standing_n });
    }
    if largest_n > rules.most_force_n {
        return Err(TrialError::Overloaded { largest_n, most_n: rules.most_force_n });
    }
    Ok(())
}

fn common_length(capture: &ForceCapture) -> Result<usize, TrialError> {
    if capture.plates.iter().all(|plate| plate.place == PlatePlace::Box) {
        return Err(TrialError::Empty);
    }
    let lengths = capture.plates.iter().map(|plate| plate.vertical_force_n.len());
    let shortest = lengths.clone().min().filter(|&count| count > 0).ok_or(TrialError::Empty)?;
    // One sample more on one plate is how two converters stop; more is another recording.
    match capture.plates.iter().find(|plate| plate.vertical_force_n.len() > shortest + 1) {
        Some(plate) => Err(TrialError::UnequalLengths {
            channel: plate.name.clone(),
            found: plate.vertical_force_n.len(),
            expected: shortest,
        }),
        None => Ok(shortest),
    }
}

fn check_finite(capture: &ForceCapture, count: usize) -> Result<(), TrialError> {
    for plate in &capture.plates {
        finite(&plate.name, &plate.vertical_force_n[..count])?;
    }
    Ok(())
}

/// Refuses a channel with a sample that is not a number.
pub(super) fn finite(channel: &str, values: &[f64]) -> Result<(), TrialError> {
    // A chunk is looked at whole: stopping at the first would mean asking one at a time.
    let all_finite = |chunk: &[f64]| chunk.iter().fold(true, |all, value| all & value.is_finite());
    if values.chunks(64).all(all_finite) {
        return Ok(());
    }
    let sample = values.iter().position(|value| !value.is_finite()).unwrap_or_default();
    Err(TrialError::NotFinite { channel: channel.into(), sample })
}

fn sum_of_plates(capture: &ForceCapture, count: usize) -> Vec<f64> {
    let mut floor = capture.plates.iter().filter(|plate| plate.place != PlatePlace::Box);
    let Some(first) = floor.next() else { return Vec::new() };
    let mut total = first.vertical_force_n[..count].to_vec();
    for plate in floor {
        for (sum, value) in total.iter_mut().zip(&plate.vertical_force_n) {
            *sum += value;
        }
    }
    total
}

/// A clock whose time only runs forward.
pub(super) struct Clock {
    pub(super) sampling: Sampling,
    pub(super) rate_hz: f64,
    pub(super) gaps: Vec<Range<usize>>,
    /// Samples whose time repeats the one before; empty as a rule.
    repeated: Vec<usize>,
}

impl Clock {
    pub(super) fn keep(&self, values: &[f64]) -> Vec<f64> {
        self.keep_owned(values.to_vec())
    }

    fn keep_owned(&self, mut values: Vec<f64>) -> Vec<f64> {
        if !self.repeated.is_empty() {
            let mut index = 0;
            values.retain(|_| {
                index += 1;
                self.repeated.binary_search(&(index - 1)).is_err()
            });
        }
        values
    }
}

/// Checks the clock of `count` samples.
pub(super) fn read_clock(
    time: &Sampling,
    count: usize,
    rules: &Rules,
    notes: &mut Vec<Note>,
) -> Result<Clock, TrialError> {
    let clock = match time {
        Sampling::Rate(hz) if *hz > 0.0 && hz.is_finite() => Clock {
            sampling: Sampling::Rate(*hz),
            rate_hz: *hz,
            gaps: Vec::new(),
            repeated: Vec::new(),
        },
        Sampling::Rate(hz) => return Err(TrialError::ImpossibleRate { hz: *hz }),
        Sampling::Stamps(stamps) => read_stamps(stamps, count, rules, notes)?,
    };
    if clock.rate_hz < rules.least_rate_hz {
        return Err(TrialError::TooSlow { hz: clock.rate_hz, least_hz: rules.least_rate_hz });
    }
    Ok(clock)
}

fn read_stamps(
    stamps: &Stamps,
    count: usize,
    rules: &Rules,
    notes: &mut Vec<Note>,
) -> Result<Clock, TrialError> {
    if stamps.len() < count {
        return Err(TrialError::UnequalLengths {
            channel: "time".into(),
            found: stamps.len(),
            expected: count,
        });
    }
    finite("time", &stamps[..count])?;
    let forward = stamps.step_range_s().is_none_or(|(shortest, _)| shortest > 0.0);
    let (kept, repeated) = if stamps.len() == count && forward {
        (stamps.clone(), Vec::new())
    } else {
        let (kept, repeated) = drop_repeated(&stamps[..count])?;
        (Stamps::new(kept), repeated)
    };
    let sampling = Sampling::Stamps(kept);
    let rate_hz = sampling.rate_hz().ok_or(TrialError::OneInstant)?;
    let mut clock = Clock { sampling, rate_hz, gaps: Vec::new(), repeated };
    if !clock.repeated.is_empty() {
        notes.push(Note::new(
            "repeated-time",
            format!(
                "{} samples repeat the time before them and were left out.",
                clock.repeated.len()
            ),
        ));
    }
    describe_steps(&mut clock, rules, notes);
    Ok(clock)
}

fn drop_repeated(stamps: &[f64]) -> Result<(Vec<f64>, Vec<usize>), TrialError> {
    let mut kept = Vec::with_capacity(stamps.len());
    let mut repeated = Vec::new();
    for (sample, &to_s) in stamps.iter().enumerate() {
        match kept.last() {
            Some(&from_s) if to_s < from_s => {
                return Err(TrialError::TimeRunsBackward { sample, from_s, to_s });
            }
            Some(&from_s) if to_s == from_s => repeated.push(sample),
            _ => kept.push(to_s),
        }
    }
    Ok((kept, repeated))
}

fn describe_steps(clock: &mut Clock, rules: &Rules, notes: &mut Vec<Note>) {
    let Sampling::Stamps(stamps) = &clock.sampling else { return };
    let usual_s = 1.0 / clock.rate_hz;
    let steady = |step_s: f64| (step_s / usual_s - 1.0).abs() <= rules.jitter_fraction;
    let range = stamps.step_range_s();
    if range.is_none_or(|(shortest, longest)| {
        steady(shortest) && steady(longest) && longest <= rules.gap_steps * usual_s
    }) {
        return;
    }
    let (mut shortest_s, mut longest_s, mut bridged) = (usual_s, usual_s, 0);
    for index in 1..stamps.len() {
        let step_s = stamps[index] - stamps[index - 1];
        if step_s <= rules.gap_steps * usual_s {
            shortest_s = step_s.min(shortest_s);
            longest_s = step_s.max(longest_s);
        } else if step_s - usual_s <= rules.bridged_gap_s {
            bridged += 1;
        } else {
            clock.gaps.push(index - 1..index);
        }
    }
    let jitter = (longest_s / usual_s - 1.0).max(1.0 - shortest_s / usual_s);
    if jitter > rules.jitter_fraction {
        notes.push(Note::new(
            "rate-jitter",
            format!(
                "Steps between samples vary by up to {:.0} %; the times as recorded are used.",
                jitter * 100.0
            ),
        ));
    }
    if bridged + clock.gaps.len() > 0 {
        notes.push(Note::new(
            "missing-samples",
            format!(
                "Samples are missing in {} places, {} of them longer than {} ms.",
                bridged + clock.gaps.len(),
                clock.gaps.len(),
                rules.bridged_gap_s * 1000.0
            ),
        ));
    }
}

fn turn_upright(recording: &mut Recording, rules: &Rules) {
    let (least, most) = window::extremes(&recording.total.values);
    if -least < rules.least_standing_n || -least < most {
        return;
    }
    let negate = |values: &mut [f64]| values.iter_mut().for_each(|value| *value = -*value);
    negate(&mut recording.total.values);
    if let Some(sides) = &mut recording.sides {
        negate(&mut sides.left_n);
        negate(&mut sides.right_n);
    }
    if let Some(box_plate) = &mut recording.box_plate_n {
        negate(box_plate);
    }
    recording.notes.push(Note::new(
        "upside-down-channel",
        "The force is recorded with down positive; its sign was turned round.",
    ));
}
