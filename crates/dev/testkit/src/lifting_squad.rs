//! Invented squads of any size in one lift, for judging how fast lines are fitted.

use cornerwork_core::stats::mixed_line::Group;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use std::fmt::Write;

/// Loads everyone lifts, in kg.
const LOADS: [f64; 5] = [20.0, 35.0, 50.0, 65.0, 80.0];

/// Athletes with five loads each: velocity 1.70 ± 0.14 m/s falling by 0.0100 ± 0.0016 each kg, noise
/// 0.06 m/s; the same athletes for the same count.
pub fn lifting_squad(athletes: usize) -> Vec<Group> {
    let mut random = ChaCha8Rng::seed_from_u64(20_261_125);
    let mut normal = || -> f64 { StandardNormal.sample(&mut random) };
    (0..athletes)
        .map(|_| {
            let (intercept, slope) = (1.70 + 0.14 * normal(), -0.0100 + 0.0016 * normal());
            let point = |x: f64| (x, intercept + slope * x + 0.06 * normal());
            Group::of(LOADS.map(point))
        })
        .collect()
}

/// The same as a table, every digit kept, for other programs.
pub fn as_table(squad: &[Group]) -> String {
    let mut text = "g,x,y\n".to_owned();
    for (number, group) in squad.iter().enumerate() {
        for (x, y) in &group.points {
            // Writing to a text cannot fail.
            let _ = writeln!(text, "{number},{x},{y}");
        }
    }
    text
}
