//! Load tests of invented athletes under different plans, and how near each comes to the peak.

use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, next_load};
use cornerwork_core::prescription::ramp::{Experience, Ramp};
use cornerwork_core::profile::load_momentum::shape::{
    ForceVelocityFall, HeightFall, QuadraticFall, take_off_velocity,
};
use cornerwork_core::profile::load_momentum::{
    LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::stats::line::Line;
use cornerwork_core::units::{Force, Length, Mass, STANDARD_GRAVITY, Velocity};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::jumping_athlete::{JumpNoise, JumpingAthlete, Truth};

/// How a load for training is had from the jumps of a fixed ladder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LadderReading {
    /// Height in a straight line against load.
    StraightLine,
    /// Height in a parabola against load.
    Quadratic,
    /// Logarithm of height in a straight line against load.
    LogLinear,
    /// The load with the best mean momentum.
    BestTested,
    /// Mean force in a straight line against mean velocity, push-off 0.40 m.
    ForceVelocityLine,
    /// Cornerwork's estimator.
    Profile,
}

/// How a test is run.
#[derive(Clone, Debug)]
pub enum Plan {
    /// Loads in body masses, each jumped with so many times.
    Ladder {
        /// Loads, in body masses.
        body_masses: Vec<f64>,
        /// Jumps at each.
        jumps_each: usize,
        /// How they are read.
        reading: LadderReading,
    },
    /// Cornerwork chooses each load and when to stop.
    Guided(NextLoadRules),
}

/// How one test of one athlete ended.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    /// Jumps made.
    pub jumps: usize,
    /// Estimated less true peak load, in kg.
    pub error_kg: f64,
    /// Share of the true peak momentum lost with the load advised.
    pub loss: f64,
    /// Whether the 90 % interval of the peak load holds the true one; `None` without interval.
    pub covered: Option<bool>,
    /// Lowest true mean height of the loads used, in m.
    pub lowest_height_m: f64,
}

/// Outcomes of many athletes in a few figures.
#[derive(Clone, Copy, Debug)]
pub struct Summary {
    /// Mean number of jumps.
    pub mean_jumps: f64,
    /// Nine in ten tests need at most this many.
    pub jumps_90th_percentile: usize,
    /// Root mean square error of the peak load, in kg.
    pub root_mean_square_error_kg: f64,
    /// Mean loss of momentum.
    pub mean_loss: f64,
    /// Share of athletes whose advised load loses at most 2 %.
    pub share_within_2_percent: f64,
    /// Share of athletes whose 90 % interval holds the truth.
    pub coverage: Option<f64>,
    /// Share of tests with a load the athlete jumps lower than 0.10 m with.
    pub share_below_10_cm: f64,
}

/// What a simulation draws.
#[derive(Clone, Copy, Debug)]
pub struct Draw {
    /// Kind of athletes.
    pub truth: Truth,
    /// How many.
    pub athletes: usize,
    /// Seed; athlete and jumps of athlete `i` are the same whatever the plan and the count.
    pub seed: u64,
    /// Noise instead of the truth's own.
    pub noise: Option<JumpNoise>,
}

/// Runs a plan on every athlete of a draw.
pub fn simulate(draw: Draw, plan: &Plan) -> Summary {
    let outcome = |number: usize| {
        let mut random = ChaCha8Rng::seed_from_u64(draw.seed);
        random.set_stream(number as u64);
        let drawn = JumpingAthlete::draw(draw.truth, &mut random);
        let athlete = draw.noise.map_or(drawn, |noise| drawn.with_noise(noise));
        run(plan, &athlete, &mut random)
    };
    summarize(&(0..draw.athletes).map(outcome).collect::<Vec<_>>())
}

fn run(plan: &Plan, athlete: &JumpingAthlete, random: &mut impl Rng) -> Outcome {
    match plan {
        Plan::Guided(rules) => guided(athlete, rules, random),
        Plan::Ladder { body_masses, jumps_each, reading } => {
            let loads = body_masses
                .iter()
                .flat_map(|share| std::iter::repeat_n(athlete.body_mass * *share, *jumps_each));
            let jumps: Vec<LoadedJump> =
                loads.filter_map(|load| athlete.jump(load, random)).collect();
            read_ladder(athlete, &jumps, *reading)
        }
    }
}

/// The loads of a bar of 20 kg and pairs of plates from 1.25 kg up.
pub(crate) fn loadable(body_mass: Mass) -> Vec<Mass> {
    let heaviest = body_mass * 1.25;
    (0..)
        .map(|step| Mass::kilograms(20.0 + 2.5 * f64::from(step)))
        .take_while(|load| *load <= heaviest)
        .collect()
}

fn profile_of(athlete: &JumpingAthlete, jumps: &[LoadedJump]) -> Option<LoadMomentumProfile> {
    let settings = LoadMomentumSettings::default();
    LoadMomentumProfile::fit(athlete.body_mass, jumps, &settings).ok().map(|noted| noted.value)
}

