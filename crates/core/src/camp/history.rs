//! Changes of bouts and camps as sentences.

use super::bout_facts::Standing;
use super::camp_change::CampChange;
use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::words::weekday_day_and_year as written;

/// What those are called that a change speaks of.
pub trait Names {
    /// An athlete.
    fn athlete(&self, id: &AthleteId) -> String;
    /// An exercise.
    fn exercise(&self, id: &ExerciseId) -> String;
}

impl CampChange {
    /// Whether it tells of a stoppage, which begins a stand-down and is never taken back.
    pub const fn begins_stand_down(&self) -> bool {
        matches!(self, Self::ContestEntered { stoppage: Some(_), .. })
    }

    /// Whether it is about this bout.
    pub fn is_about(&self, id: &str) -> bool {
        match self {
            Self::BoutEntered { bout, .. } => bout.id == id,
            Self::BoutMoved { bout, into, .. } => bout == id || into == id,
            Self::CampPlanned { bout, .. }
            | Self::BoutCancelled { bout, .. }
            | Self::ContestEntered { bout, .. }
            | Self::TravelAgreed { bout, .. }
            | Self::DayMarked { bout, .. }
            | Self::DayCleared { bout, .. } => bout == id,
            Self::WorkAnswered { .. } => false,
        }
    }

    /// What was done, as said: "moved to Sat 5 Dec 2026 for Tindra: the opponent is hurt".
    pub fn sentence(&self, names: &impl Names) -> String {
        let listed = |athletes: &[AthleteId]| {
            athletes.iter().map(|one| names.athlete(one)).collect::<Vec<_>>().join(", ")
        };
        match self {
            Self::BoutEntered { bout, facts } => match facts.standing {
                Standing::Offered => format!("offered for {}", written(bout.date)),
                Standing::Confirmed => format!("confirmed for {}", written(bout.date)),
            },
            Self::CampPlanned { plan, .. } => match plan.phases.first() {
                Some(first) => format!("camp laid out from {}", written(first.from)),
                None => "camp emptied".to_owned(),
            },
            Self::BoutMoved { athletes, to, reason, .. } => {
                with(format!("moved to {} for {}", written(*to), listed(athletes)), reason)
            }
            Self::BoutCancelled { athletes, reason, .. } => {
                with(format!("cancelled for {}", listed(athletes)), reason)
            }
            Self::ContestEntered { contest, .. } => {
                let against = match contest.opponent.as_str() {
                    "" => String::new(),
                    opponent => format!(" against {opponent}"),
                };
                let outcome = contest.outcome.map_or("entered", |outcome| outcome.word());
                let name = names.athlete(&contest.athlete);
                format!("bout of {name} on {}{against}: {outcome}", written(contest.day))
            }
            Self::TravelAgreed { journey: Some(journey), .. } => {
                format!("journey agreed, leaving {}", written(journey.leaves.date()))
            }
            Self::TravelAgreed { journey: None, .. } => "journey taken out".to_owned(),
            Self::DayMarked { date, mark, .. } => format!("{} on {}", mark.word(), written(*date)),
            Self::DayCleared { date, mark, .. } => {
                format!("{} taken off {}", mark.word(), written(*date))
            }
            Self::WorkAnswered { athlete, date, exercise, reason } => {
                let (what, name) = (names.exercise(exercise), names.athlete(athlete));
                with(format!("{what} open to {name} on {}", written(*date)), reason)
            }
        }
    }
}

fn with(what: String, reason: &str) -> String {
    if reason.trim().is_empty() { what } else { format!("{what}: {reason}") }
}
