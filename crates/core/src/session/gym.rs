//! The state of the gym: what all standing operations add up to.

use crate::exercise::{Direction, ExerciseId};
use crate::kit::{Bar, PlateRack};
use crate::session::athlete::{Athlete, AthleteId};
use crate::session::bout::Bout;
use crate::session::evening::{EveningPlan, Station, Target};
use crate::session::operation::{Change, Operation, OperationId};
use crate::session::refusal::Refusal;
use crate::session::rep::{Load, Method, Rep, RepChange, RepEntry, Side};
use crate::session::restriction::{Barred, Restriction, RestrictionId};
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
    /// Bars by id, as last weighed.
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
    /// Every rep ever entered, in the order of entry.
    pub reps: Vec<Rep>,
    /// The evening that is open or was last open.
    pub evening: Option<Evening>,
    place_of_rep: HashMap<OperationId, usize>,
    reps_of_athlete: HashMap<AthleteId, Vec<usize>>,
    body_masses: BTreeMap<AthleteId, Vec<(Timestamp, Mass)>>,
    restrictions: BTreeMap<RestrictionId, Restriction>,
    targets: BTreeMap<(AthleteId, ExerciseId), Target>,
}

/// One evening as it happens.
#[derive(Clone, Debug)]
pub struct Evening {
    /// The operation that opened it.
    pub id: OperationId,
    /// When it was opened.
    pub opened_at: Timestamp,
    /// Stations, groups and date.
    pub plan: EveningPlan,
    /// How often the groups have moved on.
    pub rotations: usize,
    /// Whether it is over.
    pub closed: bool,
    reps: Vec<usize>,
    turns: BTreeMap<u8, AthleteId>,
    hung: BTreeMap<(u8, AthleteId), Load>,
    boxes: BTreeMap<(u8, AthleteId), Length>,
    sets_closed: BTreeMap<(u8, AthleteId), u32>,
}

impl Evening {
    fn open(id: OperationId, opened_at: Timestamp, plan: EveningPlan) -> Self {
        Self {
            id,
            opened_at,
            plan,
            rotations: 0,
            closed: false,
            reps: Vec::new(),
            turns: BTreeMap::new(),
            hung: BTreeMap::new(),
            boxes: BTreeMap::new(),
            sets_closed: BTreeMap::new(),
        }
    }

    /// The group that stands at a station now.
    pub fn group(&self, station: u8) -> &[AthleteId] {
        let place = self.plan.stations.iter().position(|one| one.number == station);
        place.map_or(&[], |place| self.plan.group_at(place, self.rotations))
    }

    /// Sets an athlete has closed at a station.
    pub fn sets_closed(&self, station: u8, athlete: &AthleteId) -> u32 {
        self.sets_closed.get(&(station, athlete.clone())).copied().unwrap_or(0)
    }

    /// Who is up at a station: the one called, or the first of the group with sets left.
    pub fn up_at(&self, station: u8) -> Option<&AthleteId> {
        self.turns.get(&station).or_else(|| self.first_with_sets_left(station, self.group(station)))
    }

    /// Who follows the one who is up, going round the group; the same athlete when nobody else
    /// has sets left.
    pub fn next_at(&self, station: u8) -> Option<&AthleteId> {
        let up = self.up_at(station)?;
        self.after(station, up)
    }

    fn after(&self, station: u8, athlete: &AthleteId) -> Option<&AthleteId> {
        let group = self.group(station);
        let start = group.iter().position(|one| one == athlete).map_or(0, |place| place + 1);
        let (before, behind) = group.split_at(start.min(group.len()));
        self.first_with_sets_left(station, behind)
            .or_else(|| self.first_with_sets_left(station, before))
    }

