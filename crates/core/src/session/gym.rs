//! The state of the gym: what all standing operations add up to, and what the pages ask of it.

mod apply;
mod check;
mod contest;
mod evening;
mod limits;
mod paper;
mod ramp;
mod safety;
mod stops;

pub use evening::Evening;
pub use safety::stand_down_id;
pub use stops::Moment;

use crate::camp;
use crate::camp::camp_plan::Mark;
use crate::camp::camps::Camps;
use crate::camp::day::CampDay;
use crate::camp::safety::Safety;
use crate::exercise::{Direction, ExerciseId};
use crate::kit::{Bar, PlateRack};
use crate::session::athlete::{Athlete, AthleteId, Stance};
use crate::session::bout::Bout;
use crate::session::evening::{Station, Target};
use crate::session::operation::OperationId;
use crate::session::paper::Papers;
use crate::session::program::{Program, SessionId, SessionPlan};
use crate::session::refusal::Refusal;
use crate::session::rep::{Load, Method, Rep, RepEntry, Side};
use crate::session::restriction::{Barred, Restriction, RestrictionId};
use crate::session::traces::Traces;
use crate::units::{Length, Mass};
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::{BTreeMap, HashMap};

/// The gym as it stands.
#[derive(Clone, Debug, Default)]
pub struct Gym {
    /// Name over the door.
    pub name: String,
    /// Whether people and numbers are invented.
    pub invented: bool,
    /// Athletes by code.
    pub athletes: BTreeMap<AthleteId, Athlete>,
    /// Bars by id, as last weighed; one that is held in several ways stands here once for each.
    pub bars: BTreeMap<String, Bar>,
    /// Plates of the gym.
    pub plates: PlateRack,
    /// Boxes, lowest first.
    pub boxes: Vec<Length>,
    /// How much higher the jump mat reads than the rise of the centre of mass after take-off;
    /// zero until it was compared.
    pub mat_reads_high_by: Length,
    /// Bouts by id.
    pub bouts: BTreeMap<String, Bout>,
    /// What else is known of the bouts, and the camps that lead to them.
    pub camps: Camps,
    /// Every rep ever entered, in the order of entry.
    pub reps: Vec<Rep>,
    /// Own exercises and planned sessions.
    pub program: Program,
    /// The evening that is open or was last open.
    pub evening: Option<Evening>,
    /// Evenings of its day that were held before it.
    earlier: Vec<Evening>,
    /// Every recording filed.
    pub traces: Traces,
    place_of_rep: HashMap<OperationId, usize>,
    reps_of_athlete: HashMap<AthleteId, Vec<usize>>,
    body_masses: BTreeMap<AthleteId, Vec<(Timestamp, Mass)>>,
    restrictions: BTreeMap<RestrictionId, Restriction>,
    targets: BTreeMap<(AthleteId, ExerciseId), Target>,
    safety: Safety,
    papers: Papers,
}

/// What a best must share with a rep to be comparable with it.
#[derive(Clone, Debug, PartialEq)]
pub struct LikeForLike<'a> {
    /// Same athlete.
    pub athlete: &'a AthleteId,
    /// Same exercise.
    pub exercise: &'a ExerciseId,
    /// Same side.
    pub side: Option<Side>,
    /// Same load, within half a kilogram.
    pub load: &'a Load,
    /// Same box.
    pub box_height: Option<Length>,
    /// Same method of measurement.
    pub method: Method,
}

impl<'a> LikeForLike<'a> {
    /// What must be shared with this entry.
    pub const fn of(entry: &'a RepEntry) -> Self {
        Self {
            athlete: &entry.athlete,
            exercise: &entry.exercise,
            side: entry.side,
            load: &entry.load,
            box_height: entry.box_height,
            method: entry.method,
        }
    }
    /// Whether an entry shares all of it, whoever did it.
    pub fn holds(&self, entry: &RepEntry) -> bool {
        let same_box = match (self.box_height, entry.box_height) {
            (None, None) => true,
            (Some(one), Some(other)) => (one - other).abs() < Length::centimetres(1.0),
            _ => false,
        };
        entry.exercise == *self.exercise
            && entry.side == self.side
            && entry.method == self.method
            && same_box
            && entry.load.same_as(self.load)
    }
}

impl Gym {
    /// The athlete of this code.
    pub fn athlete(&self, id: &AthleteId) -> Option<&Athlete> {
        self.athletes.get(id)
    }

    /// What to call them: the given name, the code of someone who is not known here.
    pub fn given_name(&self, id: &AthleteId) -> String {
        self.athlete(id).map_or_else(|| id.to_string(), |known| known.given_name().to_owned())
    }

    /// The evening that runs.
    pub fn open_evening(&self) -> Option<&Evening> {
        self.evening.as_ref().filter(|evening| !evening.closed)
    }

    /// The evening of a session, while it runs.
    pub fn evening_of(&self, session: &SessionId) -> Option<&Evening> {
        self.open_evening().filter(|evening| evening.plan.session.as_ref() == Some(session))
    }

