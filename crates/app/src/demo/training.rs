//! A training evening as it went: on Mondays the weekly jumps, then groups passing the stations.

use super::calendar::{Session, at};
use super::history::{after, jumps};
use super::journal::{COACH, Journal};
use super::people::Person;
use super::performance::Performance;
use super::restrictions;
use super::stations::{self, author_at, station};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::evening::{EveningPlan, Station};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::rep::{RepEntry, Side};
use jiff::Timestamp;
use jiff::civil::Date;

/// Time of all groups at their station, then everyone moves on.
const BLOCK_S: i64 = 40 * 60;
/// Time of one athlete's set, before the next of the group is up.
const SET_S: i64 = 75;

/// Someone who came.
pub(super) struct Present<'a> {
    pub(super) person: &'a Person,
    pub(super) performance: Performance<'a>,
}

pub(super) fn write(
    journal: &mut Journal,
    session: Session,
    day: Date,
    present: &mut [Present<'_>],
) {
    let plan = plan(session, day, present);
    journal.write(at(day, 17, 50), COACH, Change::EveningOpened(plan.clone()));
    if session == Session::Jumps {
        // Once a week, on the day furthest from sparring: a usual day is a rested one.
        for (number, one) in (0..).zip(present.iter_mut()) {
            jumps(journal, &mut one.performance, after(at(day, 18, 5), 7 * number));
        }
    }
    let start = at(day, 18, 30);
    for (number, rotation) in (0..).zip(0..plan.stations.len()) {
        let start = after(start, BLOCK_S * number);
        if rotation > 0 {
            journal.write(start, COACH, Change::GroupsRotated);
        }
        for (place, station) in plan.stations.iter().enumerate() {
            Block { station, day, start }.write(journal, plan.group_at(place, rotation), present);
        }
    }
    journal.write(at(day, 20, 0), COACH, Change::EveningClosed);
}

fn plan(session: Session, day: Date, present: &[Present<'_>]) -> EveningPlan {
    let numbers = match session {
        Session::Jumps => [stations::DEPTH_JUMP, stations::LOADED_JUMP],
        Session::Landmine => [stations::THROW, stations::JERK],
        Session::Mixed => [stations::LOADED_JUMP, stations::THROW],
    };
    let mut groups = vec![Vec::new(); numbers.len()];
    for (number, one) in present.iter().enumerate() {
        groups[number % numbers.len()].push(one.person.id());
    }
    EveningPlan {
        date: day,
        stations: numbers.map(station).to_vec(),
        groups,
        session: None,
        rounds: Vec::new(),
    }
}

/// One group at one station until everyone moves on.
struct Block<'a> {
    station: &'a Station,
    day: Date,
    start: Timestamp,
}

impl Block<'_> {
    fn write(&self, journal: &mut Journal, group: &[AthleteId], present: &mut [Present<'_>]) {
        let mut turns = (0..).map(|turn| after(self.start, 5 + SET_S * turn));
        for set in 0..self.station.sets {
            for (one, turn) in group.iter().zip(turns.by_ref()) {
                let Some(one) = present.iter_mut().find(|present| present.person.id() == *one)
                else {
                    continue;
                };
                self.set(journal, one, set, turn);
                let closed =
                    Change::SetClosed { station: self.station.number, athlete: one.person.id() };
                journal.write(after(turn, SET_S - 5), author_at(self.station.number), closed);
            }
        }
    }

    fn set(&self, journal: &mut Journal, one: &mut Present<'_>, set: u32, start: Timestamp) {
        let place = set as usize;
        let Present { person, performance } = one;
        let author = author_at(self.station.number);
        let here = |entry: RepEntry| RepEntry { station: Some(self.station.number), ..entry };
        match self.station.number {
            stations::DEPTH_JUMP => {
                let box_cm = person.boxes_cm()[place];
                for moment in self.reps(start, 20) {
                    journal.record(author, here(performance.depth_jump(box_cm, moment)));
                }
            }
            stations::LOADED_JUMP => {
                let load = &person.jump_loads(self.day)[place];
                for moment in self.reps(start, 20) {
                    let (entry, bent) = performance.loaded_jump(load, moment);
                    journal.record_jump(author, (here(entry), bent));
                }
            }
            stations::THROW => {
                let load = &person.throw_loads(self.day)[place];
                for (side, start) in self.sides(person, [Side::Rear, Side::Lead], start) {
                    for (rep, moment) in (0..).zip(self.reps(start, 10)) {
                        let entry = performance.throw(side, load, (set, rep), moment);
                        journal.record(author, here(entry));
                    }
                }
            }
            _ => {
                let load = &person.jerk_loads(self.day)[place];
                for (side, start) in self.sides(person, [Side::Left, Side::Right], start) {
                    for moment in self.reps(start, 15) {
                        journal.record(author, here(performance.jerk(side, load, moment)));
                    }
                }
            }
        }
    }

    /// The sides open to someone, each with its start.
    fn sides(
        &self,
        person: &Person,
        sides: [Side; 2],
        start: Timestamp,
    ) -> impl Iterator<Item = (Side, Timestamp)> {
        let open = sides.into_iter().filter(|side| {
            restrictions::open(person, &self.station.exercise, Some(*side), self.day)
        });
        (0..).zip(open).map(move |(number, side)| (side, after(start, 32 * number)))
    }

    fn reps(&self, start: Timestamp, apart_s: i64) -> impl Iterator<Item = Timestamp> {
        (0..i64::from(self.station.reps)).map(move |rep| after(start, apart_s * rep))
    }
}
