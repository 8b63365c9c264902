//! Hard stops of load, box and nearness, judged where a change is accepted, whatever the way in.
//!
//! What is about to be done or was done just now is judged: a load hung, a box set, a rep entered
//! at a station or on an athlete's page, and any of these brought back by undoing an undo. What
//! was done before, reps of earlier days, sheets typed in, recordings filed, is a fact: its load
//! is not refused.

use super::Gym;
use crate::camp::day::too_near;
use crate::exercise::{Exercise, ExerciseId, Library};
use crate::prescription::depth_jump_box::{Ceiling, CeilingFrom, cap};
use crate::session::athlete::AthleteId;
use crate::session::operation::Change;
use crate::session::paper::PaperChange;
use crate::session::refusal::Refusal;
use crate::session::rep::RepEntry;
use crate::units::{Length, Mass};
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};

/// A rep entered within this time of being done belongs to the session that runs: no evening is
/// longer, and a tablet without network sends late.
const SAME_SESSION: SignedDuration = SignedDuration::from_hours(12);

/// The moment of judgement.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    /// Now.
    pub now: Timestamp,
    /// The day at the gym.
    pub today: Date,
}

impl Gym {
    /// Whether the rules of load, box and nearness leave a change.
    ///
    /// # Errors
    /// The stop, as a refusal that says what to do instead.
    pub fn stops(
        &self,
        change: &Change,
        at: Moment,
        library: &(impl Library + ?Sized),
    ) -> Result<(), Refusal> {
        match change {
            Change::LoadHung { station, athlete, load } => {
                match self.exercise_here(*station, athlete, library) {
                    Some(exercise) => self.may_hang(athlete, exercise, load.total, at.now),
                    None => Ok(()),
                }
            }
            Change::BoxSet { station, athlete, height } => {
                match self.exercise_here(*station, athlete, library) {
                    Some(exercise) => self.under_cap(athlete, exercise, *height, at.today),
                    None => Ok(()),
                }
            }
            Change::RepRecorded(entry) => self.rep_stops(entry, at, library),
            Change::Paper(PaperChange::RepTyped { entry, .. }) => {
                match self.look_up(&entry.exercise, library) {
                    Some(exercise) => self.box_stops(entry, exercise, at.today),
                    None => Ok(()),
                }
            }
            _ => Ok(()),
        }
    }

    /// What stops a rep, with or without its number.
    ///
    /// # Errors
    /// As [`Gym::stops`].
    pub fn rep_stops(
        &self,
        entry: &RepEntry,
        at: Moment,
        library: &(impl Library + ?Sized),
    ) -> Result<(), Refusal> {
        self.allows(&entry.athlete, &entry.exercise, entry.side, at.today)?;
        let Some(exercise) = self.look_up(&entry.exercise, library) else { return Ok(()) };
        if at.now.duration_since(entry.at) > SAME_SESSION {
            return self.box_stops(entry, exercise, at.today);
        }
        let near =
            entry.station.and_then(|station| self.too_near_at(station, &entry.athlete, exercise));
        if let Some(sentence) = near {
            return Err(Refusal::Unanswered { sentence });
        }
        self.box_stops(entry, exercise, at.today)?;
        self.may_hang(&entry.athlete, exercise, entry.load.total, at.now)
    }

