//! One athlete on one day: the truth, the form of the day, and chance make the numbers that a mat
//! or a sensor shows.

use super::calendar::TONIGHT;
use super::kit;
use super::names::{self, exercise};
use super::people::Person;
use super::truth::height_for_velocity;
use cornerwork_core::session::rep::{Load, Method, RepEntry, Side};
use cornerwork_core::units::{Duration, Length};
use jiff::Timestamp;
use jiff::civil::Date;
use rand::RngExt;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

/// What the mat shows above the height from take-off velocity, in metres.
pub(super) const MAT_OFFSET_M: f64 = 0.017;
/// Flight-time height of a jump landed with bent legs, against what it was.
const BENT_LANDING: f64 = 1.12;
/// Height of a squat jump against that of a countermovement jump (invented).
const SQUAT_TO_COUNTERMOVEMENT: f64 = 0.94;
/// First throws of a life.
const FIRST_THROWS: f64 = 0.95;
/// First isometric pull of a life.
const FIRST_PULL: f64 = 0.94;

/// Share of throws and jerks the tether missed: done, but without a number.
pub(super) const MISSED_BY_TETHER: f64 = 0.02;
/// Rear-hand best of A04 with 5 kg of plates before tonight.
pub(super) const BEST_TO_BEAT_M_S: f64 = 3.15;

/// Spread of the numbers, as standard deviations relative to the truth.
pub(super) mod spread {
    pub(crate) const JUMP_OF_DAY: f64 = 0.022;
    pub(crate) const JUMP: f64 = 0.020;
    pub(crate) const LOADED_JUMP: f64 = 0.025;
    pub(crate) const THROW: f64 = 0.04;
    pub(crate) const JERK: f64 = 0.03;
    pub(crate) const REBOUND: f64 = 0.025;
    pub(crate) const REACTIVE_STRENGTH: f64 = 0.06;
    pub(crate) const PULL: f64 = 0.03;
    pub(crate) const BODY_MASS: f64 = 0.005;
    /// Of contact time, in seconds.
    pub(crate) const CONTACT_S: f64 = 0.02;
}

/// Chance, of one athlete's own: another's story does not change it.
#[derive(Debug)]
pub(super) struct Chance(ChaCha8Rng);

impl Chance {
    pub(super) fn new(seed: u64, stream: u64) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        generator.set_stream(stream);
        Self(generator)
    }
    /// A number from the normal distribution about zero.
    pub(super) fn normal(&mut self, standard_deviation: f64) -> f64 {
        let standard: f64 = StandardNormal.sample(&mut self.0);
        standard * standard_deviation
    }
    /// One, give or take.
    pub(super) fn about_one(&mut self, standard_deviation: f64) -> f64 {
        1.0 + self.normal(standard_deviation)
    }
    pub(super) fn happens(&mut self, probability: f64) -> bool {
        self.0.random_bool(probability)
    }
}

/// One athlete on one day.
#[derive(Debug)]
pub(super) struct Performance<'a> {
    person: &'a Person,
    day: Date,
    /// Jump height of the day against the usual.
    form: f64,
    chance: &'a mut Chance,
}

impl<'a> Performance<'a> {
    /// Draws the form of the day.
    pub(super) fn on(day: Date, person: &'a Person, chance: &'a mut Chance) -> Self {
        let drawn = chance.about_one(spread::JUMP_OF_DAY);
        // The low jumps of tonight come from sparring alone, so that the story reads as told.
        let form = if person.code == "A02" && day == TONIGHT { 1.0 } else { drawn };
        Self { person, day, form, chance }
    }

    /// A countermovement jump as the mat reads it.
    pub(super) fn jump(&mut self, at: Timestamp) -> RepEntry {
        let height_m = self.jump_height_m() + MAT_OFFSET_M;
        self.rep(names::JUMP, Method::FlightTime, to_millimetre(height_m), at)
    }

    /// A countermovement jump by take-off velocity.
    pub(super) fn jump_by_take_off(&mut self, at: Timestamp) -> RepEntry {
        let height_m = self.jump_height_m();
        self.rep(names::JUMP, Method::TakeOffVelocity, to_millimetre(height_m), at)
    }

    /// A squat jump as the mat reads it, raised by what came before it.
    pub(super) fn squat_jump(&mut self, raised: f64, at: Timestamp) -> RepEntry {
        let height_m = self.jump_height_m() * SQUAT_TO_COUNTERMOVEMENT * raised + MAT_OFFSET_M;
        self.rep(names::SQUAT_JUMP, Method::FlightTime, to_millimetre(height_m), at)
    }

    /// A push of the rear fist against a pad, done and not measured.
    pub(super) fn punch_push(&self, at: Timestamp) -> RepEntry {
        let entry = self.rep(names::PUNCH_PUSH, Method::ByHand, 0.0, at);
        RepEntry { side: Some(Side::Rear), value: None, ..entry }
    }

    fn jump_height_m(&mut self) -> f64 {
        let rested = self.person.jump_height_m(self.day) * (1.0 - self.person.fatigue(self.day));
        rested * (self.form + self.chance.normal(spread::JUMP))
    }

    /// A jump under a load as the mat reads it, and whether it was landed with bent legs.
    pub(super) fn loaded_jump(&mut self, load: &Load, at: Timestamp) -> (RepEntry, bool) {
        let believed = load.bar.as_deref() == Some(kit::HEX_BLUE) && self.blue_bar_is_believed();
        let unseen_kg = if believed { kit::BLUE_BAR_UNSEEN_KG } else { 0.0 };
        let true_kg = load.total.in_kilograms() + unseen_kg;
        let velocity_m_s = self.person.take_off_m_s(self.day, true_kg)
            * self.chance.about_one(spread::LOADED_JUMP);
        let bent = self.chance.happens(1.0 / 25.0);
        let height_m = height_for_velocity(velocity_m_s) * if bent { BENT_LANDING } else { 1.0 };
        let read_m = to_millimetre(height_m + MAT_OFFSET_M);
        let entry = self.rep(names::LOADED_JUMP, Method::FlightTime, read_m, at);
        (RepEntry { load: load.clone(), ..entry }, bent)
    }

