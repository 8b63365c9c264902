//! How jump height falls with load, and where momentum then peaks.
//!
//! Momentum at take-off is `(M + L) sqrt(2 g h(L))`. Its derivative vanishes where
//! `-d ln h / dL = 2 / (M + L)`, so only the *shape* of the fall, `s(L) = h(L) / h(0)`, decides
//! where the peak lies; the unloaded height cancels. (Our derivation from the impulse-momentum
//! theorem, Linthorne 2001, Am J Phys 69:1198.)

use super::mixture::bisect;
use crate::units::Mass;

/// Bends of a domed fall, from slight to that of a bell.
const DOME_POWERS: [f64; 2] = [1.5, 2.2];
/// Widths of the drop of a sigmoid fall, in body masses.
const SIGMOID_WIDTHS: [f64; 7] = [0.06, 0.08, 0.10, 0.125, 0.155, 0.19, 0.23];
/// How much steeper, or flatter, the fall is after a knee than before.
const KNEE_TURNS: [f64; 5] = [0.5, 1.8, 2.7, 4.0, 6.0];
/// Where a knee may lie, in body masses: first, step, how many.
const KNEES: (f64, f64, usize) = (0.15, KNEE_STEP, 37);
/// From one place of a knee to the next, in body masses.
pub(super) const KNEE_STEP: f64 = 0.025;

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
    /// `exp(-(L/λ)^q)`, `q` above 1: nearly flat at first, then ever steeper.
    Domed,
    /// A drop about one load, flat before and after it.
    Sigmoid,
    /// Two straight parts: from one load on it falls faster, or slower.
    Knee,
}

impl FallFamily {
    /// All families.
    pub const ALL: [Self; 7] = [
        Self::StraightLine,
        Self::StraightVelocity,
        Self::Curved,
        Self::ForceVelocityLike,
        Self::Domed,
        Self::Sigmoid,
        Self::Knee,
    ];

    /// The word for people and programs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::StraightLine => "straight-line fall",
            Self::StraightVelocity | Self::Curved => "curved fall",
            Self::ForceVelocityLike => "force-velocity-like fall",
            Self::Domed => "domed fall",
            Self::Sigmoid => "sigmoid fall",
            Self::Knee => "fall with a knee",
        }
    }

    /// The family's own label, for a working.
    pub const fn label(self) -> &'static str {
        match self {
            Self::StraightLine => "straight line",
            Self::StraightVelocity => "straight line in velocity",
            Self::Curved => "curved",
            Self::ForceVelocityLike => "force-velocity-like",
            Self::Domed => "domed",
            Self::Sigmoid => "sigmoid",
            Self::Knee => "with a knee",
        }
    }

    /// The falls of this family that keep `share` of the unloaded height at half body mass: one,
    /// or one for each bend, width or place of the knee, always as many and in the same order.
    pub fn falls_through(self, share: f64, body_mass: Mass) -> Vec<HeightFall> {
        let half = body_mass * 0.5;
        let power = |exponent: i32| HeightFall::Power {
            exponent,
            zero_height_load: half / (1.0 - share.powf(1.0 / f64::from(exponent))),
        };
        let dome = |power: f64| HeightFall::Domed {
            decay_load: half / (-share.ln()).powf(1.0 / power),
            power,
        };
        match self {
            Self::StraightLine => vec![power(1)],
            Self::StraightVelocity => vec![power(2)],
            Self::Curved => vec![power(4)],
            Self::ForceVelocityLike => {
                vec![HeightFall::Exponential { decay_load: -(half / share.ln()) }]
            }
            Self::Domed => DOME_POWERS.map(dome).into(),
            Self::Sigmoid => SIGMOID_WIDTHS.map(|wide| sigmoid(share, wide, body_mass)).into(),
            Self::Knee => (0..KNEES.2)
                .map(|place| KNEES.0 + KNEES.1 * place as f64)
                .flat_map(|knee| KNEE_TURNS.map(|turn| knee_fall(share, knee, turn, body_mass)))
                .collect(),
        }
    }
}

fn sigmoid(share: f64, width: f64, body_mass: Mass) -> HeightFall {
    // With t = exp(-c/w): share = (1 + t) / (1 + t exp(0.5/w)).
    let t = (1.0 - share) / (share * (0.5 / width).exp() - 1.0);
    HeightFall::Sigmoid { middle: body_mass * (-width * t.ln()), width: body_mass * width }
}

