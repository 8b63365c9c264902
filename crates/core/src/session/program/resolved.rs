//! A session resolved for each athlete: what to hang or set, why, and what is in the way.

use super::plan::{Exceptional, SessionPlan};
use crate::estimate::Interval;
use crate::exercise::{ExerciseId, StopRule};
use crate::note::Note;
use crate::session::athlete::AthleteId;
use crate::session::evening::Target;
use crate::session::rep::{Load, Side};
use crate::units::{Duration, Length, Mass};
use crate::working::Working;

/// A session with what each athlete does in it. It holds no reference and no formula: pages, the
/// floor sheet and the rotation read it alike.
#[derive(Clone, Debug, PartialEq)]
pub struct ResolvedSession {
    /// The plan.
    pub plan: SessionPlan,
    /// What each athlete does at each station, by athlete in the order of the plan and then by
    /// station.
    pub planned: Vec<Planned>,
}

/// What one athlete does at one station.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// Who.
    pub athlete: AthleteId,
    /// Where.
    pub station: u8,
    /// What, after any swap.
    pub exercise: ExerciseId,
    /// On this side only.
    pub only: Option<Side>,
    /// Sets.
    pub sets: u32,
    /// Reps a set, each side where there are sides.
    pub reps: u32,
    /// Least rest between two sets.
    pub rest: Duration,
    /// What ends a set early.
    pub stop: Option<StopRule>,
    /// With what.
    pub with: DoThis,
    /// What the reps are held against, in SI units of the exercise's measure.
    pub target: Option<Target>,
    /// Why, in one sentence.
    pub reason: String,
    /// How it came about.
    pub working: Option<Working>,
    /// Under which caveats.
    pub notes: Vec<Note>,
    /// What is in the way; empty where nothing is.
    pub objections: Vec<Objection>,
}

/// With what an exercise is done.
#[derive(Clone, Debug, PartialEq)]
pub enum DoThis {
    /// A bar with plates.
    Hang {
        /// What to hang.
        load: Load,
        /// In words: "hex light: 5 a side".
        words: String,
        /// Where it leads, where that is more than may be hung now.
        goal: Option<Mass>,
        /// Where the rule would have put it before rounding to the plates here, with its interval
        /// where one is known.
        wanted: Mass,
        /// 90 % interval of that.
        doubt: Option<Interval<Mass>>,
    },
    /// A load that is not put together of plates: a ball, a bell, a sled.
    Take {
        /// The number on it.
        load: Mass,
    },
    /// A box.
    SetBox {
        /// How high.
        height: Length,
    },
    /// An effort against what does not move.
    Hold {
        /// How long.
        time: Duration,
    },
    /// The body alone, or what has no number.
    Body,
    /// No number yet; the reason says what to do to get one, and this hangs meanwhile.
    NotYet {
        /// The lightest that can be hung, where something hangs.
        start: Option<Load>,
        /// In words.
        words: String,
    },
}

/// Something in the way of an exercise for one athlete.
#[derive(Clone, Debug, PartialEq)]
pub struct Objection {
    /// What and why, with what to do.
    pub sentence: String,
    /// Whether it is a hard stop; one that is not gives way to a coach's reason.
    pub hard: bool,
    /// What could be done instead, best first.
    pub swaps: Vec<OfferedSwap>,
}

/// What could be done instead.
#[derive(Clone, Debug, PartialEq)]
pub struct OfferedSwap {
    /// In words: "Box jump, step down".
    pub words: String,
    /// What taking it would set.
    pub what: Exceptional,
}

impl ResolvedSession {
    /// What an athlete does at a station.
    pub fn at(&self, athlete: &AthleteId, station: u8) -> Option<&Planned> {
        self.planned.iter().find(|one| one.athlete == *athlete && one.station == station)
    }

    /// Everything of one athlete, in the order of the stations.
    pub fn of<'a>(&'a self, athlete: &'a AthleteId) -> impl Iterator<Item = &'a Planned> {
        self.planned.iter().filter(move |one| one.athlete == *athlete)
    }

    /// Everything at one station, in the order of the athletes.
    pub fn at_station(&self, station: u8) -> impl Iterator<Item = &Planned> {
        self.planned.iter().filter(move |one| one.station == station)
    }
}

impl Planned {
    /// Whether nothing stands in the way.
    pub fn is_open(&self) -> bool {
        self.objections.is_empty()
    }

    /// What to hang or set, as it is said at the rack: "40.0 kg, hex light: 12.5 a side".
    pub fn in_words(&self) -> String {
        match &self.with {
            DoThis::Hang { load, words, .. } => {
                format!("{:.1} kg, {words}", load.total.in_kilograms())
            }
            DoThis::Take { load } => format!("{:.1} kg", load.in_kilograms()),
            DoThis::SetBox { height } => format!("{:.0} cm box", height.in_centimetres()),
            DoThis::Hold { time } => format!("hold {:.0} s", time.in_seconds()),
            DoThis::Body => "body weight".to_owned(),
            DoThis::NotYet { words, .. } => words.clone(),
        }
    }
}
