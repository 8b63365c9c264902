//! Isometric effort: a pull or push against something that does not move.
//!
//! Onset as in Dos'Santos et al. 2017, J Strength Cond Res 31:3463: five standard deviations of
//! the quiet baseline, without stepping back.

use super::onset::{self, Leaving, Onset};
use super::recording::{self, Recording};
use super::weighing::Weighing;
use super::{Conditions, Phase, TrialError, quality, weighing};
use crate::capture::ForceCapture;
use crate::note::{Note, Noted};
use crate::signal::{Moment, crossing, window};

/// Which way the effort goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// On a plate that also carries the body: the baseline is about body weight.
    Vertical,
    /// Against a plate on a wall: the baseline is about nothing.
    Horizontal,
}

/// The constants an isometric effort is read by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Checks of the recording.
    pub recording: recording::Rules,
    /// Which way the effort goes.
    pub direction: Direction,
    /// Length of the baseline.
    pub baseline_s: f64,
    /// A baseline lies under this fraction of the peak, so that a held plateau is not taken for
    /// one (engineering choice).
    pub baseline_fraction: f64,
    /// Onset.
    pub onset: onset::Rules,
    /// Spread over baseline that is called unquiet (engineering choice).
    pub unquiet_fraction: f64,
    /// Slope of the baseline that is called a ramp, N/s (engineering choice).
    pub ramp_n_s: f64,
    /// With a logged mass, tension over the weight before a vertical effort that is called too much
    /// (common practice, no source).
    pub pretension_n: f64,
    /// A fall of the force by more than this fraction of the rise, before the peak, is a slip
    /// (engineering choice).
    pub slip_fraction: f64,
    /// A dip deeper than this before the effort spoils the peak too, newtons (engineering
    /// choice).
    pub spoiling_dip_n: f64,
    /// A return to the baseline for this long between onset and peak makes two efforts
    /// (engineering choice).
    pub rest_s: f64,
    /// Peak rate of force development is looked for this long after onset (engineering choice).
    pub rate_within_s: f64,
    /// Clipping.
    pub clipping: quality::ClippingRules,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            recording: recording::Rules::default(),
            direction: Direction::Vertical,
            baseline_s: 1.0,
            baseline_fraction: 0.8,
            onset: onset::Rules { step_back_s: 0.0, ..onset::Rules::default() },
            unquiet_fraction: 0.02,
            ramp_n_s: 10.0,
            pretension_n: 50.0,
            slip_fraction: 0.2,
            spoiling_dip_n: 50.0,
            rest_s: 0.25,
            rate_within_s: 0.5,
            clipping: quality::ClippingRules::default(),
        }
    }
}

/// An isometric effort with its events.
#[derive(Clone, Debug, PartialEq)]
pub struct Isometric {
    /// The rules it was read by.
    pub rules: Rules,
    /// What was known beside the trace.
    pub conditions: Conditions,
    /// The force, checked.
    pub recording: Recording,
    /// The baseline: its mean is body weight where the effort is vertical.
    pub baseline: Weighing,
    /// Where the effort begins.
    pub onset: Onset,
    /// Sample of the largest force.
    pub peak: usize,
    /// Whether the rise was clean: no dip before it and no missing samples in it.
    pub rise_trusted: bool,
    /// Whether the largest force was measured: no deep dip before it, no clipping at it.
    pub peak_trusted: bool,
}

