//! What a station shows: who, what, the number, its judgement, what to do next.
//!
//! A view is built from the ledger each time it is asked for, never kept, so every page of every
//! device says the same.

use crate::flow::drawn_for::DrawnFor;
use crate::flow::house::House;
use crate::flow::judged::{self, RepView};
use cornerwork_core::exercise::{Exercise, LoadModel, Sides, StopRule};
use cornerwork_core::kit::Bar;
use cornerwork_core::profile::load_momentum::shape::take_off_velocity;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::evening::{Station, Target};
use cornerwork_core::session::gym::{Evening, Gym, LikeForLike};
use cornerwork_core::session::judgement::Verdict;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::next_action::{NextAction, SetSoFar, next_action};
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::rep::{Load, Rep, Side};
use cornerwork_core::units::{Duration, Length, Momentum, STANDARD_GRAVITY};
use jiff::Timestamp;

/// One station as its page and the wall show it.
#[derive(Debug)]
pub struct StationView<'a> {
    /// The station.
    pub station: &'a Station,
    /// Its exercise, or what the one who is up does here instead.
    pub exercise: &'a Exercise,
    /// The exercise of the last rep.
    pub last_exercise: &'a Exercise,
    /// Who is up, with everything about the set; absent when nobody is.
    pub up: Option<UpView<'a>>,
    /// What an entry form is drawn for now; absent when nobody is up.
    pub drawn: Option<DrawnFor>,
    /// Who follows.
    pub next: Option<&'a Athlete>,
    /// The last rep done here, whoever did it.
    pub last: Option<RepView<'a>>,
    /// What to do now.
    pub action: NextAction,
    /// The last change at this station that can be taken back, with its words.
    pub undo: Option<(OperationId, String)>,
    /// What to say, after a fault came twice.
    pub cue: Option<String>,
}

impl<'a> StationView<'a> {
    /// The number that stands large: the last rep of the set in progress, of whoever is up. Until
    /// there is one the place is empty.
    pub fn shown(&self) -> Option<&RepView<'a>> {
        self.up.as_ref()?.set.last()
    }

    /// The last result here where it is another one: to be said in a small line, with its name.
    pub fn before(&self) -> Option<&RepView<'a>> {
        let shown = self.shown().map(|view| view.rep.id);
        self.last.as_ref().filter(|last| Some(last.rep.id) != shown)
    }
}

/// The athlete who is up.
#[derive(Debug)]
pub struct UpView<'a> {
    /// Who.
    pub athlete: &'a Athlete,
    /// What hangs, or would hang by advice.
    pub load: Load,
    /// The bar it hangs on.
    pub bar: Option<&'a Bar>,
    /// The box, for depth jumps.
    pub box_height: Option<Length>,
    /// Reps of the set in progress.
    pub set: Vec<RepView<'a>>,
    /// Sets closed before.
    pub sets_closed: u32,
    /// The side whose turn it is, where sides are logged apart.
    pub side: Option<Side>,
    /// Best to beat at this load, side and box, in SI units.
    pub best: Option<f64>,
    /// Target, in SI units.
    pub target: Option<Target>,
    /// When the last effort was.
    pub last_effort: Option<Timestamp>,
    /// Why this athlete may not do this exercise now.
    pub barred: Option<String>,
    /// What the coach must answer for with a reason before this athlete does this exercise.
    pub to_answer: Option<String>,
}

/// The view of a station, or `None` when no evening was opened or it has no such station.
pub fn station<'a>(
    house: &'a House,
    ledger: &'a Ledger,
    number: u8,
    now: Timestamp,
) -> Option<StationView<'a>> {
    let gym = ledger.gym();
    let evening = gym.evening.as_ref()?;
    let station = evening.plan.station(number)?;
    let up = evening.up_at(number);
    let (id, only) = up.map_or((&station.exercise, None), |up| gym.exercise_at(station, up));
    let exercise = house.exercise(gym, id)?;
    let floor = Floor { house, gym, evening, station, exercise, only, now };
    let up = up.and_then(|id| floor.up(id));
    let last = gym.reps_at(number).next_back();
    let last_exercise = last.and_then(|rep| house.exercise(gym, &rep.entry.exercise));
    let last = last.map(|rep| floor.judged(rep));
    Some(StationView {
        station,
        exercise,
        last_exercise: last_exercise.unwrap_or(exercise),
        drawn: DrawnFor::standing(house, gym, number),
        next: evening.next_at(number).and_then(|id| gym.athlete(id)),
        action: up.as_ref().map_or_else(|| floor.idle(), |up| floor.action(up)),
        cue: up.as_ref().and_then(|up| floor.cue(up)),
        undo: last_undoable(house, ledger, number),
        up,
        last,
    })
}

