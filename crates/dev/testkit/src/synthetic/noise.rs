//! Seeded noise.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};

/// The signal with Gaussian noise of a standard deviation, the same for the same seed. A negative
/// or non-finite standard deviation counts as none.
pub fn noisy(values: &[f64], standard_deviation: f64, seed: u64) -> Vec<f64> {
    let Ok(noise) = Normal::new(0.0, standard_deviation.max(0.0)) else { return values.to_vec() };
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    values.iter().map(|value| value + noise.sample(&mut random)).collect()
}
