//! What makes a trace doubtful, beside what each step finds by itself.

use super::flight::Flight;
use super::motion::Motion;
use super::recording::Recording;
use crate::note::Note;
use crate::signal::{Moment, Sampling, crossing, window};
use std::ops::Range;

/// How clipping is told from a broad peak read in coarse steps. Engineering choices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClippingRules {
    /// Equal samples in a row at the file's maximum.
    pub least_run: usize,
    /// A peak cut off by more than this many steps of the converter is clipped.
    pub steps_cut: f64,
}

impl Default for ClippingRules {
    fn default() -> Self {
        Self { least_run: 3, steps_cut: 3.0 }
    }
}

/// Stretches in which the force stands at the file's maximum because the plate could read no
/// more.
///
/// A smooth peak read in steps of `q` also stands at its maximum for a while: near its top it is
/// a parabola, and over a run of `n` equal samples it can have risen by one step. A parabola cut
/// off `d` below its top has dropped `8 d` one run further out on either side, whatever its
/// width; so the drop there tells how much was cut off, and `d` of a few steps or less is
/// rounding.
pub fn clipped(values: &[f64], rules: &ClippingRules) -> Vec<Range<usize>> {
    let (_, top) = window::extremes(values);
    if values.iter().filter(|value| **value == top).count() < rules.least_run {
        return Vec::new();
    }
    let runs = crossing::runs(values.len(), rules.least_run, |i| values[i] == top);
    if runs.is_empty() {
        return runs;
    }
    let Some(step) = smallest_step(values) else { return Vec::new() };
    let drop = |index: Option<usize>| {
        index.and_then(|i| values.get(i)).map_or(f64::INFINITY, |value| top - value)
    };
    let cut_off = |run: &Range<usize>| {
        let before = drop(run.start.checked_sub(run.len()));
        let beyond = drop(Some(run.end - 1 + run.len()));
        before.min(beyond) / 8.0
    };
    runs.into_iter()
        .filter(|run| {
            let cut = cut_off(run);
            cut.is_finite() && cut > rules.steps_cut * step
        })
        .collect()
}

/// The smallest change between neighbouring samples: one step of the converter, or less.
fn smallest_step(values: &[f64]) -> Option<f64> {
    let steps = values.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    let least = steps.filter(|&step| step > 0.0).fold(f64::INFINITY, f64::min);
    least.is_finite().then_some(least)
}

/// The reason no force may be integrated over a stretch, if there is one.
pub(super) fn bars_integration(
    recording: &Recording,
    stretch: Range<usize>,
    least_rate_hz: f64,
) -> Option<Note> {
    if recording.rate_hz < least_rate_hz {
        return Some(Note::new(
            "sample-rate-too-low",
            format!(
                "At {:.0} samples a second (under {least_rate_hz:.0}) force is not integrated; \
                 only flight time is used.",
                recording.rate_hz
            ),
        ));
    }
    recording.gap_within(stretch).map(|gap| {
        Note::new(
            "gap-in-movement",
            format!(
                "Samples are missing for {:.0} ms during the movement (from {:.3} s); numbers that \
                 need the force there are withheld.",
                1000.0 * recording.total.sampling.step_s(gap.start),
                recording.total.sampling.time_s(gap.start)
            ),
        )
    })
}

/// A caveat for a clock slower than advised for a jump: what heights can be off by.
///
/// Closed-form jumps without noise err by up to 3.1 mm at 500 samples a second and a little more
/// than in proportion to the step under that (held by a test).
pub(super) fn slow_clock(recording: &Recording, usual_rate_hz: f64) -> Option<Note> {
    let most_mm = 3.1 * (500.0 / recording.rate_hz).powf(1.35);
    let what = format!("heights can be off by {most_mm:.0} mm from the clock alone.");
    too_slow(recording, usual_rate_hz, &what)
}

/// The same for an isometric effort, which has no height.
pub(super) fn slow_clock_for_rates(recording: &Recording, usual_rate_hz: f64) -> Option<Note> {
    too_slow(recording, usual_rate_hz, "onset and early rates are read to a step of it.")
}

fn too_slow(recording: &Recording, usual_rate_hz: f64, what: &str) -> Option<Note> {
    // A clock of 500 by its stamps reads 499.9.
    let rate_hz = recording.rate_hz;
    (rate_hz < 0.99 * usual_rate_hz)
        .then(|| Note::new("low-sample-rate", format!("{rate_hz:.0} samples a second: {what}")))
}