/// Jumps without a load before the first load: enough for a best one, too few to tire (common
/// practice, no source).
const UNLOADED_JUMPS: u32 = 3;

struct Floor<'a> {
    house: &'a House,
    gym: &'a Gym,
    evening: &'a Evening,
    station: &'a Station,
    exercise: &'a Exercise,
    only: Option<Side>,
    now: Timestamp,
}

impl<'a> Floor<'a> {
    fn up(&self, id: &AthleteId) -> Option<UpView<'a>> {
        let athlete = self.gym.athlete(id)?;
        let number = self.station.number;
        let set: Vec<RepView<'a>> = self
            .gym
            .set_in_progress(number, &athlete.id)
            .into_iter()
            .map(|rep| self.judged(rep))
            .collect();
        let sides: Vec<Option<Side>> = set.iter().map(|view| view.rep.entry.side).collect();
        let side = self.only.or_else(|| side_to_do(self.exercise, &sides, self.station.reps));
        let load = self.gym.load_at(self.station, &athlete.id);
        let box_height = self.evening.box_at(number, &athlete.id);
        let like = LikeForLike {
            athlete: &athlete.id,
            exercise: &self.exercise.id,
            side,
            load: &load,
            box_height,
            method: self.house.method_of(self.exercise),
        };
        let best = self.gym.best(&like, None, self.exercise.measure.direction);
        let best = best.and_then(Rep::number);
        let today = self.evening.plan.date;
        let barred = self.gym.allows(&athlete.id, &self.exercise.id, side, today).err();
        Some(UpView {
            athlete,
            bar: load.bar.as_ref().and_then(|bar| self.gym.bars.get(bar)),
            best,
            target: self.target(&athlete.id),
            last_effort: self.gym.last_effort(&athlete.id),
            sets_closed: self.evening.sets_closed(number, &athlete.id),
            barred: barred.map(|refusal| refusal.to_string()),
            to_answer: self.gym.too_near_at(number, &athlete.id, self.exercise),
            load,
            box_height,
            set,
            side,
        })
    }

    fn target(&self, athlete: &AthleteId) -> Option<Target> {
        self.house.target(self.gym, athlete, self.exercise)
    }

    fn judged(&self, rep: &'a Rep) -> RepView<'a> {
        let known = self.house.exercise(self.gym, &rep.entry.exercise);
        judged::view(self.house, self.gym, known.unwrap_or(self.exercise), rep)
    }

    fn action(&self, up: &UpView<'a>) -> NextAction {
        if self.evening.meanwhile_at(self.station.number, &up.athlete.id).is_some() {
            let rep = u32::try_from(up.set.len()).unwrap_or(u32::MAX).saturating_add(1);
            return NextAction::Again { rep, of: rep.max(UNLOADED_JUMPS) };
        }
        let numbers: Vec<f64> = up
            .set
            .iter()
            .filter(|view| view.rep.entry.side == last_side(&up.set))
            .filter(|view| view.rep.entry.load.same_as(&up.load))
            .filter_map(|view| view.rep.number())
            .collect();
        let window_low = match up.target {
            Some(Target::Window { low, .. }) => Some(low),
            _ => None,
        };
        let one_side = self.exercise.sides == Sides::None || self.only.is_some();
        let sides = if one_side { 1 } else { 2 };
        next_action(&SetSoFar {
            done: u32::try_from(up.set.len()).unwrap_or(u32::MAX),
            values: &numbers,
            sets_closed: up.sets_closed,
            sets: self.station.sets,
            reps: self.station.reps * sides,
            stop: self.stop(),
            window_low,
            direction: self.exercise.measure.direction,
            rested: up.last_effort.map(|last| seconds_between(last, self.now)),
            rest: self.station.rest,
        })
    }

    /// What ends a set early: the session's own rule for the station's exercise, else that of the
    /// exercise.
    fn stop(&self) -> Option<StopRule> {
        let plan = self.gym.session_tonight();
        let block = plan.and_then(|plan| plan.block(self.station.number));
        let own = block.filter(|block| block.exercise == self.exercise.id);
        own.and_then(|block| block.stop).or(self.exercise.stop)
    }

    fn idle(&self) -> NextAction {
        let group = self.evening.group(self.station.number);
        if group.is_empty() { NextAction::Empty } else { NextAction::Rotate }
    }

    /// After the same fault twice in a set, something short to say: not the usual cue again, and
    /// with every further time another one while there are any.
    fn cue(&self, up: &UpView<'a>) -> Option<String> {
        let seen: Vec<_> = up.set.iter().flat_map(|view| &view.rep.faults).collect();
        let last = seen.last()?;
        let times = seen.iter().filter(|fault| fault.tag == last.tag).count();
        let usual = self.exercise.cues.first()?;
        let mut said = vec![usual.text.as_str()];
        for _ in 2..=times {
            said.push(self.exercise.cue_for(Some(&last.tag), &said)?.text.as_str());
        }
        (times >= 2).then(|| said.last().map(|cue| (*cue).to_owned())).flatten()
    }
}

