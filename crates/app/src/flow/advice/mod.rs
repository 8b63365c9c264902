//! The load or the box for what comes next, with its reason and its working.

mod depth_box;
mod momentum;
mod velocity;

pub use depth_box::{advice as box_for, box_cap, cap_words};
pub use momentum::next_jump_load;

use crate::flow::house::House;
use crate::flow::program::{self, resolve};
use cornerwork_core::exercise::{LoadModel, MeasureKind};
use cornerwork_core::kit::{Bar, Loadable, loadable};
use cornerwork_core::note::Note;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::evening::Station;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::DoThis;
use cornerwork_core::session::rep::{Load, Rep};
use cornerwork_core::units::{Length, Mass};
use cornerwork_core::working::Working;

/// What to hang or set, and why.
#[derive(Debug)]
pub struct Advice {
    /// One sentence: what to do and the reason.
    pub sentence: String,
    /// What to hang, where it can be hung.
    pub hang: Option<Load>,
    /// The same in words: "15 + 5 a side".
    pub plates: String,
    /// Which box to set.
    pub box_height: Option<Length>,
    /// How it came about.
    pub working: Option<Working>,
    /// Under which caveats.
    pub notes: Vec<Note>,
}

impl Advice {
    fn sentence(sentence: impl Into<String>) -> Self {
        Self {
            sentence: sentence.into(),
            hang: None,
            plates: String::new(),
            box_height: None,
            working: None,
            notes: Vec::new(),
        }
    }
}

/// Everything that can be hung at a station, lightest first, each load once: on the bars that lay
/// there when the evening began, else on those of its kind that came since.
pub fn loads_at(house: &House, gym: &Gym, station: &Station) -> Vec<(Bar, Loadable)> {
    let lay_there: Vec<&Bar> = station.bars.iter().filter_map(|bar| gym.bars.get(bar)).collect();
    let bars = if lay_there.is_empty() {
        let exercise = house.exercise(gym, &station.exercise);
        program::bars(gym, exercise.and_then(program::bar_kind))
    } else {
        lay_there
    };
    let mut loads: Vec<(Bar, Loadable)> = bars
        .into_iter()
        .flat_map(|bar| loadable(bar, &gym.plates).into_iter().map(|load| (bar.clone(), load)))
        .collect();
    by_load(&mut loads);
    loads
}

/// Steps of a load as coaches make them; finer ones only fill lists.
const STEP: Mass = Mass::kilograms(2.5);

/// Lightest first, and of every step of 2.5 kg above the lightest bar the load with the fewest
/// plates.
pub fn by_load(loads: &mut Vec<(Bar, Loadable)>) {
    let kilograms = |load: &Loadable| load.total().in_kilograms();
    loads.sort_by(|one, other| kilograms(&one.1).total_cmp(&kilograms(&other.1)));
    let Some(lightest) = loads.first().map(|(_, load)| load.total()) else { return };
    let step = |load: &Loadable| ((load.total() - lightest) / STEP).round();
    let off_step =
        |load: &Loadable| (load.total() - lightest - STEP * step(load)).abs().in_kilograms();
    loads.sort_by(|(_, one), (_, other)| {
        let plates = |load: &Loadable| load.per_side.len();
        step(one)
            .total_cmp(&step(other))
            .then(off_step(one).total_cmp(&off_step(other)))
            .then(plates(one).cmp(&plates(other)))
    });
    loads.dedup_by(|(_, one), (_, other)| step(one) == step(other));
}

/// What to hang or set next for an athlete at a station; `None` where nothing is loaded.
pub fn at_station(
    house: &House,
    gym: &Gym,
    station: &Station,
    athlete: &Athlete,
) -> Option<Advice> {
    let (id, _) = gym.planned_at(station, &athlete.id);
    let exercise = house.exercise(gym, id)?;
    if let Some(planned) = as_planned(house, gym, station, athlete) {
        return Some(planned);
    }
    let loads = loads_at(house, gym, station);
    match exercise.load_model {
        LoadModel::SystemMass => Some(momentum::advice(house, gym, athlete, exercise, &loads)),
        LoadModel::BarPlusPlates | LoadModel::LandmineLever => {
            velocity::advice(house, gym, station, athlete, exercise, &loads)
        }
        _ if exercise.measure_of(MeasureKind::BoxHeight).is_some() => {
            Some(depth_box::advice(house, gym, athlete, exercise, None))
        }
        _ => None,
    }
}

/// At a station of a planned session until the athlete has done what the plan says: what it says.
/// A warm-up rep with less does not open the way to another load.
fn as_planned(house: &House, gym: &Gym, station: &Station, athlete: &Athlete) -> Option<Advice> {
    let plan = gym.session_tonight()?;
    let planned = resolve::one(house, gym, plan, plan.block(station.number)?, athlete)?;
    let mut own = gym.reps_at(station.number).filter(|rep| rep.entry.athlete == athlete.id);
    if own.any(|rep| has_done(&planned.with, rep)) {
        return None;
    }
    let sentence = match &planned.with {
        DoThis::Hang { load, .. } => {
            format!("Planned: {:.1} kg. {}", load.total.in_kilograms(), planned.reason)
        }
        _ => planned.reason.clone(),
    };
    let advice = Advice {
        working: planned.working.clone(),
        notes: planned.notes.clone(),
        ..Advice::sentence(sentence)
    };
    Some(match planned.with {
        DoThis::Hang { load, words, .. } => Advice { hang: Some(load), plates: words, ..advice },
        DoThis::NotYet { start: Some(load), words } => {
            Advice { hang: Some(load), plates: words, ..advice }
        }
        DoThis::SetBox { height } => Advice { box_height: Some(height), ..advice },
        _ => advice,
    })
}

/// Whether a rep had what was planned on the bar or more, or the planned box or a higher one; any
/// rep will do where nothing is planned to be hung yet.
fn has_done(planned: &DoThis, rep: &Rep) -> bool {
    match planned {
        DoThis::Hang { load, .. } => rep.entry.load.total >= load.total - SAME_LOAD,
        DoThis::SetBox { height } => {
            rep.entry.box_height.is_none_or(|stood| stood >= *height - SAME_BOX)
        }
        _ => true,
    }
}

/// Loads and boxes that are the same on the floor.
const SAME_LOAD: Mass = Mass::kilograms(0.5);
const SAME_BOX: Length = Length::metres(0.005);

fn hanging(advice: Advice, load: Option<Mass>, loads: &[(Bar, Loadable)]) -> Advice {
    let found = loads.iter().find(|(_, one)| Some(one.total()) == load);
    match found {
        Some((bar, load)) => Advice {
            hang: Some(Load::hung(bar, load)),
            plates: format!("{}: {}", bar.name, load.in_words()),
            ..advice
        },
        None => advice,
    }
}
