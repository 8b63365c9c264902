//! The load of the next loaded jump: one more to test, or the one to train with.

use super::{Advice, hanging};
use crate::flow::house::House;
use crate::flow::profiles::{Momentum, NextAsked, PROFILE_DAYS};
use cornerwork_core::exercise::Exercise;
use cornerwork_core::kit::{Bar, Loadable};
use cornerwork_core::prescription::next_load::{
    NextLoad, NextLoadRules, StopCause, TestEnd, next_load,
};
use cornerwork_core::prescription::ramp::Ramp;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::units::Mass;

pub(super) fn advice(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    exercise: &Exercise,
    loads: &[(Bar, Loadable)],
) -> Advice {
    let momentum = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS).ok();
    let momentum = momentum.as_deref();
    let ramp = gym.ramp(&athlete.id, exercise, house.clock().now());
    let (load, sentence, working) = match next_jump_load(house, momentum, loads, &ramp) {
        NextLoad::Test(test) => (Some(test.load), test.reason, test.working),
        NextLoad::Stop(end) => (end.use_load, at_the_rack(&end, momentum), end.working),
    };
    let notes = momentum.map_or_else(Vec::new, |momentum| momentum.profile.notes.clone());
    let advice = Advice { working: Some(working), notes, ..Advice::sentence(sentence) };
    hanging(advice, load, loads)
}

/// The end of a test in words that cannot be taken for the end of the set.
fn at_the_rack(end: &TestEnd, momentum: Option<&Momentum>) -> String {
    let known = matches!(end.cause, StopCause::BandIsEnough | StopCause::EnoughJumps);
    let band = momentum.and_then(Momentum::band);
    match (end.use_load, band) {
        (Some(load), Some(band)) if known => format!(
            "Use {:.1} kg: {band} are all within 1 % of the peak, no test needed.",
            load.in_kilograms()
        ),
        _ => end.reason.clone(),
    }
}

/// The next load of a test, or its end. The limit on jumps is one of a single day: what was jumped
/// on earlier days tires nobody tonight.
pub fn next_jump_load(
    house: &House,
    momentum: Option<&Momentum>,
    loads: &[(Bar, Loadable)],
    ramp: &Ramp,
) -> NextLoad {
    let loads: Vec<Mass> = loads.iter().map(|(_, load)| load.total()).collect();
    let rules = NextLoadRules::SESSION;
    let earlier = momentum.map_or(0, |momentum| momentum.set.before(house.clock().today()));
    let rules = NextLoadRules { most_jumps: rules.most_jumps + earlier, ..rules };
    match momentum {
        Some(momentum) => {
            momentum.next(NextAsked { loads, heaviest_next: ramp.heaviest_next(), rules })
        }
        None => next_load(None, &loads, ramp.heaviest_next(), &rules),
    }
}
