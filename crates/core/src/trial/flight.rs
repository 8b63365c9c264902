//! When the plate was empty: take-off, landing, and the zero of the plate.

use super::recording::{self, Recording};
use super::{TrialError, quality, zero_drift};
use crate::capture::ForceCapture;
use crate::note::Note;
use crate::signal::{Moment, crossing, window};
use std::ops::Range;

/// How a flight is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Under this force the plate may be empty (engineering choice; published tables use 10 or
    /// 20 N).
    pub coarse_n: f64,
    /// Shortest flight: a jump of 1.2 cm (engineering choice).
    pub shortest_s: f64,
    /// Longest flight: a jump of 1.2 m (engineering choice). A plate empty for longer was stepped
    /// off.
    pub longest_s: f64,
    /// Force over it for less than this does not end an empty stretch: a foot is on the ground for
    /// longer, noise and ringing of the plate are not (engineering choice).
    pub shortest_contact_s: f64,
    /// The fine threshold stands this many standard deviations of the empty plate above its mean
    /// (McMahon et al. 2018, Strength Cond J 40(4):96).
    pub sd_multiple: f64,
    /// And at least this much (engineering choice, for noise-free files).
    pub floor_n: f64,
    /// Force must stay over the fine threshold this long to be contact (engineering choice).
    pub hold_s: f64,
    /// An empty plate reading more than this is put to zero (engineering choice).
    pub zero_offset_n: f64,
    /// And more than this is a plate nobody zeroed (engineering choice).
    pub not_zeroed_n: f64,
    /// Largest reading of an empty plate that is looked for (engineering choice).
    pub largest_offset_n: f64,
    /// Two readings of the empty plate further apart than this are a drifting zero (engineering
    /// choice).
    pub zero_drift_n: f64,
    /// Stretches of empty plate this long are read for it (engineering choice).
    pub zero_reading_s: f64,
    /// Whether a drifting zero is taken off as a straight line. Off unless asked for: what a plate
    /// does while it is loaded cannot be seen.
    pub level_zero: bool,
    /// A steeper drift is not taken off, N/s. At 5 N/s the velocity is half a metre a second wrong
    /// a second and a half later: ∫ 5 t dt / m with 75 kg is 0.1 m/s, and the weighing errs by
    /// as much again (engineering choice).
    pub largest_drift_n_s: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            coarse_n: 20.0,
            shortest_s: 0.10,
            longest_s: 1.0,
            shortest_contact_s: 0.030,
            sd_multiple: 5.0,
            floor_n: 5.0,
            hold_s: 0.003,
            zero_offset_n: 5.0,
            not_zeroed_n: 30.0,
            largest_offset_n: 100.0,
            zero_drift_n: 5.0,
            zero_reading_s: 0.2,
            level_zero: false,
            largest_drift_n_s: 5.0,
        }
    }
}

/// A stretch in the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flight {
    /// Force falls through the fine threshold.
    pub take_off: Moment,
    /// Force rises through it again; the end of what is known of the flight when it never does.
    pub landing: Moment,
    /// Whether the plate was landed on in a time a jump can take.
    pub landed: bool,
    /// The fine threshold, in newtons.
    pub threshold_n: f64,
}

impl Flight {
    /// Seconds in the air.
    pub fn duration_s(&self, recording: &Recording) -> f64 {
        recording.total.between_s(self.take_off, self.landing)
    }
}

/// A capture with flights in it.
pub(super) struct Flown {
    /// The force, checked and zeroed.
    pub(super) recording: Recording,
    /// Every flight in order; at least one.
    pub(super) flights: Vec<Flight>,
    /// What must be said so far.
    pub(super) notes: Vec<Note>,
}

