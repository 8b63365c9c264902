//! One question to one recording, whichever kind of trial it holds.

use cornerwork_core::capture::{BarCapture, ForceCapture};
use cornerwork_core::metrics::{MetricSet, trials};
use cornerwork_core::note::{Note, Noted};
use cornerwork_core::signal::{Moment, Trace};
pub use cornerwork_core::trial::Kind;
use cornerwork_core::trial::isometric::Direction;
use cornerwork_core::trial::motion::Motion;
use cornerwork_core::trial::recording::Recording;
use cornerwork_core::trial::{
    Conditions, Phase, TrialError, bar_reps, countermovement_jump, drop_jump, flight, isometric,
    jump, repeated_jumps, squat_jump,
};

/// What is asked of a recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question {
    /// Which kind of trial it holds.
    pub kind: Kind,
    /// What is known besides the trace.
    pub conditions: Conditions,
    /// Which way an isometric effort goes.
    pub direction: Direction,
    /// Whether the bar is thrown or jumped with.
    pub ballistic: bool,
    /// What drift is taken off.
    pub drift: Drift,
}

/// Drift that is taken off only when somebody asks: each makes a trace look sound, right or wrong.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Drift {
    /// A wandering zero of the plate, as straight lines between its empty readings.
    pub level_zero: bool,
    /// Velocity left over when standing still again, as a straight line from the onset.
    pub close_velocity: bool,
}

impl Drift {
    fn flight_rules(self) -> flight::Rules {
        flight::Rules { level_zero: self.level_zero, ..Default::default() }
    }

    fn jump_rules(self) -> jump::Rules {
        let close_velocity = self.close_velocity;
        jump::Rules { flight: self.flight_rules(), close_velocity, ..Default::default() }
    }
}

/// Rules of any kind of trial, to be written out.
pub type Rules = Box<dyn std::fmt::Debug + Send>;

/// What a recording shows.
#[derive(Debug)]
pub struct Analysis {
    /// Which kind of trial it was read as.
    pub kind: Kind,
    /// What was known besides the trace.
    pub conditions: Conditions,
    /// The numbers of the trial; one set a repetition for a bar.
    pub sets: Vec<MetricSet>,
    /// Phases in order, in seconds of the recording.
    pub phases: Vec<(&'static str, f64, f64)>,
    /// Every hop of a series.
    pub hops: Vec<Hop>,
    /// The signals it was read from.
    pub signals: Signals,
    /// The rules it was read by, with their constants; written out only when asked for.
    pub rules: Rules,
    /// Caveats, and reasons for what is absent.
    pub notes: Vec<Note>,
}

/// One hop of a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hop {
    /// The feet come down, seconds of the recording.
    pub touch_down_s: f64,
    /// Seconds on the ground.
    pub contact_s: f64,
    /// Seconds in the air after it.
    pub flight_s: f64,
    /// Height from flight time over contact time, m/s.
    pub reactive_strength_index: f64,
}

/// Signals on the clock of the recording.
#[derive(Clone, Debug)]
pub enum Signals {
    /// Forces, with the motion computed from them where there is one.
    Force {
        /// The recording.
        recording: Recording,
        /// Motion of the centre of mass.
        motion: Option<Motion>,
        /// Weight or baseline, newtons.
        weight_n: Option<f64>,
    },
    /// A bar.
    Bar {
        /// Smoothed position.
        position: Trace,
        /// Its velocity, m/s.
        velocity_m_s: Vec<f64>,
        /// Time of the first sample.
        start_s: f64,
    },
}

/// Reads a force capture as the kind of trial asked for.
///
/// # Errors
/// When it holds no such trial.
pub fn analyse(capture: &ForceCapture, question: &Question) -> Result<Analysis, TrialError> {
    let mut analysis = of_kind(capture, question)?;
    analysis.notes.extend(question.conditions.moved.notes());
    Ok(analysis)
}

fn of_kind(capture: &ForceCapture, question: &Question) -> Result<Analysis, TrialError> {
    let (conditions, drift) = (&question.conditions, question.drift);
    match question.kind {
        Kind::CountermovementJump => {
            let rules =
                countermovement_jump::Rules { jump: drift.jump_rules(), ..Default::default() };
            let jump = countermovement_jump::read(capture, conditions, &rules)?;
            let set = trials::countermovement_jump(&jump);
            let rules = Box::new(jump.value.rules);
            let phases = jump.value.phases();
            Ok(of_jump(question.kind, set, &phases, rules, jump.value.jump))
        }
        Kind::SquatJump => {
            let rules = squat_jump::Rules { jump: drift.jump_rules(), ..Default::default() };
            let jump = squat_jump::read(capture, conditions, &rules)?;
            let set = trials::squat_jump(&jump);
            let rules = Box::new(jump.value.rules);
            let phases = jump.value.phases();
            Ok(of_jump(question.kind, set, &phases, rules, jump.value.jump))
        }
        Kind::DropJump => {
            let rules = drop_jump::Rules { flight: drift.flight_rules(), ..Default::default() };
            Ok(of_drop(drop_jump::read(capture, conditions, &rules)?))
        }
        Kind::RepeatedJump => {
            let flight = drift.flight_rules();
            let rules = repeated_jumps::Rules { flight, ..Default::default() };
            Ok(of_hops(repeated_jumps::read(capture, conditions, &rules)?))
        }
        Kind::Isometric | Kind::Bar => {
            let rules = isometric::Rules { direction: question.direction, ..Default::default() };
            Ok(of_isometric(isometric::read(capture, conditions, &rules)?))
        }
    }
}

