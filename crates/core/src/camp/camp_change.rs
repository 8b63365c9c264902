//! What can be done to bouts and camps.

use super::bout_facts::BoutFacts;
use super::camp_plan::{CampPlan, Mark};
use super::contest::Contest;
use super::stand_down::StoppageRecord;
use super::travel::Journey;
use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::bout::Bout;
use jiff::civil::Date;

/// A change of bouts and camps.
#[derive(Clone, Debug, PartialEq)]
pub enum CampChange {
    /// A bout offered or confirmed, or its facts changed.
    BoutEntered {
        /// The bout.
        bout: Bout,
        /// What else is known.
        facts: BoutFacts,
    },
    /// A camp laid out, or laid out anew.
    CampPlanned {
        /// For which bout.
        bout: String,
        /// How.
        plan: CampPlan,
    },
    /// The bout of some athletes moved to another date; all of them, or some who then have a bout
    /// of their own.
    BoutMoved {
        /// Which bout.
        bout: String,
        /// Whose.
        athletes: Vec<AthleteId>,
        /// Id of the bout they have now; the same where all move.
        into: String,
        /// To which day.
        to: Date,
        /// The camp as it is laid out now, what is past as it was.
        plan: CampPlan,
        /// Why.
        reason: String,
    },
    /// The bout of some athletes will not be.
    BoutCancelled {
        /// Which bout.
        bout: String,
        /// Whose.
        athletes: Vec<AthleteId>,
        /// Why.
        reason: String,
    },
    /// A single bout: against whom and how it ended; the same day again corrects it.
    ContestEntered {
        /// At which fight night or tournament.
        bout: String,
        /// The bout.
        contest: Contest,
        /// The stand-down that a stoppage begins, where it is not on record yet.
        stoppage: Option<StoppageRecord>,
    },
    /// The journey to a bout agreed, agreed anew, or (`None`) taken out.
    TravelAgreed {
        /// To which bout.
        bout: String,
        /// The journey.
        journey: Option<Journey>,
    },
    /// Something marked on a day.
    DayMarked {
        /// In the camp of which bout.
        bout: String,
        /// Which day.
        date: Date,
        /// What.
        mark: Mark,
    },
    /// The coach answers for work that is nearer a bout or sparring than it should be.
    WorkAnswered {
        /// Who may do it.
        athlete: AthleteId,
        /// On which day.
        date: Date,
        /// What.
        exercise: ExerciseId,
        /// Why.
        reason: String,
    },
    /// A mark taken off a day.
    DayCleared {
        /// In the camp of which bout.
        bout: String,
        /// Which day.
        date: Date,
        /// What.
        mark: Mark,
    },
}