    fn blue_bar_is_believed(&self) -> bool {
        self.day < super::calendar::BLUE_BAR_WEIGHED
    }

    /// The rebound of a depth jump as the mat reads it, with its contact time.
    pub(super) fn depth_jump(&mut self, box_cm: f64, at: Timestamp) -> RepEntry {
        let rebound_m = self.person.rebound_m(self.day, box_cm)
            * self.chance.about_one(spread::REBOUND)
            + MAT_OFFSET_M;
        let contact_s = self.person.contact_s(box_cm) + self.chance.normal(spread::CONTACT_S);
        let entry = self.rep(names::DEPTH_JUMP, Method::FlightTime, to_millimetre(rebound_m), at);
        RepEntry {
            box_height: Some(Length::centimetres(box_cm)),
            contact_time: Some(Duration::seconds(to_hundredth(contact_s))),
            ..entry
        }
    }

    /// The reactive strength index of a drop jump.
    pub(super) fn drop_jump(&mut self, box_cm: f64, at: Timestamp) -> RepEntry {
        let index = self.person.reactive_strength_from(box_cm)
            * self.chance.about_one(spread::REACTIVE_STRENGTH);
        let entry = self.rep(names::DROP_JUMP, Method::FlightTime, to_hundredth(index), at);
        RepEntry { box_height: Some(Length::centimetres(box_cm)), ..entry }
    }

    /// A landmine punch throw; sets and reps count from 0 and each costs a little.
    pub(super) fn throw(
        &mut self,
        side: Side,
        load: &Load,
        (set, rep): (u32, u32),
        at: Timestamp,
    ) -> RepEntry {
        let fresh = self.person.throw_m_s(self.day, side, plates_kg(load));
        let tired = 1.0 - 0.012 * f64::from(rep) - 0.01 * f64::from(set);
        let first = if self.is_first_test() { FIRST_THROWS } else { 1.0 };
        let drawn = fresh * tired * first * self.chance.about_one(spread::THROW);
        let velocity_m_s = if self.throws_for_the_story(side, load) {
            self.up_to_the_best(drawn, (set, rep))
        } else {
            drawn
        };
        self.on_tether(names::THROW, velocity_m_s, side, load, at)
    }

    /// The story knows this athlete's best with 5 kg of plates: nothing before tonight beats it.
    fn throws_for_the_story(&self, side: Side, load: &Load) -> bool {
        self.person.code == "A04" && side == Side::Rear && plates_kg(load) == 5.0
    }

    /// The last throw of the first set is the best, a better one falls as far short of it.
    fn up_to_the_best(&self, drawn_m_s: f64, place: (u32, u32)) -> f64 {
        if place == (0, 2) {
            BEST_TO_BEAT_M_S
        } else {
            BEST_TO_BEAT_M_S - (drawn_m_s - BEST_TO_BEAT_M_S).abs()
        }
    }

    /// A landmine split jerk.
    pub(super) fn jerk(&mut self, side: Side, load: &Load, at: Timestamp) -> RepEntry {
        let velocity_m_s =
            self.person.jerk_m_s(side, plates_kg(load)) * self.chance.about_one(spread::JERK);
        self.on_tether(names::JERK, velocity_m_s, side, load, at)
    }

    /// A rep of one hand as the tethered sensor reads it, when it does.
    fn on_tether(
        &mut self,
        name: &str,
        velocity_m_s: f64,
        side: Side,
        load: &Load,
        at: Timestamp,
    ) -> RepEntry {
        let missed = self.chance.happens(MISSED_BY_TETHER);
        let entry = self.rep(name, Method::Sensor, to_hundredth(velocity_m_s), at);
        let value = entry.value.filter(|_| !missed);
        RepEntry { value, load: load.clone(), side: Some(side), ..entry }
    }

    /// An isometric mid-thigh pull, on the force chain.
    pub(super) fn pull(&mut self, at: Timestamp) -> RepEntry {
        let first = if self.is_first_test() { FIRST_PULL } else { 1.0 };
        let force_n = self.person.pull_n(self.day) * first * self.chance.about_one(spread::PULL);
        self.rep(names::PULL, Method::Sensor, force_n.round(), at)
    }

    /// Body mass on the scale, to 0.1 kg.
    pub(super) fn mass_kg(&mut self) -> f64 {
        let mass = self.person.mass_kg(self.day) * self.chance.about_one(spread::BODY_MASS);
        (mass * 10.0).round() / 10.0
    }

    fn is_first_test(&self) -> bool {
        self.day == self.person.days().first_test()
    }

    fn rep(&self, name: &str, method: Method, value: f64, at: Timestamp) -> RepEntry {
        RepEntry {
            athlete: self.person.id(),
            exercise: exercise(name),
            station: None,
            load: Load::none(),
            box_height: None,
            side: None,
            value: Some(value),
            contact_time: None,
            method,
            at,
        }
    }
}

fn plates_kg(load: &Load) -> f64 {
    load.plates.iter().map(|plate| plate.mass().in_kilograms()).sum()
}

/// Mats show 0.1 cm.
fn to_millimetre(height_m: f64) -> f64 {
    (height_m * 1000.0).round() / 1000.0
}

fn to_hundredth(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}
