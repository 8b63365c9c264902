//! What the next coach should know: the content of the hand-over page and of the debrief, however
//! it is shown.

use crate::session::athlete::AthleteId;
use jiff::civil::Date;

/// One athlete's camp as it went.
#[derive(Clone, Debug, PartialEq)]
pub struct HandOver {
    /// Who.
    pub athlete: AthleteId,
    /// The name.
    pub name: String,
    /// First and last day looked at.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// Planned, done, missed: each a sentence.
    pub done: Vec<String>,
    /// What changed, with its odds.
    pub changed: Vec<String>,
    /// Loads and boxes that worked best: name and value with unit.
    pub best_loads: Vec<(String, String)>,
    /// What to avoid: open restrictions with their dates, never a diagnosis.
    pub avoid: Vec<String>,
    /// What the coach noted, latest first, with its day.
    pub keep: Vec<(Date, String)>,
}

impl HandOver {
    /// Whether there is anything to hand on.
    pub const fn is_empty(&self) -> bool {
        self.done.is_empty()
            && self.changed.is_empty()
            && self.best_loads.is_empty()
            && self.avoid.is_empty()
            && self.keep.is_empty()
    }
}
