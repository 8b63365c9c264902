//! The load or the box for what comes next, with its reason and its working.

mod depth_box;
mod momentum;
mod velocity;

pub use depth_box::advice as box_for;
pub use momentum::{JumpLoad, jump_load, of_last_day};
pub use velocity::{after_reps, reps_of_last_load};

use crate::flow::house::House;
use crate::flow::program::{self, resolve};
use cornerwork_core::exercise::LoadModel;
use cornerwork_core::kit::{Bar, Loadable, loadable};
use cornerwork_core::note::Note;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::evening::Station;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::DoThis;
use cornerwork_core::session::rep::Load;
use cornerwork_core::units::{Length, Mass};
use cornerwork_core::words;
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

/// What to hang or set next for an athlete at a station; `None` where nothing is loaded. At a
/// station of a planned session it is what the session says.
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
    if let Some(stays) = within_a_set(gym, station.number, &athlete.id) {
        return Some(Advice { hang: Some(stays.clone()), ..Advice::sentence(stays_words(&stays)) });
    }
    let loads = loads_at(house, gym, station);
    match exercise.load_model {
        LoadModel::SystemMass => {
            let jump = jump_load(house, gym, &athlete.id, exercise, &loads);
            let advice = Advice {
                working: Some(jump.working),
                notes: jump.notes,
                ..Advice::sentence(jump.sentence)
            };
            Some(hanging(advice, jump.hang, &loads))
        }
        LoadModel::BarPlusPlates | LoadModel::LandmineLever => {
            velocity::advice(house, gym, station.number, athlete, exercise, &loads)
        }
        _ if exercise.steps_off_a_box() => {
            Some(depth_box::advice(house, gym, athlete, exercise, None))
        }
        _ => None,
    }
}

/// What the plan of tonight's session says for an athlete at a station.
fn as_planned(house: &House, gym: &Gym, station: &Station, athlete: &Athlete) -> Option<Advice> {
    let plan = gym.session_tonight()?;
    let planned = resolve::one(house, gym, plan, plan.block(station.number)?, athlete)?;
    let on_the_bar = on_the_bar(gym, station.number, &athlete.id);
    let sentence = match &planned.with {
        DoThis::Hang { load, .. } if on_the_bar.as_ref().is_none_or(|bar| !bar.same_as(load)) => {
            format!("Planned: {}. {}", words::kilograms(load.total), planned.reason)
        }
        _ => planned.reason,
    };
    let (working, notes) = (planned.working, planned.notes);
    let advice = Advice { working, notes, ..Advice::sentence(sentence) };
    Some(match planned.with {
        DoThis::Hang { load, words, .. } => Advice { hang: Some(load), plates: words, ..advice },
        // Without a number to go by what hangs is the coach's choice.
        DoThis::NotYet { start: Some(load), words } => match on_the_bar {
            Some(_) => advice,
            None => Advice { hang: Some(load), plates: words, ..advice },
        },
        DoThis::SetBox { height } => Advice { box_height: Some(height), ..advice },
        _ => advice,
    })
}

/// What hangs for an athlete at a station of the open evening, or was used there last.
pub fn on_the_bar(gym: &Gym, station: u8, athlete: &AthleteId) -> Option<Load> {
    let evening = gym.open_evening()?;
    let hung = evening.hung(station, athlete).cloned();
    hung.or_else(|| {
        let mut own = gym.reps_at(station).rev().filter(|rep| rep.entry.athlete == *athlete);
        own.next().map(|rep| rep.entry.load.clone())
    })
    .filter(|load| load.bar.is_some())
}

/// The load of the set that an athlete is in: it stays until the set is over.
pub fn within_a_set(gym: &Gym, station: u8, athlete: &AthleteId) -> Option<Load> {
    gym.open_evening()?;
    if gym.set_in_progress(station, athlete).is_empty() {
        return None;
    }
    on_the_bar(gym, station, athlete)
}

/// What is said of a load that stays for a set.
pub fn stays_words(load: &Load) -> String {
    format!("Keep {} for this set.", words::kilograms(load.total))
}

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