/// How heavy the next jump of a trained adult may be after these jumps.
pub(crate) fn ramp(body_mass: Mass, jumps: &[LoadedJump], loads: &[Mass]) -> Ramp {
    let loaded = jumps.iter().map(|jump| jump.load).filter(|load| *load > Mass::ZERO);
    Ramp {
        body_mass: Some(body_mass),
        experience: Experience::Trained,
        heaviest_done: loaded.reduce(Mass::max),
        lightest_bar: loads.first().copied(),
        step_of_coach: None,
    }
}

fn guided(athlete: &JumpingAthlete, rules: &NextLoadRules, random: &mut impl Rng) -> Outcome {
    let loads = loadable(athlete.body_mass);
    let mut jumps: Vec<LoadedJump> = Vec::new();
    let advised = loop {
        let profile = profile_of(athlete, &jumps);
        let heaviest_next = ramp(athlete.body_mass, &jumps, &loads).heaviest_next();
        let load = match next_load(profile.as_ref(), &loads, heaviest_next, rules) {
            NextLoad::Stop(end) => break end.use_load,
            NextLoad::Test(test) => test.load,
        };
        match athlete.jump(load, random) {
            Some(jump) => jumps.push(jump),
            None => break profile.and_then(|profile| profile.least_loss_among(loads)),
        }
    };
    with_profile(athlete, &jumps, advised)
}

fn with_profile(athlete: &JumpingAthlete, jumps: &[LoadedJump], advised: Option<Mass>) -> Outcome {
    let Some(profile) = profile_of(athlete, jumps) else {
        return outcome(athlete, jumps, Mass::ZERO, Mass::ZERO);
    };
    let peak = profile.peak().load;
    let advised = advised.unwrap_or(Mass::ZERO);
    let covered = Some(peak.interval.contains(athlete.peak_load()));
    Outcome { covered, ..outcome(athlete, jumps, peak.value, advised) }
}

fn outcome(
    athlete: &JumpingAthlete,
    jumps: &[LoadedJump],
    estimate: Mass,
    advised: Mass,
) -> Outcome {
    let heights = jumps.iter().map(|jump| athlete.height(jump.load).in_metres());
    Outcome {
        jumps: jumps.len(),
        error_kg: (estimate - athlete.peak_load()).in_kilograms(),
        loss: athlete.loss(advised),
        covered: None,
        lowest_height_m: heights.fold(f64::INFINITY, f64::min),
    }
}

fn read_ladder(athlete: &JumpingAthlete, jumps: &[LoadedJump], reading: LadderReading) -> Outcome {
    if reading == LadderReading::Profile {
        let choices = loadable(athlete.body_mass).into_iter().chain([Mass::ZERO]);
        let advised =
            profile_of(athlete, jumps).and_then(|profile| profile.least_loss_among(choices));
        return with_profile(athlete, jumps, advised);
    }
    let limit = athlete.body_mass * 1.25;
    let found = match reading {
        LadderReading::StraightLine => straight_line_peak(athlete, jumps),
        LadderReading::Quadratic => quadratic_peak(athlete, jumps),
        LadderReading::LogLinear => log_linear_peak(athlete, jumps),
        LadderReading::ForceVelocityLine => force_velocity_peak(athlete, jumps),
        LadderReading::BestTested | LadderReading::Profile => None,
    };
    // A reading that fails falls back on what was seen.
    let load = found.unwrap_or_else(|| best_tested(athlete, jumps)).max(Mass::ZERO).min(limit);
    outcome(athlete, jumps, load, load)
}

fn height_m(jump: &LoadedJump) -> f64 {
    jump.height(STANDARD_GRAVITY).in_metres()
}

fn line_through(points: impl Iterator<Item = (f64, f64)>) -> Option<Line> {
    let points: Vec<(f64, f64)> = points.collect();
    Line::through(&points).ok().filter(|line| line.slope < 0.0)
}

fn straight_line_peak(athlete: &JumpingAthlete, jumps: &[LoadedJump]) -> Option<Mass> {
    let line = line_through(jumps.iter().map(|jump| (jump.load.in_kilograms(), height_m(jump))))?;
    let zero_height_load = Mass::kilograms(-line.intercept / line.slope);
    Some(HeightFall::Power { exponent: 1, zero_height_load }.peak_load(athlete.body_mass))
}

fn log_linear_peak(athlete: &JumpingAthlete, jumps: &[LoadedJump]) -> Option<Mass> {
    let logs = jumps.iter().map(|jump| (jump.load.in_kilograms(), height_m(jump).ln()));
    let decay_load = Mass::kilograms(-1.0 / line_through(logs)?.slope);
    Some(HeightFall::Exponential { decay_load }.peak_load(athlete.body_mass))
}

