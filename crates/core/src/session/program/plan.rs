//! A session as planned: stations, doses, the rule that finds each load, who comes.

use super::change::ProgramRefusal;
use crate::exercise::{ExerciseId, Span, StopRule, kebab_name, word_list};
use crate::session::athlete::AthleteId;
use crate::session::rep::Side;
use crate::units::{Duration, Mass, Velocity};
use jiff::civil::{Date, Time};

kebab_name!(
    /// Stable name of a session or template: `2026-09-23-power`.
    SessionId
);

word_list!(
    /// What a session is for.
    Purpose {
        Strength = "strength", "strength";
        StrengthSpeed = "strength-speed", "strength-speed";
        Power = "power", "power";
        Taper = "taper", "taper";
        Test = "test", "test day";
        Own = "own", "own";
    }
);

/// Who stands where in one round: for each station, in the order of the plan, those who work
/// there, in the order they take their sets.
pub type Round = Vec<Vec<AthleteId>>;

/// A session, or a template where it has no date.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionPlan {
    /// Stable name.
    pub id: SessionId,
    /// Name as said.
    pub name: String,
    /// What it is for.
    pub purpose: Purpose,
    /// The day at the gym; `None` for a template.
    pub date: Option<Date>,
    /// When the first set begins.
    pub starts: Time,
    /// How long the stations may take.
    pub minutes: u16,
    /// What is done, station by station; the first is the last to be given up when time is short.
    pub blocks: Vec<Block>,
    /// Who comes.
    pub people: Vec<Presence>,
    /// What is otherwise for one athlete.
    pub exceptions: Vec<Exception>,
    /// Where it comes from, in words.
    pub source: String,
}

/// What is done at one station.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Number painted on the floor, from 1.
    pub station: u8,
    /// What is done there.
    pub exercise: ExerciseId,
    /// Sets for each athlete.
    pub sets: u32,
    /// Reps a set, each side where there are sides.
    pub reps: u32,
    /// Least rest between two sets of one athlete.
    pub rest: Duration,
    /// How the load is found.
    pub intensity: Intensity,
    /// What ends a set early, where it is not the exercise's own rule.
    pub stop: Option<StopRule>,
}

/// How the load of an exercise is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Intensity {
    /// A share of the load at which momentum of body and bar peaks.
    PeakMomentum {
        /// 1 is the peak itself.
        share: f64,
    },
    /// The load that moves inside a window of velocity.
    Velocity {
        /// The window.
        window: Span<Velocity>,
    },
    /// A share of the one-repetition maximum.
    OneRepMax {
        /// 0.85 is 85 %.
        share: f64,
    },
    /// The box by its own rule: rebound against the standing jump, capped by age and mass.
    BoxRule,
    /// Against what does not move.
    Isometric {
        /// How long each effort is held.
        hold: Duration,
    },
    /// The same load for everyone.
    Fixed {
        /// Bar and plates together, or the number on the thing.
        load: Mass,
    },
    /// The body alone, or what has no number.
    BodyWeight,
}

/// Who comes, and from when until when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Presence {
    /// Who.
    pub athlete: AthleteId,
    /// Minutes after the start at which this athlete is there.
    pub from_minute: u16,
    /// Minutes after the start at which this athlete goes; `None` for staying to the end.
    pub until_minute: Option<u16>,
}

impl Presence {
    /// There from the start to the end.
    pub const fn whole(athlete: AthleteId) -> Self {
        Self { athlete, from_minute: 0, until_minute: None }
    }
}

/// Something that is otherwise for one athlete.
#[derive(Clone, Debug, PartialEq)]
pub struct Exception {
    /// For whom.
    pub athlete: AthleteId,
    /// At which station; `None` for all of the session.
    pub station: Option<u8>,
    /// What.
    pub what: Exceptional,
}

/// What is otherwise.
#[derive(Clone, Debug, PartialEq)]
pub enum Exceptional {
    /// Another exercise there, or the same on one side only.
    Swap {
        /// Which.
        to: ExerciseId,
        /// On this side only.
        only: Option<Side>,
    },
    /// Nothing there.
    LeftOut,
    /// The coach answers for it, with a reason, where a rule asks for that.
    Confirmed {
        /// Why.
        reason: String,
    },
    /// Loads are lighter by this fraction than the rule gives.
    Lighter {
        /// 0.05 is five percent.
        fraction: f64,
    },
}

