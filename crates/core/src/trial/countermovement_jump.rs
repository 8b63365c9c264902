//! Countermovement jump: stand, dip, jump, land.
//!
//! Phases as in McMahon, Suchomel, Lake & Comfort 2018, Strength Cond J 40(4):96: weighing,
//! unweighting to the fastest descent, braking to standstill at the bottom, propulsion to
//! take-off, flight, landing.

use super::flight::{self, Flight};
use super::landing::{self, Landing};
use super::onset::Leaving;
use super::recording::{self, Recording};
use super::standing_start::{self, StandingStart};
use super::weighing::Weighing;
use super::{Conditions, Phase, TrialError, quality};
use crate::capture::ForceCapture;
use crate::note::{Note, Noted};
use crate::signal::Moment;

/// The constants a countermovement jump is read by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Recording, weighing, onset, clipping.
    pub start: standing_start::Rules,
    /// Flight.
    pub flight: flight::Rules,
    /// Landing.
    pub landing: landing::Rules,
    /// Propulsion is averaged from the first sample faster than this (McMahon et al. 2018).
    pub propulsion_m_s: f64,
    /// A descent faster than this after coming up is a second dip (engineering choice).
    pub second_dip_m_s: f64,
    /// Another flight sooner than this after landing is a double hop (engineering choice).
    pub second_hop_s: f64,
    /// A flight sooner than this before the weighing is mentioned (engineering choice).
    pub earlier_hop_s: f64,
    /// Depths that are believed, metres (engineering choice).
    pub depth_m: [f64; 2],
    /// Rises of the centre of mass at take-off over standing that are believed, metres
    /// (engineering choice).
    pub take_off_rise_m: [f64; 2],
    /// Times from onset to take-off that are believed, seconds (engineering choice).
    pub time_to_take_off_s: [f64; 2],
    /// Take-off slower than this is a low effort (engineering choice).
    pub low_effort_m_s: f64,
    /// Flight longer than this is doubted (engineering choice): a wrong sampling rate stretches
    /// both heights alike and no physics in the trace can tell.
    pub longest_flight_s: f64,
    /// Height by flight over height by impulse: landing with bent legs, and plain disagreement,
    /// metres (engineering choices; Yamashita et al. 2020, Appl Sci 10:776, measured 0.025 m for
    /// a centre of mass 0.053 m lower at landing).
    pub disagreement_m: [f64; 2],
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            start: standing_start::Rules::default(),
            flight: flight::Rules::default(),
            landing: landing::Rules::default(),
            propulsion_m_s: 0.01,
            second_dip_m_s: 0.10,
            second_hop_s: 1.5,
            earlier_hop_s: 3.0,
            depth_m: [0.05, 0.70],
            take_off_rise_m: [-0.05, 0.20],
            time_to_take_off_s: [0.35, 2.0],
            low_effort_m_s: 1.0,
            longest_flight_s: 0.80,
            disagreement_m: [0.03, 0.05],
        }
    }
}

/// A countermovement jump with its events.
#[derive(Clone, Debug, PartialEq)]
pub struct CountermovementJump {
    /// The rules it was read by.
    pub rules: Rules,
    /// What was known beside the trace.
    pub conditions: Conditions,
    /// The force, checked and zeroed.
    pub recording: Recording,
    /// Take-off and landing.
    pub flight: Flight,
    /// Whether the landing was on the plate, so that flight time means something.
    pub landed: bool,
    /// The movement before take-off; `None` when force could not be integrated (a note says why).
    pub push: Option<Push>,
    /// The landing, when it can be followed.
    pub landing: Option<Landing>,
    /// Whether the largest force in the landing is real rather than the end of the plate's range.
    pub landing_peak_measured: bool,
}

/// From standing to take-off.
#[derive(Clone, Debug, PartialEq)]
pub struct Push {
    /// Weighing, onset and motion.
    pub start: StandingStart,
    /// Fastest descent: unweighting ends, braking begins.
    pub fastest_descent: Moment,
    /// Standstill at the bottom: braking ends, propulsion begins.
    pub bottom: Moment,
    /// Whether displacements can be believed.
    pub displacement_trusted: bool,
}

impl Push {
    /// First sample of propulsion faster than a velocity: where its averages begin.
    pub fn propulsion_from(&self, take_off: Moment, faster_than_m_s: f64) -> Option<usize> {
        (self.bottom.after()..=take_off.before)
            .find(|&sample| self.start.motion.velocity(sample) > faster_than_m_s)
    }
}