fn knee_fall(share: f64, knee: f64, turn: f64, body_mass: Mass) -> HeightFall {
    // What the fall before the knee would have to cover to reach half a body mass.
    let to_half = knee.min(0.5) + turn * (0.5 - knee).max(0.0);
    HeightFall::Knee {
        knee: body_mass * knee,
        zero_height_load: body_mass * (to_half / (1.0 - share)),
        turn,
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
    /// `exp(-(L/λ)^q)`.
    Domed {
        /// `λ`: the load that leaves 37 % of the height.
        decay_load: Mass,
        /// `q`, above 1.
        power: f64,
    },
    /// `(1 + exp(-c/w)) / (1 + exp((L - c)/w))`.
    Sigmoid {
        /// `c`: the load in the middle of the drop.
        middle: Mass,
        /// `w`: how wide the drop is.
        width: Mass,
    },
    /// `1 - L/L1 - (turn - 1) max(0, L - K)/L1`, never below nothing.
    Knee {
        /// `K`: the load at the knee.
        knee: Mass,
        /// `L1`: where the part before the knee would reach nothing.
        zero_height_load: Mass,
        /// How many times as steep it is after the knee.
        turn: f64,
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
            Self::Domed { decay_load, power } => (-(load / decay_load).powf(power)).exp(),
            Self::Sigmoid { middle, width } => {
                (1.0 + (-(middle / width)).exp()) / (1.0 + ((load - middle) / width).exp())
            }
            Self::Knee { knee, zero_height_load, turn } => {
                let after = (load - knee).max(Mass::ZERO);
                (1.0 - (load + after * (turn - 1.0)) / zero_height_load).max(0.0)
            }
        }
    }

    /// Load where momentum peaks; zero when the unloaded jump is the best.
    pub fn peak_load(self, body_mass: Mass) -> Mass {
        self.peak_load_up_to(body_mass * f64::INFINITY, body_mass)
    }

    /// The same among the loads up to a limit: a fall that turns flatter has two tops.
    pub fn peak_load_up_to(self, limit: Mass, body_mass: Mass) -> Mass {
        let [first, second] = self.tops(body_mass).map(|top| top.max(Mass::ZERO).min(limit));
        let gain = |load| self.momentum_gain(load, body_mass);
        if gain(second) > gain(first) { second } else { first }
    }

    /// Loads where momentum may peak: `(2 L1 - n M) / (2 + n)` for a power fall, `2λ - M` for an
    /// exponential one, by halving for domes and sigmoids, on either side of a knee.
    fn tops(self, body_mass: Mass) -> [Mass; 2] {
        let straight_top = |zero_height_load: Mass| (zero_height_load * 2.0 - body_mass) / 3.0;
        // Where the fall first outweighs the gain in mass.
        let halved = |reach: Mass, rises: &dyn Fn(f64) -> bool| {
            Mass::kilograms(bisect(0.0, reach.in_kilograms(), rises))
        };
        let one = match self {
            Self::Power { exponent, zero_height_load } => {
                let n = f64::from(exponent);
                (zero_height_load * 2.0 - body_mass * n) / (2.0 + n)
            }
            Self::Exponential { decay_load } => decay_load * 2.0 - body_mass,
            Self::Domed { decay_load, power } => halved(decay_load * 4.0, &|kg| {
                let load = Mass::kilograms(kg);
                power * (load / decay_load).powf(power) * ((body_mass + load) / body_mass)
                    < 2.0 * (load / body_mass)
            }),
            Self::Sigmoid { middle, width } => halved(middle + body_mass + width * 10.0, &|kg| {
                let load = Mass::kilograms(kg);
                (body_mass + load) / width < 2.0 * (1.0 + ((middle - load) / width).exp())
            }),
            Self::Knee { knee, zero_height_load, turn } => {
                let zero_after = (zero_height_load + knee * (turn - 1.0)) / turn;
                let before = straight_top(zero_height_load).min(knee);
                return [before, straight_top(zero_after).max(knee)];
            }
        };
        [one, one]
    }

    /// Momentum at a load over unloaded momentum: `(1 + L/M) sqrt(s(L))`.
    pub fn momentum_gain(self, load: Mass, body_mass: Mass) -> f64 {
        (1.0 + load / body_mass) * self.share(load).sqrt()
    }
}
