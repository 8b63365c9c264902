//! Invented evenings for the rotation: athletes whose loads are like those of a mixed squad, on
//! stations that share bars and plates.

use cornerwork_core::prescription::rotation::{Mover, RotationTask, Setup, StationWork};
use cornerwork_core::units::Duration;
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// How an evening is drawn.
#[derive(Clone, Copy, Debug)]
pub struct Evening {
    /// Athletes.
    pub people: usize,
    /// Stations: boxes, throws, loaded jumps, jerks, in that order; two to four.
    pub stations: usize,
    /// Same seed, same evening.
    pub seed: u64,
}

/// Plates in pairs: 20, 15, 10, 5, 2.5, 1.25 kg.
const PLATES_G: [i64; 6] = [20_000, 15_000, 10_000, 5_000, 2_500, 1_250];
const PAIRS: [u32; 6] = [2, 1, 3, 3, 3, 2];
const LIGHT_LANDMINE: usize = 0;
const HEAVY_LANDMINE: usize = 1;
const HEX: usize = 2;
const BOXES: usize = 3;

impl Evening {
    /// The evening as a task. One athlete in ten leaves a station out; one evening in four has
    /// someone come a round late.
    pub fn task(&self) -> RotationTask {
        let mut chance = ChaCha8Rng::seed_from_u64(self.seed);
        let late = chance.random_bool(0.25);
        let mut people: Vec<Mover> = (0..self.people).map(|_| self.mover(&mut chance)).collect();
        if late && let Some(first) = people.first_mut() {
            first.from_round = 1;
        }
        let work = |sets, set_s| StationWork {
            sets,
            set: Duration::seconds(set_s),
            rest: Duration::seconds(120.0),
        };
        let stations = vec![work(4, 45.0), work(3, 90.0), work(5, 30.0), work(4, 60.0)];
        RotationTask {
            stations: stations.into_iter().take(self.stations).collect(),
            people,
            plates: PAIRS.map(|pairs| 2 * pairs).to_vec(),
            standing: Vec::new(),
            change: Duration::seconds(30.0),
            move_on: Duration::seconds(120.0),
        }
    }

    fn mover(&self, chance: &mut impl Rng) -> Mover {
        let strength: f64 = chance.random_range(0.0..1.0);
        let mut step = |low: f64, high: f64, spread: f64, size: i64| {
            let own = strength + chance.random_range(-spread..spread);
            let value = low + (high - low) * own.clamp(0.0, 1.0);
            (value / size as f64).round() as i64 * size
        };
        let box_mm = step(200.0, 450.0, 0.2, 50);
        let throw = step(15_000.0, 35_000.0, 0.15, 2_500);
        let hex = step(22_500.0, 70_000.0, 0.15, 2_500);
        let jerk = step(15_000.0, 47_500.0, 0.15, 2_500);
        let boxed = Setup { implement: Some(BOXES), amount: box_mm, plates: Vec::new() };
        let throw = hung(LIGHT_LANDMINE, throw, 15_000, 1);
        let setups = [boxed, throw, hung(HEX, hex, 15_000, 2), landmine(jerk)];
        let mut visits: Vec<Option<Setup>> =
            setups.into_iter().take(self.stations).map(Some).collect();
        if chance.random_bool(0.1) {
            let place = chance.random_range(0..visits.len());
            visits[place] = None;
        }
        Mover { from_round: 0, until_round: None, visits }
    }
}

/// Jerks are done on the 20 kg bar where that is light enough, else on the one of the throws.
fn landmine(grams: i64) -> Setup {
    if grams >= 20_000 {
        hung(HEAVY_LANDMINE, grams, 20_000, 1)
    } else {
        hung(LIGHT_LANDMINE, grams, 15_000, 1)
    }
}

/// The largest plates that fit, on so many sleeves.
fn hung(implement: usize, grams: i64, bar: i64, sleeves: u32) -> Setup {
    let mut left = (grams - bar) / i64::from(sleeves);
    let plates = PLATES_G
        .iter()
        .map(|&plate| {
            let count = (left / plate).max(0);
            left -= count * plate;
            u32::try_from(count).unwrap_or(0) * sleeves
        })
        .collect();
    Setup { implement: Some(implement), amount: grams, plates }
}
