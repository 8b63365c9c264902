//! Who stands where when: the resolved session as a task for the rotation, and its answer in
//! names and clock times.

use super::{bar_kind, bars, sides};
use crate::flow::house::House;
use cornerwork_core::kit::Bar;
use cornerwork_core::prescription::rotation::{
    MOST_ROUNDS, Mover, Planned as Plan, RotationError, RotationTask, Setup, StationWork, Timetable,
};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{DoThis, Planned, ResolvedSession, Round};
use cornerwork_core::session::rep::Load;
use cornerwork_core::units::Duration;
use jiff::SignedDuration;
use jiff::civil::Time;
use std::collections::BTreeMap;

/// One rep with its reset and a word (common practice, no source).
const REP: Duration = Duration::seconds(15.0);
/// Plates off and on, or another box (common practice, no source).
const CHANGE: Duration = Duration::seconds(30.0);
/// From one station to the next, with the first load hung (common practice, no source).
const MOVE_ON: Duration = Duration::seconds(120.0);
/// Numbers of the places where boxes stand, after those of the bars.
const BOX_PLACES: usize = 10_000;

/// A rotation in names.
#[derive(Debug)]
pub struct Rotating {
    /// Everyone in it, in alphabetical order.
    pub people: Vec<AthleteId>,
    /// What was asked.
    pub task: RotationTask,
    /// What was found.
    pub plan: Plan,
    /// Stations that do not fit into the time someone is there, last in the plan first.
    given_up: Vec<(AthleteId, u8)>,
    /// How long the stations may take.
    pub limit: Duration,
    starts: Time,
}

impl Rotating {
    /// Who stands where in each round.
    pub fn rounds(&self) -> Vec<Round> {
        let name = |&person: &usize| self.people[person].clone();
        let group = |group: &Vec<usize>| group.iter().map(name).collect();
        self.plan.best.rounds.iter().map(|round| round.iter().map(group).collect()).collect()
    }

    /// Who is not there long enough for which stations, in one sentence each.
    pub fn left_out(&self, gym: &Gym) -> Vec<String> {
        let mut by_athlete: BTreeMap<&AthleteId, Vec<u8>> = BTreeMap::new();
        for (athlete, station) in &self.given_up {
            by_athlete.entry(athlete).or_default().push(*station);
        }
        let sentence = |(id, mut stations): (&AthleteId, Vec<u8>)| {
            stations.sort_unstable();
            let name = gym.given_name(id);
            let numbers: Vec<String> = stations.iter().map(u8::to_string).collect();
            let left_out = if numbers.len() == 1 { "it is" } else { "they are" };
            format!(
                "{name} is not there long enough for station {}: {left_out} left out.",
                numbers.join(", ")
            )
        };
        by_athlete.into_iter().map(sentence).collect()
    }

    /// The clock time so long after the start: "18:34".
    pub fn clock(&self, after: Duration) -> String {
        clock_after(self.starts, after)
    }

    /// Whether the last set ends in time.
    pub fn in_time(&self) -> bool {
        self.plan.best.timetable.length <= self.limit
    }
}

/// The clock time so long after a start: "18:34".
pub fn clock_after(starts: Time, after: Duration) -> String {
    let later = SignedDuration::from_secs_f64(after.in_seconds().max(0.0));
    starts.wrapping_add(later).strftime("%H:%M").to_string()
}

/// The rotation of a session before its evening.
///
/// # Errors
/// A sentence when nobody has anything to do.
pub fn rotate(house: &House, gym: &Gym, session: &ResolvedSession) -> Result<Rotating, String> {
    let builder = Builder::new(house, gym, session);
    let round = builder.usual_round()?;
    let window = |person: &AthleteId| {
        let presence = session.plan.presence(person);
        let from = presence.map_or(0, |presence| presence.from_minute);
        let until = presence.and_then(|presence| presence.until_minute);
        (rounds_in(from, round).ceil(), until.map(|until| rounds_in(until, round).floor()))
    };
    let limit = minutes(session.plan.minutes);
    let most = (limit.in_seconds() / round.in_seconds()).floor().max(1.0);
    builder.solve(window, most, &[], &[])
}

/// So many minutes.
pub fn minutes(count: u16) -> Duration {
    Duration::seconds(f64::from(count) * 60.0)
}

fn rounds_in(minute: u16, round: Duration) -> f64 {
    minutes(minute).in_seconds() / round.in_seconds().max(1.0)
}

fn round_length(found: &Plan) -> Duration {
    let timetable = &found.best.timetable;
    let rounds = timetable.round_starts.len().max(1);
    (timetable.length + MOVE_ON) / rounds as f64
}

fn said(tasked: &Tasked, error: RotationError) -> String {
    match error {
        RotationError::TooShort { person, .. } => {
            format!("{} is not there long enough for one station.", tasked.people[person])
        }
        other => other.to_string(),
    }
}

