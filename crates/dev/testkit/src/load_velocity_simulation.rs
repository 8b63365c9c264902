//! Reps of invented athletes whose load-velocity curve is known, and how often 90 % intervals of the
//! load for a velocity hold the truth: those of this profile, and those of a straight line.

use cornerwork_core::estimate::Level;
use cornerwork_core::profile::load_velocity::{
    LoadVelocityProfile, LoadVelocitySettings, VelocityRep,
};
use cornerwork_core::stats::line::{Line, Noise};
use cornerwork_core::units::{Mass, Quantity, Velocity};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal, StudentT};

/// How velocity truly falls with load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Curve {
    /// 1.50 - 0.012 x load.
    Straight,
    /// Sags: the bench press of González-Badillo and Sánchez-Medina 2010 (from memory), maximum
    /// 100 kg.
    Bowed,
    /// Bulges: the squat of Sánchez-Medina and others 2017 (from memory), maximum 100 kg.
    Humped,
    /// Slow, fast, slow.
    Sigmoid,
    /// 0.009 m/s a kilogram to 50 kg, 0.014 from there.
    TwoPart,
}

impl Curve {
    /// Each of them.
    pub const ALL: [Self; 5] =
        [Self::Straight, Self::Bowed, Self::Humped, Self::Sigmoid, Self::TwoPart];

    /// What the tables call it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Bowed => "bowed",
            Self::Humped => "humped",
            Self::Sigmoid => "sigmoid",
            Self::TwoPart => "two-part",
        }
    }

    /// Velocity of an average rep, m/s.
    pub fn velocity_m_s(self, load_kg: f64) -> f64 {
        match self {
            Self::Straight => 1.50 - 0.012 * load_kg,
            Self::Bowed => {
                let below = 73.501_f64.powi(2) - 4.0 * 8.4326 * (112.33 - load_kg);
                (73.501 - below.sqrt()) / (2.0 * 8.4326)
            }
            Self::Humped => {
                let below = 50.71_f64.powi(2) + 4.0 * 5.961 * (117.0 - load_kg);
                (below.sqrt() - 50.71) / (2.0 * 5.961)
            }
            Self::Sigmoid => 0.28 + 1.1 / (1.0 + ((load_kg - 50.0) / 18.0).exp()),
            Self::TwoPart => 0.93 - (load_kg - 50.0) * if load_kg < 50.0 { 0.009 } else { 0.014 },
        }
    }
}

/// Loads of a test and how many reps at each.
#[derive(Clone, Copy, Debug)]
pub struct Design {
    /// What the tables call it.
    pub name: &'static str,
    /// Load in kg and reps.
    pub reps: &'static [(f64, usize)],
}

/// The designs of the published table.
pub const DESIGNS: [Design; 9] = [
    Design { name: "5 loads x 1", reps: &[(20.0, 1), (35.0, 1), (50.0, 1), (65.0, 1), (80.0, 1)] },
    Design { name: "5 loads x 2", reps: &[(20.0, 2), (35.0, 2), (50.0, 2), (65.0, 2), (80.0, 2)] },
    Design { name: "5 loads x 3", reps: &[(20.0, 3), (35.0, 3), (50.0, 3), (65.0, 3), (80.0, 3)] },
    Design {
        name: "5 loads, 3 3 2 1 1",
        reps: &[(20.0, 3), (35.0, 3), (50.0, 2), (65.0, 1), (80.0, 1)],
    },
    Design { name: "4 loads x 2", reps: &[(20.0, 2), (40.0, 2), (60.0, 2), (80.0, 2)] },
    Design { name: "3 loads x 1", reps: &[(20.0, 1), (50.0, 1), (80.0, 1)] },
    Design { name: "3 loads x 2", reps: &[(20.0, 2), (50.0, 2), (80.0, 2)] },
    Design { name: "2 loads x 1", reps: &[(20.0, 1), (80.0, 1)] },
    Design { name: "2 loads x 2", reps: &[(20.0, 2), (80.0, 2)] },
];

/// A straight line that hardly falls over the loads tested, and its slopes.
pub const ALMOST_FLAT: Design =
    Design { name: "almost flat", reps: &[(20.0, 2), (25.0, 2), (30.0, 2)] };
/// Slopes of it, m/s for each kg.
pub const SLIGHT_FALLS: [f64; 4] = [-0.002, -0.004, -0.006, -0.010];

/// How a rep strays from the average one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scatter {
    /// Normal.
    Normal,
    /// Student's t of three degrees of freedom, brought to the same standard deviation.
    HeavyTailed,
}

/// Tables of one kind to draw.
#[derive(Clone, Copy, Debug)]
pub struct Drawn {
    /// Loads and reps.
    pub design: Design,
    /// Standard deviation of a rep.
    pub sd_m_s: f64,
    /// Shape of its scatter.
    pub scatter: Scatter,
    /// How many tables.
    pub tables: u32,
    /// Seed of the draw.
    pub seed: u64,
}

/// How one way of reading the tables did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Held {
    asked: u32,
    answered: u32,
    held: u32,
    width_kg: f64,
}

impl Held {
    fn take(&mut self, interval: Option<(f64, f64)>, truth_kg: f64) {
        self.asked += 1;
        if let Some((low, high)) = interval {
            self.answered += 1;
            self.held += u32::from(low <= truth_kg && truth_kg <= high);
            self.width_kg += high - low;
        }
    }

