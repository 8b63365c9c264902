//! What a coach does to bouts and camps: each act becomes one change.

use super::contest::{self, TypedContest};
use super::proposal::{self, Wanted};
use super::travel::{self, TypedJourney};
use super::typed::{self, TypedBout};
use crate::flow::house::House;
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::camp_plan::Mark;
use cornerwork_core::camp::permission::Signed;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;

/// An act.
#[derive(Clone, Debug)]
pub enum CampAct {
    /// A bout offered or confirmed, or its facts changed.
    Agree(TypedBout),
    /// A layout accepted.
    Accept {
        /// Of which bout.
        bout: String,
        /// How.
        wanted: Wanted,
        /// Why, for a move.
        reason: String,
    },
    /// A bout cancelled.
    Cancel {
        /// Which.
        bout: String,
        /// Whose; none for all.
        athletes: Vec<AthleteId>,
        /// Why.
        reason: String,
    },
    /// A single bout: against whom, and how it ended.
    Contest {
        /// At which fight night or tournament.
        bout: String,
        /// As typed.
        typed: TypedContest,
        /// Whose word it is.
        by: Signed,
    },
    /// The journey agreed, or taken out.
    Travel {
        /// To which bout.
        bout: String,
        /// As typed.
        typed: TypedJourney,
    },
    /// Something marked on a day, or taken off it.
    Mark {
        /// In the camp of which bout.
        bout: String,
        /// Which day.
        day: String,
        /// What.
        mark: String,
        /// Whether it is put there.
        put: bool,
    },
    /// The coach answers for work that is too near.
    Answer {
        /// Whose.
        athlete: AthleteId,
        /// What.
        exercise: ExerciseId,
        /// Why.
        reason: String,
    },
}

impl CampAct {
    /// The change it makes.
    ///
    /// # Errors
    /// A sentence: what was wrong and what to do.
    pub fn change(self, house: &House, gym: &Gym) -> Result<CampChange, String> {
        let today = house.clock().today();
        Ok(match self {
            Self::Agree(typed) => typed::bout(gym, today, &typed)?,
            Self::Accept { bout, wanted, reason } => {
                proposal::propose(house, gym, &bout, &wanted)?.change(short(&reason))
            }
            Self::Cancel { bout, athletes, reason } => {
                let known =
                    gym.bouts.get(&bout).ok_or("That bout is gone. Go back to the plan.")?;
                let athletes = if athletes.is_empty() { known.athletes.clone() } else { athletes };
                if reason.trim().is_empty() {
                    return Err("Say why it is cancelled: the reason is kept with it.".to_owned());
                }
                CampChange::BoutCancelled { bout, athletes, reason: short(&reason) }
            }
            Self::Contest { bout, typed, by } => contest::change(house, gym, bout, &typed, by)?,
            Self::Travel { bout, typed } => travel::change(house, gym, bout, &typed)?,
            Self::Mark { bout, day, mark, put } => {
                let date = typed::day(&day)?;
                let unknown = || format!("\"{mark}\" cannot be marked. Pick one of the list.");
                let mark = Mark::named(&mark).ok_or_else(unknown)?;
                if put {
                    CampChange::DayMarked { bout, date, mark }
                } else {
                    CampChange::DayCleared { bout, date, mark }
                }
            }
            Self::Answer { athlete, exercise, reason } => {
                let reason = short(&reason);
                CampChange::WorkAnswered { athlete, date: today, exercise, reason }
            }
        })
    }

    /// Where to go once a change is kept; `None` for staying.
    pub fn goes_to(change: &CampChange) -> Option<String> {
        match change {
            CampChange::BoutEntered { bout, .. } => Some(format!("/plan/{}", bout.id)),
            CampChange::CampPlanned { bout, .. } => Some(format!("/plan/{bout}")),
            CampChange::BoutMoved { into, .. } => Some(format!("/plan/{into}")),
            CampChange::BoutCancelled { .. } => Some("/plan".to_owned()),
            CampChange::ContestEntered { .. }
            | CampChange::TravelAgreed { .. }
            | CampChange::DayMarked { .. }
            | CampChange::DayCleared { .. }
            | CampChange::WorkAnswered { .. } => None,
        }
    }
}

fn short(text: &str) -> String {
    text.trim().chars().take(200).collect()
}