/// Where every jump starts: the capture checked, its scale believed, its flights found.
pub(super) fn in_capture(
    capture: &ForceCapture,
    fit: &recording::Rules,
    rules: &Rules,
) -> Result<Flown, TrialError> {
    let mut recording = recording::prepare(capture, fit)?;
    recording::check_scale(&recording, fit)?;
    let flights = find(&mut recording, rules)?;
    let mut notes = std::mem::take(&mut recording.notes);
    notes.extend(quality::slow_clock(&recording, fit.usual_rate_hz));
    notes.extend(quality::unusual_rate(&capture.time));
    Ok(Flown { recording, flights, notes })
}

/// All flights, after the zero of the plates has been put right. When there is none, the last
/// time the plate was left without being landed on; an error when there is neither.
pub fn find(recording: &mut Recording, rules: &Rules) -> Result<Vec<Flight>, TrialError> {
    let mut light = light_runs(recording, rules);
    if in_flight(recording, &light, rules).next().is_none() && lift_hidden_zero(recording, rules) {
        light = light_runs(recording, rules);
    }
    let longest = in_flight(recording, &light, rules).max_by_key(|run| run.len()).cloned();
    let moved = longest.is_some_and(|empty| set_zero(recording, &empty, rules));
    if moved {
        light = light_runs(recording, rules);
    }
    if zero_drift::judge(recording, &light, rules) {
        light = light_runs(recording, rules);
    }
    let mut flights: Vec<Flight> = in_flight(recording, &light, rules)
        .filter_map(|run| refine(recording, run, rules))
        .collect();
    if flights.is_empty() {
        flights.extend(left(recording, &light, rules));
    }
    if flights.is_empty() { Err(none(rules)) } else { Ok(flights) }
}

/// That there is no flight.
pub(super) const fn none(rules: &Rules) -> TrialError {
    TrialError::NoFlight { threshold_n: rules.coarse_n, shortest_s: rules.shortest_s }
}

/// Stretches under the coarse threshold, at least as long as the shortest flight.
pub(super) fn light_runs(recording: &Recording, rules: &Rules) -> Vec<Range<usize>> {
    let values = &recording.total.values;
    let contact = recording.total.samples_in(rules.shortest_contact_s);
    let mut runs: Vec<Range<usize>> = Vec::new();
    for run in crossing::runs(values.len(), 1, |i| values[i] < rules.coarse_n) {
        match runs.last_mut() {
            Some(last) if run.start - last.end < contact => last.end = run.end,
            _ => runs.push(run),
        }
    }
    let shortest = recording.total.samples_in(rules.shortest_s);
    runs.retain(|run| run.len() >= shortest);
    runs
}

/// Those of a flight's length with contact on both sides. One that touches an end of the file, or
/// lasts too long, is an empty plate before the athlete or after, not a flight.
fn in_flight<'a>(
    recording: &Recording,
    light: &'a [Range<usize>],
    rules: &Rules,
) -> impl Iterator<Item = &'a Range<usize>> {
    let (count, longest) = (recording.total.len(), recording.total.samples_in(rules.longest_s));
    light.iter().filter(move |run| run.start > 0 && run.end < count && run.len() <= longest)
}

/// The last time the plate was left for good, or for longer than a flight.
fn left(recording: &Recording, light: &[Range<usize>], rules: &Rules) -> Option<Flight> {
    let run = light.iter().rev().find(|run| run.start > 0)?;
    let threshold_n = threshold_n(&recording.total.values, run, rules)?;
    let take_off = take_off(recording, run, threshold_n, rules)?;
    Some(Flight { take_off, landing: Moment::at(run.end - 1), landed: false, threshold_n })
}

/// The middle half of an empty stretch, clear of ringing and of the threshold's own bias.
pub(super) fn middle_half(run: &Range<usize>) -> Range<usize> {
    let quarter = run.len() / 4;
    run.start + quarter..run.end - quarter
}

/// The fine threshold over an empty stretch.
pub(super) fn threshold_n(values: &[f64], empty: &Range<usize>, rules: &Rules) -> Option<f64> {
    let (mean, sd) = window::mean_and_sd(&values[middle_half(empty)])?;
    Some(mean + (rules.sd_multiple * sd).max(rules.floor_n))
}

