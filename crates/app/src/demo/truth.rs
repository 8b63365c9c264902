//! What the invented athletes can truly do on a day. Nobody in the gym sees these numbers: the
//! reps are drawn around them, and the profiles should find them again.

use super::calendar::{Camp, TONIGHT};
use super::people::Person;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::STANDARD_GRAVITY;
use jiff::civil::Date;

/// A jump is lower the day after open sparring by this share.
const AFTER_SPARRING: f64 = 0.03;
/// And by this share after the very hard sparring of the story.
const AFTER_HARD_SPARRING: f64 = 0.055;
/// The hand that is not the dominant one, in a split jerk.
const WEAKER_HAND: f64 = 0.97;
/// Third test: half the gain of the first stretch once more.
const GAIN_AT_THIRD_TEST: f64 = 1.5;
/// The junior grows.
const GROWTH_KG: f64 = 0.4;

impl Person {
    /// How much of the camp's gain is there: 0 at the first test, 1 at the second, 1.5 at the
    /// third, in straight lines.
    pub(super) fn gained(&self, day: Date) -> f64 {
        let camp = self.days();
        if day <= camp.second_test() {
            share(camp.first_test(), camp.second_test(), day)
        } else {
            let further = share(camp.second_test(), camp.third_test(), day);
            1.0 + (GAIN_AT_THIRD_TEST - 1.0) * further
        }
    }

    /// Body mass: a straight line down to the limit for those who have one to make.
    pub(super) fn mass_kg(&self, day: Date) -> f64 {
        let camp = self.days();
        let (end, at_end) = match (self.camp, self.limit_kg) {
            (Some(Camp::HarbourOpen), Some(limit)) => (camp.bout() - days(2), limit * 1.025),
            (Some(Camp::Lanternlight), Some(limit)) => (camp.bout() - days(7), limit * 1.03),
            _ if self.is_junior() => (camp.bout(), self.body_mass_kg + GROWTH_KG),
            _ => return self.body_mass_kg,
        };
        let gone = share(camp.first_test(), end, day);
        self.body_mass_kg + (at_end - self.body_mass_kg) * gone
    }

    /// Height of a rested countermovement jump, from take-off velocity, in metres.
    pub(super) fn jump_height_m(&self, day: Date) -> f64 {
        (self.jump_cm + self.jump_gain_cm * (self.gained(day) - 1.0)) / 100.0
    }

    /// Share of jump height lost today to yesterday's sparring.
    pub(super) fn fatigue(&self, day: Date) -> f64 {
        if self.code == "A02" && day == TONIGHT {
            return AFTER_HARD_SPARRING;
        }
        let yesterday = day - days(1);
        if self.camp.is_some_and(|camp| camp.spars(yesterday)) { AFTER_SPARRING } else { 0.0 }
    }

    /// Take-off velocity of a rested jump under a load.
    pub(super) fn take_off_m_s(&self, day: Date, load_kg: f64) -> f64 {
        let unloaded = velocity_for_height(self.jump_height_m(day));
        unloaded * (1.0 - self.fall * load_kg / self.mass_kg(day))
    }

    /// The load that maximises momentum at the start of the camp: with velocity falling in a
    /// straight line, v0 (1 - a L / M), the product (M + L) v peaks at L = M (1/a - 1) / 2.
    pub(super) fn peak_load_kg(&self) -> f64 {
        self.body_mass_kg * (1.0 / self.fall - 1.0) / 2.0
    }

    /// Rebound of a depth jump from a box: a little over the countermovement jump until the box
    /// is higher than that, then falling.
    pub(super) fn rebound_m(&self, day: Date, box_cm: f64) -> f64 {
        let jump_m = self.jump_height_m(day) * (1.0 - self.fatigue(day));
        let above_cm = (box_cm - self.jump_height_m(day) * 100.0).max(0.0);
        let factor = if above_cm <= 10.0 {
            1.02 - 0.02 * above_cm / 10.0
        } else {
            1.00 - 0.05 * (above_cm - 10.0) / 10.0
        };
        jump_m * factor
    }

    /// Time on the ground of a depth jump, in seconds; two are slow off the floor.
    pub(super) fn contact_s(&self, box_cm: f64) -> f64 {
        let slow = if ["A05", "A07"].contains(&self.code) { 0.05 } else { 0.0 };
        0.23 + 0.002 * (box_cm - 30.0) + slow
    }

    /// Reactive strength index from a box of 20, 30 or 40 cm.
    pub(super) fn reactive_strength_from(&self, box_cm: f64) -> f64 {
        let factor = match box_cm {
            low if low < 25.0 => 0.97,
            high if high > 35.0 => 0.98,
            _ => 1.0,
        };
        self.reactive_strength * factor
    }

    /// Peak force of the isometric pull, in newtons.
    pub(super) fn pull_n(&self, day: Date) -> f64 {
        self.pull_n * (1.0 + self.pull_gain_percent / 100.0 * (self.gained(day) - 1.0))
    }

    /// Hand velocity of a fresh landmine punch throw.
    pub(super) fn throw_m_s(&self, day: Date, side: Side, plates_kg: f64) -> f64 {
        let bar_alone = if side == Side::Lead { self.lead_throw_m_s } else { self.rear_throw_m_s };
        bar_alone
            + self.throw_gain_m_s * (self.gained(day) - 1.0)
            + self.throw_slope_m_s_per_kg * plates_kg
    }

    /// Hand velocity of a landmine split jerk; the hand behind is the dominant one.
    pub(super) fn jerk_m_s(&self, side: Side, plates_kg: f64) -> f64 {
        let velocity = self.jerk_m_s + self.jerk_slope_m_s_per_kg * plates_kg;
        if side == self.rear_side() { velocity } else { velocity * WEAKER_HAND }
    }
}

/// Height to velocity and back, v = sqrt(2 g h).
pub(super) fn velocity_for_height(height_m: f64) -> f64 {
    (2.0 * STANDARD_GRAVITY.in_metres_per_second_squared() * height_m).sqrt()
}

pub(super) fn height_for_velocity(velocity_m_s: f64) -> f64 {
    velocity_m_s.powi(2) / (2.0 * STANDARD_GRAVITY.in_metres_per_second_squared())
}

/// Where a day lies between two others: 0 until the first, 1 from the second.
fn share(from: Date, to: Date, day: Date) -> f64 {
    let whole = f64::from((to - from).get_days());
    let gone = f64::from((day - from).get_days());
    (gone / whole).clamp(0.0, 1.0)
}

fn days(count: i64) -> jiff::Span {
    jiff::Span::new().days(count)
}
