//! The sheet on the wall as it was printed, and what was typed in from it afterwards.
//!
//! What was handed out is a fact: loads and order found anew tomorrow may differ, so the rows are
//! kept as they were printed and typed in by the same order. A number stands in one blank of one
//! sheet, so typing a sheet twice makes nothing twice.

use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::operation::OperationId;
use crate::session::program::SessionId;
use crate::session::rep::{Load, RepEntry, Side};
use crate::units::Length;
use crate::words;
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::{BTreeMap, HashMap};
use thiserror::Error;

/// A row of a sheet: what one athlete does at a station on one side.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetRow {
    /// Number of the station.
    pub station: u8,
    /// Who.
    pub athlete: AthleteId,
    /// What.
    pub exercise: ExerciseId,
    /// On which side, where sides are kept apart.
    pub side: Option<Side>,
    /// What hangs.
    pub load: Load,
    /// Which box stands.
    pub box_height: Option<Length>,
    /// Sets.
    pub sets: u32,
    /// Reps a set.
    pub reps: u32,
}

/// Room for one number on the sheets of a session.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Blank {
    /// Whose sheets.
    pub session: SessionId,
    /// The station, and so the sheet.
    pub station: u8,
    /// Who.
    pub athlete: AthleteId,
    /// On which side.
    pub side: Option<Side>,
    /// Set, from 1.
    pub set: u32,
    /// Rep in the set, from 1.
    pub rep: u32,
}

/// A change that comes of paper.
#[derive(Clone, Debug, PartialEq)]
pub enum PaperChange {
    /// The sheets of a session printed: every row, in the order it stands there.
    SheetPrinted {
        /// Which session.
        session: SessionId,
        /// Its rows, station by station.
        rows: Vec<SheetRow>,
    },
    /// A rep typed in from a sheet.
    RepTyped {
        /// Whose sheets.
        session: SessionId,
        /// In which set it stands, from 1.
        set: u32,
        /// In which blank of the set, from 1.
        rep: u32,
        /// The rep; its station is that of the sheet.
        entry: RepEntry,
    },
}

impl PaperChange {
    /// The blank a rep was typed in from; `None` for anything else.
    pub fn blank(&self) -> Option<Blank> {
        let Self::RepTyped { session, set, rep, entry } = self else { return None };
        Some(Blank {
            session: session.clone(),
            station: entry.station?,
            athlete: entry.athlete.clone(),
            side: entry.side,
            set: *set,
            rep: *rep,
        })
    }
}

/// Sheets as they were printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheets {
    /// When.
    pub printed: Timestamp,
    /// Every row, in order.
    pub rows: Vec<SheetRow>,
}

/// Everything that is known of paper.
#[derive(Clone, Debug, Default)]
pub struct Papers {
    sheets: BTreeMap<SessionId, Vec<Sheets>>,
    typed: HashMap<Blank, OperationId>,
}

/// Most blanks of a set, and most sets: more is a slip.
const MOST: u32 = 100;

impl Papers {
    /// The sheets of a session as they were last printed.
    pub fn sheets(&self, session: &SessionId) -> Option<&Sheets> {
        self.printed(session).last()
    }

    /// Every printing of the sheets of a session that was not the same as the one before it, oldest
    /// first: any of them may be the one that hangs on the wall.
    pub fn printed(&self, session: &SessionId) -> &[Sheets] {
        self.sheets.get(session).map_or(&[], Vec::as_slice)
    }

    /// The rep that was typed in from a blank.
    pub fn typed(&self, blank: &Blank) -> Option<OperationId> {
        self.typed.get(blank).copied()
    }

    /// Takes a change that was checked.
    pub(super) fn take(&mut self, id: OperationId, at: Timestamp, change: &PaperChange) {
        if let PaperChange::SheetPrinted { session, rows } = change {
            let printings = self.sheets.entry(session.clone()).or_default();
            printings.push(Sheets { printed: at, rows: rows.clone() });
        }
        if let Some(blank) = change.blank() {
            self.typed.insert(blank, id);
        }
    }

    /// Whether a printed row allows a rep of someone at a station on a side.
    pub(super) fn stands(&self, blank: &Blank) -> bool {
        let mut rows = self.printed(&blank.session).iter().flat_map(|sheets| &sheets.rows);
        rows.any(|row| {
            row.station == blank.station && row.athlete == blank.athlete && row.side == blank.side
        })
    }

    /// Whether a rep can stand in a blank.
    ///
    /// # Errors
    /// [`PaperRefusal`]; nothing is changed.
    pub(super) fn check(&self, blank: &Blank) -> Result<(), PaperRefusal> {
        let within = |number| (1..=MOST).contains(&number);
        if !within(blank.set) || !within(blank.rep) {
            return Err(PaperRefusal::NoBlank);
        }
        match self.typed(blank) {
            Some(_) => Err(PaperRefusal::Filled { set: blank.set, rep: blank.rep }),
            None => Ok(()),
        }
    }
}

/// Why something is not taken from paper.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PaperRefusal {
    /// No such blank.
    #[error("The sheet has no such blank. Reload the page.")]
    NoBlank,
    /// Another device was faster.
    #[error("Set {set}, rep {rep} was typed in already. Reload the page to see it.")]
    Filled {
        /// Which set.
        set: u32,
        /// Which rep.
        rep: u32,
    },
    /// Not a session with a day.
    #[error("That session is not planned any more, so nothing can be typed in for it.")]
    NotPlanned,
    /// It lies ahead.
    #[error("This session is on {}. Type it in when it is done.", words::weekday_and_day(*.day))]
    Ahead {
        /// Its day.
        day: Date,
    },
}
