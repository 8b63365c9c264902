//! What one more jump would teach.

use super::mixture::Component;
use super::profile::LoadMomentumProfile;
use crate::units::Mass;

/// Velocities tried across the prediction of the next jump.
const VELOCITIES: usize = 121;
/// How far they reach, in predictive standard deviations.
const REACH_SDS: f64 = 6.0;
/// Falls less probable than this are left out.
const NEGLIGIBLE: f64 = 1e-8;

impl LoadMomentumProfile {
    /// SD the peak load is expected to be known with after one more jump at a load.
    ///
    /// Each velocity the jump may have is weighed by its predictive probability; the root of the
    /// mean posterior variance is returned. No fit is repeated: the weight of a fall times the
    /// density it gives a velocity is its posterior weight after that jump.
    pub fn peak_load_sd_after(&self, load: Mass) -> Mass {
        let prediction = self.posterior.next_velocity(load / self.body_mass);
        let (mean, sd) = (prediction.mean(), prediction.sd());
        let likely: Vec<(&Component, f64)> = (prediction.components.iter())
            .zip(self.posterior.likely().map(|(_, node)| node.peak))
            .filter(|(part, _)| part.weight > NEGLIGIBLE)
            .collect();
        let (mut variance, mut total) = (0.0, 0.0);
        for step in 0..VELOCITIES {
            let velocity =
                mean + sd * REACH_SDS * (2.0 * step as f64 / (VELOCITIES - 1) as f64 - 1.0);
            let (mut weight, mut first, mut second) = (0.0, 0.0, 0.0);
            for (part, peak) in &likely {
                let joint = part.weight * density(part, velocity, prediction.degrees);
                weight += joint;
                first += joint * peak;
                second += joint * peak * peak;
            }
            variance += second - first * first / weight;
            total += weight;
        }
        self.body_mass * (variance / total).max(0.0).sqrt()
    }
}

/// Student's density up to a factor that all parts share.
fn density(part: &Component, velocity: f64, degrees: f64) -> f64 {
    let z = (velocity - part.location) / part.scale;
    (-0.5 * (degrees + 1.0) * (1.0 + z * z / degrees).ln()).exp() / part.scale
}