/// Reads a countermovement jump. Fails when there is no flight to measure; whatever else cannot
/// be trusted is withheld with a note.
pub fn read(
    capture: &ForceCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<CountermovementJump>, TrialError> {
    let mut recording = recording::prepare(capture, &rules.start.recording)?;
    recording::check_scale(&recording, &rules.start.recording)?;
    let flights = flight::find(&mut recording, &rules.flight)?;
    let mut notes = std::mem::take(&mut recording.notes);
    notes.extend(quality::slow_clock(&recording, rules.start.recording.usual_rate_hz));
    let (flight, weighing) =
        standing_start::choose_flight(&recording, &flights, conditions, &rules.start);
    let clipped = quality::clipped(&recording.total.values, &rules.start.clipping);

    let weight_n = weighing.as_ref().ok().map(|weighing| weighing.weight_n);
    if let Ok(weighing) = &weighing {
        notes.extend(weighing.notes(&recording.total, conditions, &rules.start.weighing));
        let from = weighing.window.start;
        notes.extend(quality::hopped_before(&recording, &flights, from, rules.earlier_hop_s));
    }
    notes.extend(quality::hops_again(&recording, &flights, flight.landing, rules.second_hop_s));
    let off_plate =
        weight_n.and_then(|weight| landing::missing(&recording, &flight, weight, &rules.landing));
    let landed = off_plate.as_ref().is_none_or(|note| note.id != "stepped-off");

    let mut push = match weighing
        .and_then(|weighing| read_push(&recording, weighing, &flight, &clipped, conditions, rules))
    {
        Ok(push) => Some(push),
        Err(reason) => {
            notes.push(reason);
            None
        }
    };
    let until = flights
        .iter()
        .find(|other| other.take_off > flight.landing)
        .map_or_else(|| recording.total.end(), |other| other.take_off);
    let landing = match (&off_plate, weight_n) {
        (None, Some(weight_n)) => {
            let motion = push.as_ref().map(|push| &push.start.motion);
            landing::follow(&recording, &flight, until, weight_n, motion, &rules.landing)
        }
        _ => None,
    };
    notes.extend(off_plate);
    if let (Some(landing), Some(weight_n)) = (&landing, weight_n) {
        notes.extend(landing.notes(weight_n, &rules.landing));
        if let Some(push) = &mut push {
            push.displacement_trusted = !landing.loses_displacement(&rules.landing);
        }
    }
    let after = flight.landing.before..until.before + 1;
    let landing_peak_measured = quality::clipped_within(&clipped, &after).is_none();
    let jump = CountermovementJump {
        rules: *rules,
        conditions: *conditions,
        recording,
        flight,
        landed,
        push,
        landing,
        landing_peak_measured,
    };
    notes.extend(jump.plausibility());
    Ok(Noted { value: jump, notes })
}

fn read_push(
    recording: &Recording,
    weighing: Weighing,
    flight: &Flight,
    clipped: &[std::ops::Range<usize>],
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Push, Note> {
    let start = standing_start::read(
        recording,
        weighing,
        flight.take_off,
        clipped,
        Leaving::EitherWay,
        conditions,
        &rules.start,
    )?;
    let fastest_descent = start
        .motion
        .fastest_descent(start.onset.at, flight.take_off)
        .filter(|&sample| start.motion.velocity(sample) < 0.0)
        .ok_or_else(no_countermovement)?;
    let bottom = start
        .motion
        .turns_upward(fastest_descent, flight.take_off.before)
        .ok_or_else(no_countermovement)?;
    Ok(Push {
        start,
        fastest_descent: Moment::at(fastest_descent),
        bottom,
        displacement_trusted: true,
    })
}

fn no_countermovement() -> Note {
    Note::new(
        "no-countermovement",
        "The athlete does not dip and come to a stop before take-off; is this a squat jump? \
         Numbers that need the dip are withheld.",
    )
}

impl CountermovementJump {
    /// The phases in order; only weighing and flight when the force could not be integrated.
    pub fn phases(&self) -> Vec<Phase> {
        let mut phases = Vec::new();
        let Flight { take_off, landing, .. } = self.flight;
        if let Some(push) = &self.push {
            let window = &push.start.weighing.window;
            let onset = push.start.onset.at;
            phases.extend([
                Phase {
                    name: "weighing",
                    from: Moment::at(window.start),
                    to: Moment::at(window.end - 1),
                },
                Phase { name: "unweighting", from: onset, to: push.fastest_descent },
                Phase { name: "braking", from: push.fastest_descent, to: push.bottom },
                Phase { name: "propulsion", from: push.bottom, to: take_off },
            ]);
        }
        phases.push(Phase { name: "flight", from: take_off, to: landing });
        if let Some(stop) = self.landing.as_ref().and_then(|landing| landing.stop) {
            phases.push(Phase { name: "landing", from: landing, to: stop });
        }
        phases
    }

    fn plausibility(&self) -> Vec<Note> {
        let mut notes = Vec::new();
        let flight_s = self.flight.duration_s(&self.recording);
        if self.landed && flight_s > self.rules.longest_flight_s {
            notes.push(Note::new(
                "suspect-sample-rate",
                format!(
                    "A flight of {flight_s:.2} s is longer than athletes fly; is the sampling rate \
                     right? A wrong one cannot be told from the trace."
                ),
            ));
        }
        if let Some(push) = &self.push {
            notes.extend(self.push_plausibility(push));
        }
        notes
    }

    fn push_plausibility(&self, push: &Push) -> Vec<Note> {
        let rules = &self.rules;
        let take_off = self.flight.take_off;
        let motion = &push.start.motion;
        let mut notes = Vec::new();
        let mut doubt = |id, doubtful: bool, text: String| {
            if doubtful {
                notes.push(Note::new(id, text));
            }
        };
        let duration_s = self.recording.total.between_s(push.start.onset.at, take_off);
        doubt(
            "unusual-duration",
            outside(duration_s, rules.time_to_take_off_s),
            format!("{duration_s:.2} s from onset to take-off is unusual; look at the onset."),
        );
        let depth_m = -motion.displacement_at(push.bottom);
        doubt(
            "unusual-depth",
            outside(depth_m, rules.depth_m),
            format!(
                "A countermovement of {:.0} cm is unusual; look at the weighing.",
                depth_m * 100.0
            ),
        );
        let rise_m = motion.displacement_at(take_off);
        doubt(
            "implausible-take-off-posture",
            outside(rise_m, rules.take_off_rise_m),
            format!(
                "The centre of mass leaves the ground {:.0} cm above standing, which no heel lift \
                 explains; look at the weighing.",
                rise_m * 100.0
            ),
        );
        let velocity = motion.velocity_at(take_off);
        doubt(
            "low-effort",
            velocity < rules.low_effort_m_s,
            format!("Take-off at {velocity:.2} m/s is slow for a full effort."),
        );
        doubt(
            "upward-prelude",
            push.start.onset.upward,
            "The force rises before the dip; the movement is taken to begin there.".into(),
        );
        doubt(
            "double-dip",
            quality::dips_twice(motion, push.start.onset.at, take_off, rules.second_dip_m_s),
            "The athlete dips twice before take-off; depth is the deeper one.".into(),
        );
        if self.landed {
            notes.extend(self.height_disagreement(velocity));
        }
        notes
    }

    fn height_disagreement(&self, velocity_m_s: f64) -> Option<Note> {
        let gravity = self.conditions.gravity_m_s2();
        let flight_s = self.flight.duration_s(&self.recording);
        let excess_m = gravity * flight_s * flight_s / 8.0 - velocity_m_s.powi(2) / (2.0 * gravity);
        let [bent, far] = self.rules.disagreement_m;
        let centimetres = excess_m * 100.0;
        if excess_m.abs() > far {
            return Some(Note::new(
                "height-methods-disagree",
                format!(
                    "Height from flight time is {centimetres:+.1} cm against height from impulse; \
                     look at the weighing and the landing before using either."
                ),
            ));
        }
        (excess_m > bent).then(|| {
            Note::new(
                "landed-with-bent-legs",
                format!(
                    "Height from flight time is {centimetres:.1} cm over height from impulse: the \
                     athlete landed with legs bent by about {:.0} cm. Use height from impulse.",
                    2.0 * centimetres
                ),
            )
        })
    }
}

pub(super) fn outside(value: f64, [low, high]: [f64; 2]) -> bool {
    !(low..=high).contains(&value)
}
