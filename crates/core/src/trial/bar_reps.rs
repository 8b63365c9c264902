//! Repetitions from the height of a bar.
//!
//! The position is resampled to even steps where the clock is not even, smoothed without delay,
//! and differentiated by central differences (Winter, Biomechanics and Motor Control of Human
//! Movement, 4th ed., 2009, chapter 2). A repetition is an upward movement, from the instant its
//! velocity leaves `edge_m_s` to the instant it falls back to it: mean velocities depend on that
//! edge, so it belongs to the method.

use super::recording::{self, Clock};
use super::{Conditions, TrialError};
use crate::capture::BarCapture;
use crate::note::{Note, Noted};
use crate::signal::butterworth::LowPass;
use crate::signal::{Moment, Sampling, Trace, crossing};
use std::iter;
use std::ops::Range;

/// The constants repetitions are read by. Engineering choices unless a source is named.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Checks of the clock.
    pub recording: recording::Rules,
    /// Steps that differ from the median by more than this fraction are resampled.
    pub jitter_fraction: f64,
    /// Rates the signal is resampled to, Hz.
    pub resampled_hz: [f64; 2],
    /// Corner of the low-pass. At 20 Hz noise of half a millimetre already makes braking where
    /// there is none.
    pub corner_hz: f64,
    /// A movement is noticed over this velocity.
    pub seed_m_s: f64,
    /// And lasts while it is faster than this.
    pub edge_m_s: f64,
    /// Shorter movements are no repetition (0.08 m for hip thrusts and short presses).
    pub least_range_m: f64,
    /// Times a repetition may take, seconds.
    pub duration_s: [f64; 2],
    /// Two movements closer than this ...
    pub sticking_s: f64,
    /// ... with less sinking between them than this are one with a sticking point.
    pub sticking_drop_m: f64,
    /// A lowering belongs to a repetition that starts within this time of its end.
    pub lowering_within_s: f64,
    /// Acceleration must stay under free fall this long to end propulsion (against noise;
    /// Sánchez-Medina et al. 2010, Int J Sports Med 31:123, define the end, not the hold).
    pub braking_hold_s: f64,
    /// A gap longer than this inside a repetition withholds it.
    pub longest_gap_s: f64,
    /// Whether the bar may leave the hands or the feet the ground: the repetition then ends where
    /// the bar flies.
    pub ballistic: bool,
    /// Rate under which a caveat is given, Hz.
    pub usual_rate_hz: f64,
    /// Peak velocity that no lift reaches, m/s.
    pub doubtful_m_s: f64,
    /// Spread of range over a set, as a fraction of its mean, that gets a caveat.
    pub range_spread: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            recording: recording::Rules::default(),
            jitter_fraction: 0.02,
            resampled_hz: [50.0, 1000.0],
            corner_hz: 10.0,
            seed_m_s: 0.10,
            edge_m_s: 0.02,
            least_range_m: 0.15,
            duration_s: [0.1, 6.0],
            sticking_s: 0.15,
            sticking_drop_m: 0.02,
            lowering_within_s: 2.0,
            braking_hold_s: 0.020,
            longest_gap_s: 0.1,
            ballistic: false,
            usual_rate_hz: 50.0,
            doubtful_m_s: 3.5,
            range_spread: 0.15,
        }
    }
}

/// A set of repetitions.
#[derive(Clone, Debug, PartialEq)]
pub struct BarReps {
    /// The rules it was read by.
    pub rules: Rules,
    /// What was known beside the trace; the load is what the bar weighs.
    pub conditions: Conditions,
    /// Position, smoothed, on even steps; its first sample is at `start_s` of the recording.
    pub position: Trace,
    /// Time in the recording of the first sample, seconds.
    pub start_s: f64,
    /// Velocity in m/s, one a sample.
    pub velocity_m_s: Vec<f64>,
    /// Acceleration in m/s², one a sample.
    pub acceleration_m_s2: Vec<f64>,
    /// The repetitions in order.
    pub reps: Vec<Rep>,
}

/// One repetition: the way up, and the lowering before it where there was one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rep {
    /// The way up begins.
    pub start: Moment,
    /// It ends.
    pub end: Moment,
    /// Sample of the highest velocity.
    pub fastest: usize,
    /// Where propulsion ends: the hands no longer push; `None` when they push to the end.
    pub propulsion_end: Option<Moment>,
    /// The lowering before.
    pub lowering: Option<(Moment, Moment)>,
}

