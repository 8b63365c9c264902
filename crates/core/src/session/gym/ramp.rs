//! The ramp of one athlete in one exercise, from what is on record.

use super::Gym;
use crate::exercise::{Exercise, MeasureKind};
use crate::kit::{Bar, BarKind};
use crate::prescription::ramp::{Experience, LATELY, Ramp};
use crate::session::athlete::AthleteId;
use crate::session::rep::Rep;
use crate::units::Mass;
use jiff::Timestamp;
use jiff::tz::TimeZone;

impl Gym {
    /// How heavy the next load of an exercise may be for an athlete now. Every page, paper and
    /// refusal has it from here.
    pub fn ramp(&self, athlete: &AthleteId, exercise: &Exercise, now: Timestamp) -> Ramp {
        let lightest = self.bars_of(exercise.bar_kind()).first().map(|bar| bar.mass());
        let today = TimeZone::UTC.to_datetime(now).date();
        Ramp {
            body_mass: self.body_mass(athlete).map(|(_, mass)| mass),
            experience: self
                .athlete(athlete)
                .map_or(Experience::Novice, |known| known.experience(today)),
            heaviest_done: self.heaviest_done(athlete, exercise, now),
            lightest_bar: lightest,
            step_of_coach: None,
        }
    }

    /// Bars of a kind, lightest first.
    pub fn bars_of(&self, kind: Option<BarKind>) -> Vec<&Bar> {
        let mut bars: Vec<&Bar> = self.bars.values().filter(|bar| Some(bar.kind) == kind).collect();
        bars.sort_by(|one, other| {
            one.mass().in_kilograms().total_cmp(&other.mass().in_kilograms())
        });
        bars
    }

    /// The heaviest load an athlete did an exercise with lately: at a station, typed in, or
    /// recorded. A rep was done whether or not its number is known or used.
    fn heaviest_done(
        &self,
        athlete: &AthleteId,
        exercise: &Exercise,
        now: Timestamp,
    ) -> Option<Mass> {
        let since = now - LATELY;
        let reps = self
            .reps_of(athlete)
            .filter(|rep| rep.entry.exercise == exercise.id && rep.entry.at >= since)
            .map(|rep| load_done(exercise, rep));
        let first_day = TimeZone::UTC.to_datetime(since).date();
        let recorded = self
            .traces
            .of(athlete)
            .filter(|trace| trace.filing.exercise.as_ref() == Some(&exercise.id))
            .filter(|trace| trace.filing.day >= first_day)
            .map(|trace| trace.filing.load);
        reps.chain(recorded).filter(|load| *load > Mass::ZERO).reduce(Mass::max)
    }
}

/// What a rep was done with: what hung, or where the number is itself the load, that.
fn load_done(exercise: &Exercise, rep: &Rep) -> Mass {
    let hung = rep.entry.load.total;
    match (exercise.measure.kind, rep.entry.value) {
        (MeasureKind::Load, Some(kilograms)) => hung.max(Mass::kilograms(kilograms)),
        _ => hung,
    }
}
