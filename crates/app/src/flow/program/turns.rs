//! The rotation as a picture: who has which station when, before the evening and while it runs.

use super::rotate::{self, Rotating};
use crate::flow::house::House;
use cornerwork_core::estimate::Interval;
use cornerwork_core::prescription::rotation::{Rotation, Slot, Timetable};
use cornerwork_core::report::figure::{
    Axis, Decimals, Effort, Event, StationRow, Turn, TurnRound, Turns,
};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::program::{Block, Planned, ResolvedSession, Round};
use cornerwork_core::units::Duration;
use jiff::Timestamp;
use jiff::civil::Time;
use std::cmp::Ordering;

/// The rotation of a session before its evening.
pub fn planned(house: &House, gym: &Gym, session: &ResolvedSession, rotating: &Rotating) -> Turns {
    let (best, alphabetical) = (&rotating.plan.best, &rotating.plan.alphabetical);
    let drawing = Drawing {
        house,
        gym,
        session,
        people: &rotating.people,
        timetable: &best.timetable,
        starts: session.plan.starts,
    };
    let description = format!(
        "{} athletes in {} rounds, from {} to {}: {} load changes, {} in alphabetical order; no \
         plan can do with fewer than {}.",
        rotating.people.len(),
        best.rounds.len(),
        drawing.clock(0.0),
        drawing.clock(minutes(best.timetable.length)),
        best.changes,
        alphabetical.changes,
        rotating.plan.fewest_changes,
    );
    let note = |place| compared(changes_at(best, place), changes_at(alphabetical, place));
    let name = |round, from| format!("round {}, {}", round + 1, drawing.clock(from));
    Turns {
        description,
        stations: drawing.stations(note),
        rounds: drawing.rounds(name),
        moments: drawing.comings(0.0),
        ..drawing.empty(0.0)
    }
}

/// How often the load is changed at a station.
fn changes_at(rotation: &Rotation, place: usize) -> usize {
    let here = |slot: &&Slot| slot.station == place && slot.change;
    rotation.timetable.slots.iter().filter(here).count()
}

/// "5 changes (A–Z 9)", nothing where nothing is ever changed.
fn compared(best: usize, alphabetical: usize) -> String {
    match (best, alphabetical) {
        (0, 0) => String::new(),
        (1, other) => format!("1 change (A–Z {other})"),
        (best, other) => format!("{best} changes (A–Z {other})"),
    }
}

/// The rotation of an evening that runs.
#[derive(Debug)]
pub struct Running {
    /// The picture.
    pub turns: Turns,
    /// The round that runs, from 1; `None` when all are done.
    pub round: Option<usize>,
    /// How many there are.
    pub rounds: usize,
    /// When the round that runs ends by the plan.
    pub round_ends: String,
    /// How many minutes that is past; 0 while it is not.
    pub behind_minutes: u32,
    /// When all are done if nothing more is lost.
    pub over_at: String,
}

impl Running {
    /// Which round runs, until when, and whether it is behind.
    pub fn in_words(&self) -> String {
        let Self { rounds, round_ends, behind_minutes, over_at, .. } = self;
        match self.round {
            None => "All rounds are done.".to_owned(),
            Some(round) if *behind_minutes > 0 => format!(
                "Round {round} of {rounds} should have ended at {round_ends}: {behind_minutes} min \
                 behind, over at about {over_at}."
            ),
            Some(round) => format!(
                "Round {round} of {rounds} ends at about {round_ends}, the last at {over_at}."
            ),
        }
    }
}

/// The rotation of the evening that runs, by the times that were planned; `None` when another
/// session runs or none.
pub fn running(house: &House, gym: &Gym, session: &ResolvedSession) -> Option<Running> {
    let evening = gym.evening_of(&session.plan.id)?;
    let rounds = rounds(evening, session);
    let (people, timetable) = rotate::times_of(house, gym, session, &rounds);
    let began = began(house, gym, evening, session);
    let starts = house.clock().zone().to_datetime(began).time();
    let drawing = Drawing { house, gym, session, people: &people, timetable: &timetable, starts };
    let now = house.clock().now().duration_since(began).as_secs_f64() / 60.0;
    let runs = (evening.rotations < rounds.len()).then_some(evening.rotations);
    let ends = |round: usize| {
        let slots = timetable.slots.iter().filter(|slot| slot.round == round);
        slots.map(|slot| minutes(slot.end)).fold(0.0, f64::max)
    };
    let round_ends = runs.map_or(0.0, ends);
    let behind = if runs.is_some() { (now - round_ends).max(0.0) } else { 0.0 };
    let over = minutes(timetable.length) + behind;
    let name = |round: usize, from| match round.cmp(&evening.rotations) {
        Ordering::Less => format!("round {}, done", round + 1),
        Ordering::Equal => format!("round {}, now", round + 1),
        Ordering::Greater => format!("round {}, {}", round + 1, drawing.clock(from)),
    };
    let planned = house.clock().moment(evening.plan.date, session.plan.starts);
    let late_start = began.duration_since(planned).as_secs_f64() / 60.0;
    let mut moments = drawing.comings(late_start);
    moments.retain(|moment| moment.at > now);
    if runs.is_some() {
        moments.push(Event { at: now, name: format!("now {}", drawing.clock(now)) });
    }
    let turns = Turns {
        description: format!(
            "{} athletes in {} rounds, from {} to {} by the plan.",
            people.len(),
            rounds.len(),
            drawing.clock(0.0),
            drawing.clock(minutes(timetable.length)),
        ),
        stations: drawing.stations(|_| String::new()),
        rounds: drawing.rounds(name),
        moments,
        ..drawing.empty(late_start)
    };
    Some(Running {
        turns,
        round: runs.map(|round| round + 1),
        rounds: rounds.len(),
        round_ends: drawing.clock(round_ends),
        behind_minutes: behind.floor() as u32,
        over_at: drawing.clock(over),
    })
}

