//! Kinds of trial, by their ids and names.

use super::moved::TrialEvent;

/// Kinds of trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// A jump with a dip, from standing.
    CountermovementJump,
    /// A jump from a held squat.
    SquatJump,
    /// A jump after dropping from a box.
    DropJump,
    /// Hops one after another.
    RepeatedJump,
    /// A pull or push against something that does not move.
    Isometric,
    /// Repetitions of a lifted bar.
    Bar,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 6] = [
        Self::CountermovementJump,
        Self::SquatJump,
        Self::DropJump,
        Self::RepeatedJump,
        Self::Isometric,
        Self::Bar,
    ];

    /// Its id: stable, for commands, addresses and files.
    pub const fn id(self) -> &'static str {
        match self {
            Self::CountermovementJump => "countermovement-jump",
            Self::SquatJump => "squat-jump",
            Self::DropJump => "drop-jump",
            Self::RepeatedJump => "repeated-jump",
            Self::Isometric => "isometric",
            Self::Bar => "bar",
        }
    }

    /// The kind of an id.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.id() == id)
    }

    /// Its name in a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::CountermovementJump => "countermovement jump",
            Self::SquatJump => "squat jump",
            Self::DropJump => "drop jump",
            Self::RepeatedJump => "repeated jumps",
            Self::Isometric => "isometric effort",
            Self::Bar => "bar repetitions",
        }
    }

    /// Events a person may move, in the order they happen. A series is not mended event by event:
    /// it is set aside and done again.
    pub const fn movable(self) -> &'static [TrialEvent] {
        match self {
            Self::CountermovementJump | Self::SquatJump => {
                &[TrialEvent::Weighing, TrialEvent::Onset, TrialEvent::TakeOff, TrialEvent::Landing]
            }
            Self::DropJump => &[TrialEvent::TouchDown, TrialEvent::TakeOff, TrialEvent::Landing],
            Self::Isometric => &[TrialEvent::Onset],
            Self::RepeatedJump | Self::Bar => &[],
        }
    }
}