    /// The gym's own exercise of this id, else the library's.
    pub fn look_up<'a>(
        &'a self,
        id: &ExerciseId,
        library: &'a (impl Library + ?Sized),
    ) -> Option<&'a Exercise> {
        self.program.exercise(id).or_else(|| library.exercise(id))
    }

    fn exercise_here<'a>(
        &'a self,
        station: u8,
        athlete: &AthleteId,
        library: &'a (impl Library + ?Sized),
    ) -> Option<&'a Exercise> {
        let station = self.open_evening()?.plan.station(station)?;
        self.look_up(self.exercise_at(station, athlete).0, library)
    }

    /// Whether the ramp leaves a load of bar and plates.
    ///
    /// # Errors
    /// [`Refusal::StepTooLarge`].
    pub fn may_hang(
        &self,
        athlete: &AthleteId,
        exercise: &Exercise,
        load: Mass,
        now: Timestamp,
    ) -> Result<(), Refusal> {
        if exercise.bar_kind().is_none() || load <= Mass::ZERO {
            return Ok(());
        }
        let ramp = self.ramp(athlete, exercise, now);
        if ramp.allows(load) {
            return Ok(());
        }
        Err(Refusal::StepTooLarge {
            name: self.given_name(athlete),
            asked: load,
            heaviest_next: ramp.heaviest_next(),
        })
    }

    /// Whoever steps off a box says which, and none above the cap.
    fn box_stops(&self, entry: &RepEntry, exercise: &Exercise, today: Date) -> Result<(), Refusal> {
        match entry.box_height {
            Some(height) => self.under_cap(&entry.athlete, exercise, height, today),
            None if exercise.steps_off_a_box() => Err(Refusal::NoBox {
                name: self.given_name(&entry.athlete),
                exercise: exercise.name.clone(),
            }),
            None => Ok(()),
        }
    }

    fn under_cap(
        &self,
        athlete: &AthleteId,
        exercise: &Exercise,
        height: Length,
        today: Date,
    ) -> Result<(), Refusal> {
        let cap = self.box_cap(athlete, exercise, today).filter(|cap| height > cap.height);
        cap.map_or(Ok(()), |cap| {
            Err(Refusal::BoxTooHigh {
                asked_cm: height.in_centimetres(),
                cap_cm: cap.height.in_centimetres(),
                name: self.given_name(athlete),
                ground: cap.from.words().to_owned(),
            })
        })
    }

    /// The highest box open to an athlete by the exercise's rules of age and body mass. Without a
    /// body mass the rules of age hold alone.
    pub fn box_cap(
        &self,
        athlete: &AthleteId,
        exercise: &Exercise,
        today: Date,
    ) -> Option<Ceiling> {
        let person = self.athlete(athlete)?;
        let body_mass = self.body_mass(athlete).map_or(Mass::ZERO, |(_, mass)| mass);
        let capped =
            |reason| cap(person.age_years(today), body_mass, reason, &exercise.permissions);
        let Some((highest, reason)) = self.safety().confirmed_box(athlete, &exercise.id, today)
        else {
            return capped(None);
        };
        // The coach's word opens boxes up to a height, and none that body mass forbids.
        let confirmed = Ceiling { height: highest, from: CeilingFrom::AgeUnconfirmed };
        let by_rule = capped(Some(reason));
        Some(by_rule.filter(|rule| rule.height < highest).unwrap_or(confirmed))
    }

    /// What speaks against an exercise on a day because a bout or open sparring is near, in one
    /// sentence; `None` where nothing does or the coach answered for it.
    pub fn too_near(&self, athlete: &AthleteId, exercise: &Exercise, day: Date) -> Option<String> {
        if self.camps.answer(athlete, day, &exercise.id).is_some() {
            return None;
        }
        let camp_day = self.camp_day(athlete, day)?;
        let grounds = too_near(&camp_day, &exercise.permissions);
        let first = grounds.first()?;
        let more = grounds.get(1).map(|ground| format!("; {ground}")).unwrap_or_default();
        Some(format!(
            "{}, {}: {first}{more}. It needs the coach's word and a reason.",
            self.given_name(athlete),
            exercise.name.to_lowercase()
        ))
    }

    /// The same at a station of the open evening, where the answer given in its session counts too.
    pub fn too_near_at(
        &self,
        station: u8,
        athlete: &AthleteId,
        exercise: &Exercise,
    ) -> Option<String> {
        let evening = self.open_evening()?;
        let session = evening.plan.session.as_ref().and_then(|id| self.program.session(id));
        if session.is_some_and(|plan| plan.confirmed(athlete, station).is_some()) {
            return None;
        }
        self.too_near(athlete, exercise, evening.plan.date)
    }
}