/// Momentum of body and load at take-off, for a loaded jump of someone whose body mass is known.
pub fn momentum_of(gym: &Gym, exercise: &Exercise, rep: &Rep) -> Option<Momentum> {
    if exercise.load_model != LoadModel::SystemMass {
        return None;
    }
    let (_, body_mass) = gym.body_mass(&rep.entry.athlete)?;
    let height = Length::metres(rep.number()?) - gym.mat_reads_high_by;
    let velocity = take_off_velocity(height, STANDARD_GRAVITY);
    Some((body_mass + rep.entry.load.total) * velocity)
}

/// The side whose turn it is: the one done last until its reps are done, then the other.
pub(super) fn side_to_do(exercise: &Exercise, set: &[Option<Side>], reps: u32) -> Option<Side> {
    let (first, second) = match exercise.sides {
        Sides::None => return None,
        Sides::EachSide => (Side::Left, Side::Right),
        Sides::LeadRear => (Side::Rear, Side::Lead),
    };
    let done = |side| set.iter().filter(|of_rep| **of_rep == Some(side)).count();
    let last = set.last().copied().flatten().unwrap_or(first);
    let other = if last == first { second } else { first };
    let full = done(last) >= usize::try_from(reps).unwrap_or(usize::MAX);
    Some(if full { other } else { last })
}

fn last_side(set: &[RepView<'_>]) -> Option<Side> {
    set.last().and_then(|view| view.rep.entry.side)
}

fn seconds_between(earlier: Timestamp, later: Timestamp) -> Duration {
    Duration::seconds(later.duration_since(earlier).as_secs_f64())
}

/// The last standing change at a station, with the words for its undo button.
fn last_undoable(house: &House, ledger: &Ledger, number: u8) -> Option<(OperationId, String)> {
    let opened = ledger.gym().evening.as_ref()?.id;
    ledger
        .operations()
        .iter()
        .rev()
        .take_while(|operation| operation.id != opened)
        .filter(|operation| at_station(ledger, operation, number))
        .find(|operation| ledger.stands(operation.id))
        .map(|operation| (operation.id, undo_words(house, ledger, operation)))
}

fn at_station(ledger: &Ledger, operation: &Operation, number: u8) -> bool {
    let of_rep =
        |rep| ledger.gym().rep(rep).is_some_and(|rep: &Rep| rep.entry.station == Some(number));
    match &operation.change {
        Change::RepRecorded(entry) => entry.station == Some(number),
        Change::SetClosed { station, .. }
        | Change::TurnTaken { station, .. }
        | Change::LoadHung { station, .. }
        | Change::BoxSet { station, .. }
        | Change::DoneMeanwhile { station, .. } => *station == number,
        Change::RepCorrected { rep, .. }
        | Change::RepSetAside { rep, .. }
        | Change::FaultSeen { rep, .. } => of_rep(*rep),
        Change::RepsMoved { reps, .. } => reps.iter().any(|rep| of_rep(*rep)),
        _ => false,
    }
}

fn undo_words(house: &House, ledger: &Ledger, operation: &Operation) -> String {
    let name = |athlete: &AthleteId| ledger.gym().given_name(athlete);
    match &operation.change {
        Change::RepRecorded(entry) => {
            let measure =
                house.exercise(ledger.gym(), &entry.exercise).map(|exercise| &exercise.measure);
            match (entry.value, measure) {
                (Some(value), Some(measure)) => measure.with_unit(value),
                _ => match Verdict::without_number(entry.method) {
                    Verdict::Done => "rep without number".to_owned(),
                    seen => seen.word().to_owned(),
                },
            }
        }
        Change::SetClosed { athlete, .. } => format!("set of {} closed", name(athlete)),
        Change::TurnTaken { athlete, .. } => format!("{} called up", name(athlete)),
        Change::LoadHung { load, .. } => format!("{:.1} kg hung", load.total.in_kilograms()),
        Change::BoxSet { height, .. } => format!("box {:.0} cm", height.in_centimetres()),
        Change::DoneMeanwhile { exercise: Some(_), .. } => "jump without a load".to_owned(),
        Change::RepCorrected { .. } => "correction".to_owned(),
        Change::RepSetAside { .. } => "rep set aside".to_owned(),
        Change::RepsMoved { athlete, .. } => format!("moved to {}", name(athlete)),
        Change::FaultSeen { fault, .. } => fault.tag.as_str().replace('-', " "),
        _ => "last change".to_owned(),
    }
}
