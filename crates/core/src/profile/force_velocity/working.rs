//! How a force-velocity profile came about.

use super::profile::ForceVelocityProfile;
use crate::units::Length;
use crate::working::{Input, Working};

impl ForceVelocityProfile {
    /// Unloaded height the line itself predicts: where its power just lifts the body.
    pub fn predicted_height(&self) -> Length {
        let (force, velocity) =
            (self.force.value.in_newtons(), self.velocity.value.in_metres_per_second());
        let (mass, push_off) = (self.body_mass.in_kilograms(), self.push_off.in_metres());
        let g = self.gravity.in_metres_per_second_squared();
        // Take-off velocity v with mean force m (g + v²/2d) on the line F0 (1 - v/2V0).
        let fall = force / (2.0 * velocity);
        let lift = (fall.powi(2) + 2.0 * mass / push_off * (force - mass * g)).sqrt();
        let take_off = push_off / mass * (lift - fall);
        Length::metres(take_off.powi(2) / (2.0 * g))
    }

    /// How the numbers came about.
    pub fn working(&self) -> Working {
        let (force, velocity) =
            (self.force.value.in_newtons(), self.velocity.value.in_metres_per_second());
        let best = &self.balance.best;
        let percent = &self.balance.percent;
        let per_kg = self.slope_n_s_m_kg.value;
        let mut steps: Vec<String> = self
            .points
            .iter()
            .map(|point| {
                format!(
                    "{:.1} kg: force {:.1} N, velocity {:.4} m/s",
                    point.load.in_kilograms(),
                    point.force.in_newtons(),
                    point.velocity.in_metres_per_second()
                )
            })
            .collect();
        steps.extend([
            format!("force at no velocity {force:.1} N, velocity at no force {velocity:.3} m/s"),
            format!(
                "power = {force:.1} x {velocity:.3} / 4 = {:.0} W",
                self.power.value.in_watts()
            ),
            format!(
                "balance = 100 x {per_kg:.3} / {:.3} = {:.0} %",
                best.slope_n_s_m_kg, percent.value
            ),
        ]);
        Working {
            title: "force-velocity profile of jumping".into(),
            method: "force-velocity-from-heights",
            version: 1,
            inputs: self.inputs(),
            steps,
            source: "Samozino et al. 2008, J Biomech 41:2940; best slope Samozino et al. 2012, Med \
                     Sci Sports Exerc 44:313",
            doubt: format!(
                "balance {:.0} to {:.0} % at {} within one day; a hypothesis, not a \
                 prescription",
                percent.interval.low, percent.interval.high, percent.level
            ),
        }
    }

    fn inputs(&self) -> Vec<Input> {
        let heights = self.points.iter().map(|point| {
            Input::new(
                format!("{:.1} kg", point.load.in_kilograms()),
                format!("{:.1} cm, mean of {}", point.height.in_centimetres(), point.jumps),
            )
        });
        [
            Input::new("body mass", format!("{:.1} kg", self.body_mass.in_kilograms())),
            Input::new(
                "push-off distance",
                format!(
                    "{:.1} cm, give or take {:.1} cm",
                    self.push_off.in_centimetres(),
                    self.push_off_sd.in_centimetres()
                ),
            ),
            Input::new("scatter of a jump", format!("{:.1} cm", self.height_sd.in_centimetres())),
        ]
        .into_iter()
        .chain(heights)
        .collect()
    }
}
