//! What the advised load loses of the peak momentum, beside two rules that anyone can use: a
//! parabola through measured momentum kept within the tested loads, and the best measured load.

use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, next_load};
use cornerwork_core::profile::load_momentum::{
    LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::units::{Mass, STANDARD_GRAVITY};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::falling_athlete::{FallNoise, FallTruth, FallingAthlete};
use crate::load_test_simulation::{loadable, parabola, ramp};

/// How an athlete is tested.
#[derive(Clone, Debug)]
pub enum Test {
    /// Loads in body masses, each jumped with so many times.
    Ladder(&'static [f64], usize),
    /// The program chooses each load and when to stop; a trained adult, a bar of 20 kg.
    Guided(NextLoadRules),
}

/// One athlete's test read three ways.
#[derive(Clone, Copy, Debug)]
pub struct Reading {
    /// Jumps made.
    pub jumps: usize,
    /// Loss with the load advised.
    pub advised: f64,
    /// Loss with the top of the parabola.
    pub parabola: f64,
    /// Loss with the best measured load.
    pub best_measured: f64,
    /// Whether the 90 % interval of the peak load holds the true one, ends included: a peak at the
    /// search limit is held by an interval that reaches it.
    pub load_held: bool,
    /// Whether the 90 % interval of the peak's momentum holds the true one.
    pub momentum_held: bool,
    /// Whether the answer says that it cannot see a knee.
    pub warned: bool,
    /// Whether the peak lies past the heaviest load jumped with.
    pub past_tested: bool,
}

/// Runs one test on so many athletes; athlete and jumps are the same whatever reads them.
pub fn readings(
    truth: FallTruth,
    noise: FallNoise,
    body_mass: Mass,
    test: &Test,
    athletes: usize,
    seed: u64,
) -> Vec<Reading> {
    let read = |number: usize| {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        random.set_stream(number as u64);
        let athlete = FallingAthlete::draw(truth, body_mass, noise, &mut random);
        let mut jump = |load: f64| athlete.jump(load, &mut random);
        let jumps: Vec<LoadedJump> = match test {
            Test::Ladder(loads, times) => loads
                .iter()
                .flat_map(|load| std::iter::repeat_n(*load, *times))
                .filter_map(&mut jump)
                .collect(),
            Test::Guided(rules) => guided(body_mass, rules, jump),
        };
        reading(&athlete, &jumps)
    };
    (0..athletes).map(read).collect()
}

fn guided(
    body_mass: Mass,
    rules: &NextLoadRules,
    mut jump: impl FnMut(f64) -> Option<LoadedJump>,
) -> Vec<LoadedJump> {
    let loads = loadable(body_mass);
    let mut jumps = Vec::new();
    loop {
        let profile = (!jumps.is_empty()).then(|| profile_of(body_mass, &jumps));
        let heaviest = ramp(body_mass, &jumps, &loads).heaviest_next();
        let NextLoad::Test(test) = next_load(profile.as_ref(), &loads, heaviest, rules) else {
            return jumps;
        };
        match jump(test.load / body_mass) {
            Some(jump) => jumps.push(jump),
            None => return jumps,
        }
    }
}

fn profile_of(body_mass: Mass, jumps: &[LoadedJump]) -> LoadMomentumProfile {
    LoadMomentumProfile::fit(body_mass, jumps, &LoadMomentumSettings::default())
        .expect("jumps of at least 2 cm")
        .value
}

fn reading(athlete: &FallingAthlete, jumps: &[LoadedJump]) -> Reading {
    let fitted =
        LoadMomentumProfile::fit(athlete.body_mass, jumps, &LoadMomentumSettings::default())
            .expect("jumps of at least 2 cm");
    let warned = fitted.has("knee-not-seen");
    let profile = fitted.value;
    let peak = profile.peak();
    let measured = Measured::of(athlete.body_mass, jumps);
    let true_momentum = athlete.body_mass.in_kilograms() * athlete.momentum(athlete.peak());
    let near = Mass::kilograms(1e-6);
    let true_load = athlete.body_mass * athlete.peak();
    Reading {
        jumps: jumps.len(),
        advised: athlete.loss(profile.best_tested_load() / athlete.body_mass),
        parabola: athlete.loss(measured.top_of_parabola()),
        best_measured: athlete.loss(measured.best()),
        load_held: peak.load.interval.low - near <= true_load
            && true_load <= peak.load.interval.high + near,
        momentum_held: (peak.momentum.interval)
            .map(|momentum| momentum.in_kilogram_metres_per_second())
            .contains(true_momentum),
        warned,
        past_tested: !peak.inside_tested_range,
    }
}

/// Loads in body masses and measured momenta over body mass, as simple rules see them.
struct Measured {
    loads: Vec<f64>,
    momenta: Vec<f64>,
}

impl Measured {
    fn of(body_mass: Mass, jumps: &[LoadedJump]) -> Self {
        let loads: Vec<f64> = jumps.iter().map(|jump| jump.load / body_mass).collect();
        let momenta = jumps.iter().zip(&loads).map(|(jump, load)| {
            let doubled = 2.0 * STANDARD_GRAVITY.in_metres_per_second_squared();
            (1.0 + load) * (doubled * jump.height(STANDARD_GRAVITY).in_metres()).sqrt()
        });
        Self { momenta: momenta.collect(), loads }
    }

    fn best(&self) -> f64 {
        let mean = |load: f64| {
            let at = self.loads.iter().zip(&self.momenta).filter(|(other, _)| **other == load);
            let (sum, count) = at.fold((0.0, 0.0), |(sum, count), (_, p)| (sum + p, count + 1.0));
            sum / count
        };
        let better = |best: f64, next| if mean(next) > mean(best) { next } else { best };
        self.loads.iter().copied().fold(self.loads[0], better)
    }

    fn top_of_parabola(&self) -> f64 {
        let (low, high) = self.ends();
        let Some([_, slope, square]) = parabola(&self.loads, &self.momenta) else {
            return self.best();
        };
        let at = |load: f64| slope * load + square * load * load;
        if square < 0.0 {
            return (-slope / (2.0 * square)).clamp(low, high);
        }
        if at(high) > at(low) { high } else { low }
    }

    fn ends(&self) -> (f64, f64) {
        self.loads
            .iter()
            .fold((f64::INFINITY, 0.0), |(low, high), load| (low.min(*load), high.max(*load)))
    }
}

/// Readings in a few figures.
#[derive(Clone, Copy, Debug)]
pub struct LossSummary {
    /// Mean number of jumps.
    pub jumps: f64,
    /// Mean loss and mean of the worst 5 %: advised load.
    pub advised: [f64; 2],
    /// The same for the parabola.
    pub parabola: [f64; 2],
    /// The same for the best measured load.
    pub best_measured: [f64; 2],
    /// Share of intervals of the peak load that hold it.
    pub load_held: f64,
    /// Share of intervals of the peak's momentum that hold it.
    pub momentum_held: f64,
    /// Share of answers that say they cannot see a knee.
    pub warned: f64,
    /// Share of tests that end short of the peak.
    pub past_tested: f64,
}

/// What the advised load may lose beside the better rule: 15 % and a tenth of a point more.
const ALLOWED: (f64, f64) = (1.15, 0.001);

impl LossSummary {
    /// Of at least one reading.
    pub fn of(readings: &[Reading]) -> Self {
        let share = |of: &dyn Fn(&Reading) -> bool| {
            readings.iter().filter(|one| of(one)).count() as f64 / readings.len() as f64
        };
        let losses = |of: fn(&Reading) -> f64| mean_and_worst(readings.iter().map(of).collect());
        let jumps: usize = readings.iter().map(|one| one.jumps).sum();
        Self {
            jumps: jumps as f64 / readings.len() as f64,
            advised: losses(|one| one.advised),
            parabola: losses(|one| one.parabola),
            best_measured: losses(|one| one.best_measured),
            load_held: share(&|one| one.load_held),
            momentum_held: share(&|one| one.momentum_held),
            warned: share(&|one| one.warned),
            past_tested: share(&|one| one.past_tested),
        }
    }

    /// Whether mean and worst losses are no more than the better rule's, each within what is
    /// allowed.
    pub fn keeps_up(&self) -> [bool; 2] {
        [0, 1].map(|which| {
            let better = self.parabola[which].min(self.best_measured[which]);
            self.advised[which] <= better * ALLOWED.0 + ALLOWED.1
        })
    }
}

fn mean_and_worst(mut losses: Vec<f64>) -> [f64; 2] {
    losses.sort_by(f64::total_cmp);
    let mean = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
    let worst = losses.len().div_ceil(20);
    [mean(&losses), mean(&losses[losses.len() - worst..])]
}
