//! One evening as it happens: who stands where, what hangs, how many sets are done.

use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::evening::EveningPlan;
use crate::session::operation::{Change, OperationId};
use crate::session::program::ProgramChange;
use crate::session::rep::Load;
use crate::units::Length;
use jiff::Timestamp;
use std::collections::BTreeMap;

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
    pub(super) reps: Vec<usize>,
    turns: BTreeMap<u8, AthleteId>,
    hung: BTreeMap<(u8, AthleteId), Load>,
    boxes: BTreeMap<(u8, AthleteId), Length>,
    meanwhile: BTreeMap<(u8, AthleteId), ExerciseId>,
    sets_closed: BTreeMap<(u8, AthleteId), u32>,
}

impl Evening {
    pub(super) fn open(id: OperationId, opened_at: Timestamp, plan: EveningPlan) -> Self {
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
            meanwhile: BTreeMap::new(),
            sets_closed: BTreeMap::new(),
        }
    }

    /// Goes on after it was closed: what was done, hung and set stays as it was.
    pub(super) fn reopen(&mut self, plan: EveningPlan) {
        self.plan = plan;
        self.closed = false;
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
        let place = (station, athlete.clone());
        let set = self.boxes.get(&place).copied();
        set.filter(|_| !self.meanwhile.contains_key(&place))
    }

    /// What an athlete does at a station for a while instead of what is planned there.
    pub fn meanwhile_at(&self, station: u8, athlete: &AthleteId) -> Option<&ExerciseId> {
        self.meanwhile.get(&(station, athlete.clone()))
    }

    /// Takes new rounds when someone of tonight's session comes or goes.
    pub(super) fn take_rounds(&mut self, change: &ProgramChange) {
        if let ProgramChange::PresenceChanged { session, presence, rounds } = change
            && self.plan.session.as_ref() == Some(session)
            && !rounds.is_empty()
        {
            self.plan.rounds.clone_from(rounds);
            // Everyone who comes stands in a group.
            if !self.plan.groups.iter().flatten().any(|one| *one == presence.athlete) {
                self.plan.groups.push(vec![presence.athlete.clone()]);
            }
            self.turns.retain(|_, up| *up != presence.athlete);
        }
    }

    /// A set that was closed for one athlete was another's.
    pub(super) fn credit_closing(&mut self, station: u8, from: &AthleteId, to: &AthleteId) {
        if let Some(closed) = self.sets_closed.get_mut(&(station, from.clone())) {
            *closed = closed.saturating_sub(1);
        }
        *self.sets_closed.entry((station, to.clone())).or_default() += 1;
    }

    /// Takes a change of turns, loads, boxes, sets or groups.
    pub(super) fn take(&mut self, change: &Change) {
        match change {
            Change::GroupsRotated => {
                self.rotations += 1;
                self.turns.clear();
            }
            Change::TurnTaken { station, athlete } => {
                self.turns.insert(*station, athlete.clone());
            }
            Change::DoneMeanwhile { station, athlete, exercise } => {
                let place = (*station, athlete.clone());
                match exercise {
                    Some(exercise) => self.meanwhile.insert(place, exercise.clone()),
                    None => self.meanwhile.remove(&place),
                };
            }
            // Whoever hangs or sets something is back at the station's exercise.
            Change::LoadHung { station, athlete, load } => {
                self.meanwhile.remove(&(*station, athlete.clone()));
                self.hung.insert((*station, athlete.clone()), load.clone());
            }
            Change::BoxSet { station, athlete, height } => {
                self.meanwhile.remove(&(*station, athlete.clone()));
                self.boxes.insert((*station, athlete.clone()), *height);
            }
            Change::SetClosed { station, athlete } => {
                // What was done meanwhile is no set of the station.
                let place = (*station, athlete.clone());
                if self.meanwhile.remove(&place).is_none() {
                    *self.sets_closed.entry(place).or_default() += 1;
                }
                match self.after(*station, athlete).cloned() {
                    Some(next) => self.turns.insert(*station, next),
                    None => self.turns.remove(station),
                };
            }
            Change::EveningClosed => self.closed = true,
            _ => {}
        }
    }
}