/// The rest of an evening that has begun: what is done, and who stands at a station now, stays.
///
/// # Errors
/// A sentence when nobody has anything left to do.
pub fn rotate_rest(
    house: &House,
    gym: &Gym,
    session: &ResolvedSession,
    done: &[Round],
    minute_now: u16,
) -> Result<Vec<Round>, String> {
    let builder = Builder::new(house, gym, session);
    let round = builder.usual_round()?;
    // The next round is the first that is planned; it begins about one round from now.
    let window = |person: &AthleteId| {
        let presence = session.plan.presence(person);
        let from = presence.map_or(0, |presence| presence.from_minute.saturating_sub(minute_now));
        let left = presence
            .and_then(|presence| presence.until_minute)
            .map(|until| (rounds_in(until.saturating_sub(minute_now), round) - 1.0).floor());
        ((rounds_in(from, round) - 1.0).ceil().max(0.0), left.map(|left| left.max(0.0)))
    };
    let standing = builder.standing_after(done);
    let rest = builder.solve(window, MOST_ROUNDS as f64, done, &standing);
    let mut rounds = done.to_vec();
    match rest {
        Ok(rest) => rounds.extend(rest.rounds()),
        // Nobody has anything left: the evening ends with the round that runs.
        Err(_) if !done.is_empty() => {}
        Err(error) => return Err(error),
    }
    Ok(rounds)
}

/// Who takes part in rounds that stand, and when each set begins: nothing is searched for. The
/// rounds name a group for each station of the plan, in its order.
pub fn times_of(
    house: &House,
    gym: &Gym,
    session: &ResolvedSession,
    rounds: &[Round],
) -> (Vec<AthleteId>, Timetable) {
    let Tasked { people, task, .. } = Builder::new(house, gym, session).task(|_| (0, None), &[]);
    let place = |id: &AthleteId| people.iter().position(|one| one == id);
    let group = |group: &Vec<AthleteId>| group.iter().filter_map(place).collect();
    let numbered = rounds.iter().map(|round| round.iter().map(group).collect()).collect();
    let timetable = Timetable::of(&task, &numbered);
    (people, timetable)
}

/// A task with the names behind its numbers.
struct Tasked {
    people: Vec<AthleteId>,
    task: RotationTask,
    given_up: Vec<(AthleteId, u8)>,
}

struct Builder<'a> {
    house: &'a House,
    gym: &'a Gym,
    session: &'a ResolvedSession,
    names: Vec<AthleteId>,
    bars: BTreeMap<&'a str, usize>,
}

impl<'a> Builder<'a> {
    fn new(house: &'a House, gym: &'a Gym, session: &'a ResolvedSession) -> Self {
        let mut names: Vec<AthleteId> =
            session.plan.people.iter().map(|presence| presence.athlete.clone()).collect();
        let name = |id: &AthleteId| gym.athlete(id).map(|athlete| athlete.name.clone());
        names.sort_by_key(|id| (name(id), id.clone()));
        // However it is held, a bar is one implement.
        let place = |bar: &Bar| gym.bars.keys().position(|id| id == bar.own_id());
        let known = |(id, bar): (&'a String, &'a Bar)| Some((id.as_str(), place(bar)?));
        let bars = gym.bars.iter().filter_map(known).collect();
        Self { house, gym, session, names, bars }
    }

    /// How long a round lasts when everyone is there from the start to the end.
    fn usual_round(&self) -> Result<Duration, String> {
        let everyone = self.task(|_| (0, None), &[]);
        let found = self.house.profiles.program.rotation(&everyone.task);
        found.map(|found| round_length(&found)).map_err(|error| said(&everyone, error))
    }

    fn solve(
        &self,
        window: impl Fn(&AthleteId) -> (f64, Option<f64>),
        most_rounds: f64,
        done: &[Round],
        standing: &[(usize, i64)],
    ) -> Result<Rotating, String> {
        let whole = |rounds: f64| rounds.clamp(0.0, MOST_ROUNDS as f64) as usize;
        let window = |person: &AthleteId| {
            let (from, until) = window(person);
            (whole(from), until.map(whole))
        };
        let mut tasked = self.task(window, done);
        tasked.task.standing = standing.to_vec();
        self.shorten(&mut tasked, whole(most_rounds));
        let found = self.house.profiles.program.rotation(&tasked.task);
        let found = found.map_err(|error| said(&tasked, error))?;
        Ok(Rotating {
            people: tasked.people,
            plan: found,
            task: tasked.task,
            given_up: tasked.given_up,
            limit: minutes(self.session.plan.minutes),
            starts: self.session.plan.starts,
        })
    }