/// A doubt about the clock, from a flight longer than athletes fly.
pub(super) fn suspect_rate(flight_s: f64) -> Note {
    Note::new(
        "suspect-sample-rate",
        format!(
            "A flight of {flight_s:.2} s is longer than athletes fly; is the sampling rate right? A \
             wrong one cannot be told from the trace."
        ),
    )
}

/// Rates that plates are run at, Hz (engineering choice). A rate beside them is a slip of typing
/// more often than a plate.
const USUAL_RATES_HZ: [f64; 14] = [
    50.0, 100.0, 200.0, 240.0, 250.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0, 1200.0, 1500.0,
    2000.0,
];

/// A caveat for a stated rate that plates are not run at. A clock in the file is its own witness.
pub(super) fn unusual_rate(sampling: &Sampling) -> Option<Note> {
    let Sampling::Rate(hz) = sampling else { return None };
    (!USUAL_RATES_HZ.contains(hz)).then(|| {
        Note::new(
            "unusual-sample-rate",
            format!(
                "{hz} samples a second is a rate plates are seldom run at. Check it: a wrong rate \
                 changes every height by its square, and cannot be told from the trace."
            ),
        )
    })
}

/// The reason clipped force may not be integrated over a stretch, if it is clipped there.
pub(super) fn clipped_within(clipped: &[Range<usize>], stretch: &Range<usize>) -> Option<Note> {
    clipped.iter().find(|run| run.start < stretch.end && run.end > stretch.start).map(|run| {
        Note::new(
            "clipped-in-movement",
            format!(
                "The plate reached the end of its range for {} samples during the movement; \
                 numbers that need the force there are withheld. Use a wider range.",
                run.len()
            ),
        )
    })
}

/// Whether the athlete dipped, came up and dipped again before take-off.
pub(super) fn dips_twice(motion: &Motion, from: Moment, to: Moment, dip_m_s: f64) -> bool {
    let mut dips = 0;
    let mut descending = false;
    for sample in from.after()..=to.before {
        let velocity = motion.velocity(sample);
        if velocity < -dip_m_s && !descending {
            descending = true;
            dips += 1;
        } else if velocity >= 0.0 {
            descending = false;
        }
    }
    dips > 1
}

/// A caveat when another flight follows soon after a landing.
pub(super) fn hops_again(
    recording: &Recording,
    flights: &[Flight],
    landing: Moment,
    within_s: f64,
) -> Option<Note> {
    let next = flights.iter().find(|flight| flight.take_off > landing)?;
    (recording.total.between_s(landing, next.take_off) < within_s).then(|| {
        Note::new(
            "double-hop",
            "The athlete jumped again straight after landing; the first jump is measured, and its \
             landing is the contact before the second.",
        )
    })
}

/// A caveat when there was a flight shortly before the weighing.
pub(super) fn hopped_before(
    recording: &Recording,
    flights: &[Flight],
    weighing_from: usize,
    within_s: f64,
) -> Option<Note> {
    let start = Moment::at(weighing_from);
    flights
        .iter()
        .any(|flight| {
            flight.landing < start && recording.total.between_s(flight.landing, start) < within_s
        })
        .then(|| Note::new("hop-before-weighing", "There was a hop just before the weighing."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn peak(step_n: f64, limit_n: f64) -> Vec<f64> {
        (0..400)
            .map(|i| 700.0 + 1000.0 * (f64::from(i) * std::f64::consts::PI / 400.0).sin())
            .map(|force| ((force / step_n).round() * step_n).min(limit_n))
            .collect()
    }

    #[test]
    fn a_broad_peak_in_coarse_steps_is_not_clipped() {
        // 1700 N in whole newtons stands at its maximum for a dozen samples.
        assert_eq!(clipped(&peak(1.0, 9e9), &ClippingRules::default()), vec![]);
        assert_eq!(clipped(&peak(4.0, 9e9), &ClippingRules::default()), vec![]);
    }

    #[test]
    fn a_peak_cut_off_is_clipped_whatever_the_step() {
        for step_n in [0.001, 1.0, 4.0] {
            assert_eq!(clipped(&peak(step_n, 1600.0), &ClippingRules::default()).len(), 1);
        }
    }

    #[test]
    fn a_constant_force_and_nothing_at_all_are_not_clipped() {
        assert_eq!(clipped(&[700.0; 50], &ClippingRules::default()), vec![]);
        assert_eq!(clipped(&[], &ClippingRules::default()), vec![]);
    }
}
