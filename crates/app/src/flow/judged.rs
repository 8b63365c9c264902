//! A rep judged against what stood when it was done: the target, the best like it, and for a load
//! first jumped that day the athlete's own curve of the days before.

use crate::flow::house::House;
use crate::flow::profiles::{Momentum, PROFILE_DAYS};
use cornerwork_core::exercise::{Exercise, LoadModel, MeasureKind};
use cornerwork_core::profile::load_momentum::HeightMethod;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::contact::{ContactJudgement, judge_contact};
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::judgement::{
    Comparable, Expected, Judgement, Standard, Verdict, judge,
};
use cornerwork_core::session::rep::{Method, Rep};
use cornerwork_core::units::{Mass, Quantity};
use jiff::ToSpan;
use std::sync::Arc;

/// One rep with its judgement.
#[derive(Debug)]
pub struct RepView<'a> {
    /// The rep.
    pub rep: &'a Rep,
    /// Who did it.
    pub athlete: Option<&'a Athlete>,
    /// The judgement.
    pub judgement: Judgement,
    /// The best comparable number before it, in SI units: of its own side, load and box.
    pub best: Option<f64>,
    /// From when such numbers are.
    pub comparable: Comparable,
    /// The time on the ground, judged, where one was typed.
    pub contact: Option<ContactJudgement>,
}

/// A rep as pages show it.
pub fn view<'a>(house: &House, gym: &'a Gym, exercise: &Exercise, rep: &'a Rep) -> RepView<'a> {
    let best = gym.best(&LikeForLike::of(&rep.entry), Some(rep.id), exercise.measure.direction);
    let best = best.and_then(Rep::number);
    let comparable = comparable(house, gym, rep);
    RepView {
        rep,
        athlete: gym.athlete(&rep.entry.athlete),
        judgement: judgement(house, gym, exercise, rep, best, comparable),
        best,
        comparable,
        contact: contact(gym, exercise, rep),
    }
}

fn judgement(
    house: &House,
    gym: &Gym,
    exercise: &Exercise,
    rep: &Rep,
    best: Option<f64>,
    comparable: Comparable,
) -> Judgement {
    let plain = |verdict| Judgement { verdict, against: None, difference: None };
    let Some(value) = rep.entry.value else {
        return plain(Verdict::without_number(rep.entry.method));
    };
    if !rep.counts() {
        return plain(Verdict::NotCounted);
    }
    let direction = exercise.measure.direction;
    let target = house.target(gym, &rep.entry.athlete, exercise);
    let standard = Standard { target, best, comparable, curve: None, direction };
    let judged = judge(value, &standard);
    // A curve costs a fit: it is asked only where it may have a say.
    if comparable == Comparable::EarlierDay && judged.verdict != Verdict::Best {
        return judged;
    }
    judge(value, &Standard { curve: on_curve(house, gym, exercise, rep), ..standard })
}

/// From when the numbers are that compare with a rep.
fn comparable(house: &House, gym: &Gym, rep: &Rep) -> Comparable {
    let like = LikeForLike::of(&rep.entry);
    let today = house.clock().date_of(rep.entry.at);
    let before = gym
        .reps_of(&rep.entry.athlete)
        .take_while(|one| one.id != rep.id)
        .filter(|one| one.counts() && like.holds(&one.entry));
    let mut earlier_set = false;
    for one in before {
        if house.clock().date_of(one.entry.at) < today {
            return Comparable::EarlierDay;
        }
        earlier_set |= one.set != rep.set;
    }
    if earlier_set { Comparable::EarlierSet } else { Comparable::No }
}

/// What the own curve of the days before expects of a loaded jump, as it is read here; `None`
/// before there is one with a load of the same way of measuring.
fn on_curve(house: &House, gym: &Gym, exercise: &Exercise, rep: &Rep) -> Option<Expected> {
    if exercise.load_model != LoadModel::SystemMass {
        return None;
    }
    let momentum = curve_before(house, gym, exercise, rep)?;
    let set = &momentum.set;
    let same_method = match rep.entry.method {
        Method::FlightTime => set.method == HeightMethod::FlightTime,
        Method::TakeOffVelocity => set.method == HeightMethod::Impulse,
        _ => false,
    };
    if !same_method || set.jumps.iter().all(|jump| jump.load <= Mass::ZERO) {
        return None;
    }
    let read_high = match set.method {
        HeightMethod::FlightTime => set.mat_offset.si(),
        _ => 0.0,
    };
    let height = momentum.profile.value.predicted_height(rep.entry.load.total);
    let height = height.map(|height| height.si() + read_high);
    Some(Expected { value: height.value, band: height.interval })
}

fn curve_before(house: &House, gym: &Gym, exercise: &Exercise, rep: &Rep) -> Option<Arc<Momentum>> {
    let day = house.clock().date_of(rep.entry.at);
    let until = day.checked_sub(1.day()).ok()?;
    let athlete = &rep.entry.athlete;
    house.profiles.momentum_until(house, gym, athlete, exercise, until, PROFILE_DAYS).ok()
}

fn contact(gym: &Gym, exercise: &Exercise, rep: &Rep) -> Option<ContactJudgement> {
    let seconds = rep.entry.contact_time?.in_seconds();
    let window = exercise.target_of(MeasureKind::ContactTime).map(|target| target.window_si);
    let like = LikeForLike::of(&rep.entry);
    let before: Vec<f64> = gym.contacts(&like, Some(rep.id));
    Some(judge_contact(seconds, window, &before))
}
