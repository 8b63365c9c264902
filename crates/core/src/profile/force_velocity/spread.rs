//! Doubt of the answers, carried from the heights to first order.

use super::profile::{Answers, ForceVelocityError, HeightAtLoad, Heights};
use crate::estimate::{Estimate, Interval, Level};
use crate::stats::line::Noise;

/// Least standard deviation taken for one jump, m: tests of jump height scatter by 2.4 to 4.6 %
/// (Markovic et al. 2004, J Strength Cond Res 18:551), about 1 cm, and a few jumps that happen to
/// agree do not disprove it.
const LEAST_HEIGHT_SD_M: f64 = 0.01;
/// Step of the numerical derivatives, m.
const STEP_M: f64 = 1e-5;

/// Scatter of one jump: pooled within loads, or the least taken for known.
pub(super) fn height_noise(jumps: &[HeightAtLoad], loads: usize) -> Noise {
    let degrees = jumps.len().saturating_sub(loads) as f64;
    let squares: f64 = jumps
        .iter()
        .map(|jump| {
            let same: Vec<f64> = jumps
                .iter()
                .filter(|other| other.load == jump.load)
                .map(|other| other.height.in_metres())
                .collect();
            let mean = same.iter().sum::<f64>() / same.len() as f64;
            (jump.height.in_metres() - mean).powi(2)
        })
        .sum();
    let sd = (squares / degrees).sqrt();
    if degrees > 0.0 && sd > LEAST_HEIGHT_SD_M {
        Noise { sd, degrees_of_freedom: Some(degrees) }
    } else {
        Noise::known(LEAST_HEIGHT_SD_M)
    }
}

/// What the answers become when one input moves by its own standard error.
pub(super) struct Spread {
    /// Answers one step up and one step down of each input, and the input's standard error.
    moved: Vec<(Answers, Answers, f64)>,
    reach: f64,
    level: Level,
}

impl Spread {
    /// The spread from independent errors of every mean height and of the push-off distance.
    pub(super) fn of(
        heights: &Heights,
        noise: Noise,
        push_off_sd_m: f64,
        level: Level,
    ) -> Result<Self, ForceVelocityError> {
        let answers = |change: &dyn Fn(&mut Heights, f64), step: f64| {
            let mut moved = heights.clone();
            change(&mut moved, step);
            moved.answers().map(|(_, answers)| answers)
        };
        let both = |change: &dyn Fn(&mut Heights, f64), error: f64| {
            Ok((answers(change, STEP_M)?, answers(change, -STEP_M)?, error))
        };
        let mut moved = (0..heights.heights_m.len())
            .map(|at| {
                let error = noise.sd / (heights.counts[at] as f64).sqrt();
                both(&|heights: &mut Heights, step| heights.heights_m[at] += step, error)
            })
            .collect::<Result<Vec<_>, _>>()?;
        moved.push(both(&|heights: &mut Heights, step| heights.push_off_m += step, push_off_sd_m)?);
        Ok(Self { moved, reach: noise.reach(level), level })
    }

    /// Relative standard error of one answer.
    pub(super) fn relative_error(&self, of: impl Fn(&Answers) -> f64) -> f64 {
        let part = |(up, down, error): &(Answers, Answers, f64)| {
            ((of(up) / of(down)).ln() / (2.0 * STEP_M) * error).powi(2)
        };
        self.moved.iter().map(part).sum::<f64>().sqrt()
    }

    /// The answer with its interval: the same factor up and down.
    pub(super) fn around(&self, value: f64, of: impl Fn(&Answers) -> f64) -> Estimate<f64> {
        let factor = (self.reach * self.relative_error(of)).exp();
        let interval = Interval::between(value / factor, value * factor);
        Estimate { value, interval, level: self.level }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Body mass 80 kg, push-off 0.40 m, force 2808 N and velocity 3.0 m/s exactly.
    fn heights(jumps_a_load: usize) -> Heights {
        Heights {
            loads_kg: vec![0.0, 20.0, 40.0, 60.0, 80.0],
            heights_m: vec![0.38000, 0.28993, 0.22220, 0.16941, 0.12724],
            counts: vec![jumps_a_load; 5],
            body_mass_kg: 80.0,
            push_off_m: 0.40,
            gravity: 9.81,
        }
    }

    fn percent(jumps_a_load: usize, height_sd_m: f64) -> [f64; 4] {
        let noise = Noise::known(height_sd_m);
        let spread = Spread::of(&heights(jumps_a_load), noise, 0.0, Level::USUAL).unwrap();
        [
            spread.relative_error(|a| a.force_n),
            spread.relative_error(|a| a.velocity_m_s),
            spread.relative_error(|a| a.power_w),
            spread.relative_error(|a| a.slope_n_s_m_kg),
        ]
        .map(|error| 100.0 * error)
    }

    // Robust variation in % of F0, V0, Pmax and slope over simulated noisy heights of the same
    // athlete (numpy, separate from this code). First order reaches them within a tenth.
    #[test]
    fn first_order_agrees_with_simulation() {
        let rows = [
            (1, 0.010, [4.6, 7.7, 3.4, 12.2]),
            (1, 0.012, [5.7, 9.4, 4.2, 14.9]),
            (1, 0.015, [7.1, 12.0, 5.4, 18.8]),
            (2, 0.010, [3.4, 5.5, 2.4, 8.8]),
            (2, 0.012, [4.1, 6.6, 2.9, 10.7]),
            (2, 0.015, [5.1, 8.5, 3.8, 13.5]),
        ];
        for (jumps, sd, simulated) in rows {
            for (found, simulated) in percent(jumps, sd).into_iter().zip(simulated) {
                assert!((found / simulated - 1.0).abs() < 0.1, "{found} for {simulated}");
            }
        }
    }
}
