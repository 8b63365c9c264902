//! How jump height falls with load, and where momentum then peaks: the closed forms.
//!
//! Momentum at take-off is `(M + L) sqrt(2 g h(L))`. Its derivative vanishes where
//! `-d ln h / dL = 2 / (M + L)`, so only the *shape* of the fall, `s(L) = h(L) / h(0)`, decides
//! where the peak lies; the unloaded height cancels. (Our derivation from the impulse-momentum
//! theorem, Linthorne 2001, Am J Phys 69:1198.)

use crate::units::{Acceleration, Force, Length, Mass, Momentum, Velocity};

/// Take-off velocity that carries the centre of mass this high: `sqrt(2 g h)`.
pub fn take_off_velocity(height: Length, gravity: Acceleration) -> Velocity {
    let squared = 2.0 * gravity.in_metres_per_second_squared() * height.in_metres();
    Velocity::metres_per_second(squared.max(0.0).sqrt())
}

/// Height the centre of mass rises from this take-off velocity: `v² / 2g`.
pub fn height_from_velocity(velocity: Velocity, gravity: Acceleration) -> Length {
    let v = velocity.in_metres_per_second();
    Length::metres(v * v / (2.0 * gravity.in_metres_per_second_squared()))
}

/// The families of falls the estimator weighs against each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FallFamily {
    /// Height falls along a straight line: `1 - L/L1`.
    StraightLine,
    /// Take-off velocity falls along a straight line, so height along a parabola: `(1 - L/L1)²`.
    StraightVelocity,
    /// A stronger bend: `(1 - L/L1)⁴`.
    Curved,
    /// `exp(-L/λ)`: over the loads of a gym within 0.5 % of the fall that a straight
    /// force-velocity line gives (maximum velocity 2.8 to 3.2 m/s, push-off 0.40 m).
    ForceVelocityLike,
}

impl FallFamily {
    /// All families, from straight to most bent.
    pub const ALL: [Self; 4] =
        [Self::StraightLine, Self::StraightVelocity, Self::Curved, Self::ForceVelocityLike];

    /// The word for people and programs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::StraightLine => "straight-line fall",
            Self::StraightVelocity | Self::Curved => "curved fall",
            Self::ForceVelocityLike => "force-velocity-like fall",
        }
    }

    /// The family's own label, for a working.
    pub const fn label(self) -> &'static str {
        match self {
            Self::StraightLine => "straight line",
            Self::StraightVelocity => "straight line in velocity",
            Self::Curved => "curved",
            Self::ForceVelocityLike => "force-velocity-like",
        }
    }

    /// The fall of this family that keeps `share` of the unloaded height at half body mass.
    pub fn through_half_body_mass(self, share: f64, body_mass: Mass) -> HeightFall {
        let half = body_mass * 0.5;
        let power = |exponent: i32| HeightFall::Power {
            exponent,
            zero_height_load: half / (1.0 - share.powf(1.0 / f64::from(exponent))),
        };
        match self {
            Self::StraightLine => power(1),
            Self::StraightVelocity => power(2),
            Self::Curved => power(4),
            Self::ForceVelocityLike => HeightFall::Exponential { decay_load: -(half / share.ln()) },
        }
    }
}

/// One fall in height with load, as a share of the unloaded height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeightFall {
    /// `(1 - L/L1)^n`, nothing left from `L1` on.
    Power {
        /// The bend `n`; 1 is a straight line.
        exponent: i32,
        /// `L1`: the load that could not be jumped with at all.
        zero_height_load: Mass,
    },
    /// `exp(-L/λ)`: the limit of the power falls for an endless bend.
    Exponential {
        /// `λ`: the load that leaves 37 % of the height.
        decay_load: Mass,
    },
}

impl HeightFall {
    /// Share of the unloaded height left at a load, 0 to 1.
    pub fn share(self, load: Mass) -> f64 {
        match self {
            Self::Power { exponent, zero_height_load } => {
                (1.0 - load / zero_height_load).max(0.0).powi(exponent)
            }
            Self::Exponential { decay_load } => (-(load / decay_load)).exp(),
        }
    }

    /// Load where momentum peaks: `(2 L1 - n M) / (2 + n)` or `2λ - M`; zero when the unloaded
    /// jump is the best.
    pub fn peak_load(self, body_mass: Mass) -> Mass {
        let stationary = match self {
            Self::Power { exponent, zero_height_load } => {
                let n = f64::from(exponent);
                (zero_height_load * 2.0 - body_mass * n) / (2.0 + n)
            }
            Self::Exponential { decay_load } => decay_load * 2.0 - body_mass,
        };
        stationary.max(Mass::ZERO)
    }

