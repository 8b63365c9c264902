//! One repetition as performed, and the load it was performed with.

use crate::exercise::{ExerciseId, FaultTag};
use crate::kit::{Bar, Loadable, Plate};
use crate::session::athlete::{AthleteId, Stance};
use crate::session::operation::OperationId;
use crate::units::{Duration, Length, Mass};
use jiff::Timestamp;

/// Which side worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// Left limb.
    Left,
    /// Right limb.
    Right,
    /// The hand or foot in front, by the athlete's stance.
    Lead,
    /// The hand or foot behind, by the athlete's stance.
    Rear,
}

impl Side {
    /// Plain word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Lead => "lead hand",
            Self::Rear => "rear hand",
        }
    }
}

impl Side {
    /// The limb itself, left or right: the lead hand of a southpaw is the right one.
    #[must_use]
    pub const fn limb(self, stance: Stance) -> Self {
        match (self, stance) {
            (Self::Lead, Stance::Orthodox) | (Self::Rear, Stance::Southpaw) => Self::Left,
            (Self::Lead, Stance::Southpaw) | (Self::Rear, Stance::Orthodox) => Self::Right,
            (side, _) => side,
        }
    }

    /// Every side.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Lead, Self::Rear];

    /// Short stable name, for forms and files.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Lead => "lead",
            Self::Rear => "rear",
        }
    }
    /// The side of this short name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.code() == code)
    }
}

/// What hung on the bar. The total is what was weighed then: a bar weighed anew later does not
/// change what was lifted before.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Load {
    /// Id of the bar, if there was one.
    pub bar: Option<String>,
    /// Plates of one side, innermost first; for a landmine all plates.
    pub plates: Vec<Plate>,
    /// Bar, collars and all plates together; zero for a jump with nothing in the hands.
    pub total: Mass,
}

impl Load {
    /// This bar and nothing on it.
    pub fn bar_alone(bar: &Bar) -> Self {
        Self { bar: Some(bar.id.clone()), plates: Vec::new(), total: bar.mass() }
    }
    /// This bar with these plates.
    pub fn hung(bar: &Bar, loadable: &Loadable) -> Self {
        Self {
            bar: Some(bar.id.clone()),
            plates: loadable.per_side.clone(),
            total: loadable.total(),
        }
    }
    /// Nothing but the body.
    pub fn none() -> Self {
        Self::default()
    }
    /// Whether two loads count as the same for a best to beat: within half a kilogram, so that a
    /// 45 lb plate among the twenties is not a load of its own.
    pub fn same_as(&self, other: &Self) -> bool {
        (self.total - other.total).abs() <= Mass::kilograms(0.5)
    }
}

/// How the number was measured. Numbers of different methods are never compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Method {
    /// Height from time in the air (jump mat, video).
    FlightTime,
    /// Height from take-off velocity or impulse (force platform).
    TakeOffVelocity,
    /// Velocity of the bar or hand by a tethered or optical sensor.
    Sensor,
    /// Read off by eye, tape or stopwatch and typed in.
    ByHand,
    /// Not measured: how it looked to the coach. There is no number with it.
    ByEye(Seen),
}

impl Method {
    /// What stands where a rep has no number.
    pub const fn without_number(self) -> &'static str {
        match self {
            Self::ByEye(_) => self.words(),
            _ => "no number",
        }
    }
}

/// How fast a rep looked, where nothing measures it: three words of the program's own and never a
/// number, so that it cannot stand among velocities.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Seen {
    /// Faster than wanted: the load is too light.
    Fast,
    /// As fast as wanted.
    AsWanted,
    /// Slower than wanted: the load is too heavy, or the set is over.
    Slow,
}

impl Seen {
    /// Every word, fastest first.
    pub const ALL: [Self; 3] = [Self::Fast, Self::AsWanted, Self::Slow];

    /// Plain word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fast => "fast",
            Self::AsWanted => "as wanted",
            Self::Slow => "slow",
        }
    }
    /// Short stable name, for forms.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Fast => "fast",
            Self::AsWanted => "as-wanted",
            Self::Slow => "slow",
        }
    }
    /// The word of this short name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|seen| seen.code() == code)
    }
}

