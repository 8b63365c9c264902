//! Whether the zero of a plate wanders, seen while the plate is empty.
//!
//! Drift while a plate is loaded cannot be told from body weight, so nothing is taken off unless
//! asked for ([`Rules::level_zero`]); readings of the empty plate that differ are always mentioned.

use super::flight::{Rules, middle_half};
use super::recording::Recording;
use crate::note::Note;
use crate::signal::{Moment, Sampling, window};
use std::ops::Range;

/// The zero of one plate, or of all together, as a straight line through its readings.
#[derive(Clone, Copy)]
struct Line {
    from_n: f64,
    from_s: f64,
    slope_n_s: f64,
}

/// Mentions a drifting zero, or takes it off if that was asked for and it is small enough. True
/// when forces were changed.
pub(super) fn judge(recording: &mut Recording, light: &[Range<usize>], rules: &Rules) -> bool {
    let empty = readings(recording, light, rules);
    let trace = &recording.total;
    let Some(total) = line(&trace.values, &trace.sampling, &empty) else { return false };
    let (low_n, high_n) = spread(&trace.values, &empty);
    if high_n - low_n <= rules.zero_drift_n {
        return false;
    }
    let slope = total.slope_n_s;
    let seen = format!(
        "The empty plate reads {low_n:.1} N at one time and {high_n:.1} N at another, \
         {slope:+.1} N/s"
    );
    if !rules.level_zero {
        recording.notes.push(Note::new(
            "zero-drift",
            format!(
                "{seen}; heights lean on it. Let the plate warm up, or have the drift taken off."
            ),
        ));
        return false;
    }
    if slope.abs() > rules.largest_drift_n_s {
        recording.notes.push(Note::new(
            "zero-drift",
            format!("{seen}: too steep to be taken off. Let the plate warm up and record again."),
        ));
        return false;
    }
    take_off(recording, &empty, total);
    recording.notes.push(Note::new(
        "zero-drift-taken-off",
        format!("{seen}; a straight line through these readings was taken off."),
    ));
    true
}

/// Stretches of empty plate long enough to be read, their middle halves.
fn readings(recording: &Recording, light: &[Range<usize>], rules: &Rules) -> Vec<Range<usize>> {
    let least = recording.total.samples_in(rules.zero_reading_s);
    light.iter().filter(|run| run.len() >= least).map(middle_half).collect()
}

fn spread(values: &[f64], empty: &[Range<usize>]) -> (f64, f64) {
    empty
        .iter()
        .filter_map(|run| window::median(&values[run.clone()]))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), n| (low.min(n), high.max(n)))
}

/// Through the first and the last reading, each at the middle of its stretch.
fn line(values: &[f64], sampling: &Sampling, empty: &[Range<usize>]) -> Option<Line> {
    let read = |run: &Range<usize>| {
        let middle = Moment::at(run.start + run.len() / 2).time_s(sampling);
        window::median(&values[run.clone()]).map(|reading| (middle, reading))
    };
    let ((from_s, from_n), (to_s, to_n)) = read(empty.first()?).zip(read(empty.last()?))?;
    (to_s > from_s).then(|| Line { from_n, from_s, slope_n_s: (to_n - from_n) / (to_s - from_s) })
}

fn take_off(recording: &mut Recording, empty: &[Range<usize>], total: Line) {
    let sampling = recording.total.sampling.clone();
    let level = |values: &mut [f64], line: Line| {
        for (sample, value) in values.iter_mut().enumerate() {
            let time_s = sampling.time_s(sample);
            *value -= line.from_n + line.slope_n_s * (time_s - line.from_s);
        }
    };
    level(&mut recording.total.values, total);
    if let Some(sides) = &mut recording.sides {
        for side in [&mut sides.left_n, &mut sides.right_n] {
            if let Some(own) = line(side, &sampling, empty) {
                level(side, own);
            }
        }
    }
}
