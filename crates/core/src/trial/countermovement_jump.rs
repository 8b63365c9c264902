//! Countermovement jump: stand, dip, jump, land.
//!
//! Phases as in McMahon, Suchomel, Lake & Comfort 2018, Strength Cond J 40(4):96: weighing,
//! unweighting to the fastest descent, braking to standstill at the bottom, propulsion to
//! take-off, flight, landing.

use super::jump::{self, Jump};
use super::standing_start::StandingStart;
use super::{Conditions, Phase, TrialError, outside, quality};
use crate::capture::ForceCapture;
use crate::note::{Note, Noted};
use crate::signal::Moment;

/// The constants a countermovement jump is read by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// What all jumps share.
    pub jump: jump::Rules,
    /// A descent slower than this is no countermovement: a squat jump allows as much (engineering
    /// choice).
    pub least_dip_m_s: f64,
    /// A descent faster than this after coming up is a second dip (engineering choice).
    pub second_dip_m_s: f64,
    /// Depths that are believed, metres (engineering choice).
    pub depth_m: [f64; 2],
    /// Rises of the centre of mass at take-off over standing that are believed, metres
    /// (engineering choice).
    pub take_off_rise_m: [f64; 2],
    /// Times from onset to take-off that are believed, seconds (engineering choice).
    pub time_to_take_off_s: [f64; 2],
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            jump: jump::Rules::default(),
            least_dip_m_s: 0.05,
            second_dip_m_s: 0.10,
            depth_m: [0.05, 0.70],
            take_off_rise_m: [-0.05, 0.20],
            time_to_take_off_s: [0.35, 2.0],
        }
    }
}

/// A countermovement jump with its events.
#[derive(Clone, Debug, PartialEq)]
pub struct CountermovementJump {
    /// The rules it was read by.
    pub rules: Rules,
    /// The jump.
    pub jump: Jump,
    /// The dip; `None` when there was none, or force could not be integrated (a note says which).
    pub dip: Option<Dip>,
}

/// The turning points before take-off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dip {
    /// Fastest descent: unweighting ends, braking begins.
    pub fastest_descent: Moment,
    /// Standstill at the bottom: braking ends, propulsion begins.
    pub bottom: Moment,
}

/// Reads a countermovement jump. Fails when there is no flight to measure; whatever else cannot
/// be trusted is withheld with a note.
pub fn read(
    capture: &ForceCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<CountermovementJump>, TrialError> {
    let Noted { value: jump, mut notes } = jump::read(capture, conditions, &rules.jump)?;
    let dip = jump
        .start
        .as_ref()
        .and_then(|start| find_dip(start, jump.flight.take_off, rules.least_dip_m_s));
    let jump = CountermovementJump { rules: *rules, jump, dip };
    notes.extend(jump.plausibility());
    Ok(Noted { value: jump, notes })
}

fn find_dip(start: &StandingStart, take_off: Moment, least_m_s: f64) -> Option<Dip> {
    let motion = &start.motion;
    let fastest = motion
        .fastest_descent(start.onset.at, take_off)
        .filter(|&sample| motion.velocity(sample) < -least_m_s)?;
    let bottom = motion.turns_upward(fastest, take_off.before)?;
    Some(Dip { fastest_descent: Moment::at(fastest), bottom })
}

impl CountermovementJump {
    /// The phases in order; those before take-off only where they are known.
    pub fn phases(&self) -> Vec<Phase> {
        let mut phases: Vec<Phase> = self.jump.weighing_phase().into_iter().collect();
        if let (Some(start), Some(dip)) = (&self.jump.start, &self.dip) {
            let (onset, take_off) = (start.onset.at, self.jump.flight.take_off);
            phases.extend([
                Phase { name: "unweighting", from: onset, to: dip.fastest_descent },
                Phase { name: "braking", from: dip.fastest_descent, to: dip.bottom },
                Phase { name: "propulsion", from: dip.bottom, to: take_off },
            ]);
        }
        phases.extend(self.jump.phases_after_take_off());
        phases
    }

    fn plausibility(&self) -> Vec<Note> {
        let Some(start) = &self.jump.start else { return Vec::new() };
        let rules = &self.rules;
        let take_off = self.jump.flight.take_off;
        let mut notes: Vec<Note> =
            self.jump.doubtful_rise(rules.take_off_rise_m).into_iter().collect();
        let mut doubt = |id, doubtful: bool, text: String| {
            if doubtful {
                notes.push(Note::new(id, text));
            }
        };
        let duration_s = self.jump.time_to_take_off_s(start);
        doubt(
            "unusual-duration",
            outside(duration_s, rules.time_to_take_off_s),
            format!("{duration_s:.2} s from onset to take-off is unusual; look at the onset."),
        );
        doubt(
            "upward-prelude",
            start.onset.upward,
            "The force rises before the dip; the movement is taken to begin there.".into(),
        );
        doubt(
            "double-dip",
            quality::dips_twice(&start.motion, start.onset.at, take_off, rules.second_dip_m_s),
            "The athlete dips twice before take-off; depth is the deeper one.".into(),
        );
        match &self.dip {
            Some(dip) => {
                let depth_m = -start.motion.displacement_at(dip.bottom);
                doubt(
                    "unusual-depth",
                    outside(depth_m, rules.depth_m),
                    format!(
                        "A countermovement of {:.0} cm is unusual; look at the weighing.",
                        depth_m * 100.0
                    ),
                );
            }
            None => doubt(
                "no-countermovement",
                true,
                "The athlete does not dip and come to a stop before take-off; is this a squat \
                 jump? Numbers that need the dip are withheld."
                    .into(),
            ),
        }
        notes
    }
}
