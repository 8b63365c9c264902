//! Which test is worth doing now: up to three, the likeliest to turn a decision first.

use crate::flow::advice;
use crate::flow::house::House;
use crate::flow::jump_days;
use crate::flow::plan::{self, LOADED_JUMP, UNLOADED_JUMP};
use crate::flow::profiles::{Momentum, PROFILE_DAYS};
use crate::flow::progress::{self, Methods, SMALLEST_WORTHWHILE_CM};
use crate::flow::squad_jumps::SquadJumps;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::prescription::next_test::{Pending, WorthDoing, worth_doing};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use jiff::civil::Date;

/// Minutes that a coach can spare before a session (common practice, no source).
pub const MINUTES: f64 = 12.0;
/// Two loads, two jumps each, and the bar changed once.
const LOADED_MINUTES: f64 = 5.0;
/// Three jumps on the mat.
const JUMP_MINUTES: f64 = 2.0;
/// How far the load of most momentum wanders in a week, as a share of body mass (ours: a camp
/// changes the fall with load little).
const PEAK_WANDER: f64 = 0.02;
/// How well two loads with two jumps each tell the peak, as a share of body mass (ours, from
/// simulated load tests of this program).
const PEAK_NOISE: f64 = 0.12;
/// How far a jump wanders in a week, as a share of itself (ours: a gain of 2 cm in five weeks).
const JUMP_WANDER: f64 = 0.01;

/// A test with whose it is.
#[derive(Debug)]
pub struct NextTest {
    /// Who should be tested.
    pub athlete: AthleteId,
    /// Their name.
    pub name: String,
    /// Which test, minutes, how likely it turns which decision.
    pub worth: WorthDoing,
}

/// Up to three tests that fit the minutes.
pub fn list(house: &House, gym: &Gym, squad: &SquadJumps) -> Vec<NextTest> {
    let today = house.clock().today();
    let pending = gym.athletes.values().flat_map(|athlete| {
        let loaded = loaded_jump(house, gym, athlete, today);
        let jump = unloaded_jump(house, gym, athlete, squad, today);
        [loaded, jump].into_iter().flatten().map(move |test| (athlete, test))
    });
    let named = |(athlete, worth): (&Athlete, WorthDoing)| NextTest {
        athlete: athlete.id.clone(),
        name: athlete.name.clone(),
        worth,
    };
    worth_doing(pending, MINUTES).into_iter().map(named).collect()
}

fn may(house: &House, gym: &Gym, athlete: &Athlete, exercise: &str, today: Date) -> bool {
    plan::exercise(house, gym, exercise)
        .is_ok_and(|exercise| gym.allows(&athlete.id, &exercise.id, None, today).is_ok())
}

fn weeks(from: Date, today: Date) -> f64 {
    f64::from((today - from).get_days()) / 7.0
}

/// Whether the load in use still lies in the flat top.
fn loaded_jump(house: &House, gym: &Gym, athlete: &Athlete, today: Date) -> Option<Pending> {
    if !may(house, gym, athlete, LOADED_JUMP, today) {
        return None;
    }
    let exercise = plan::exercise(house, gym, LOADED_JUMP).ok()?;
    let momentum = house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS).ok()?;
    let (used_kg, half_kg) =
        (load_in_use_kg(house, gym, athlete, exercise, &momentum)?, half_width_kg(&momentum)?);
    let mass_kg = momentum.set.body_mass.in_kilograms();
    let profile = &momentum.profile.value;
    let peak_kg = profile.peak().load.value.in_kilograms();
    let away = if peak_kg >= used_kg { half_kg } else { -half_kg };
    Some(Pending {
        test: "loaded jump, two loads".to_owned(),
        decision: format!("to stay with {used_kg:.1} kg"),
        value: peak_kg,
        doubt: profile.peak_load_sd().in_kilograms(),
        weeks_old: weeks(momentum.set.to, today),
        wander_a_week: PEAK_WANDER * mass_kg,
        threshold: used_kg + away,
        test_noise: PEAK_NOISE * mass_kg,
        minutes: LOADED_MINUTES,
    })
}

fn load_in_use_kg(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    exercise: &Exercise,
    momentum: &Momentum,
) -> Option<f64> {
    let load = advice::of_last_day(house, gym, &athlete.id, exercise, momentum)?;
    Some(load.total.in_kilograms())
}

fn half_width_kg(momentum: &Momentum) -> Option<f64> {
    let band = momentum.to_use().band()?;
    Some((band.to - band.from).in_kilograms() / 2.0)
}

/// Whether the block did something, for who was not tested today.
fn unloaded_jump(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    squad: &SquadJumps,
    today: Date,
) -> Option<Pending> {
    if !may(house, gym, athlete, UNLOADED_JUMP, today) {
        return None;
    }
    let days = jump_days::of(house, gym, &athlete.id);
    let last = days.last().filter(|day| day.date < today)?;
    let change =
        progress::change(house, gym, &athlete.id, squad, Methods::KeptApart).ok()?.value.change;
    let turns_at =
        if change.value >= 0.0 { SMALLEST_WORTHWHILE_CM } else { -SMALLEST_WORTHWHILE_CM };
    let height_cm = last.mean_cm();
    Some(Pending {
        test: "three jumps".to_owned(),
        decision: format!("the jump counts as {}", if change.value >= 0.0 { "up" } else { "down" }),
        value: change.value,
        doubt: change.interval.usual_spread(),
        weeks_old: weeks(last.date, today),
        wander_a_week: JUMP_WANDER * height_cm,
        threshold: turns_at,
        test_noise: squad.noise(gym, &athlete.id, last.method).share() * height_cm,
        minutes: JUMP_MINUTES,
    })
}