/// Reads the repetitions of a bar. Fails when there is none.
pub fn read(
    capture: &BarCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<BarReps>, TrialError> {
    let mut notes = capture.notes.clone();
    recording::finite("position", &capture.position_m)?;
    let count = capture.position_m.len();
    if count == 0 {
        return Err(TrialError::Empty);
    }
    let clock = recording::read_clock(&capture.time, count, &rules.recording, &mut notes)?;
    if clock.rate_hz < rules.usual_rate_hz {
        notes.push(Note::new(
            "low-sample-rate",
            format!("{:.0} samples a second are few for a bar.", clock.rate_hz),
        ));
    }
    let start_s = clock.sampling.time_s(0);
    let gaps = gap_times(&clock, start_s, rules);
    let position = even_steps(clock.keep(&capture.position_m), clock, rules);
    let mut set = smooth(position, start_s, conditions, rules)?;
    set.reps = set.find_reps();
    let whole = set.reps.len();
    set.reps.retain(|rep| !set_has_gap(&set.position, rep, &gaps));
    if set.reps.len() < whole {
        notes.push(Note::new(
            "gap-in-movement",
            format!("{} repetitions with missing samples are withheld.", whole - set.reps.len()),
        ));
    }
    if set.reps.is_empty() {
        return Err(TrialError::NoReps {
            least_range_m: rules.least_range_m,
            seed_m_s: rules.seed_m_s,
        });
    }
    notes.extend(set.plausibility());
    Ok(Noted { value: set, notes })
}

/// Long gaps as times from the first sample.
fn gap_times(clock: &Clock, start_s: f64, rules: &Rules) -> Vec<(f64, f64)> {
    clock
        .gaps
        .iter()
        .map(|gap| {
            (clock.sampling.time_s(gap.start) - start_s, clock.sampling.time_s(gap.end) - start_s)
        })
        .filter(|(from, to)| to - from > rules.longest_gap_s)
        .collect()
}

fn set_has_gap(position: &Trace, rep: &Rep, gaps: &[(f64, f64)]) -> bool {
    let (start_s, end_s) = (position.time_s(rep.start), position.time_s(rep.end));
    gaps.iter().any(|&(from, to)| from < end_s && to > start_s)
}

/// The signal on even steps from time zero: as it is if its clock is even enough, else by
/// straight lines.
fn even_steps(values: Vec<f64>, clock: Clock, rules: &Rules) -> Trace {
    let Sampling::Stamps(stamps) = &clock.sampling else {
        return Trace { sampling: clock.sampling, values };
    };
    let step_s = 1.0 / clock.rate_hz;
    let jitter = stamps
        .windows(2)
        .map(|pair| ((pair[1] - pair[0]) / step_s - 1.0).abs())
        .fold(0.0, f64::max);
    if jitter <= rules.jitter_fraction {
        // The mean step, so that what little the steps vary does not add up.
        let mean_hz = (stamps.len() - 1) as f64 / (stamps[stamps.len() - 1] - stamps[0]);
        return Trace { sampling: Sampling::Rate(mean_hz), values };
    }
    let rate_hz = clock.rate_hz.clamp(rules.resampled_hz[0], rules.resampled_hz[1]);
    let span_s = stamps[stamps.len() - 1] - stamps[0];
    let count = (span_s * rate_hz).floor() as usize + 1;
    let resampled = (0..count)
        .filter_map(|i| {
            let time_s = stamps[0] + i as f64 / rate_hz;
            crossing::moment_at(&clock.sampling, stamps.len(), time_s)
        })
        .map(|moment| moment.of(&values))
        .collect();
    Trace { sampling: Sampling::Rate(rate_hz), values: resampled }
}

fn smooth(
    position: Trace,
    start_s: f64,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<BarReps, TrialError> {
    let rate_hz = position.sampling.rate_hz().ok_or(TrialError::Empty)?;
    let filter = LowPass::corrected_for_two_passes(rules.corner_hz, rate_hz)
        .ok_or(TrialError::TooSlow { hz: rate_hz, least_hz: 2.0 * rules.corner_hz })?;
    let values = filter.forward_backward(&position.values, (rate_hz / 2.0) as usize);
    let velocity_m_s = central_difference(&values, rate_hz);
    let acceleration_m_s2 = central_difference(&velocity_m_s, rate_hz);
    Ok(BarReps {
        rules: *rules,
        conditions: *conditions,
        position: Trace { values, ..position },
        start_s,
        velocity_m_s,
        acceleration_m_s2,
        reps: Vec::new(),
    })
}

/// Slope by the neighbours on both sides; at the ends by the one there is.
fn central_difference(values: &[f64], rate_hz: f64) -> Vec<f64> {
    if values.len() < 2 {
        return vec![0.0; values.len()];
    }
    let half_rate_hz = rate_hz / 2.0;
    let inside = values.windows(3).map(|three| (three[2] - three[0]) * half_rate_hz);
    let to_the_next = |index: usize| (values[index + 1] - values[index]) * rate_hz;
    let (first, last) = (to_the_next(0), to_the_next(values.len() - 2));
    iter::once(first).chain(inside).chain(iter::once(last)).collect()
}

impl BarReps {
    fn find_reps(&self) -> Vec<Rep> {
        let up = self.merge_sticking(self.movements(1.0));
        let down = self.movements(-1.0);
        up.into_iter()
            .filter(|movement| self.is_rep(movement))
            .filter_map(|movement| self.measure(&movement, &down))
            .collect()
    }

    /// Stretches faster than the edge in a direction that hold a sample faster than the seed.
    fn movements(&self, direction: f64) -> Vec<Range<usize>> {
        let speed = |index: usize| direction * self.velocity_m_s[index];
        let edge = self.rules.edge_m_s;
        let mut runs = crossing::runs(self.velocity_m_s.len(), 2, |index| speed(index) > edge);
        runs.retain(|run| run.clone().any(|index| speed(index) > self.rules.seed_m_s));
        runs
    }

    fn merge_sticking(&self, movements: Vec<Range<usize>>) -> Vec<Range<usize>> {
        let pause = self.position.samples_in(self.rules.sticking_s);
        let mut merged: Vec<Range<usize>> = Vec::with_capacity(movements.len());
        for movement in movements {
            match merged.last_mut() {
                Some(last)
                    if movement.start - last.end < pause
                        && self.position.values[last.end]
                            - self.position.values[movement.start]
                            <= self.rules.sticking_drop_m =>
                {
                    last.end = movement.end;
                }
                _ => merged.push(movement),
            }
        }
        merged
    }

    fn is_rep(&self, movement: &Range<usize>) -> bool {
        let values = &self.position.values;
        let range_m = values[movement.end - 1] - values[movement.start];
        let duration_s =
            self.position.between_s(Moment::at(movement.start), Moment::at(movement.end - 1));
        let [shortest, longest] = self.rules.duration_s;
        range_m >= self.rules.least_range_m
            && duration_s >= shortest
            && duration_s <= longest
            && !(self.rules.ballistic && self.starts_in_motion(movement.start))
    }

    /// Whether the bar was falling fast just before: a landing, not a lift.
    fn starts_in_motion(&self, start: usize) -> bool {
        start > 0 && self.velocity_m_s[start - 1].abs() >= self.rules.seed_m_s
    }

    fn measure(&self, movement: &Range<usize>, down: &[Range<usize>]) -> Option<Rep> {
        let (start, end) = self.edges(movement, 1.0);
        let fastest = movement
            .clone()
            .max_by(|&a, &b| self.velocity_m_s[a].total_cmp(&self.velocity_m_s[b]))?;
        let leaves = self.pushes_no_more(fastest, movement.end);
        let lowering = down
            .iter()
            .rev()
            .map(|run| self.edges(run, -1.0))
            .find(|(_, lowered)| *lowered <= start)
            .filter(|(_, lowered)| {
                self.position.between_s(*lowered, start) <= self.rules.lowering_within_s
            });
        let (end, propulsion_end) = match leaves {
            Some(leaves) if self.rules.ballistic => (leaves, None),
            leaves => (end, leaves.filter(|&leaves| leaves < end)),
        };
        Some(Rep { start, end, fastest, propulsion_end, lowering })
    }

    /// Where a movement crosses the edge velocity, on both sides.
    fn edges(&self, movement: &Range<usize>, direction: f64) -> (Moment, Moment) {
        let level = direction * self.rules.edge_m_s;
        let start = match movement.start {
            0 => Moment::at(0),
            first => Moment::crossing(&self.velocity_m_s, first - 1, level),
        };
        let end = if movement.end < self.velocity_m_s.len() {
            Moment::crossing(&self.velocity_m_s, movement.end - 1, level)
        } else {
            Moment::at(movement.end - 1)
        };
        (start, end)
    }

    /// First lasting fall of acceleration through free fall after the fastest instant.
    fn pushes_no_more(&self, fastest: usize, end: usize) -> Option<Moment> {
        let free_fall = -self.conditions.gravity_m_s2();
        let hold = self.position.samples_in(self.rules.braking_hold_s);
        let falling = |index: usize| self.acceleration_m_s2[index] < free_fall;
        let first = crossing::first_held(fastest..end, hold, falling)?;
        Some(match first.checked_sub(1) {
            Some(before) if !falling(before) => {
                Moment::crossing(&self.acceleration_m_s2, before, free_fall)
            }
            _ => Moment::at(first),
        })
    }

    fn plausibility(&self) -> Vec<Note> {
        let mut notes = Vec::new();
        let fastest =
            self.reps.iter().map(|rep| self.velocity_m_s[rep.fastest]).fold(0.0, f64::max);
        if !self.rules.ballistic && fastest > self.rules.doubtful_m_s {
            notes.push(Note::new(
                "implausible-velocity",
                format!("{fastest:.1} m/s is faster than bars are lifted; is position in metres?"),
            ));
        }
        let ranges: Vec<f64> = self.reps.iter().map(|rep| self.range_m(rep)).collect();
        if let Some((mean, sd)) = crate::signal::window::mean_and_sd(&ranges)
            && sd > self.rules.range_spread * mean
        {
            notes.push(Note::new(
                "uneven-range",
                format!(
                    "Range of motion varies by {:.0} % over the set; velocities of unlike \
                     repetitions do not compare.",
                    100.0 * sd / mean
                ),
            ));
        }
        notes
    }

    /// Range of the way up, metres.
    pub fn range_m(&self, rep: &Rep) -> f64 {
        rep.end.of(&self.position.values) - rep.start.of(&self.position.values)
    }

    /// Time in the recording, seconds.
    pub fn time_s(&self, moment: Moment) -> f64 {
        self.start_s + self.position.time_s(moment)
    }
}