    /// The evening of a session, running or over; `None` before it was opened, and once an evening
    /// of another day was.
    pub fn evening_held(&self, session: &SessionId) -> Option<&Evening> {
        self.evenings().find(|evening| evening.plan.session.as_ref() == Some(session))
    }

    /// Evenings of a day that were closed and can go on, the last one first.
    pub fn evenings_over(&self, day: Date) -> impl Iterator<Item = &Evening> {
        self.evenings().filter(move |evening| evening.closed && evening.plan.date == day)
    }

    /// The evenings of the last day that had one, the last one first.
    fn evenings(&self) -> impl Iterator<Item = &Evening> {
        self.evening.iter().chain(self.earlier.iter().rev())
    }

    /// Last measured body mass and when.
    pub fn body_mass(&self, athlete: &AthleteId) -> Option<(Timestamp, Mass)> {
        self.body_masses(athlete).last().copied()
    }

    /// All measured body masses, oldest first.
    pub fn body_masses(&self, athlete: &AthleteId) -> &[(Timestamp, Mass)] {
        self.body_masses.get(athlete).map_or(&[], Vec::as_slice)
    }

    /// The target set for an athlete in an exercise.
    pub fn target(&self, athlete: &AthleteId, exercise: &ExerciseId) -> Option<Target> {
        self.targets.get(&(athlete.clone(), exercise.clone())).copied()
    }

    /// The rep that an operation recorded.
    pub fn rep(&self, id: OperationId) -> Option<&Rep> {
        self.place_of_rep.get(&id).map(|&place| &self.reps[place])
    }

    /// All reps of an athlete, in the order of entry.
    pub fn reps_of(&self, athlete: &AthleteId) -> impl DoubleEndedIterator<Item = &Rep> {
        let places = self.reps_of_athlete.get(athlete).map_or(&[][..], Vec::as_slice);
        places.iter().map(|&place| &self.reps[place])
    }

    /// Reps entered at a station on the evening that is open or was last open, in order.
    pub fn reps_at(&self, station: u8) -> impl DoubleEndedIterator<Item = &Rep> {
        self.evening
            .iter()
            .flat_map(|evening| evening.reps.iter())
            .map(|&place| &self.reps[place])
            .filter(move |rep| rep.entry.station == Some(station))
    }

    /// Reps of the set an athlete is in at a station.
    pub fn set_in_progress(&self, station: u8, athlete: &AthleteId) -> Vec<&Rep> {
        let Some(evening) = &self.evening else { return Vec::new() };
        let Some(place) = evening.plan.station(station) else { return Vec::new() };
        let set = evening.sets_closed(station, athlete) + 1;
        let (exercise, _) = self.exercise_at(place, athlete);
        self.reps_at(station)
            .filter(|rep| rep.entry.athlete == *athlete && rep.set == set)
            .filter(|rep| rep.entry.exercise == *exercise)
            .collect()
    }

    /// What an athlete finds at a station: what was hung, or until then the lightest bar, bare.
    pub fn load_at(&self, station: &Station, athlete: &AthleteId) -> Load {
        if self.meanwhile_at(station, athlete).is_some() {
            return Load::none();
        }
        let hung = self.evening.as_ref().and_then(|evening| evening.hung(station.number, athlete));
        hung.cloned().unwrap_or_else(|| {
            let bar = station.bars.first().and_then(|bar| self.bars.get(bar));
            bar.map_or_else(Load::none, Load::bar_alone)
        })
    }

    /// The session tonight's evening was planned as, with everything changed since.
    pub fn session_tonight(&self) -> Option<&SessionPlan> {
        let evening = self.evening.as_ref()?;
        evening.plan.session.as_ref().and_then(|id| self.program.session(id))
    }

