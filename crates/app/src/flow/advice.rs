//! The load or the box for what comes next, with its reason and its working.

use crate::flow::house::House;
use crate::flow::profiles::{self, PROFILE_DAYS};
use cornerwork_core::exercise::{Exercise, LoadModel};
use cornerwork_core::kit::{Bar, Loadable, loadable};
use cornerwork_core::note::Note;
use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, next_load};
use cornerwork_core::prescription::target_velocity::{
    TargetVelocityAnswer, VelocityTarget, load_for_target, working_of_target,
};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::evening::{Station, Target};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Load, Side};
use cornerwork_core::units::{Length, Mass, Velocity};
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

/// Everything that can be hung at a station, lightest first, each load once.
pub fn loads_at(gym: &Gym, station: &Station) -> Vec<(Bar, Loadable)> {
    let mut loads: Vec<(Bar, Loadable)> = station
        .bars
        .iter()
        .filter_map(|bar| gym.bars.get(bar))
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
    let exercise = house.exercises.get(&station.exercise)?;
    let loads = loads_at(gym, station);
    match exercise.load_model {
        LoadModel::SystemMass => Some(for_momentum(house, gym, athlete, exercise, &loads)),
        LoadModel::BarPlusPlates | LoadModel::LandmineLever => {
            for_velocity(house, gym, athlete, exercise, &loads)
        }
        _ => None,
    }
}

fn for_momentum(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    exercise: &Exercise,
    loads: &[(Bar, Loadable)],
) -> Advice {
    let masses: Vec<Mass> = loads.iter().map(|(_, load)| load.total()).collect();
    let momentum = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS).ok();
    let profile = momentum.as_ref().map(|momentum| &momentum.profile.value);
    let rules = NextLoadRules::default();
    let (load, sentence, working) = match next_load(profile, &masses, &rules) {
        NextLoad::Test(test) => (Some(test.load), test.reason, test.working),
        NextLoad::Stop(end) => (end.use_load, end.reason, end.working),
    };
    let notes = momentum.map_or_else(Vec::new, |momentum| momentum.profile.notes.clone());
    let advice = Advice { working: Some(working), notes, ..Advice::sentence(sentence) };
    hanging(advice, load, loads)
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

fn for_velocity(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    exercise: &Exercise,
    loads: &[(Bar, Loadable)],
) -> Option<Advice> {
    let Some(Target::Window { low, high }) = house.target(gym, &athlete.id, exercise) else {
        return None;
    };
    let target = VelocityTarget::window(
        Velocity::metres_per_second(low),
        Velocity::metres_per_second(high),
    )?;
    let side = stronger_side(gym, athlete, exercise);
    let profile = match profiles::velocity(house, gym, &athlete.id, exercise, side, PROFILE_DAYS) {
        Ok(profile) => profile,
        Err(error) => return Some(Advice::sentence(error.to_string())),
    };
    let heaviest = loads.last()?.1.total();
    let each: Vec<Loadable> = loads.iter().map(|(_, load)| load.clone()).collect();
    let answer = match load_for_target(&profile.value, target, &each, heaviest) {
        Ok(answer) => answer,
        Err(error) => return Some(Advice::sentence(error.to_string())),
    };
    let working = working_of_target(&profile.value, target, &answer.value);
    let (sentence, load) = velocity_sentence(&answer.value, exercise);
    let notes = profile.notes.into_iter().chain(answer.notes).collect();
    let advice = Advice { working: Some(working), notes, ..Advice::sentence(sentence) };
    Some(hanging(advice, load, loads))
}

fn velocity_sentence(answer: &TargetVelocityAnswer, exercise: &Exercise) -> (String, Option<Mass>) {
    let expected = |velocity: Velocity| exercise.measure.with_unit(velocity.in_metres_per_second());
    match answer {
        TargetVelocityAnswer::Hang(target) => {
            let load = target.hang.load.total();
            let sentence = format!(
                "{:.1} kg should move at {}.",
                load.in_kilograms(),
                expected(target.hang.expected.value)
            );
            (sentence, Some(load))
        }
        TargetVelocityAnswer::LighterImplementOrLowerWindow(reached) => {
            let sentence = format!(
                "Even {:.1} kg moves at only {}: take a lighter implement or lower the window.",
                reached.load.total().in_kilograms(),
                expected(reached.expected.value)
            );
            (sentence, None)
        }
        TargetVelocityAnswer::HeavierKitOrHigherWindow(reached) => {
            let sentence = format!(
                "Even {:.1} kg still moves at {}: more plates or a faster window.",
                reached.load.total().in_kilograms(),
                expected(reached.expected.value)
            );
            (sentence, None)
        }
    }
}

/// The side with more reps on record, the first to be loaded.
fn stronger_side(gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Option<Side> {
    gym.reps_of(&athlete.id)
        .rev()
        .find(|rep| rep.entry.exercise == exercise.id && rep.counts())
        .and_then(|rep| rep.entry.side)
}