/// Reads an isometric effort. Fails without a quiet baseline or a lasting rise from it.
pub fn read(
    capture: &ForceCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<Isometric>, TrialError> {
    let mut recording = recording::prepare(capture, &rules.recording)?;
    if rules.direction == Direction::Vertical {
        recording::check_scale(&recording, &rules.recording)?;
    }
    let mut notes = std::mem::take(&mut recording.notes);
    notes.extend(quality::slow_clock_for_rates(&recording, rules.recording.usual_rate_hz));
    let trace = &recording.total;
    let (peak, peak_n) = trace.peak(Moment::at(0), trace.end()).ok_or(TrialError::Empty)?;
    let baseline = baseline(&recording, peak, peak_n, rules)?;
    let before = ("the largest force", Moment::at(peak));
    let (onset, earlier) = match conditions.moved.onset(trace, &baseline, &rules.onset, before)? {
        Some(moved) => (moved, None),
        None => onset(&recording, &baseline, peak, rules)?,
    };
    notes.extend(earlier);
    let mut effort = Isometric {
        rules: *rules,
        conditions: *conditions,
        baseline,
        onset,
        peak,
        rise_trusted: true,
        peak_trusted: true,
        recording,
    };
    effort.judge(&mut notes);
    Ok(Noted { value: effort, notes })
}

fn baseline(
    recording: &Recording,
    peak: usize,
    peak_n: f64,
    rules: &Rules,
) -> Result<Weighing, TrialError> {
    let missing = TrialError::NoBaseline { window_s: rules.baseline_s };
    let trace = &recording.total;
    let mean_from = match rules.direction {
        Direction::Vertical => rules.recording.least_standing_n,
        Direction::Horizontal => f64::NEG_INFINITY,
    };
    let rule = window::Quietest {
        width: trace.samples_in(rules.baseline_s),
        mean_from,
        mean_to: rules.baseline_fraction * peak_n,
        tie_factor: 1.01,
        tie_margin: 1e-3,
    };
    window::quietest(&trace.values, 0..peak, &rule)
        .and_then(|window| weighing::weigh(trace, window))
        .ok_or(missing)
}

/// The onset of the effort that holds the peak, and a caveat when another came before it.
fn onset(
    recording: &Recording,
    baseline: &Weighing,
    peak: usize,
    rules: &Rules,
) -> Result<(Onset, Option<Note>), TrialError> {
    let trace = &recording.total;
    let threshold_n = rules.onset.threshold_n(baseline);
    let find = |from: usize| {
        onset::find(trace, from..trace.len(), baseline, Leaving::Upward, &rules.onset)
            .ok_or(TrialError::NoOnset { threshold_n })
    };
    let first = find(baseline.window.end)?;
    let at_rest = |index: usize| trace.values[index] <= baseline.weight_n + threshold_n;
    let rest = trace.samples_in(rules.rest_s);
    if first.excursion >= peak {
        return Ok((first, None));
    }
    match crossing::last_held(first.excursion..peak, rest, at_rest) {
        Some(rested) => {
            let note = Note::new(
                "two-efforts",
                "The recording holds an earlier effort; the one with the largest force is measured.",
            );
            Ok((find(rested + 1)?, Some(note)))
        }
        None => Ok((first, None)),
    }
}

impl Isometric {
    /// Newtons over the baseline at the peak.
    pub fn net_peak_n(&self) -> f64 {
        self.recording.total.values[self.peak] - self.baseline.weight_n
    }

    /// The force at a time after onset, newtons; `None` past the end.
    pub fn force_after(&self, delay_s: f64) -> Option<f64> {
        let trace = &self.recording.total;
        trace.later(self.onset.at, delay_s).map(|moment| moment.of(&trace.values))
    }

    /// Baseline and effort.
    pub fn phases(&self) -> Vec<Phase> {
        let window = &self.baseline.window;
        vec![
            Phase {
                name: "baseline",
                from: Moment::at(window.start),
                to: Moment::at(window.end - 1),
            },
            Phase { name: "effort", from: self.onset.at, to: Moment::at(self.peak) },
        ]
    }

    /// A caveat when the baseline of a vertical effort is not the weight that was logged.
    fn pretension(&self) -> Option<Note> {
        let expected_n = self.conditions.expected_weight_n()?;
        let over_n = self.baseline.weight_n - expected_n;
        let vertical = self.rules.direction == Direction::Vertical;
        (vertical && over_n.abs() > self.rules.pretension_n).then(|| {
            let what = if over_n > 0.0 {
                "over the logged weight: the bar was already pulled on. Start with the slack taken \
                 up and no more"
            } else {
                "under the logged weight: something carried part of it, or the log is off"
            };
            Note::new(
                "pretension",
                format!("Before the effort the force is {:.0} N {what}.", over_n.abs()),
            )
        })
    }

    /// A caveat when the force falls back before the peak: a grip that slips, a strap that gives.
    fn slip(&self) -> Option<Note> {
        let trace = &self.recording.total;
        let mut highest_n = f64::NEG_INFINITY;
        let fall_n = trace.values[self.onset.at.before..=self.peak.max(self.onset.at.before)]
            .iter()
            .map(|&force_n| {
                highest_n = highest_n.max(force_n);
                highest_n - force_n
            })
            .fold(0.0, f64::max);
        (fall_n > self.rules.slip_fraction * self.net_peak_n()).then(|| {
            Note::new(
                "slip-before-peak",
                format!(
                    "The force falls back by {fall_n:.0} N before its peak: did the grip slip or \
                     the strap give? Time to peak is doubtful."
                ),
            )
        })
    }

    fn judge(&mut self, notes: &mut Vec<Note>) {
        let trace = &self.recording.total;
        let values = &trace.values[self.baseline.window.clone()];
        let Weighing { weight_n, sd_n, ref window, .. } = self.baseline;
        if self.rules.direction == Direction::Vertical
            && sd_n > self.rules.unquiet_fraction * weight_n
        {
            notes.push(Note::new(
                "unquiet-baseline",
                format!("The force spreads by {sd_n:.0} N before the effort; hold still first."),
            ));
        }
        let slope_n_s =
            window::slope_per_sample(values).unwrap_or_default() * self.recording.rate_hz;
        if slope_n_s.abs() > self.rules.ramp_n_s {
            notes.push(Note::new(
                "pretension-ramp",
                format!("The force drifts by {slope_n_s:.0} N/s before the effort."),
            ));
        }
        notes.extend(self.pretension());
        notes.extend(self.slip());
        let before = Moment::at(window.end)..self.onset.at;
        let dip_n =
            trace.trough(before.start, before.end).map_or(0.0, |(_, least)| weight_n - least);
        if dip_n > self.onset.threshold_n {
            self.rise_trusted = false;
            self.peak_trusted = dip_n < self.rules.spoiling_dip_n;
            notes.push(Note::new(
                "dip-before-effort",
                format!(
                    "The force dips by {dip_n:.0} N before the effort; the rise is withheld. \
                     Repeat without a countermovement."
                ),
            ));
        }
        let rise = self.onset.at.before..self.peak + 1;
        let least_rate_hz = self.rules.recording.least_integration_rate_hz;
        if let Some(reason) = quality::bars_integration(&self.recording, rise, least_rate_hz) {
            self.rise_trusted = false;
            notes.push(reason);
        }
        let clipped = quality::clipped(&trace.values, &self.rules.clipping);
        if !clipped.is_empty() {
            self.peak_trusted = false;
            notes.push(Note::new(
                "clipped-peak",
                "The plate reached the end of its range; the peak is withheld.",
            ));
        }
    }
}
