//! Hard stops: what an athlete may not do, until when, and who may end it.
//!
//! A restriction says what is barred and the earliest date it could end, never a diagnosis. One
//! that needs clearance stays in force after its date until someone entitled clears it.

use crate::camp::permission::Clearance;
use crate::exercise::ExerciseId;
use crate::session::athlete::{AthleteId, Stance};
use crate::session::rep::Side;
use crate::words;
use jiff::civil::Date;

/// Unique short name of a restriction.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RestrictionId(pub String);

/// What is barred.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Barred {
    /// Every exercise.
    Everything,
    /// Certain exercises, on both sides.
    Exercises(Vec<ExerciseId>),
    /// Certain exercises on one side.
    OneSide {
        /// Which exercises.
        exercises: Vec<ExerciseId>,
        /// Which side.
        side: Side,
    },
}

/// One restriction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restriction {
    /// Unique short name.
    pub id: RestrictionId,
    /// Whom it binds.
    pub athlete: AthleteId,
    /// What is barred.
    pub barred: Barred,
    /// From this date.
    pub from: Date,
    /// The earliest date it can end; `None` when not known.
    pub earliest_end: Option<Date>,
    /// Whether it lasts past that date until cleared.
    pub needs_clearance: bool,
    /// The rule or person behind it, in words fit for everyone on the floor.
    pub ground: String,
    /// What to do instead.
    pub instead: Option<String>,
}

impl Restriction {
    /// Whether it binds on a date, not having been lifted.
    pub fn in_force(&self, today: Date) -> bool {
        let over = self.earliest_end.is_some_and(|end| today >= end) && !self.needs_clearance;
        today >= self.from && !over
    }
    /// Whether it bars this exercise on this side to an athlete of this stance: a right hand that
    /// is barred is barred as lead or rear hand, too.
    pub fn bars(&self, exercise: &ExerciseId, side: Option<Side>, stance: Stance) -> bool {
        match &self.barred {
            Barred::Everything => true,
            Barred::Exercises(list) => list.contains(exercise),
            Barred::OneSide { exercises, side: barred } => {
                let limb = |side: Side| side.limb(stance);
                exercises.contains(exercise) && side.map(limb) == Some(limb(*barred))
            }
        }
    }
    /// Whether it bars one side of this exercise, so that an entry must say which.
    pub fn asks_which_side(&self, exercise: &ExerciseId) -> bool {
        matches!(&self.barred, Barred::OneSide { exercises, .. } if exercises.contains(exercise))
    }
}

/// "until a doctor clears, not before 10 October 2026", "free again from 27 September 2026": said
/// so that the date is never read as a day of return.
pub fn end_in_words(earliest: Option<Date>, cleared_by: Option<Clearance>) -> String {
    match (earliest.map(words::day_and_year), cleared_by) {
        (Some(day), Some(who)) => format!("until {} clears, not before {day}", who.who()),
        (None, Some(who)) => format!("until {} clears", who.who()),
        (Some(day), None) => format!("free again from {day}"),
        (None, None) => "until further notice".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn an_end_cannot_be_read_as_a_day_of_return() {
        let day = Some(date(2026, 10, 10));
        for (earliest, who, words) in [
            (day, Some(Clearance::Doctor), "until a doctor clears, not before 10 October 2026"),
            (None, Some(Clearance::PhysioOrDoctor), "until a physio or a doctor clears"),
            (day, None, "free again from 10 October 2026"),
        ] {
            assert_eq!(end_in_words(earliest, who), words);
        }
    }

    #[test]
    fn a_right_hand_is_barred_under_whichever_name() {
        let throw = ExerciseId::new("landmine-punch-throw").unwrap();
        let bars = |barred, side, stance| {
            Restriction {
                id: RestrictionId("hand".into()),
                athlete: AthleteId::new("A05").unwrap(),
                barred: Barred::OneSide { exercises: vec![throw.clone()], side: barred },
                from: date(2026, 9, 14),
                earliest_end: None,
                needs_clearance: true,
                ground: "physio's word".into(),
                instead: None,
            }
            .bars(&throw, Some(side), stance)
        };
        // The hand in front is the left one of an orthodox boxer and the right one of a southpaw.
        for (stance, right, left) in
            [(Stance::Southpaw, Side::Lead, Side::Rear), (Stance::Orthodox, Side::Rear, Side::Lead)]
        {
            assert!(bars(Side::Right, right, stance) && bars(right, Side::Right, stance));
            assert!(!bars(Side::Right, left, stance) && !bars(left, Side::Right, stance));
            assert!(bars(right, right, stance) && !bars(right, left, stance));
        }
    }
}
