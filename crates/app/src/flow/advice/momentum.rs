//! The load of the next loaded jump: one more to test, the one to train with, or the one that
//! hangs already. Every page and paper has it from here.

use crate::flow::house::House;
use crate::flow::profiles::{Momentum, NextAsked, PROFILE_DAYS};
use cornerwork_core::exercise::Exercise;
use cornerwork_core::kit::{Bar, Loadable};
use cornerwork_core::note::Note;
use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, TestEnd, next_load};
use cornerwork_core::prescription::ramp::{OnTheWay, Ramp};
use cornerwork_core::profile::load_momentum::LoadBand;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Load;
use cornerwork_core::units::{Mass, Quantity};
use cornerwork_core::words;
use cornerwork_core::working::Working;

/// What to hang for the next loaded jump.
#[derive(Clone, Debug)]
pub struct JumpLoad {
    /// The load; zero is without a bar, `None` where none can be advised.
    pub hang: Option<Mass>,
    /// What hangs already or was used last, where it may stay.
    pub keep: Option<Load>,
    /// Where it leads, where that is more than may be hung now.
    pub goal: Option<Mass>,
    /// Whether there is something left to test with it.
    pub is_test: bool,
    /// One sentence: what to do and the reason.
    pub sentence: String,
    /// How it came about.
    pub working: Working,
    /// Under which caveats.
    pub notes: Vec<Note>,
}

/// The load of an athlete's next loaded jump among those that can be hung.
pub fn jump_load(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    loads: &[(Bar, Loadable)],
) -> JumpLoad {
    let momentum = house.profiles.momentum(house, gym, athlete, exercise, PROFILE_DAYS).ok();
    let momentum = momentum.as_deref();
    let ramp = gym.ramp(athlete, exercise, house.clock().now());
    let masses: Vec<Mass> = loads.iter().map(|(_, load)| load.total()).collect();
    let asked = Asked { house, gym, athlete, exercise, momentum, ramp };
    let notes = momentum.map_or_else(Vec::new, |momentum| momentum.profile.notes.clone());
    let load = match asked.begins_again(&masses) {
        Some(again) => again,
        None => match asked.next(masses) {
            NextLoad::Test(test) => {
                let goal = OnTheWay { now: test.load, goal: test.goal }.goal_in_words();
                let goal = goal.map_or_else(String::new, |goal| words::capitalised(&goal) + ". ");
                JumpLoad {
                    hang: Some(test.load),
                    keep: None,
                    goal: test.goal,
                    is_test: true,
                    sentence: format!("{goal}{}", test.reason),
                    working: test.working,
                    notes: Vec::new(),
                }
            }
            NextLoad::Stop(end) => asked.settled(end),
        },
    };
    let mut working = load.working.clone();
    working.inputs.extend(asked.ramp.working().inputs);
    working.steps.extend(asked.ramp.working().steps);
    JumpLoad { notes, working, ..load }
}

struct Asked<'a> {
    house: &'a House,
    gym: &'a Gym,
    athlete: &'a AthleteId,
    exercise: &'a Exercise,
    momentum: Option<&'a Momentum>,
    ramp: Ramp,
}

impl Asked<'_> {
    /// The next load of a test, or its end. The limit on jumps is one of a single day: what was
    /// jumped on earlier days tires nobody tonight.
    fn next(&self, loads: Vec<Mass>) -> NextLoad {
        let today = self.house.clock().today();
        let earlier = self.momentum.map_or(0, |momentum| momentum.set.before(today));
        let rules = NextLoadRules::SESSION;
        let rules = NextLoadRules { most_jumps: rules.most_jumps + earlier, ..rules };
        let heaviest_next = self.ramp.heaviest_next();
        match self.momentum {
            Some(momentum) => momentum.next(NextAsked { loads, heaviest_next, rules }),
            None => next_load(None, &loads, heaviest_next, &rules),
        }
    }

    /// After weeks without a loaded jump the way up is begun again.
    fn begins_again(&self, loads: &[Mass]) -> Option<JumpLoad> {
        let profile = &self.momentum?.profile.value;
        let was_loaded = profile.tested_range().high > Mass::ZERO;
        if !was_loaded || self.ramp.heaviest_done.is_some() {
            return None;
        }
        let wanted = self.best_tested(loads)?;
        let way = self.ramp.towards(wanted, loads.iter().copied())?;
        Some(JumpLoad {
            hang: Some(way.now),
            keep: None,
            goal: way.goal,
            is_test: false,
            sentence: format!("No loaded jump in four weeks: {}.", way.in_words()),
            working: self.ramp.working(),
            notes: Vec::new(),
        })
    }

    /// Of the loads that can be hung and are no heavier than those jumped with, the one expected to
    /// lose least, whether or not it may be hung now.
    fn best_tested(&self, loads: &[Mass]) -> Option<Mass> {
        let profile = &self.momentum?.profile.value;
        let tested = profile.tested_range().high;
        profile.least_loss_among(loads.iter().copied().filter(|load| *load <= tested))
    }

    /// Enough is known: what hangs stays while it costs next to nothing.
    fn settled(&self, end: TestEnd) -> JumpLoad {
        let band = self.momentum.and_then(|momentum| momentum.to_use().band());
        let keep = band.and_then(|band| self.may_stay(band));
        let sentence = match (&keep, end.use_load, band) {
            (Some(load), _, Some(band)) => {
                format!("Keep {}: {band} are as good.", words::kilograms(load.total))
            }
            (None, Some(load), Some(band)) if load > Mass::ZERO && band.contains(load) => {
                format!("Use {}: {band} are as good.", words::kilograms(load))
            }
            _ => end.reason,
        };
        JumpLoad {
            hang: keep.as_ref().map(|load| load.total).or(end.use_load),
            keep,
            goal: None,
            is_test: false,
            sentence,
            working: end.working,
            notes: Vec::new(),
        }
    }

    fn may_stay(&self, band: LoadBand) -> Option<Load> {
        let stays = |load: &Load| {
            load.bar.is_some() && band.contains(load.total) && self.ramp.allows(load.total)
        };
        in_use(self.house, self.gym, self.athlete, self.exercise, self.momentum?).filter(stays)
    }
}

/// The load in use: what hangs for an athlete tonight or was jumped with last tonight, else that
/// of the last day with loaded jumps.
fn in_use(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    momentum: &Momentum,
) -> Option<Load> {
    tonight(gym, athlete, exercise).or_else(|| of_last_day(house, gym, athlete, exercise, momentum))
}

/// What hangs for an athlete at a station of the open evening where this is done, or was used
/// there last.
fn tonight(gym: &Gym, athlete: &AthleteId, exercise: &Exercise) -> Option<Load> {
    let evening = gym.open_evening()?;
    let here = evening
        .plan
        .stations
        .iter()
        .filter(|station| *gym.exercise_at(station, athlete).0 == exercise.id);
    here.filter_map(|station| super::on_the_bar(gym, station.number, athlete)).next()
}

/// Of the loads jumped with on the last day the one nearest the best: a ladder passes it by.
pub fn of_last_day(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    momentum: &Momentum,
) -> Option<Load> {
    let best = momentum.profile.value.load_of_least_loss();
    let off = |load: &Load| (load.total - best).abs().si();
    gym.reps_of(athlete)
        .rev()
        .filter(|rep| rep.entry.exercise == exercise.id && rep.counts())
        .take_while(|rep| house.clock().date_of(rep.entry.at) == momentum.set.to)
        .map(|rep| rep.entry.load.clone())
        .min_by(|one, other| off(one).total_cmp(&off(other)))
}
