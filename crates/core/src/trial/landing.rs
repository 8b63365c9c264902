//! From touch-down to standing still again.

use super::flight::Flight;
use super::motion::Motion;
use super::recording::Recording;
use super::stance;
use crate::note::Note;
use crate::signal::{Moment, Trace, crossing, window};
use std::ops::Range;

/// How a landing is followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// A landing must bring this fraction of weight ... (engineering choice)
    pub landed_fraction: f64,
    /// ... within this time, and hold it on average over it, or the athlete came down beside the
    /// plate (engineering choice).
    pub landed_within_s: f64,
    /// A recording that ends sooner than this after touch-down holds no landing (engineering
    /// choice).
    pub shortest_s: f64,
    /// A foot that carries less than this fraction of the force ... (engineering choice)
    pub light_foot_fraction: f64,
    /// ... on average over this time from touch-down came down beside its plate (engineering
    /// choice).
    pub light_foot_s: f64,
    /// The fall ends within this time of touch-down (engineering choice).
    pub stop_within_s: f64,
    /// Velocity this close to the highest it gets counts as the highest (engineering choice).
    pub stop_margin_m_s: f64,
    /// Stable means within this fraction of weight ... (common practice, no source confirmed)
    pub stable_fraction: f64,
    /// ... for this long.
    pub stable_s: f64,
    /// Quiet stretch after landing, for the check that velocity returns to zero (engineering
    /// choice).
    pub quiet_s: f64,
    /// It is looked for this long after touch-down (engineering choice).
    pub quiet_within_s: f64,
    /// Weight after landing differing by more than this fraction gets a caveat (engineering
    /// choice).
    pub weight_change_fraction: f64,
    /// Velocity left when standing again: caveat, and loss of displacements (engineering choices).
    pub drift_m_s: [f64; 2],
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            landed_fraction: 0.5,
            landed_within_s: 0.5,
            shortest_s: 0.3,
            light_foot_fraction: 0.05,
            light_foot_s: 0.3,
            stop_within_s: 1.0,
            stop_margin_m_s: 0.001,
            stable_fraction: 0.05,
            stable_s: 1.0,
            quiet_s: 0.5,
            quiet_within_s: 5.0,
            weight_change_fraction: 0.005,
            drift_m_s: [0.10, 0.30],
        }
    }
}

/// What followed touch-down.
#[derive(Clone, Debug, PartialEq)]
pub struct Landing {
    /// Sample of the largest force up to the stop.
    pub peak: usize,
    /// The largest force, newtons.
    pub peak_force_n: f64,
    /// First instant the centre of mass no longer falls, where motion is known.
    pub stop: Option<Moment>,
    /// Start of the stable stretch.
    pub stable: Option<Moment>,
    /// The quiet stretch afterwards, if there was one.
    pub standing_again: Option<StandingAgain>,
}

/// Standing still after a jump: the check on everything integrated before.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingAgain {
    /// Weight in the quiet half second, newtons.
    pub weight_n: f64,
    /// Velocity by integration at its end, m/s; zero in truth.
    pub velocity_m_s: f64,
    /// Its last sample.
    pub until: usize,
    /// All of the standing about it.
    pub stretch: Range<usize>,
}

/// Why there is no landing to measure.
pub(super) fn missing(
    recording: &Recording,
    flight: &Flight,
    weight_n: Option<f64>,
    rules: &Rules,
) -> Option<Note> {
    let trace = &recording.total;
    if !flight.landed {
        return Some(stepped_off());
    }
    if trace.between_s(flight.landing, trace.end()) < rules.shortest_s {
        return Some(Note::new(
            "truncated-end",
            format!("The recording ends within {} s of landing.", rules.shortest_s),
        ));
    }
    let until = trace.later(flight.landing, rules.landed_within_s).unwrap_or_else(|| trace.end());
    let enough = rules.landed_fraction * weight_n?;
    let mean = trace.mean(flight.landing, until).unwrap_or_default();
    (mean < enough).then(stepped_off)
}

fn stepped_off() -> Note {
    Note::new(
        "stepped-off",
        "The athlete did not land on the plate; flight time and landing are withheld.",
    )
}

/// A caveat when only part of the landing was on the plates: less force than the weight while the
/// fall is stopped, or a foot beside its plate.
pub(super) fn partial(
    recording: &Recording,
    landing: &Landing,
    from: Moment,
    weight_n: f64,
    rules: &Rules,
) -> Option<Note> {
    let what = if landing.peak_force_n < weight_n {
        format!(
            "The landing reaches {:.0} N, less than the weight of {weight_n:.0} N",
            landing.peak_force_n
        )
    } else {
        let foot = light_foot(recording, from, rules)?;
        format!("The {foot} foot came down beside its plate")
    };
    Some(Note::new(
        "partial-landing",
        format!("{what}: part of the landing was not measured. Doubt flight time and landing."),
    ))
}