    /// What an athlete does at a station now, and on which side only: what is planned there, or
    /// what is done meanwhile.
    pub fn exercise_at<'a>(
        &'a self,
        station: &'a Station,
        athlete: &AthleteId,
    ) -> (&'a ExerciseId, Option<Side>) {
        let planned = || self.planned_at(station, athlete);
        self.meanwhile_at(station, athlete).map_or_else(planned, |exercise| (exercise, None))
    }

    fn meanwhile_at(&self, station: &Station, athlete: &AthleteId) -> Option<&ExerciseId> {
        self.evening.as_ref()?.meanwhile_at(station.number, athlete)
    }

    /// What an athlete is to do at a station tonight, and on which side only: the station's
    /// exercise, or what it was swapped for.
    pub fn planned_at<'a>(
        &'a self,
        station: &'a Station,
        athlete: &AthleteId,
    ) -> (&'a ExerciseId, Option<Side>) {
        let planned = self.session_tonight();
        planned
            .and_then(|plan| plan.exercise_for(athlete, station.number))
            .unwrap_or((&station.exercise, None))
    }

    /// When an athlete last did a rep on this evening.
    pub fn last_effort(&self, athlete: &AthleteId) -> Option<Timestamp> {
        let opened_at = self.evening.as_ref()?.opened_at;
        // What was typed in from paper is entered later than it was done.
        let last = self.reps_of(athlete).map(|rep| rep.entry.at).max()?;
        (last >= opened_at).then_some(last)
    }

    /// The best comparable number, among reps entered before one given.
    pub fn best(
        &self,
        like: &LikeForLike<'_>,
        before: Option<OperationId>,
        direction: Direction,
    ) -> Option<&Rep> {
        self.reps_of(like.athlete)
            .take_while(|rep| Some(rep.id) != before)
            .filter(|rep| like.holds(&rep.entry) && rep.counts())
            .max_by(|one, other| {
                let order = one.number().partial_cmp(&other.number());
                let order = order.unwrap_or(std::cmp::Ordering::Equal);
                match direction {
                    Direction::HigherIsBetter => order,
                    Direction::LowerIsBetter => order.reverse(),
                }
            })
    }

    /// Numbers that compare with a rep and may be used, in the order of entry.
    pub fn comparable(&self, like: &LikeForLike<'_>) -> impl DoubleEndedIterator<Item = f64> {
        self.reps_of(like.athlete).filter(|rep| like.holds(&rep.entry)).filter_map(Rep::number)
    }

    /// Times on the ground of the reps that compare with one, in seconds, in the order of entry,
    /// among reps entered before one given.
    pub fn contacts(&self, like: &LikeForLike<'_>, before: Option<OperationId>) -> Vec<f64> {
        self.reps_of(like.athlete)
            .take_while(|rep| Some(rep.id) != before)
            .filter(|rep| like.holds(&rep.entry))
            .filter_map(|rep| Some(rep.entry.contact_time?.in_seconds()))
            .collect()
    }

    /// Restrictions that bind an athlete on a date.
    pub fn restrictions(
        &self,
        athlete: &AthleteId,
        today: Date,
    ) -> impl Iterator<Item = &Restriction> {
        let athlete = athlete.clone();
        self.restrictions.values().filter(move |one| one.athlete == athlete && one.in_force(today))
    }

    /// The next bout of an athlete on or after a date; a tournament lasts to its final,
    /// or to the day an athlete is out of it.
    pub fn next_bout(&self, athlete: &AthleteId, today: Date) -> Option<&Bout> {
        self.bouts
            .values()
            .filter(|bout| bout.athletes.contains(athlete))
            .filter(|bout| self.camps.last_day_of(bout, athlete) >= today)
            .min_by_key(|bout| bout.date)
    }

    /// What a date is in the camp of an athlete; `None` without a bout ahead. It has no phase while
    /// the camp is not laid out.
    pub fn camp_day(&self, athlete: &AthleteId, date: Date) -> Option<CampDay> {
        let bout = self.next_bout(athlete, date)?;
        let next = self.camps.next_day_of(bout, athlete, date)?;
        let plan = self.camps.plan(&bout.id).cloned().unwrap_or_default();
        let mut day = camp::day::day_of(&plan, next, date);
        let travels =
            self.camps.journey(&bout.id).is_some_and(|one| one.days().any(|on| on == date));
        if travels && !day.marks.contains(&Mark::Travel) {
            day.marks.push(Mark::Travel);
        }
        Some(CampDay { between_bouts: date >= bout.date, ..day })
    }

    /// Whether an exercise is open to an athlete on a date, or who or what bars it.
    pub fn allows(
        &self,
        athlete: &AthleteId,
        exercise: &ExerciseId,
        side: Option<Side>,
        today: Date,
    ) -> Result<(), Refusal> {
        self.allows_under(athlete, exercise, side, today, |_| true)
    }

    /// The same under those restrictions only that are asked about.
    fn allows_under(
        &self,
        athlete: &AthleteId,
        exercise: &ExerciseId,
        side: Option<Side>,
        today: Date,
        binds: impl Fn(&Restriction) -> bool,
    ) -> Result<(), Refusal> {
        self.guardian_consents(athlete, today)?;
        let mut binding = self.restrictions(athlete, today).filter(|one| binds(one));
        let stance = self.athletes.get(athlete).map_or(Stance::Orthodox, |one| one.stance);
        let bar = binding.find(|one| one.bars(exercise, side, stance));
        let Some(bar) = bar else { return Ok(()) };
        let what = match &bar.barred {
            Barred::Everything => "all training".to_owned(),
            Barred::Exercises(_) => words_of(exercise),
            Barred::OneSide { side, .. } => {
                format!("{} with the {}", words_of(exercise), side.word())
            }
        };
        Err(self.barred(bar, what))
    }

    /// The refusal a restriction gives, about something.
    fn barred(&self, bar: &Restriction, what: String) -> Refusal {
        Refusal::Barred {
            name: self.given_name(&bar.athlete),
            what,
            earliest: bar.earliest_end,
            cleared_by: self.clearance_needed(bar),
            ground: bar.ground.clone(),
            instead: bar.instead.clone(),
        }
    }
}

/// An exercise's stable name as words, for a sentence.
fn words_of(exercise: &ExerciseId) -> String {
    exercise.as_str().replace('-', " ")
}