impl Exceptional {
    /// Whether one answers the same question as the other, so that the later replaces it.
    const fn replaces(&self, other: &Self) -> bool {
        matches!(
            (self, other),
            (Self::Swap { .. } | Self::LeftOut, Self::Swap { .. } | Self::LeftOut)
                | (Self::Confirmed { .. }, Self::Confirmed { .. })
                | (Self::Lighter { .. }, Self::Lighter { .. })
        )
    }
}

/// Stations one floor holds.
const MOST_STATIONS: usize = 8;
/// Athletes one session holds.
const MOST_ATHLETES: usize = 16;

impl SessionPlan {
    /// The block of a station.
    pub fn block(&self, station: u8) -> Option<&Block> {
        self.blocks.iter().find(|block| block.station == station)
    }

    /// Whether it is a template.
    pub const fn is_template(&self) -> bool {
        self.date.is_none()
    }

    /// When an athlete is there.
    pub fn presence(&self, athlete: &AthleteId) -> Option<&Presence> {
        self.people.iter().find(|presence| presence.athlete == *athlete)
    }

    /// What is otherwise for an athlete at a station.
    pub fn exceptions_for<'a>(
        &'a self,
        athlete: &'a AthleteId,
        station: u8,
    ) -> impl Iterator<Item = &'a Exceptional> {
        self.exceptions
            .iter()
            .filter(move |one| one.athlete == *athlete)
            .filter(move |one| one.station.is_none_or(|at| at == station))
            .map(|one| &one.what)
    }

    /// The reason with which the coach answers for what an athlete does at a station.
    pub fn confirmed<'a>(&'a self, athlete: &'a AthleteId, station: u8) -> Option<&'a str> {
        self.exceptions_for(athlete, station).find_map(|what| match what {
            Exceptional::Confirmed { reason } => Some(reason.as_str()),
            _ => None,
        })
    }

    /// The exercise of an athlete at a station with the side it is limited to; `None` where there
    /// is nothing to do.
    pub fn exercise_for(
        &self,
        athlete: &AthleteId,
        station: u8,
    ) -> Option<(&ExerciseId, Option<Side>)> {
        let block = self.block(station)?;
        let here = |one: &&Exception| {
            one.athlete == *athlete && one.station.is_none_or(|at| at == station)
        };
        let swapped = self.exceptions.iter().filter(here).find_map(|one| match &one.what {
            Exceptional::Swap { to, only } => Some(Some((to, *only))),
            Exceptional::LeftOut => Some(None),
            _ => None,
        });
        swapped.unwrap_or(Some((&block.exercise, None)))
    }

    /// Takes an exception in, in place of one that answers the same question.
    pub fn except(&mut self, exception: Exception) {
        self.exceptions.retain(|one| {
            one.athlete != exception.athlete
                || one.station != exception.station
                || !exception.what.replaces(&one.what)
        });
        self.exceptions.push(exception);
    }

    /// Takes a presence in, in place of an earlier one of the same athlete.
    pub fn take(&mut self, presence: Presence) {
        match self.people.iter_mut().find(|one| one.athlete == presence.athlete) {
            Some(known) => *known = presence,
            None => self.people.push(presence),
        }
    }

    /// Whether it can stand as a plan.
    ///
    /// # Errors
    /// The first thing that cannot be, as [`ProgramRefusal`].
    pub fn check(&self) -> Result<(), ProgramRefusal> {
        if self.name.trim().is_empty() || self.name.chars().count() > 60 {
            return Err(ProgramRefusal::NoName);
        }
        let count = self.blocks.len();
        if count > MOST_STATIONS {
            return Err(ProgramRefusal::TooManyStations { count, most: MOST_STATIONS });
        }
        let count = self.people.len();
        if count > MOST_ATHLETES {
            return Err(ProgramRefusal::TooManyAthletes { count, most: MOST_ATHLETES });
        }
        for (place, block) in self.blocks.iter().enumerate() {
            if self.blocks[..place].iter().any(|one| one.station == block.station) {
                return Err(ProgramRefusal::StationTwice { station: block.station });
            }
            block.check()?;
        }
        for (place, presence) in self.people.iter().enumerate() {
            if self.people[..place].iter().any(|one| one.athlete == presence.athlete) {
                let athlete = presence.athlete.clone();
                return Err(ProgramRefusal::AthleteTwice { athlete });
            }
        }
        Ok(())
    }
}