fn light_foot(recording: &Recording, from: Moment, rules: &Rules) -> Option<&'static str> {
    let sides = recording.sides.as_ref()?;
    let trace = &recording.total;
    let until = trace.later(from, rules.light_foot_s)?;
    let samples = from.after()..until.before + 1;
    let sum = |values: &[f64]| values[samples.clone()].iter().sum::<f64>();
    let least = rules.light_foot_fraction * sum(&trace.values);
    [("left", &sides.left_n), ("right", &sides.right_n)]
        .into_iter()
        .find(|(_, values)| sum(values) < least)
        .map(|(foot, _)| foot)
}

/// Follows a landing of a system of known weight; `motion` where it was integrated.
pub(super) fn follow(
    recording: &Recording,
    flight: &Flight,
    until: Moment,
    weight_n: f64,
    motion: Option<&Motion>,
    (rules, of_stance): (&Rules, &stance::Rules),
) -> Option<Landing> {
    let trace = &recording.total;
    let stop = motion.and_then(|m| stop(trace, flight.landing, until, m, rules));
    let (peak, peak_force_n) = trace.peak(flight.landing, stop.unwrap_or(until))?;
    Some(Landing {
        peak,
        peak_force_n,
        stop,
        stable: stable_from(trace, flight.landing, weight_n, rules),
        standing_again: motion
            .and_then(|m| standing_again(trace, stop?, m, weight_n, (rules, of_stance))),
    })
}

/// Where the fall ends: the first instant of no downward velocity. When a small error of weight
/// keeps the integrated velocity just under zero, the first instant it is as high as it gets.
fn stop(
    trace: &Trace,
    landing: Moment,
    until: Moment,
    motion: &Motion,
    rules: &Rules,
) -> Option<Moment> {
    let until = trace.later(landing, rules.stop_within_s).unwrap_or(until).before.min(until.before);
    let samples = landing.after()..until + 1;
    let (_, highest) = window::extremes(motion.velocities(samples));
    let level = if highest >= 0.0 { 0.0 } else { highest - rules.stop_margin_m_s };
    (level > -rules.drift_m_s[0])
        .then(|| motion.rises_through(level, landing.before, until))
        .flatten()
}

/// First sample from which the force stays near the weight.
fn stable_from(trace: &Trace, from: Moment, weight_n: f64, rules: &Rules) -> Option<Moment> {
    let band = rules.stable_fraction * weight_n;
    let hold = trace.samples_in(rules.stable_s);
    crossing::first_held(from.after()..trace.len(), hold, |i| {
        (trace.values[i] - weight_n).abs() <= band
    })
    .map(Moment::at)
}

fn standing_again(
    trace: &Trace,
    stop: Moment,
    motion: &Motion,
    weight_n: f64,
    (rules, of_stance): (&Rules, &stance::Rules),
) -> Option<StandingAgain> {
    let until = trace.later(stop, rules.quiet_within_s).unwrap_or_else(|| trace.end());
    // After a drop the motion ends with the weighing it was integrated from.
    let known = stop.after()..(until.before + 1).min(motion.end());
    let quiet = window::quietest(
        &trace.values,
        known.clone(),
        &window::Quietest {
            width: trace.samples_in(rules.quiet_s),
            mean_from: 0.9 * weight_n,
            mean_to: 1.1 * weight_n,
            tie_factor: 1.01,
            tie_margin: 1e-3,
        },
    )?;
    let (again_n, sd_n) = window::mean_and_sd(&trace.values[quiet.clone()])?;
    let until = quiet.end - 1;
    (sd_n < rules.stable_fraction * weight_n).then(|| StandingAgain {
        weight_n: again_n,
        velocity_m_s: motion.velocity(until),
        until,
        stretch: stance::around(trace, quiet, again_n, known, of_stance),
    })
}

impl Landing {
    /// What standing again says about the weighing before.
    pub(super) fn weight_changed(&self, weight_n: f64, rules: &Rules) -> Option<Note> {
        let change = self.standing_again.as_ref()?.weight_n / weight_n - 1.0;
        (change.abs() > rules.weight_change_fraction).then(|| {
            Note::new(
                "weight-changed",
                format!(
                    "The plate reads {:+.1} % after landing against before; one weighing is off, \
                     or a foot was not on the plate.",
                    100.0 * change
                ),
            )
        })
    }

    /// Standing again with so much velocity left over that it must be mentioned.
    pub(super) fn drifted(&self, rules: &Rules) -> Option<&StandingAgain> {
        self.standing_again.as_ref().filter(|again| again.velocity_m_s.abs() > rules.drift_m_s[0])
    }

    /// Whether so much velocity is left that no displacement can be believed.
    pub(super) fn loses_displacement(&self, rules: &Rules) -> bool {
        self.standing_again
            .as_ref()
            .is_some_and(|again| again.velocity_m_s.abs() > rules.drift_m_s[1])
    }
}