/// When the first rep at a station was done; before that when the stations are to begin, now at the
/// earliest.
fn began(house: &House, gym: &Gym, evening: &Evening, session: &ResolvedSession) -> Timestamp {
    let stations = evening.plan.stations.iter();
    let first = stations.flat_map(|one| gym.reps_at(one.number)).map(|rep| rep.entry.at).min();
    let planned = house.clock().moment(evening.plan.date, session.plan.starts);
    first.unwrap_or_else(|| planned.max(house.clock().now()))
}

/// Who stands where in each round, by the order of the plan's stations. An evening opened in plain
/// groups has no rounds of its own; its groups moved on by one.
fn rounds(evening: &Evening, session: &ResolvedSession) -> Vec<Round> {
    let plan = &evening.plan;
    let in_groups = plan.stations.len().max(plan.groups.len());
    let count = if plan.rounds.is_empty() { in_groups } else { plan.rounds.len() };
    let group = |station: u8, round: usize| {
        let place = plan.stations.iter().position(|one| one.number == station);
        place.map_or_else(Vec::new, |place| plan.group_at(place, round).to_vec())
    };
    let stations = || session.plan.blocks.iter().map(|block| block.station);
    (0..count).map(|round| stations().map(|station| group(station, round)).collect()).collect()
}

/// The load or the box without the plates: "40.0 kg".
pub fn in_short(planned: &Planned) -> String {
    let words = planned.in_words();
    words.split(',').next().unwrap_or(&words).trim_start_matches("start with ").to_owned()
}

fn minutes(duration: Duration) -> f64 {
    duration.in_seconds() / 60.0
}

/// A timetable with the names behind its numbers.
struct Drawing<'a> {
    house: &'a House,
    gym: &'a Gym,
    session: &'a ResolvedSession,
    people: &'a [AthleteId],
    timetable: &'a Timetable,
    starts: Time,
}

impl Drawing<'_> {
    /// The clock time so many minutes after the start: "18:34".
    fn clock(&self, minutes: f64) -> String {
        rotate::clock_after(self.starts, Duration::seconds(minutes * 60.0))
    }

    /// Axis and planned end, nothing on it yet; the stations began so many minutes late.
    fn empty(&self, late_start: f64) -> Turns {
        let end = f64::from(self.session.plan.minutes) - late_start;
        Turns {
            title: "The stations by time".to_owned(),
            description: String::new(),
            time: Axis::new(format!("time after {}", self.clock(0.0)), "min", Decimals::UpTo(1)),
            stations: Vec::new(),
            rounds: Vec::new(),
            planned_end: Some(Event { at: end, name: format!("planned end {}", self.clock(end)) }),
            moments: Vec::new(),
        }
    }

    fn stations(&self, note: impl Fn(usize) -> String) -> Vec<StationRow> {
        let row = |(place, block): (usize, &Block)| {
            let name = self.house.exercise_name(self.gym, &block.exercise);
            StationRow { name: format!("{} {name}", block.station), note: note(place) }
        };
        self.session.plan.blocks.iter().enumerate().map(row).collect()
    }

    fn rounds(&self, name: impl Fn(usize, f64) -> String) -> Vec<TurnRound> {
        let starts = &self.timetable.round_starts;
        let round = |(round, start): (usize, &Duration)| {
            let low = minutes(*start);
            let high = minutes(*starts.get(round + 1).unwrap_or(&self.timetable.length));
            let stations = 0..self.session.plan.blocks.len();
            let groups = stations.map(|station| self.group(round, station)).collect();
            TurnRound { name: name(round, low), over: Interval { low, high }, groups }
        };
        starts.iter().enumerate().map(round).collect()
    }

    /// Those at a station in a round, in the order of their first sets.
    fn group(&self, round: usize, station: usize) -> Vec<Turn> {
        let here: Vec<&Slot> = (self.timetable.slots.iter())
            .filter(|slot| slot.round == round && slot.station == station)
            .collect();
        let firsts = here.iter().filter(|slot| slot.set == 0);
        firsts.map(|first| self.turn(first, &here)).collect()
    }

    fn turn(&self, first: &Slot, here: &[&Slot]) -> Turn {
        let id = &self.people[first.person];
        let station = self.session.plan.blocks[first.station].station;
        let own = here.iter().filter(|slot| slot.person == first.person);
        let effort = |slot: &&Slot| Effort {
            over: Interval { low: minutes(slot.start), high: minutes(slot.end) },
            change: slot.change,
        };
        Turn {
            name: self.gym.given_name(id),
            with: self.session.at(id, station).map(in_short).unwrap_or_default(),
            efforts: own.map(effort).collect(),
        }
    }

    /// Who comes and who leaves while the stations run, which began so many minutes after their
    /// planned start.
    fn comings(&self, late_start: f64) -> Vec<Event> {
        let said = |id: &AthleteId, what: &str, minute: u16| {
            let at = f64::from(minute) - late_start;
            (at > 0.0).then(|| Event {
                at,
                name: format!("{} {what} {}", self.gym.given_name(id), self.clock(at)),
            })
        };
        let people = self.session.plan.people.iter();
        people
            .flat_map(|one| {
                let leaves = one.until_minute.map(|until| said(&one.athlete, "leaves", until));
                [said(&one.athlete, "comes", one.from_minute), leaves.flatten()]
            })
            .flatten()
            .collect()
    }
}
