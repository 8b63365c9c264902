//! How the peak came about: what 'why?' shows.

use super::fall::FallFamily;
use super::profile::LoadMomentumProfile;
use crate::working::{Input, Working};

impl LoadMomentumProfile {
    /// The working of the peak load.
    pub fn peak_working(&self) -> Working {
        let peak = self.peak();
        let level = peak.load.level;
        Working {
            title: "load where momentum at take-off peaks".to_owned(),
            method: "load-momentum-curve-average",
            version: 2,
            inputs: self.working_inputs(),
            steps: self.working_steps(),
            source: "net impulse equals momentum at take-off (Linthorne 2001, Am J Phys 69:1198); \
                     normal-inverse-gamma updates (Gelman et al., Bayesian Data Analysis, 3rd ed., \
                     ch. 14); average over curves weighed by their evidence (Hoeting et al. 1999, \
                     Stat Sci 14:382)",
            doubt: format!(
                "{level} of what is believed after these jumps lies between {:.0} and {:.0} kg. \
                 Another day adds its own doubt: jump heights differ by 5 to 6 % from day to day.",
                peak.load.interval.low.in_kilograms(),
                peak.load.interval.high.in_kilograms()
            ),
        }
    }

    fn working_inputs(&self) -> Vec<Input> {
        let priors = &self.settings.priors;
        let gravity = self.settings.gravity.in_metres_per_second_squared();
        let head = [
            Input::new("body mass", format!("{:.1} kg", self.body_mass.in_kilograms())),
            Input::new("jumps", self.points.len().to_string()),
            Input::new("height measured by", self.method.word()),
            Input::new("gravity", format!("{gravity} m/s²")),
            Input::new("starting knowledge", format!("{}: {}", priors.name, priors.source)),
        ];
        let jump = |(index, point): (usize, &super::profile::ProfilePoint)| {
            let value = format!(
                "{:.1} kg, {:.1} cm",
                point.load.in_kilograms(),
                point.height.in_centimetres()
            );
            Input::new(format!("jump {}", index + 1), value)
        };
        head.into_iter().chain(self.points.iter().enumerate().map(jump)).collect()
    }

    fn working_steps(&self) -> Vec<String> {
        let peak = self.peak();
        let (mass, load) = (self.body_mass.in_kilograms(), peak.load.value.in_kilograms());
        let gravity = self.settings.gravity.in_metres_per_second_squared();
        let height = peak.height.in_metres();
        let weights = FallFamily::ALL.iter().zip(self.family_probabilities());
        let weighed: Vec<String> =
            weights.map(|(family, weight)| format!("{} {weight:.2}", family.label())).collect();
        vec![
            format!("how height falls with load, weighed by the jumps: {}", weighed.join(", ")),
            "each fall peaks where -d ln h / dL = 2 / (M + L)".to_owned(),
            format!("mean of their peaks, by weight: L = {load:.1} kg"),
            format!(
                "height there {height:.3} m, {:.0} % of the unloaded {:.3} m",
                peak.height_fraction_of_unloaded * 100.0,
                self.unloaded_height().in_metres()
            ),
            format!(
                "momentum there (M + L) sqrt(2 g h) = ({mass:.1} + {load:.1}) × sqrt(2 × {gravity} × \
                 {height:.3}) = {:.1} kg m/s",
                self.momentum(peak.load.value).value.in_kilogram_metres_per_second()
            ),
            format!(
                "each fall at its own peak, by weight: {:.1} kg m/s",
                peak.momentum.value.in_kilogram_metres_per_second()
            ),
        ]
    }
}