fn refine(recording: &Recording, run: &Range<usize>, rules: &Rules) -> Option<Flight> {
    let values = &recording.total.values;
    let threshold_n = threshold_n(values, run, rules)?;
    let take_off = take_off(recording, run, threshold_n, rules)?;
    let hold = recording.total.samples_in(rules.hold_s);
    let contact = recording.total.samples_in(rules.shortest_contact_s);
    let from = (run.start + run.len() / 2).max(run.end.saturating_sub(contact));
    let loaded = |index: usize| values[index] >= threshold_n;
    let next_contact = crossing::first_held(from..values.len(), hold, loaded)?;
    let landing = Moment::crossing(values, next_contact - 1, threshold_n);
    Some(Flight { take_off, landing, landed: true, threshold_n })
}

/// Where force falls through the threshold before an empty stretch: near where that begins, so
/// that a plate ringing later is not taken for a foot.
fn take_off(
    recording: &Recording,
    run: &Range<usize>,
    threshold_n: f64,
    rules: &Rules,
) -> Option<Moment> {
    let values = &recording.total.values;
    let hold = recording.total.samples_in(rules.hold_s);
    let contact = recording.total.samples_in(rules.shortest_contact_s);
    let to = (run.start + run.len() / 2).min(run.start + contact);
    let last_contact = crossing::last_held(0..to, hold, |i| values[i] >= threshold_n)?;
    Some(Moment::crossing(values, last_contact, threshold_n))
}

/// Takes the reading of the empty plate off every plate, when it is too large to ignore. The
/// median, because a plate may ring in flight.
fn set_zero(recording: &mut Recording, empty: &Range<usize>, rules: &Rules) -> bool {
    let middle = middle_half(empty);
    let reading = |values: &[f64]| window::median(&values[middle.clone()]).unwrap_or_default();
    let offset_n = reading(&recording.total.values);
    let side_offsets =
        recording.sides.as_ref().map(|sides| (reading(&sides.left_n), reading(&sides.right_n)));
    let largest_side = side_offsets.map_or(0.0, |(left, right)| left.abs().max(right.abs()));
    if offset_n.abs().max(largest_side) <= rules.zero_offset_n {
        return false;
    }
    shift(&mut recording.total.values, offset_n);
    if let (Some(sides), Some((left, right))) = (&mut recording.sides, side_offsets) {
        shift(&mut sides.left_n, left);
        shift(&mut sides.right_n, right);
    }
    recording.notes.push(offset_note(offset_n, largest_side, rules));
    true
}

fn offset_note(offset_n: f64, largest_side: f64, rules: &Rules) -> Note {
    let id = if offset_n.abs().max(largest_side) > rules.not_zeroed_n {
        "plate-not-zeroed"
    } else {
        "zero-offset"
    };
    Note::new(
        id,
        format!(
            "The empty plate reads {offset_n:.1} N; this was taken off the whole recording. Zero \
             the plate before the next session."
        ),
    )
}

/// An offset larger than the coarse threshold hides every flight. The lowest quiet stretch of
/// the file is then taken for the empty plate, and lowered so that the usual search sees it; the
/// exact zero is set afterwards from the flight itself.
fn lift_hidden_zero(recording: &mut Recording, rules: &Rules) -> bool {
    let width = recording.total.samples_in(rules.shortest_s);
    let values = &recording.total.values;
    let quietest = window::Quietest {
        width,
        mean_from: rules.coarse_n,
        mean_to: rules.largest_offset_n,
        tie_factor: 1.0,
        tie_margin: 0.0,
    };
    let Some(empty) = window::quietest(values, 0..values.len(), &quietest) else { return false };
    let Some((mean, sd)) = window::mean_and_sd(&values[empty]) else { return false };
    if sd > rules.coarse_n / 2.0 {
        return false;
    }
    recording.notes.push(offset_note(mean, 0.0, rules));
    shift(&mut recording.total.values, mean);
    true
}

pub(super) fn shift(values: &mut [f64], offset: f64) {
    values.iter_mut().for_each(|value| *value -= offset);
}