impl Method {
    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::FlightTime => "flight time",
            Self::TakeOffVelocity => "take-off velocity",
            Self::Sensor => "sensor",
            Self::ByHand => "by hand",
            Self::ByEye(Seen::Fast) => "by eye: fast",
            Self::ByEye(Seen::AsWanted) => "by eye: as wanted",
            Self::ByEye(Seen::Slow) => "by eye: slow",
        }
    }
    /// How it was measured, after "measured": "by flight time", "by hand".
    pub fn by(self) -> String {
        match self {
            Self::ByHand => self.words().to_owned(),
            _ => format!("by {}", self.words()),
        }
    }
}

/// What a rep is before it is placed in its set: everything known at the moment of entry.
#[derive(Clone, Debug, PartialEq)]
pub struct RepEntry {
    /// Who.
    pub athlete: AthleteId,
    /// What.
    pub exercise: ExerciseId,
    /// Where: number of the station, absent for reps entered from a desk or an import.
    pub station: Option<u8>,
    /// With what.
    pub load: Load,
    /// From which box, for depth and drop jumps.
    pub box_height: Option<Length>,
    /// Which side, where the exercise has sides.
    pub side: Option<Side>,
    /// The exercise's measure in SI units; absent for a rep done without a number.
    pub value: Option<f64>,
    /// Time on the ground, where it was measured.
    pub contact_time: Option<Duration>,
    /// How it was measured.
    pub method: Method,
    /// When it was done.
    pub at: Timestamp,
}

/// A rep in its place: numbered within its set, with its faults and its story of corrections.
#[derive(Clone, Debug, PartialEq)]
pub struct Rep {
    /// The operation that recorded it, which is also its id.
    pub id: OperationId,
    /// What was entered, as corrected since.
    pub entry: RepEntry,
    /// Set of this athlete at this station on this evening, from 1; 0 outside an evening.
    pub set: u32,
    /// Whether it was typed in from a sheet afterwards: its time is then that of the session.
    pub from_paper: bool,
    /// Faults seen, each with whether it spoils the number.
    pub faults: Vec<SeenFault>,
    /// Set aside by the coach with a reason: counts as done, feeds no best and no profile.
    pub set_aside: Option<String>,
    /// Every change since it was first entered, oldest first.
    pub changes: Vec<RepChange>,
}

impl Rep {
    /// Whether its number may stand as a best or feed a profile: there is one, nobody set it
    /// aside, and no fault spoils the measurement.
    pub fn counts(&self) -> bool {
        self.number().is_some()
    }
    /// The number, if it may be used.
    pub fn number(&self) -> Option<f64> {
        let spoiled =
            self.set_aside.is_some() || self.faults.iter().any(|fault| fault.spoils_number);
        if spoiled { None } else { self.entry.value }
    }
}

/// What a rep was done with.
#[derive(Clone, Debug, PartialEq)]
pub struct DoneWith {
    /// What hung.
    pub load: Load,
    /// Which box stood.
    pub box_height: Option<Length>,
}

/// A fault as it was seen. Whether it spoils the number is kept with it: the library may change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeenFault {
    /// Which.
    pub tag: FaultTag,
    /// Whether a number measured with it is not to be believed.
    pub spoils_number: bool,
}

/// One line in the story of a rep.
#[derive(Clone, Debug, PartialEq)]
pub struct RepChange {
    /// The operation that made it.
    pub operation: OperationId,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub author: String,
    /// What became of it.
    pub what: Altered,
    /// Why.
    pub reason: String,
}

/// What a change made of a rep.
#[derive(Clone, Debug, PartialEq)]
pub enum Altered {
    /// Another number, in SI units; `None` is no number.
    Number {
        /// What it was.
        from: Option<f64>,
        /// What it became.
        to: Option<f64>,
    },
    /// It is someone else's.
    Athlete {
        /// Whose it was.
        from: AthleteId,
        /// Whose it is.
        to: AthleteId,
    },
    /// Its number is not to be used.
    SetAside,
}