    /// The task of those who have something left to do.
    fn task(
        &self,
        window: impl Fn(&AthleteId) -> (usize, Option<usize>),
        done: &[Round],
    ) -> Tasked {
        let blocks = &self.session.plan.blocks;
        let stations = blocks
            .iter()
            .map(|block| {
                let planned: Vec<&Planned> = self.session.at_station(block.station).collect();
                let longest = planned.iter().map(|one| self.set_time(one)).fold(REP, Duration::max);
                StationWork { sets: block.sets, set: longest, rest: block.rest }
            })
            .collect();
        let mut people = Vec::new();
        let mut movers = Vec::new();
        for id in &self.names {
            let visits: Vec<Option<Setup>> = blocks
                .iter()
                .enumerate()
                .map(|(place, block)| {
                    let was_there = done
                        .iter()
                        .any(|round| round.get(place).is_some_and(|group| group.contains(id)));
                    let planned = self.session.at(id, block.station).filter(|one| one.is_open());
                    planned.filter(|_| !was_there).map(|one| self.setup(one))
                })
                .collect();
            if visits.iter().any(Option::is_some) {
                let (from_round, until_round) = window(id);
                movers.push(Mover { from_round, until_round, visits });
                people.push(id.clone());
            }
        }
        let task = RotationTask {
            stations,
            people: movers,
            plates: self.gym.plates.stacks().iter().map(|stack| stack.count).collect(),
            standing: Vec::new(),
            change: CHANGE,
            move_on: MOVE_ON,
        };
        Tasked { people, task, given_up: Vec::new() }
    }

    /// Takes the last stations of the plan from those who are not there long enough for all: a
    /// shorter session for one, and the others are not held up.
    fn shorten(&self, tasked: &mut Tasked, most_rounds: usize) {
        let longest = tasked.task.people.iter().map(|mover| mover.visits.iter().flatten().count());
        let most = most_rounds.max(longest.max().unwrap_or(0));
        for (person, mover) in tasked.task.people.iter_mut().enumerate() {
            let until = mover.until_round.unwrap_or(most).min(most);
            let there = until.saturating_sub(mover.from_round);
            while mover.visits.iter().flatten().count() > there {
                let Some(last) = mover.visits.iter().rposition(Option::is_some) else { break };
                mover.visits[last] = None;
                let station = self.session.plan.blocks[last].station;
                tasked.given_up.push((tasked.people[person].clone(), station));
            }
        }
        // Who has nothing left does not hold the others up either.
        let left = tasked.task.people.iter().map(|mover| mover.visits.iter().any(Option::is_some));
        let left: Vec<bool> = left.collect();
        let (mut of_people, mut of_movers) = (left.iter(), left.iter());
        tasked.people.retain(|_| of_people.next().copied().unwrap_or(false));
        tasked.task.people.retain(|_| of_movers.next().copied().unwrap_or(false));
    }

    /// What is set up for an athlete at a station.
    fn setup(&self, planned: &Planned) -> Setup {
        match &planned.with {
            DoThis::Hang { load, .. } | DoThis::NotYet { start: Some(load), .. } => self.hung(load),
            DoThis::SetBox { height } => Setup {
                implement: Some(BOX_PLACES + usize::from(planned.station)),
                amount: (height.in_metres() * 1000.0).round() as i64,
                plates: Vec::new(),
            },
            _ => Setup::nothing(),
        }
    }

    fn hung(&self, load: &Load) -> Setup {
        let bar = load.bar.as_deref();
        let implement = bar.and_then(|bar| self.bars.get(bar)).copied();
        let sleeves =
            bar.and_then(|bar| self.gym.bars.get(bar)).map_or(2, |bar| bar.sides().count());
        let count = |plate| {
            let on_one = load.plates.iter().filter(|one| *one == plate).count();
            u32::try_from(on_one).unwrap_or(0) * sleeves
        };
        Setup {
            implement,
            amount: (load.total.in_kilograms() * 1000.0).round() as i64,
            plates: self.gym.plates.stacks().iter().map(|stack| count(&stack.plate)).collect(),
        }
    }

    /// How long one set lasts: its reps, both sides where there are two, or its holds.
    fn set_time(&self, planned: &Planned) -> Duration {
        let exercise = self.house.exercise(self.gym, &planned.exercise);
        let sides = exercise.map_or(1, |exercise| sides(exercise, planned.only.is_some()));
        let each = match &planned.with {
            DoThis::Hold { time } => *time + Duration::seconds(10.0),
            _ => REP,
        };
        each * f64::from(planned.reps * sides)
    }

    /// What hangs after the rounds that are done, as they were planned.
    fn standing_after(&self, done: &[Round]) -> Vec<(usize, i64)> {
        let mut standing = BTreeMap::new();
        for round in done {
            for (block, group) in self.session.plan.blocks.iter().zip(round) {
                for id in group {
                    let planned = self.session.at(id, block.station);
                    let setup = planned.map(|planned| self.setup(planned));
                    if let Some(Setup { implement: Some(implement), amount, .. }) = setup {
                        standing.insert(implement, amount);
                    }
                }
            }
        }
        standing.into_iter().collect()
    }
}

/// Ids of the bars an exercise may be done with, for the station on the floor.
pub(super) fn bars_for(
    house: &House,
    gym: &Gym,
    session: &ResolvedSession,
    station: u8,
) -> Vec<String> {
    let mut kinds = Vec::new();
    let planned = session.at_station(station).map(|one| &one.exercise);
    let block = session.plan.block(station).map(|block| &block.exercise);
    for id in block.into_iter().chain(planned) {
        let kind = house.exercise(gym, id).and_then(bar_kind);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds.into_iter().flat_map(|kind| bars(gym, kind)).map(|bar| bar.id.clone()).collect()
}
