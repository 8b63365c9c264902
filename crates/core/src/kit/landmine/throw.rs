//! A landmine throw: work and impulse of the push, and where the bar goes after release.

use super::lever::Landmine;
use crate::units::{Acceleration, Energy, Momentum, Velocity};

/// A throw from rest at one angle of the bar to release at another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Throw {
    /// Angle of the bar at the start, radians above the floor.
    pub start_rad: f64,
    /// Angle of the bar at release, radians above the floor.
    pub release_rad: f64,
    /// Velocity of the hand at release, at right angles to the bar.
    pub release_velocity: Velocity,
}

/// How far the bar travels on after release.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Apex {
    /// It stops at this angle, radians above the floor, and falls back.
    At(f64),
    /// It goes past upright and falls on the other side: keep everyone out of its way.
    PastUpright,
}

impl Landmine {
    /// Work done on the bar from rest to release: its energy of motion and of height.
    pub fn work(&self, throw: Throw, gravity: Acceleration) -> Energy {
        let rise = throw.release_rad.sin() - throw.start_rad.sin();
        let g = gravity.in_metres_per_second_squared();
        self.kinetic_energy(throw.release_velocity)
            + Energy::joules(g * self.first_moment_kg_m() * rise)
    }

    /// Energy of motion when the hand moves this fast.
    pub fn kinetic_energy(&self, hand: Velocity) -> Energy {
        Energy::joules(0.5 * self.inertia_kg_m2() * self.turn_rad_s(hand).powi(2))
    }

    /// Net impulse at the hand that gives the bar this velocity from rest.
    pub fn net_impulse(&self, hand: Velocity) -> Momentum {
        self.load().inertia * hand
    }

    /// Where the bar goes after release.
    pub fn apex(&self, throw: Throw, gravity: Acceleration) -> Apex {
        let lift = self.kinetic_energy(throw.release_velocity).in_joules()
            / (gravity.in_metres_per_second_squared() * self.first_moment_kg_m());
        let sine = throw.release_rad.sin() + lift;
        if sine < 1.0 { Apex::At(sine.asin()) } else { Apex::PastUpright }
    }

    fn turn_rad_s(&self, hand: Velocity) -> f64 {
        hand.in_metres_per_second() / self.hand_m()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit::landmine::{HungPlate, LandmineBar, Stance};
    use crate::units::{Length, Mass};

    const GRAVITY: Acceleration = Acceleration::metres_per_second_squared(9.81);

    /// 20 kg bar of 2.20 m as a uniform rod, 10 kg as a point at 1.81 m, hand at 2.15 m.
    fn landmine() -> Landmine {
        let bar = LandmineBar::uniform(Mass::kilograms(20.0), Length::metres(2.2));
        let plate =
            HungPlate { mass: Mass::kilograms(10.0), from_pivot: Length::metres(1.81), disc: None };
        let stance = Stance {
            hand_from_pivot: Length::metres(2.15),
            pivot_height: Length::ZERO,
            hand_height: Length::metres(1.4),
        };
        Landmine::new(bar, vec![plate], stance).unwrap()
    }

    fn throw(velocity: f64) -> Throw {
        Throw {
            start_rad: 30.0_f64.to_radians(),
            release_rad: 50.0_f64.to_radians(),
            release_velocity: Velocity::metres_per_second(velocity),
        }
    }

    fn apex_deg(velocity: f64) -> f64 {
        match landmine().apex(throw(velocity), GRAVITY) {
            Apex::At(angle) => angle.to_degrees(),
            Apex::PastUpright => f64::INFINITY,
        }
    }

    // Closed forms with g = 9.81: I = 20 x 2.2²/3 + 10 x 1.81² = 65.0277, S = 22 + 18.1 = 40.1.
    #[test]
    fn work_impulse_and_apex_follow_the_energy() {
        let landmine = landmine();
        assert!((landmine.inertia_kg_m2() - 65.0277).abs() < 5e-5);
        assert!((landmine.load().inertia.in_kilograms() - 14.0676).abs() < 5e-5);
        let throw = throw(2.5);
        assert!(
            (landmine.kinetic_energy(throw.release_velocity).in_joules() - 43.961).abs() < 5e-4
        );
        assert!((landmine.work(throw, GRAVITY).in_joules() - 148.618).abs() < 5e-4);
        let impulse = landmine.net_impulse(throw.release_velocity);
        assert!((impulse.in_kilogram_metres_per_second() - 35.169).abs() < 5e-4);
        assert!((apex_deg(2.5) - 61.378).abs() < 5e-4);
        assert!((apex_deg(1.8) - 55.485).abs() < 5e-4);
    }

    #[test]
    fn a_fast_throw_takes_the_bar_past_upright() {
        assert_eq!(landmine().apex(throw(4.0), GRAVITY), Apex::PastUpright);
    }
}
