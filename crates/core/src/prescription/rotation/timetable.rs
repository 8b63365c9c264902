//! When each set begins and ends, with the rest kept.

use super::{RotationTask, Rounds};
use crate::units::Duration;
use std::collections::BTreeMap;

/// One set of one athlete.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    /// Who, by place in the task.
    pub person: usize,
    /// Where, by place in the task.
    pub station: usize,
    /// In which round, from 0.
    pub round: usize,
    /// Which set there, from 0.
    pub set: u32,
    /// When it begins, after the start of the rotation.
    pub start: Duration,
    /// When it ends.
    pub end: Duration,
    /// Whether a load or a box is changed before it.
    pub change: bool,
}

/// All sets of a rotation.
#[derive(Clone, Debug, PartialEq)]
pub struct Timetable {
    /// The sets, round by round, station by station, in order of time.
    pub slots: Vec<Slot>,
    /// When each round begins.
    pub round_starts: Vec<Duration>,
    /// When the last set ends.
    pub length: Duration,
}

impl Timetable {
    /// The sets of these rounds, each as early as the station, the change and the rest allow. A
    /// round begins when every station is done and all have moved on.
    pub fn of(task: &RotationTask, rounds: &Rounds) -> Self {
        let mut clock = Clock::new(task);
        let mut round_starts = Vec::new();
        let mut begins = Duration::ZERO;
        for (round, groups) in rounds.iter().enumerate() {
            round_starts.push(begins);
            for (station, group) in groups.iter().enumerate() {
                clock.run(round, station, group, begins);
            }
            begins = clock.ended + task.move_on;
        }
        Self { slots: clock.slots, round_starts, length: clock.ended }
    }

    /// How often a load or box is changed.
    pub fn changes(&self) -> usize {
        self.slots.iter().filter(|slot| slot.change).count()
    }

    /// The sets of one athlete, in order of time.
    pub fn of_person(&self, person: usize) -> impl Iterator<Item = &Slot> {
        self.slots.iter().filter(move |slot| slot.person == person)
    }
}

struct Clock<'a> {
    task: &'a RotationTask,
    slots: Vec<Slot>,
    /// What hangs on each implement.
    hanging: BTreeMap<usize, i64>,
    /// When each athlete is rested.
    rested: Vec<Duration>,
    ended: Duration,
}

impl<'a> Clock<'a> {
    fn new(task: &'a RotationTask) -> Self {
        Self {
            task,
            slots: Vec::new(),
            hanging: task.standing.iter().copied().collect(),
            rested: vec![Duration::ZERO; task.people.len()],
            ended: Duration::ZERO,
        }
    }

    fn run(&mut self, round: usize, station: usize, group: &[usize], begins: Duration) {
        let work = self.task.stations[station];
        let mut free = begins;
        for set in 0..work.sets {
            for &person in group {
                let change = self.set_up(station, person);
                let ready = if change { free + self.task.change } else { free };
                let start = ready.max(self.rested[person]);
                let end = start + work.set;
                self.slots.push(Slot { person, station, round, set, start, end, change });
                self.rested[person] = end + work.rest;
                free = end;
                self.ended = self.ended.max(end);
            }
        }
    }

    /// Whether something has to be changed for an athlete; the first set-up of an implement was
    /// made before the start.
    fn set_up(&mut self, station: usize, person: usize) -> bool {
        let setup = self.task.people[person].visits[station].as_ref();
        let Some((implement, amount)) = setup.and_then(|one| Some((one.implement?, one.amount)))
        else {
            return false;
        };
        self.hanging.insert(implement, amount).is_some_and(|hung| hung != amount)
    }
}