    /// Both together.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            asked: self.asked + other.asked,
            answered: self.answered + other.answered,
            held: self.held + other.held,
            width_kg: self.width_kg + other.width_kg,
        }
    }

    /// Share of the questions that were answered.
    pub fn answered(&self) -> f64 {
        f64::from(self.answered) / f64::from(self.asked)
    }

    /// Share of the answers whose interval holds the truth.
    pub fn held(&self) -> f64 {
        f64::from(self.held) / f64::from(self.answered)
    }

    /// Mean width of the intervals, kg.
    pub fn width_kg(&self) -> f64 {
        self.width_kg / f64::from(self.answered)
    }
}

/// This profile beside two straight lines.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Compared {
    /// A straight line through the fastest rep at each load, read as that of an average rep.
    pub fastest: Held,
    /// A straight line through all reps.
    pub straight: Held,
    /// This profile.
    pub profile: Held,
    /// Tables in which it says that the reps bend.
    pub bends: u32,
    /// Tables drawn.
    pub tables: u32,
}

impl Compared {
    /// Both together.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            fastest: self.fastest.with(other.fastest),
            straight: self.straight.with(other.straight),
            profile: self.profile.with(other.profile),
            bends: self.bends + other.bends,
            tables: self.tables + other.tables,
        }
    }

    /// Share of the tables in which the profile says that the reps bend.
    pub fn says_it_bends(&self) -> f64 {
        f64::from(self.bends) / f64::from(self.tables)
    }
}

/// Reads each table at the velocities of loads so far along the tested ones; one answer a share.
pub fn simulate(drawn: &Drawn, truth: impl Fn(f64) -> f64, shares: &[f64]) -> Vec<Compared> {
    let mut all = vec![Compared { tables: drawn.tables, ..Compared::default() }; shares.len()];
    let (lightest, heaviest) =
        (drawn.design.reps[0].0, drawn.design.reps[drawn.design.reps.len() - 1].0);
    for table in 0..drawn.tables {
        let reps = draw(drawn, &truth, u64::from(table));
        let profile = profile(&reps);
        let bends = profile.as_ref().is_some_and(LoadVelocityProfile::bends);
        let lines = [fastest(&reps), reps].map(|reps| straight(&reps));
        for (share, compared) in shares.iter().zip(&mut all) {
            let load = lightest + share * (heaviest - lightest);
            let velocity = truth(load);
            compared.bends += u32::from(bends);
            compared.fastest.take(lines[0].and_then(|line| backwards(line, velocity)), load);
            compared.straight.take(lines[1].and_then(|line| backwards(line, velocity)), load);
            let found = profile.as_ref().and_then(|profile| {
                let load = profile.load_at(Velocity::metres_per_second(velocity)).ok()?;
                Some((load.interval.low.si(), load.interval.high.si()))
            });
            compared.profile.take(found, load);
        }
    }
    all
}

fn draw(drawn: &Drawn, truth: &impl Fn(f64) -> f64, table: u64) -> Vec<(f64, f64)> {
    let mut random = ChaCha8Rng::seed_from_u64(drawn.seed);
    random.set_stream(table);
    let heavy = StudentT::new(3.0).ok();
    let mut one = || -> f64 {
        match (drawn.scatter, heavy) {
            (Scatter::HeavyTailed, Some(heavy)) => heavy.sample(&mut random) / 3.0_f64.sqrt(),
            _ => StandardNormal.sample(&mut random),
        }
    };
    let each = |(load, count): &(f64, usize)| std::iter::repeat_n(*load, *count);
    let loads = drawn.design.reps.iter().flat_map(each);
    loads.map(|load| (load, truth(load) + drawn.sd_m_s * one())).collect()
}

fn profile(reps: &[(f64, f64)]) -> Option<LoadVelocityProfile> {
    let rep = |(load, velocity): &(f64, f64)| VelocityRep {
        load: Mass::kilograms(*load),
        velocity: Velocity::metres_per_second(*velocity),
    };
    let reps: Vec<VelocityRep> = reps.iter().map(rep).collect();
    Some(LoadVelocityProfile::from_reps(&reps, LoadVelocitySettings::default()).ok()?.value)
}

fn fastest(reps: &[(f64, f64)]) -> Vec<(f64, f64)> {
    reps.chunk_by(|one, other| one.0 == other.0)
        .filter_map(|same| same.iter().copied().max_by(|one, other| one.1.total_cmp(&other.1)))
        .collect()
}

/// The least-squares line that falls, and its noise; 0.04 m/s is taken for two points.
fn straight(reps: &[(f64, f64)]) -> Option<(Line, Noise)> {
    let line = Line::through(reps).ok().filter(|line| line.slope < 0.0)?;
    Some((line, line.noise().unwrap_or(Noise::known(0.04))))
}

/// Where a straight line reaches a velocity, with Fieller's interval (Fieller 1954, J R Stat Soc B
/// 16:175); nothing where the slope is not established.
fn backwards((line, noise): (Line, Noise), velocity: f64) -> Option<(f64, f64)> {
    let reach = noise.reach(Level::USUAL);
    let doubt = (reach * line.slope_standard_error(noise) / line.slope).powi(2);
    let distance = (velocity - line.intercept) / line.slope - line.mean_x;
    let inside = (1.0 - doubt) / line.count as f64 + distance.powi(2) / line.sum_squares_x;
    let half = reach * noise.sd / line.slope.abs() / (1.0 - doubt) * inside.max(0.0).sqrt();
    let centre = line.mean_x + distance / (1.0 - doubt);
    (doubt < 1.0).then_some((centre - half, centre + half))
}
