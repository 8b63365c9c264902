//! When the plate was empty: take-off, landing, and the zero of the plate.

use super::recording::{self, Recording};
use super::{TrialError, quality};
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
    /// The fine threshold stands this many standard deviations of the empty plate above its mean
    /// (McMahon et al. 2018, Strength Cond J 40(4):96; the same in PMC9750644, table 1).
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
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            coarse_n: 20.0,
            shortest_s: 0.10,
            sd_multiple: 5.0,
            floor_n: 5.0,
            hold_s: 0.003,
            zero_offset_n: 5.0,
            not_zeroed_n: 30.0,
            largest_offset_n: 100.0,
        }
    }
}

/// A stretch in the air between two contacts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flight {
    /// Force falls through the fine threshold.
    pub take_off: Moment,
    /// Force rises through it again.
    pub landing: Moment,
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
    Ok(Flown { recording, flights, notes })
}

/// All flights, after the zero of the plates has been put right; an error when there is none.
pub fn find(recording: &mut Recording, rules: &Rules) -> Result<Vec<Flight>, TrialError> {
    let mut empty = empty_runs(recording, rules);
    if empty.is_empty() && lift_hidden_zero(recording, rules) {
        empty = empty_runs(recording, rules);
    }
    if set_zero(recording, &empty, rules) {
        empty = empty_runs(recording, rules);
    }
    let flights: Vec<Flight> =
        empty.iter().filter_map(|run| refine(recording, run, rules)).collect();
    if flights.is_empty() {
        return Err(TrialError::NoFlight {
            threshold_n: rules.coarse_n,
            shortest_s: rules.shortest_s,
        });
    }
    Ok(flights)
}

/// Stretches under the coarse threshold with contact on both sides. One that touches an end of
/// the file is an empty plate before the athlete or after, not a flight.
fn empty_runs(recording: &Recording, rules: &Rules) -> Vec<Range<usize>> {
    let values = &recording.total.values;
    let shortest = recording.total.samples_in(rules.shortest_s);
    let mut runs = crossing::runs(values.len(), shortest, |i| values[i] < rules.coarse_n);
    runs.retain(|run| run.start > 0 && run.end < values.len());
    runs
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
    let hold = recording.total.samples_in(rules.hold_s);
    let middle = run.start + run.len() / 2;
    let loaded = |index: usize| values[index] >= threshold_n;
    let last_contact = crossing::last_held(0..middle, hold, loaded)?;
    let next_contact = crossing::first_held(middle..values.len(), hold, loaded)?;
    Some(Flight {
        take_off: Moment::crossing(values, last_contact, threshold_n),
        landing: Moment::crossing(values, next_contact - 1, threshold_n),
        threshold_n,
    })
}

/// Takes the reading of the empty plate off every plate, when it is too large to ignore. The
/// median, because a plate may ring in flight.
fn set_zero(recording: &mut Recording, empty: &[Range<usize>], rules: &Rules) -> bool {
    let Some(longest) = empty.iter().max_by_key(|run| run.len()).map(middle_half) else {
        return false;
    };
    let reading = |values: &[f64]| window::median(&values[longest.clone()]).unwrap_or_default();
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

fn shift(values: &mut [f64], offset: f64) {
    values.iter_mut().for_each(|value| *value -= offset);
}
