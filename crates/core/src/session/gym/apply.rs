//! How an operation changes the state.

use super::{Evening, Gym};
use crate::session::athlete::AthleteId;
use crate::session::evening::EveningPlan;
use crate::session::operation::{Change, Operation, OperationId};
use crate::session::rep::{Altered, Rep, RepChange, RepEntry};

impl Gym {
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
                self.bars.retain(|_, known| known.own_id() != bar.id);
                self.bars.extend(bar.ways().into_iter().map(|way| (way.id.clone(), way)));
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
            Change::Camp(change) => {
                self.move_limits(change);
                self.begin_stand_down(change);
                self.camps.apply(&mut self.bouts, change);
                self.camps.remember(operation.id, operation.at, &operation.author.name, change);
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
                self.put_away_evening(|last| last.plan.date == plan.date);
                self.evening = Some(Evening::open(operation.id, operation.at, plan.clone()));
            }
            Change::EveningReopened { evening, plan } => self.reopen(*evening, plan),
            Change::Safety(change) => self.apply_safety(change),
            Change::RepRecorded(entry) => self.record(operation.id, entry),
            Change::RepCorrected { .. }
            | Change::RepsMoved { .. }
            | Change::RepSetAside { .. }
            | Change::FaultSeen { .. } => self.amend(operation),
            Change::GroupsRotated
            | Change::TurnTaken { .. }
            | Change::LoadHung { .. }
            | Change::BoxSet { .. }
            | Change::DoneMeanwhile { .. }
            | Change::SetClosed { .. }
            | Change::EveningClosed => {
                if let Some(evening) = &mut self.evening {
                    evening.take(&operation.change);
                }
            }
            Change::Program(change) => {
                self.program.apply(change);
                if let Some(evening) = &mut self.evening {
                    evening.take_rounds(change);
                }
            }
            Change::Paper(change) => self.apply_paper(operation, change),
            Change::Trace(change) => self.traces.apply(operation, change),
            // Taking back is done by folding anew without what was taken back.
            Change::Withdrawn { .. } => {}
        }
    }

    /// Another evening begins: what came before it is kept while it is of the same day.
    fn put_away_evening(&mut self, of_the_day: impl Fn(&Evening) -> bool) {
        self.earlier.extend(self.evening.take());
        self.earlier.retain(of_the_day);
    }

    fn reopen(&mut self, id: OperationId, plan: &EveningPlan) {
        if self.evening.as_ref().is_none_or(|last| last.id != id) {
            let Some(place) = self.earlier.iter().position(|one| one.id == id) else { return };
            let again = self.earlier.remove(place);
            self.earlier.extend(self.evening.replace(again));
        }
        if let Some(evening) = &mut self.evening {
            evening.reopen(plan.clone());
        }
    }

    fn record(&mut self, id: OperationId, entry: &RepEntry) {
        let mut set = 0;
        if let (Some(station), Some(evening)) = (entry.station, &mut self.evening) {
            set = evening.sets_closed(station, &entry.athlete) + 1;
            evening.reps.push(self.reps.len());
        }
        self.place(Rep {
            id,
            entry: entry.clone(),
            set,
            from_paper: false,
            faults: Vec::new(),
            set_aside: None,
            changes: Vec::new(),
        });
    }

    /// Puts a rep where the gym finds it.
    pub(super) fn place(&mut self, rep: Rep) {
        let place = self.reps.len();
        self.place_of_rep.insert(rep.id, place);
        self.reps_of_athlete.entry(rep.entry.athlete.clone()).or_default().push(place);
        self.reps.push(rep);
    }

    fn amend(&mut self, operation: &Operation) {
        let change = |what: Altered, reason: &str| RepChange {
            operation: operation.id,
            at: operation.at,
            author: operation.author.name.clone(),
            what,
            reason: reason.to_owned(),
        };
        match &operation.change {
            Change::RepCorrected { rep, value, reason } => {
                if let Some(rep) = self.rep_mut(*rep) {
                    let what = Altered::Number { from: rep.entry.value, to: *value };
                    rep.entry.value = *value;
                    rep.changes.push(change(what, reason));
                }
            }
            Change::RepSetAside { rep, reason } => {
                if let Some(rep) = self.rep_mut(*rep) {
                    rep.set_aside = Some(reason.clone());
                    rep.changes.push(change(Altered::SetAside, reason));
                }
            }
            Change::FaultSeen { rep, fault } => {
                if let Some(rep) = self.rep_mut(*rep)
                    && !rep.faults.iter().any(|seen| seen.tag == fault.tag)
                {
                    rep.faults.push(fault.clone());
                }
            }
            Change::RepsMoved { reps, athlete, done_with, reason } => {
                let whole = self.whole_closed_set(reps);
                for id in reps {
                    self.move_rep(*id, athlete, &change, reason);
                    if let (Some(with), Some(rep)) = (done_with, self.rep_mut(*id)) {
                        rep.entry.load = with.load.clone();
                        rep.entry.box_height = with.box_height;
                    }
                }
                if let Some((station, from)) = whole.filter(|(_, from)| from != athlete) {
                    self.credit_closing(station, &from, athlete, reps);
                }
            }
            _ => {}
        }
    }

    /// Where and whose, if these reps are all of the set that someone closed last at a station of
    /// the evening: with them its closing is someone else's too.
    fn whole_closed_set(&self, reps: &[OperationId]) -> Option<(u8, AthleteId)> {
        let first = self.rep(*reps.first()?)?;
        let (station, athlete) = (first.entry.station?, first.entry.athlete.clone());
        let closed = self.evening.as_ref()?.sets_closed(station, &athlete);
        let of_set = |rep: &&Rep| rep.entry.athlete == athlete && rep.set == closed;
        let mut set = self.reps_at(station).filter(of_set).peekable();
        let any = closed > 0 && set.peek().is_some();
        (any && set.all(|rep| reps.contains(&rep.id))).then_some((station, athlete))
    }

    /// The closing of a set goes with its reps; sets under way on both sides keep their order.
    fn credit_closing(
        &mut self,
        station: u8,
        from: &AthleteId,
        to: &AthleteId,
        moved: &[OperationId],
    ) {
        let Some(evening) = &mut self.evening else { return };
        let (closed_from, closed_to) =
            (evening.sets_closed(station, from), evening.sets_closed(station, to));
        evening.credit_closing(station, from, to);
        for place in evening.reps.clone() {
            let rep = &mut self.reps[place];
            if rep.entry.station != Some(station) || moved.contains(&rep.id) {
                continue;
            }
            if rep.entry.athlete == *from && rep.set > closed_from {
                rep.set -= 1;
            } else if rep.entry.athlete == *to && rep.set > closed_to {
                rep.set += 1;
            }
        }
    }

    fn move_rep(
        &mut self,
        id: OperationId,
        athlete: &AthleteId,
        change: &impl Fn(Altered, &str) -> RepChange,
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
            (Some(station), Some(evening)) if evening.reps.contains(&place) => {
                evening.sets_closed(station, athlete) + 1
            }
            _ => self.reps[place].set,
        };
        let rep = &mut self.reps[place];
        rep.changes.push(change(Altered::Athlete { from, to: athlete.clone() }, reason));
        rep.entry.athlete = athlete.clone();
        rep.set = set;
    }

    fn rep_mut(&mut self, id: OperationId) -> Option<&mut Rep> {
        let place = *self.place_of_rep.get(&id)?;
        self.reps.get_mut(place)
    }
}