    /// Momentum at a load over unloaded momentum: `(1 + L/M) sqrt(s(L))`.
    pub fn momentum_gain(self, load: Mass, body_mass: Mass) -> f64 {
        (1.0 + load / body_mass) * self.share(load).sqrt()
    }
}

/// A quadratic fall, `1 - aL + bL²` with a positive `b`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuadraticFall {
    /// `a`, per kilogram.
    pub linear_per_kg: f64,
    /// `b`, per kilogram squared; positive.
    pub square_per_kg2: f64,
}

impl QuadraticFall {
    /// Load where momentum peaks, or `None` when it rises as far as the fall makes sense.
    pub fn peak_load(self, body_mass: Mass) -> Option<Mass> {
        let (a, b, m) = (self.linear_per_kg, self.square_per_kg2, body_mass.in_kilograms());
        let middle = 3.0 * a - 2.0 * b * m;
        let under_root = middle * middle - 16.0 * b * (2.0 - a * m);
        if under_root < 0.0 {
            return None;
        }
        let load = (middle - under_root.sqrt()) / (8.0 * b);
        (load <= a / (2.0 * b)).then(|| Mass::kilograms(load.max(0.0)))
    }
}

/// The mean-force, mean-velocity line of a push-off (Samozino et al. 2008, J Biomech 41:2940):
/// mean force `m g (h/d + 1)` falls in a straight line with mean velocity `v/2`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceVelocityFall {
    /// Mean force at no velocity, `F0`.
    pub maximum_force: Force,
    /// Mean velocity at no force, `V0`.
    pub maximum_velocity: Velocity,
    /// Distance of the push-off, `d`.
    pub push_off: Length,
    /// Gravity.
    pub gravity: Acceleration,
}

impl ForceVelocityFall {
    /// The line of an athlete known by an unloaded height.
    pub fn through_unloaded_height(
        body_mass: Mass,
        unloaded_height: Length,
        maximum_velocity: Velocity,
        push_off: Length,
        gravity: Acceleration,
    ) -> Self {
        let mean_force = body_mass * gravity * (unloaded_height / push_off + 1.0);
        let mean_velocity = take_off_velocity(unloaded_height, gravity) / 2.0;
        let maximum_force = mean_force / (1.0 - mean_velocity / maximum_velocity);
        Self { maximum_force, maximum_velocity, push_off, gravity }
    }

    /// Take-off velocity with a system mass; zero when the mass cannot be lifted.
    pub fn take_off_velocity(self, system_mass: Mass) -> Velocity {
        let (f0, v0, d, g) = self.numbers();
        let m = system_mass.in_kilograms();
        if f0 <= m * g {
            return Velocity::ZERO;
        }
        let half_slope = f0 / (2.0 * v0);
        let root = (half_slope * half_slope + 2.0 * m / d * (f0 - m * g)).sqrt();
        Velocity::metres_per_second(d / m * (root - half_slope))
    }

    /// Height with a system mass.
    pub fn height(self, system_mass: Mass) -> Length {
        height_from_velocity(self.take_off_velocity(system_mass), self.gravity)
    }

    /// Take-off velocity where momentum peaks: free of strength and of body mass.
    pub fn peak_take_off_velocity(self) -> Velocity {
        let (_, v0, d, g) = self.numbers();
        let gd = g * d;
        Velocity::metres_per_second(gd / v0 * ((1.0 + 2.0 * v0 * v0 / gd).sqrt() - 1.0))
    }

    /// System mass where momentum peaks.
    pub fn peak_system_mass(self) -> Mass {
        let (f0, v0, d, g) = self.numbers();
        let v = self.peak_take_off_velocity().in_metres_per_second();
        Mass::kilograms(f0 * (1.0 - v / (2.0 * v0)) / (g + v * v / (2.0 * d)))
    }

    /// Momentum at take-off with a system mass.
    pub fn momentum(self, system_mass: Mass) -> Momentum {
        system_mass * self.take_off_velocity(system_mass)
    }

    fn numbers(self) -> (f64, f64, f64, f64) {
        (
            self.maximum_force.in_newtons(),
            self.maximum_velocity.in_metres_per_second(),
            self.push_off.in_metres(),
            self.gravity.in_metres_per_second_squared(),
        )
    }
}
