//! The rotation as a picture: who has which station when, before the evening and while it runs.

use super::rotate::{self, Rotating};
use super::rounds;
use crate::flow::house::House;
use cornerwork_core::estimate::Interval;
use cornerwork_core::prescription::rotation::{Rotation, Slot, Timetable};
use cornerwork_core::report::figure::{
    Axis, Decimals, Effort, Event, StationRow, Turn, TurnRound, Turns,
};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::program::{Block, DoThis, Planned, ResolvedSession, SessionPlan};
use cornerwork_core::units::Duration;
use cornerwork_core::words::counted;
use jiff::Timestamp;
use jiff::civil::Time;
use std::cmp::Ordering;
use std::collections::BTreeMap;

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
        "{} in {}, from {} to {}.{}",
        counted(rotating.people.len(), "athlete"),
        counted(best.rounds.len(), "round"),
        drawing.clock(0.0),
        drawing.clock(minutes(best.timetable.length)),
        changes_in_words(best.changes, alphabetical.changes)
            .map_or_else(String::new, |said| format!(" {said}")),
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

/// "3 load changes; alphabetical order needs 9."; `None` where nothing is ever changed.
pub fn changes_in_words(best: u32, alphabetical: u32) -> Option<String> {
    let changes = counted(best, "load change");
    match (best, alphabetical) {
        (0, 0) => None,
        (0, other) => Some(format!("No load changes; alphabetical order needs {other}.")),
        (best, other) if best == other => Some(format!("{changes}.")),
        (_, other) => Some(format!("{changes}; alphabetical order needs {other}.")),
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
        (1, 1) => "1 change".to_owned(),
        (best, other) if best == other => format!("{best} changes"),
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
    /// Whether the evening was ended.
    pub ended: bool,
}

impl Running {
    /// Which round runs, until when, and whether it is behind.
    pub fn in_words(&self) -> String {
        let Self { rounds, round_ends, behind_minutes, over_at, .. } = self;
        match self.round {
            Some(round) if self.ended => format!("The evening ended in round {round} of {rounds}."),
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

/// The rotation of the evening that runs or was ended, by the times that were planned; `None` for a
/// session whose evening was not opened.
pub fn held(house: &House, gym: &Gym, session: &ResolvedSession) -> Option<Running> {
    let evening = gym.evening_held(&session.plan.id)?;
    let rounds = rounds::all(evening, &session.plan);
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
    let behind = if runs.is_some() && !evening.closed { (now - round_ends).max(0.0) } else { 0.0 };
    let over = minutes(timetable.length) + behind;
    let name = |round: usize, from| match round.cmp(&evening.rotations) {
        Ordering::Less => format!("round {}, done", round + 1),
        Ordering::Equal if evening.closed => format!("round {}, ended", round + 1),
        Ordering::Equal => format!("round {}, now", round + 1),
        Ordering::Greater => format!("round {}, {}", round + 1, drawing.clock(from)),
    };
    let planned = house.clock().moment(evening.plan.date, session.plan.starts);
    let late_start = began.duration_since(planned).as_secs_f64() / 60.0;
    let mut moments = drawing.comings(late_start);
    moments.retain(|moment| moment.at > now);
    if runs.is_some() && !evening.closed {
        moments.push(Event { at: now, name: format!("now {}", drawing.clock(now)) });
    }
    let turns = Turns {
        description: format!(
            "{} in {}, from {} to {} by the plan.",
            counted(people.len(), "athlete"),
            counted(rounds.len(), "round"),
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
        ended: evening.closed,
    })
}

/// When the first rep at a station was done; before that when the stations are to begin, now at the
/// earliest.
fn began(house: &House, gym: &Gym, evening: &Evening, session: &ResolvedSession) -> Timestamp {
    let stations = evening.plan.stations.iter();
    let first = stations.flat_map(|one| gym.reps_at(one.number)).map(|rep| rep.entry.at).min();
    let planned = house.clock().moment(evening.plan.date, session.plan.starts);
    let at_the_earliest = if evening.closed { planned } else { planned.max(house.clock().now()) };
    first.unwrap_or(at_the_earliest)
}

/// What is done there and with what, in short: what was swapped in by its name, then the load or
/// the box without the plates: "40.0 kg", "box jump, 30 cm box".
pub fn in_short(house: &House, gym: &Gym, session: &SessionPlan, planned: &Planned) -> String {
    let words = planned.in_words();
    let short = words.split(',').next().unwrap_or(&words).trim_start_matches("start with ");
    let evening = gym.evening_held(&session.id);
    let with = evening.and_then(|evening| stands(evening, planned)).unwrap_or(short.to_owned());
    match swapped(house, gym, session, planned) {
        Some(name) => format!("{name}, {with}"),
        None => with,
    }
}

/// What was hung or set for an athlete on the evening: from then on it counts, not the plan.
fn stands(evening: &Evening, planned: &Planned) -> Option<String> {
    match &planned.with {
        DoThis::Hang { .. } | DoThis::NotYet { start: Some(_), .. } => {
            let load = evening.hung(planned.station, &planned.athlete)?;
            Some(format!("{:.1} kg", load.total.in_kilograms()))
        }
        DoThis::SetBox { .. } => {
            let height = evening.box_at(planned.station, &planned.athlete)?;
            Some(format!("{:.0} cm box", height.in_centimetres()))
        }
        _ => None,
    }
}

/// The exercise in small letters, where it is not what its station is for; with the side, where
/// only one is done.
pub fn swapped(
    house: &House,
    gym: &Gym,
    session: &SessionPlan,
    planned: &Planned,
) -> Option<String> {
    let usual = &session.block(planned.station)?.exercise;
    let side = planned.only.map(|side| format!("{} only", side.word()));
    let name = (planned.exercise != *usual)
        .then(|| house.exercise_name(gym, &planned.exercise).to_lowercase());
    (name.is_some() || side.is_some())
        .then(|| name.into_iter().chain(side).collect::<Vec<_>>().join(", "))
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
            with: self.with(id, station),
            efforts: own.map(effort).collect(),
        }
    }

    fn with(&self, id: &AthleteId, station: u8) -> String {
        let planned = self.session.at(id, station);
        let said = |one| in_short(self.house, self.gym, &self.session.plan, one);
        planned.map(said).unwrap_or_default()
    }

    /// Who comes and who leaves while the stations run, which began so many minutes after their
    /// planned start. Several at once are counted.
    fn comings(&self, late_start: f64) -> Vec<Event> {
        let mut at_once: BTreeMap<(u16, bool), Vec<String>> = BTreeMap::new();
        for one in &self.session.plan.people {
            let name = self.gym.given_name(&one.athlete);
            let moments =
                [Some((one.from_minute, true)), one.until_minute.map(|until| (until, false))];
            for moment in moments.into_iter().flatten() {
                at_once.entry(moment).or_default().push(name.clone());
            }
        }
        let event = |((minute, comes), names): ((u16, bool), Vec<String>)| {
            let at = f64::from(minute) - late_start;
            let clock = self.clock(at);
            let name = match (names.as_slice(), comes) {
                ([one], true) => format!("{one} comes {clock}"),
                ([one], false) => format!("{one} leaves {clock}"),
                (several, true) => format!("{} expected {clock}", several.len()),
                (several, false) => format!("{} leave {clock}", several.len()),
            };
            (at > 0.0).then_some(Event { at, name })
        };
        at_once.into_iter().filter_map(event).collect()
    }
}