fn quadratic_peak(athlete: &JumpingAthlete, jumps: &[LoadedJump]) -> Option<Mass> {
    let loads: Vec<f64> = jumps.iter().map(|jump| jump.load.in_kilograms()).collect();
    let heights: Vec<f64> = jumps.iter().map(height_m).collect();
    let [unloaded, linear, square] = parabola(&loads, &heights)?;
    let fall =
        QuadraticFall { linear_per_kg: -linear / unloaded, square_per_kg2: square / unloaded };
    if fall.square_per_kg2 > 1e-9 {
        return fall.peak_load(athlete.body_mass);
    }
    straight_line_peak(athlete, jumps)
}

/// Least squares for `c0 + c1 x + c2 x²`, by orthogonal polynomials.
pub(crate) fn parabola(x: &[f64], y: &[f64]) -> Option<[f64; 3]> {
    let mean = |values: &mut dyn Iterator<Item = f64>| values.sum::<f64>() / x.len() as f64;
    let centre = mean(&mut x.iter().copied());
    let first: Vec<f64> = x.iter().map(|x| x - centre).collect();
    let spread = mean(&mut first.iter().map(|a| a * a));
    let tilt = mean(&mut first.iter().map(|a| a * a * a)) / spread;
    let second: Vec<f64> = first.iter().map(|a| a * a - tilt * a - spread).collect();
    let size = mean(&mut second.iter().map(|b| b * b));
    if spread <= 0.0 || size <= 0.0 {
        return None;
    }
    let c = mean(&mut y.iter().copied());
    let c1 = mean(&mut first.iter().zip(y).map(|(a, y)| a * y)) / spread;
    let c2 = mean(&mut second.iter().zip(y).map(|(b, y)| b * y)) / size;
    let slope = c1 - c2 * tilt;
    let square = c2;
    Some([
        c - c2 * spread - slope * centre + square * centre * centre,
        slope - 2.0 * square * centre,
        square,
    ])
}

fn force_velocity_peak(athlete: &JumpingAthlete, jumps: &[LoadedJump]) -> Option<Mass> {
    let push_off = Length::metres(0.40);
    let line = line_through(jumps.iter().map(|jump| {
        let height = jump.height(STANDARD_GRAVITY);
        let weight = (athlete.body_mass + jump.load) * STANDARD_GRAVITY;
        let mean_force = weight * (height / push_off + 1.0);
        let mean_velocity = take_off_velocity(height, STANDARD_GRAVITY) / 2.0;
        (mean_velocity.in_metres_per_second(), mean_force.in_newtons())
    }))?;
    let line = ForceVelocityFall {
        maximum_force: Force::newtons(line.intercept),
        maximum_velocity: Velocity::metres_per_second(-line.intercept / line.slope),
        push_off,
        gravity: STANDARD_GRAVITY,
    };
    Some(line.peak_system_mass() - athlete.body_mass)
}

fn best_tested(athlete: &JumpingAthlete, jumps: &[LoadedJump]) -> Mass {
    let mean_momentum = |load: Mass| {
        let at_load = jumps.iter().filter(|jump| jump.load == load);
        let velocities =
            at_load.map(|jump| take_off_velocity(jump.height(STANDARD_GRAVITY), STANDARD_GRAVITY));
        let velocities: Vec<f64> = velocities.map(Velocity::in_metres_per_second).collect();
        (athlete.body_mass + load).in_kilograms() * velocities.iter().sum::<f64>()
            / velocities.len() as f64
    };
    let loads = jumps.iter().map(|jump| jump.load);
    loads
        .reduce(|best, next| if mean_momentum(next) > mean_momentum(best) { next } else { best })
        .unwrap_or(Mass::ZERO)
}

fn summarize(outcomes: &[Outcome]) -> Summary {
    let mean =
        |of: &dyn Fn(&Outcome) -> f64| outcomes.iter().map(of).sum::<f64>() / outcomes.len() as f64;
    let share =
        |holds: &dyn Fn(&Outcome) -> bool| mean(&|outcome| f64::from(u8::from(holds(outcome))));
    let mut jumps: Vec<usize> = outcomes.iter().map(|outcome| outcome.jumps).collect();
    jumps.sort_unstable();
    let has_interval = outcomes.iter().all(|outcome| outcome.covered.is_some());
    Summary {
        mean_jumps: mean(&|outcome| outcome.jumps as f64),
        jumps_90th_percentile: jumps[(jumps.len() * 9).div_ceil(10) - 1],
        root_mean_square_error_kg: mean(&|outcome| outcome.error_kg.powi(2)).sqrt(),
        mean_loss: mean(&|outcome| outcome.loss),
        share_within_2_percent: share(&|outcome| outcome.loss <= 0.02),
        coverage: has_interval.then(|| share(&|outcome| outcome.covered == Some(true))),
        share_below_10_cm: share(&|outcome| outcome.lowest_height_m < 0.10),
    }
}