/// Reads the repetitions of a bar.
///
/// # Errors
/// When there are none.
pub fn analyse_bar(capture: &BarCapture, question: &Question) -> Result<Analysis, TrialError> {
    let rules = bar_reps::Rules { ballistic: question.ballistic, ..Default::default() };
    let reps = bar_reps::read(capture, &question.conditions, &rules)?;
    let sets = trials::bar_reps(&reps);
    let Noted { value: reps, notes } = reps;
    let phases = reps
        .reps
        .iter()
        .map(|rep| ("repetition", reps.time_s(rep.start), reps.time_s(rep.end)))
        .collect();
    Ok(Analysis {
        kind: Kind::Bar,
        conditions: reps.conditions,
        sets,
        phases,
        hops: Vec::new(),
        rules: Box::new(reps.rules),
        signals: Signals::Bar {
            position: reps.position,
            velocity_m_s: reps.velocity_m_s,
            start_s: reps.start_s,
        },
        notes,
    })
}

fn of_jump(
    kind: Kind,
    set: MetricSet,
    phases: &[Phase],
    rules: Rules,
    jump: cornerwork_core::trial::jump::Jump,
) -> Analysis {
    let (conditions, phases) = (jump.conditions, timed(phases, &jump.recording.total));
    let (motion, weight_n) = match jump.start {
        Some(start) => {
            let weight_n = start.weight_n();
            (Some(start.motion), Some(weight_n))
        }
        None => (None, None),
    };
    let signals = Signals::Force { recording: jump.recording, motion, weight_n };
    of_force(kind, conditions, set, phases, rules, signals)
}

fn of_drop(jump: Noted<drop_jump::DropJump>) -> Analysis {
    let set = trials::drop_jump(&jump);
    let jump = jump.value;
    let phases = timed(&jump.phases(), &jump.recording.total);
    let rules = Box::new(jump.rules);
    let (motion, weight_n) = match jump.contact {
        Some(contact) => (Some(contact.motion), Some(contact.weight_n)),
        None => (None, None),
    };
    let signals = Signals::Force { recording: jump.recording, motion, weight_n };
    of_force(Kind::DropJump, jump.conditions, set, phases, rules, signals)
}

fn of_hops(series: Noted<repeated_jumps::RepeatedJumps>) -> Analysis {
    let set = trials::repeated_jumps(&series);
    let series = series.value;
    let trace = &series.recording.total;
    let gravity_m_s2 = series.conditions.gravity.in_metres_per_second_squared();
    let time = |moment: Moment| trace.time_s(moment);
    let phases = series
        .hops
        .iter()
        .flat_map(|hop| {
            [
                ("contact", time(hop.touch_down), time(hop.take_off)),
                ("flight", time(hop.take_off), time(hop.landing)),
            ]
        })
        .collect();
    let hops = series
        .hops
        .iter()
        .map(|hop| Hop {
            touch_down_s: time(hop.touch_down),
            contact_s: hop.contact_s,
            flight_s: hop.flight_s,
            reactive_strength_index: hop.reactive_strength_index(gravity_m_s2),
        })
        .collect();
    let weight_n = series.system_mass_kg.map(|mass| mass * gravity_m_s2);
    let rules = Box::new(series.rules);
    let signals = Signals::Force { recording: series.recording, motion: None, weight_n };
    Analysis {
        hops,
        ..of_force(Kind::RepeatedJump, series.conditions, set, phases, rules, signals)
    }
}

fn of_isometric(effort: Noted<isometric::Isometric>) -> Analysis {
    let set = trials::isometric(&effort);
    let effort = effort.value;
    let phases = timed(&effort.phases(), &effort.recording.total);
    let rules = Box::new(effort.rules);
    let weight_n = Some(effort.baseline.weight_n);
    let signals = Signals::Force { recording: effort.recording, motion: None, weight_n };
    of_force(Kind::Isometric, effort.conditions, set, phases, rules, signals)
}

fn of_force(
    kind: Kind,
    conditions: Conditions,
    mut set: MetricSet,
    phases: Vec<(&'static str, f64, f64)>,
    rules: Rules,
    signals: Signals,
) -> Analysis {
    let notes = std::mem::take(&mut set.notes);
    Analysis { kind, conditions, sets: vec![set], phases, hops: Vec::new(), signals, rules, notes }
}

fn timed(phases: &[Phase], trace: &Trace) -> Vec<(&'static str, f64, f64)> {
    phases
        .iter()
        .map(|phase| (phase.name, trace.time_s(phase.from), trace.time_s(phase.to)))
        .collect()
}