    fn first_with_sets_left<'a>(
        &self,
        station: u8,
        athletes: &'a [AthleteId],
    ) -> Option<&'a AthleteId> {
        let sets = self.plan.station(station).map_or(0, |station| station.sets);
        athletes.iter().find(|athlete| self.sets_closed(station, athlete) < sets)
    }

    /// What hangs for an athlete at a station, if it was set.
    pub fn hung(&self, station: u8, athlete: &AthleteId) -> Option<&Load> {
        self.hung.get(&(station, athlete.clone()))
    }

    /// The box that stands for an athlete at a station, if it was set.
    pub fn box_at(&self, station: u8, athlete: &AthleteId) -> Option<Length> {
        self.boxes.get(&(station, athlete.clone())).copied()
    }
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
    fn holds(&self, entry: &RepEntry) -> bool {
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
        let set = evening.sets_closed(station, athlete) + 1;
        self.reps_at(station)
            .filter(|rep| rep.entry.athlete == *athlete && rep.set == set)
            .collect()
    }

    /// When an athlete last did a rep on this evening.
    pub fn last_effort(&self, athlete: &AthleteId) -> Option<Timestamp> {
        let opened_at = self.evening.as_ref()?.opened_at;
        let last = self.reps_of(athlete).next_back()?;
        (last.entry.at >= opened_at).then_some(last.entry.at)
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

    /// Restrictions that bind an athlete on a date.
    pub fn restrictions(
        &self,
        athlete: &AthleteId,
        today: Date,
    ) -> impl Iterator<Item = &Restriction> {
        let athlete = athlete.clone();
        self.restrictions.values().filter(move |one| one.athlete == athlete && one.in_force(today))
    }

    /// The next bout of an athlete on or after a date.
    pub fn next_bout(&self, athlete: &AthleteId, today: Date) -> Option<&Bout> {
        self.bouts
            .values()
            .filter(|bout| bout.athletes.contains(athlete) && bout.date >= today)
            .min_by_key(|bout| bout.date)
    }

    /// Whether an exercise is open to an athlete on a date, or who or what bars it.
    pub fn allows(
        &self,
        athlete: &AthleteId,
        exercise: &ExerciseId,
        side: Option<Side>,
        today: Date,
    ) -> Result<(), Refusal> {
        let Some(bar) = self.restrictions(athlete, today).find(|one| one.bars(exercise, side))
        else {
            return Ok(());
        };
        let name = self
            .athletes
            .get(athlete)
            .map_or_else(|| athlete.to_string(), |athlete| athlete.given_name().to_owned());
        let what = match &bar.barred {
            Barred::Everything => "all training".to_owned(),
            Barred::Exercises(_) => words_of(exercise),
            Barred::OneSide { side, .. } => {
                format!("{} with the {}", words_of(exercise), side.word())
            }
        };
        Err(Refusal::Barred {
            name,
            what,
            earliest: bar.earliest_end,
            needs_clearance: bar.needs_clearance,
            ground: bar.ground.clone(),
            instead: bar.instead.clone(),
        })
    }

    /// Whether a change fits what is on record. Rules that need the exercise library or a profile
    /// (slips of entry, step caps, box caps) are asked before this, by the use case.
    pub fn check(&self, change: &Change, today: Date) -> Result<(), Refusal> {
        match change {
            Change::BodyMassMeasured { athlete, .. } | Change::TargetSet { athlete, .. } => {
                self.known(athlete)
            }
            Change::RestrictionSet(restriction) => self.known(&restriction.athlete),
            Change::RestrictionLifted { restriction, .. } => {
                let known = self.restrictions.contains_key(restriction);
                let unknown = || Refusal::UnknownRestriction { name: restriction.0.clone() };
                known.then_some(()).ok_or_else(unknown)
            }
            Change::EveningOpened(_) => match &self.evening {
                Some(evening) if !evening.closed => {
                    Err(Refusal::EveningStillOpen { date: evening.plan.date })
                }
                _ => Ok(()),
            },
            Change::GroupsRotated | Change::EveningClosed => self.open_evening().map(|_| ()),
            Change::TurnTaken { station, athlete }
            | Change::LoadHung { station, athlete, .. }
            | Change::BoxSet { station, athlete, .. }
            | Change::SetClosed { station, athlete } => {
                self.known(athlete)?;
                self.station(*station).map(|_| ())
            }
            Change::RepRecorded(entry) => self.check_rep(entry, today),
            Change::RepCorrected { rep, .. }
            | Change::RepSetAside { rep, .. }
            | Change::FaultSeen { rep, .. } => self.known_rep(*rep),
            Change::RepsMoved { reps, athlete, .. } => {
                self.known(athlete)?;
                reps.iter().try_for_each(|rep| self.known_rep(*rep))
            }
            Change::GymNamed { .. }
            | Change::AthleteEntered(_)
            | Change::BarWeighed(_)
            | Change::PlatesCounted(_)
            | Change::BoxesMeasured(_)
            | Change::JumpMatCompared { .. }
            | Change::BoutAgreed(_)
            | Change::Withdrawn { .. } => Ok(()),
        }
    }

    fn check_rep(&self, entry: &RepEntry, today: Date) -> Result<(), Refusal> {
        self.known(&entry.athlete)?;
        if let Some(number) = entry.station {
            self.station(number)?;
        }
        self.allows(&entry.athlete, &entry.exercise, entry.side, today)
    }

    fn known(&self, athlete: &AthleteId) -> Result<(), Refusal> {
        let unknown = || Refusal::UnknownAthlete { code: athlete.to_string() };
        self.athletes.contains_key(athlete).then_some(()).ok_or_else(unknown)
    }

    fn known_rep(&self, rep: OperationId) -> Result<(), Refusal> {
        let unknown = || Refusal::UnknownOperation { id: rep };
        self.place_of_rep.contains_key(&rep).then_some(()).ok_or_else(unknown)
    }

    fn open_evening(&self) -> Result<&Evening, Refusal> {
        self.evening.as_ref().filter(|evening| !evening.closed).ok_or(Refusal::NoEvening)
    }

    fn station(&self, number: u8) -> Result<&Station, Refusal> {
        let unknown = Refusal::UnknownStation { number };
        self.open_evening()?.plan.station(number).ok_or(unknown)
    }

    /// Adds one operation to the state. Called for operations that were checked before they were
    /// stored; one that no longer fits (its rep was withdrawn since) changes nothing.
    pub fn apply(&mut self, operation: &Operation) {
        match &operation.change {
            Change::GymNamed { name, invented } => {
                self.name.clone_from(name);
                self.invented = *invented;
            }
            Change::AthleteEntered(athlete) => {
                self.athletes.insert(athlete.id.clone(), athlete.clone());
            }
            Change::BodyMassMeasured { athlete, mass, at } => {
                let masses = self.body_masses.entry(athlete.clone()).or_default();
                let place = masses.partition_point(|(earlier, _)| earlier <= at);
                masses.insert(place, (*at, *mass));
            }
            Change::BarWeighed(bar) => {
                self.bars.insert(bar.id.clone(), bar.clone());
            }
            Change::PlatesCounted(plates) => self.plates = plates.clone(),
            Change::BoxesMeasured(boxes) => {
                self.boxes.clone_from(boxes);
                self.boxes.sort_by(|one, other| one.in_metres().total_cmp(&other.in_metres()));
            }
            Change::JumpMatCompared { reads_high_by, .. } => {
                self.mat_reads_high_by = *reads_high_by;
            }
            Change::BoutAgreed(bout) => {
                self.bouts.insert(bout.id.clone(), bout.clone());
            }
            Change::RestrictionSet(restriction) => {
                self.restrictions.insert(restriction.id.clone(), restriction.clone());
            }
            Change::RestrictionLifted { restriction, .. } => {
                self.restrictions.remove(restriction);
            }
            Change::TargetSet { athlete, exercise, target } => {
                let key = (athlete.clone(), exercise.clone());
                match target {
                    Some(target) => self.targets.insert(key, *target),
                    None => self.targets.remove(&key),
                };
            }
            Change::EveningOpened(plan) => {
                self.evening = Some(Evening::open(operation.id, operation.at, plan.clone()));
            }
            Change::RepRecorded(entry) => self.record(operation.id, entry),
            Change::RepCorrected { .. }
            | Change::RepsMoved { .. }
            | Change::RepSetAside { .. }
            | Change::FaultSeen { .. } => self.amend(operation),
            Change::GroupsRotated
            | Change::TurnTaken { .. }
            | Change::LoadHung { .. }
            | Change::BoxSet { .. }
            | Change::SetClosed { .. }
            | Change::EveningClosed => self.move_evening(&operation.change),
            // Taking back is done by folding anew without what was taken back.
            Change::Withdrawn { .. } => {}
        }
    }

    fn record(&mut self, id: OperationId, entry: &RepEntry) {
        let place = self.reps.len();
        let mut set = 0;
        if let (Some(station), Some(evening)) = (entry.station, &mut self.evening) {
            set = evening.sets_closed(station, &entry.athlete) + 1;
            evening.reps.push(place);
        }
        self.place_of_rep.insert(id, place);
        self.reps_of_athlete.entry(entry.athlete.clone()).or_default().push(place);
        self.reps.push(Rep {
            id,
            entry: entry.clone(),
            set,
            faults: Vec::new(),
            set_aside: None,
            changes: Vec::new(),
        });
    }

    fn amend(&mut self, operation: &Operation) {
        let change = |what: String, reason: &str| RepChange {
            operation: operation.id,
            at: operation.at,
            author: operation.author.clone(),
            what,
            reason: reason.to_owned(),
        };
        match &operation.change {
            Change::RepCorrected { rep, value, reason } => {
                if let Some(rep) = self.rep_mut(*rep) {
                    let words = |value: Option<f64>| {
                        value.map_or_else(|| "no number".to_owned(), |value| format!("{value}"))
                    };
                    let what = format!("{} to {}", words(rep.entry.value), words(*value));
                    rep.entry.value = *value;
                    rep.changes.push(change(what, reason));
                }
            }
            Change::RepSetAside { rep, reason } => {
                if let Some(rep) = self.rep_mut(*rep) {
                    rep.set_aside = Some(reason.clone());
                    rep.changes.push(change("set aside".to_owned(), reason));
                }
            }
            Change::FaultSeen { rep, fault } => {
                if let Some(rep) = self.rep_mut(*rep)
                    && !rep.faults.iter().any(|seen| seen.tag == fault.tag)
                {
                    rep.faults.push(fault.clone());
                }
            }
            Change::RepsMoved { reps, athlete, reason } => {
                for id in reps {
                    self.move_rep(*id, athlete, &change, reason);
                }
            }
            _ => {}
        }
    }

    fn move_rep(
        &mut self,
        id: OperationId,
        athlete: &AthleteId,
        change: &impl Fn(String, &str) -> RepChange,
        reason: &str,
    ) {
        let Some(&place) = self.place_of_rep.get(&id) else { return };
        let from = self.reps[place].entry.athlete.clone();
        if from == *athlete {
            return;
        }
        if let Some(places) = self.reps_of_athlete.get_mut(&from) {
            places.retain(|&one| one != place);
        }
        let places = self.reps_of_athlete.entry(athlete.clone()).or_default();
        let slot = places.partition_point(|&one| one < place);
        places.insert(slot, place);
        let set = match (self.reps[place].entry.station, &self.evening) {
            (Some(station), Some(evening)) => evening.sets_closed(station, athlete) + 1,
            _ => 0,
        };
        let rep = &mut self.reps[place];
        rep.changes.push(change(format!("from {from} to {athlete}"), reason));
        rep.entry.athlete = athlete.clone();
        rep.set = set;
    }

    fn rep_mut(&mut self, id: OperationId) -> Option<&mut Rep> {
        let place = *self.place_of_rep.get(&id)?;
        self.reps.get_mut(place)
    }

    fn move_evening(&mut self, change: &Change) {
        let Some(evening) = &mut self.evening else { return };
        match change {
            Change::GroupsRotated => {
                evening.rotations += 1;
                evening.turns.clear();
            }
            Change::TurnTaken { station, athlete } => {
                evening.turns.insert(*station, athlete.clone());
            }
            Change::LoadHung { station, athlete, load } => {
                evening.hung.insert((*station, athlete.clone()), load.clone());
            }
            Change::BoxSet { station, athlete, height } => {
                evening.boxes.insert((*station, athlete.clone()), *height);
            }
            Change::SetClosed { station, athlete } => {
                *evening.sets_closed.entry((*station, athlete.clone())).or_default() += 1;
                match evening.after(*station, athlete).cloned() {
                    Some(next) => evening.turns.insert(*station, next),
                    None => evening.turns.remove(station),
                };
            }
            Change::EveningClosed => evening.closed = true,
            _ => {}
        }
    }
}

/// An exercise's stable name as words, for a sentence.
fn words_of(exercise: &ExerciseId) -> String {
    exercise.as_str().replace('-', " ")
}