impl Block {
    /// Doses outside these are slips of typing, not training (common practice, no source).
    fn check(&self) -> Result<(), ProgramRefusal> {
        let within = |what, got: f64, low: f64, high: f64| {
            let refused =
                ProgramRefusal::OutOfRange { station: self.station, what, got, low, high };
            (low..=high).contains(&got).then_some(()).ok_or(refused)
        };
        within("station", f64::from(self.station), 1.0, 99.0)?;
        within("sets", f64::from(self.sets), 1.0, 12.0)?;
        within("reps", f64::from(self.reps), 1.0, 100.0)?;
        within("rest in seconds", self.rest.in_seconds(), 0.0, 600.0)?;
        match self.stop {
            Some(StopRule::DropFromBest { fraction, in_a_row }) => {
                within("the drop that stops, in percent,", fraction * 100.0, 1.0, 50.0)?;
                within("reps in a row", f64::from(in_a_row), 1.0, 5.0)?;
            }
            Some(StopRule::UnderWindow { in_a_row }) => {
                within("reps in a row", f64::from(in_a_row), 1.0, 5.0)?;
            }
            None => {}
        }
        match self.intensity {
            Intensity::PeakMomentum { share } => {
                within("share of the peak load, in percent,", share * 100.0, 30.0, 150.0)
            }
            Intensity::OneRepMax { share } => {
                within("share of the maximum, in percent,", share * 100.0, 20.0, 105.0)
            }
            Intensity::Velocity { window } => {
                within("velocity in m/s", window.low.in_metres_per_second(), 0.05, 12.0)?;
                within("velocity in m/s", window.high.in_metres_per_second(), 0.05, 12.0)
            }
            Intensity::Isometric { hold } => {
                within("hold in seconds", hold.in_seconds(), 1.0, 60.0)
            }
            Intensity::Fixed { load } => within("load in kg", load.in_kilograms(), 0.5, 400.0),
            Intensity::BoxRule | Intensity::BodyWeight => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan() -> SessionPlan {
        let block = |station, exercise: &str| Block {
            station,
            exercise: ExerciseId::new(exercise).unwrap(),
            sets: 3,
            reps: 3,
            rest: Duration::seconds(120.0),
            intensity: Intensity::BodyWeight,
            stop: None,
        };
        SessionPlan {
            id: SessionId::new("power").unwrap(),
            name: "Power".into(),
            purpose: Purpose::Power,
            date: None,
            starts: jiff::civil::time(18, 20, 0, 0),
            minutes: 64,
            blocks: vec![block(1, "depth-jump"), block(2, "landmine-punch-throw")],
            people: Vec::new(),
            exceptions: Vec::new(),
            source: "common practice, no source".into(),
        }
    }

    #[test]
    fn the_later_of_two_answers_to_one_question_stands() {
        let mut plan = plan();
        let athlete = AthleteId::new("A05").unwrap();
        let except = |what| Exception { athlete: athlete.clone(), station: Some(2), what };
        plan.except(except(Exceptional::LeftOut));
        plan.except(except(Exceptional::Lighter { fraction: 0.05 }));
        let same = ExerciseId::new("landmine-punch-throw").unwrap();
        let only = Some(Side::Rear);
        plan.except(except(Exceptional::Swap { to: same.clone(), only }));
        assert_eq!(plan.exceptions.len(), 2);
        assert_eq!(plan.exercise_for(&athlete, 2), Some((&same, only)));
        assert_eq!(plan.exercise_for(&athlete, 1).map(|(id, _)| id.as_str()), Some("depth-jump"));
        plan.except(except(Exceptional::LeftOut));
        assert_eq!(plan.exercise_for(&athlete, 2), None);
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_number() {
        let mut twice = plan();
        twice.blocks[1].station = 1;
        assert_eq!(twice.check(), Err(ProgramRefusal::StationTwice { station: 1 }));
        let mut share = plan();
        share.blocks[0].intensity = Intensity::OneRepMax { share: 8.5 };
        assert_eq!(
            share.check().unwrap_err().to_string(),
            "Station 1: share of the maximum, in percent, cannot be 850. Type 20 to 105."
        );
        let mut nameless = plan();
        nameless.name = "  ".into();
        assert_eq!(nameless.check(), Err(ProgramRefusal::NoName));
        let mut rest = plan();
        rest.blocks[0].rest = Duration::seconds(f64::NAN);
        assert!(rest.check().is_err());
    }
}
