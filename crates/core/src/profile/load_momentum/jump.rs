//! What goes into the profile: jumps as measured, with the way they were measured.

use thiserror::Error;

use super::shape::height_from_velocity;
use crate::units::{Acceleration, Length, Mass, Velocity};

/// How a jump was measured. Heights of different methods differ by centimetres that have nothing
/// to do with the athlete, so one profile holds one method.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeightMethod {
    /// Time in the air.
    FlightTime,
    /// Take-off velocity from the net impulse on a force platform.
    Impulse,
    /// Velocity of the bar at take-off, from a transducer.
    BarVelocity,
    /// Highest bar position less its position at take-off.
    BarPeakAboveTakeOff,
    /// Highest bar position less its position standing: contains the heel rise.
    BarPeakAboveStanding,
    /// Nobody said.
    NotStated,
}

impl HeightMethod {
    /// Every way.
    pub const ALL: [Self; 6] = [
        Self::FlightTime,
        Self::Impulse,
        Self::BarVelocity,
        Self::BarPeakAboveTakeOff,
        Self::BarPeakAboveStanding,
        Self::NotStated,
    ];

    /// The method in plain words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::FlightTime => "flight time",
            Self::Impulse => "impulse on a force platform",
            Self::BarVelocity => "bar velocity at take-off",
            Self::BarPeakAboveTakeOff => "bar height above take-off",
            Self::BarPeakAboveStanding => "bar height above standing",
            Self::NotStated => "method not stated",
        }
    }
}

/// The number that was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JumpMeasure {
    /// Rise of the centre of mass (or bar) after take-off.
    Height(Length),
    /// Velocity at take-off.
    TakeOffVelocity(Velocity),
}

/// One valid jump with a known load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadedJump {
    /// The whole implement: bar, plates, collars; zero without.
    pub load: Mass,
    /// What was read.
    pub measure: JumpMeasure,
    /// How it was measured.
    pub method: HeightMethod,
}

impl LoadedJump {
    /// A jump known by its height.
    pub const fn of_height(load: Mass, height: Length, method: HeightMethod) -> Self {
        Self { load, measure: JumpMeasure::Height(height), method }
    }

    /// A jump known by its take-off velocity.
    pub const fn of_velocity(load: Mass, velocity: Velocity, method: HeightMethod) -> Self {
        Self { load, measure: JumpMeasure::TakeOffVelocity(velocity), method }
    }

    /// Height, as measured or from the take-off velocity.
    pub fn height(&self, gravity: Acceleration) -> Length {
        match self.measure {
            JumpMeasure::Height(height) => height,
            JumpMeasure::TakeOffVelocity(velocity) => height_from_velocity(velocity, gravity),
        }
    }
}

/// Lightest and heaviest body mass taken for a person's.
const BODY_MASS_KG: (f64, f64) = (30.0, 250.0);
/// No one has jumped higher with hands on the hips; above this it is a slip of the unit.
const HIGHEST_JUMP_M: f64 = 0.9;
/// Beyond any load a jump is done with; above this it is a slip of the unit.
const HEAVIEST_LOAD_KG: f64 = 400.0;

/// Why a load-momentum profile cannot be made.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LoadMomentumError {
    /// The body mass is no person's.
    #[error("body mass {kg} kg is outside 30 to 250 kg: check the number and its unit")]
    BodyMass {
        /// Given, in kg.
        kg: f64,
    },
    /// Nothing to fit.
    #[error(
        "there is no jump to make a profile from: enter at least one, better five at three loads"
    )]
    NoJumps,
    /// A load below zero, too heavy, or not a number.
    #[error("jump {number}: load {kg} kg is outside 0 to 400 kg: check the number and its unit")]
    Load {
        /// Which jump, from 1.
        number: usize,
        /// Given, in kg.
        kg: f64,
    },
    /// A height that no valid jump has.
    #[error(
        "jump {number}: height {height_m:.3} m is not above 0 and at most 0.9 m: \
         check the unit, or leave the jump out if it was not valid"
    )]
    Height {
        /// Which jump, from 1.
        number: usize,
        /// As measured or from its velocity, in m.
        height_m: f64,
    },
    /// A take-off velocity that is not upward.
    #[error(
        "jump {number}: take-off velocity {m_s} m/s is not above 0: leave the jump out if it was not valid"
    )]
    Velocity {
        /// Which jump, from 1.
        number: usize,
        /// Given, in m/s.
        m_s: f64,
    },
    /// Two ways of measuring in one profile.
    #[error(
        "jump {number} was measured by {}, the jumps before it by {}: \
         the two differ by centimetres, so make one profile of each",
        other.word(), first.word()
    )]
    MixedMethods {
        /// First jump of the other method, from 1.
        number: usize,
        /// Method of the jumps before.
        first: HeightMethod,
        /// Method of that jump.
        other: HeightMethod,
    },
    /// Gravity that is not a gravity.
    #[error("gravity {m_s2} m/s² is not above 0")]
    Gravity {
        /// Given, in m/s².
        m_s2: f64,
    },
    /// Starting knowledge that is no distribution.
    #[error("the starting knowledge '{name}' has a spread, weight or share that is not above 0")]
    Priors {
        /// Its name.
        name: &'static str,
    },
}

/// Heights of the jumps when everything about them is usable.
pub(super) fn checked_heights(
    body_mass: Mass,
    jumps: &[LoadedJump],
    gravity: Acceleration,
) -> Result<Vec<Length>, LoadMomentumError> {
    let kg = body_mass.in_kilograms();
    if !(BODY_MASS_KG.0..=BODY_MASS_KG.1).contains(&kg) {
        return Err(LoadMomentumError::BodyMass { kg });
    }
    let m_s2 = gravity.in_metres_per_second_squared();
    if !(m_s2.is_finite() && m_s2 > 0.0) {
        return Err(LoadMomentumError::Gravity { m_s2 });
    }
    let first = jumps.first().ok_or(LoadMomentumError::NoJumps)?.method;
    let numbered = jumps.iter().enumerate().map(|(index, jump)| (index + 1, jump));
    numbered.map(|(number, jump)| checked_height(number, jump, first, gravity)).collect()
}

fn checked_height(
    number: usize,
    jump: &LoadedJump,
    first: HeightMethod,
    gravity: Acceleration,
) -> Result<Length, LoadMomentumError> {
    if jump.method != first {
        return Err(LoadMomentumError::MixedMethods { number, first, other: jump.method });
    }
    let kg = jump.load.in_kilograms();
    if !(0.0..=HEAVIEST_LOAD_KG).contains(&kg) {
        return Err(LoadMomentumError::Load { number, kg });
    }
    if let JumpMeasure::TakeOffVelocity(velocity) = jump.measure {
        let m_s = velocity.in_metres_per_second();
        if m_s.is_nan() || m_s <= 0.0 {
            return Err(LoadMomentumError::Velocity { number, m_s });
        }
    }
    let height = jump.height(gravity);
    let height_m = height.in_metres();
    if height_m > 0.0 && height_m <= HIGHEST_JUMP_M {
        Ok(height)
    } else {
        Err(LoadMomentumError::Height { number, height_m })
    }
}
