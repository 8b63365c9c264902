//! The ground state: every change anyone made, one operation each, kept for ever.
//!
//! An operation is never edited. A slip is mended by a later operation that corrects or withdraws
//! an earlier one, with who, when and why. The client makes the id, so the same submission sent
//! twice is one operation.

use crate::camp::camp_change::CampChange;
use crate::camp::safety_change::SafetyChange;
use crate::exercise::ExerciseId;
use crate::kit::{Bar, PlateRack};
use crate::session::athlete::{Athlete, AthleteId};
use crate::session::bout::Bout;
use crate::session::evening::{EveningPlan, Target};
use crate::session::paper::PaperChange;
use crate::session::program::ProgramChange;
use crate::session::rep::{DoneWith, Load, RepEntry, SeenFault};
use crate::session::restriction::{Restriction, RestrictionId};
use crate::session::trace::TraceChange;
use crate::units::{Length, Mass};
use jiff::Timestamp;
use std::fmt;

/// Id of an operation: 128 bits, made by the client, sortable by time (UUID version 7).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct OperationId(pub u128);

impl fmt::Display for OperationId {
    /// Thirty-two hexadecimal digits.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

impl std::str::FromStr for OperationId {
    type Err = std::num::ParseIntError;
    /// Reads hexadecimal digits, with or without the hyphens of a UUID.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        u128::from_str_radix(&text.replace('-', ""), 16).map(Self)
    }
}

/// One change with who, when and where from.
#[derive(Clone, Debug, PartialEq)]
pub struct Operation {
    /// Made by the client.
    pub id: OperationId,
    /// When it was made, by the clock of the program that keeps the gym.
    pub at: Timestamp,
    /// Who made it, and on what.
    pub author: Author,
    /// What it changes.
    pub change: Change,
}

/// Who stands behind an operation, and the device it came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Author {
    /// The name they signed in with, or what an unsigned device is called.
    pub name: String,
    /// Which device, by the id it was given; absent for what no device sent.
    pub device: Option<String>,
}

impl<T: Into<String>> From<T> for Author {
    /// Somebody, on no device: the program itself, an import.
    fn from(name: T) -> Self {
        Self { name: name.into(), device: None }
    }
}

/// What an operation can change.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// The gym's name, and whether its people and numbers are invented.
    GymNamed {
        /// Name over the door.
        name: String,
        /// True for the demo.
        invented: bool,
    },
    /// An athlete entered, or entered anew with other facts.
    AthleteEntered(Athlete),
    /// Body mass measured.
    BodyMassMeasured {
        /// Who.
        athlete: AthleteId,
        /// How much.
        mass: Mass,
        /// When.
        at: Timestamp,
    },
    /// A bar weighed, or weighed anew.
    BarWeighed(Bar),
    /// The plates of the gym counted.
    PlatesCounted(PlateRack),
    /// The boxes of the gym measured.
    BoxesMeasured(Vec<Length>),
    /// The jump mat compared with a better method.
    JumpMatCompared {
        /// How much higher it reads than the rise of the centre of mass after take-off.
        reads_high_by: Length,
        /// With what it was compared: "force platform, 20 jumps".
        against: String,
    },
    /// A bout agreed, or its facts changed.
    BoutAgreed(Bout),
    /// A change of bouts and camps.
    Camp(CampChange),
    /// Something an athlete may not do for now.
    RestrictionSet(Restriction),
    /// A restriction lifted by someone entitled to.
    RestrictionLifted {
        /// Which.
        restriction: RestrictionId,
        /// By whom and on what ground.
        cleared_by: String,
    },
    /// A target for one athlete in one exercise.
    TargetSet {
        /// Who.
        athlete: AthleteId,
        /// What.
        exercise: ExerciseId,
        /// The target; `None` takes it away.
        target: Option<Target>,
    },
    /// An evening begins with its stations and groups.
    EveningOpened(EveningPlan),
    /// An evening that was closed goes on where it stopped.
    EveningReopened {
        /// The operation that opened it.
        evening: OperationId,
        /// Its stations, groups and rounds from here on; done rounds as they were.
        plan: EveningPlan,
    },
    /// All groups move on to their next station.
    GroupsRotated,
    /// An athlete takes a station out of turn.
    TurnTaken {
        /// Station.
        station: u8,
        /// Who is up now.
        athlete: AthleteId,
    },
    /// A load hung for an athlete at a station.
    LoadHung {
        /// Station.
        station: u8,
        /// For whom.
        athlete: AthleteId,
        /// What hangs now.
        load: Load,
    },
    /// A box set for an athlete at a station.
    BoxSet {
        /// Station.
        station: u8,
        /// For whom.
        athlete: AthleteId,
        /// How high.
        height: Length,
    },
    /// An athlete does something else at a station for a while: a jump without a load, before the
    /// first load.
    DoneMeanwhile {
        /// Station.
        station: u8,
        /// Who.
        athlete: AthleteId,
        /// What; `None` is the station's exercise again.
        exercise: Option<ExerciseId>,
    },
    /// A rep done.
    RepRecorded(RepEntry),
    /// A rep's number corrected.
    RepCorrected {
        /// Which.
        rep: OperationId,
        /// The right number in SI units; `None` for a rep whose number is not known.
        value: Option<f64>,
        /// Why.
        reason: String,
    },
    /// Reps credited to another athlete.
    RepsMoved {
        /// Which.
        reps: Vec<OperationId>,
        /// Whose they are.
        athlete: AthleteId,
        /// What they were done with, where it is not what was recorded: it was read off for
        /// someone else.
        done_with: Option<DoneWith>,
        /// Why.
        reason: String,
    },
    /// A rep set aside: done, but its number is not used.
    RepSetAside {
        /// Which.
        rep: OperationId,
        /// Why.
        reason: String,
    },
    /// A fault seen in a rep.
    FaultSeen {
        /// In which rep.
        rep: OperationId,
        /// Which fault.
        fault: SeenFault,
    },
    /// The set of an athlete at a station is over.
    SetClosed {
        /// Station.
        station: u8,
        /// Whose set.
        athlete: AthleteId,
    },
    /// The evening is over.
    EveningClosed,
    /// The program changes: own exercises, planned sessions, who comes.
    Program(ProgramChange),
    /// Sheets printed, and reps typed in from them.
    Paper(PaperChange),
    /// A change of safety, consent, load or limits.
    Safety(SafetyChange),
    /// A recording filed, read, mended or set aside.
    Trace(TraceChange),
    /// An earlier operation is taken back; taking back a taking-back brings the first one back.
    Withdrawn {
        /// Which.
        operation: OperationId,
        /// Why.
        reason: String,
    },
}
