//! What is known before the first jump, as a named and sourced struct.

use super::jump::LoadMomentumError;
use super::shape::FallFamily;
use crate::units::Length;

/// Starting knowledge of a load-momentum profile.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadMomentumPriors {
    /// Name for the working: "straight bar".
    pub name: &'static str,
    /// Where the numbers are from.
    pub source: &'static str,
    /// Probability of each family of falls; need not sum to 1.
    pub families: [(FallFamily, f64); 4],
    /// Mean share of the unloaded height that is left at half body mass.
    pub share_at_half_body_mass: f64,
    /// Its spread (SD) among athletes.
    pub share_sd: f64,
    /// Mean unloaded height.
    pub unloaded_height: Length,
    /// Its spread (SD) among athletes, at the typical noise.
    pub unloaded_height_sd: Length,
    /// Typical noise (SD) of one jump.
    pub noise_sd: Length,
    /// Shape of the inverse gamma of the noise variance, above 1: the larger, the surer.
    pub noise_shape: f64,
}

impl LoadMomentumPriors {
    /// A bar on the shoulders.
    pub const STRAIGHT_BAR: Self = Self {
        name: "straight bar",
        source: "height left at half body mass: 0.54 to 0.64 by five curves fitted to the group \
                 means of Lake et al. 2021 (J Strength Cond Res 35:25-32); noise of one jump: \
                 coefficient of variation 2.4 to 4.6 % (Markovic et al. 2004, J Strength Cond Res \
                 18:551); unloaded height 0.38 m, SD 0.07 m, from memory",
        families: [
            (FallFamily::StraightLine, 0.15),
            (FallFamily::StraightVelocity, 0.25),
            (FallFamily::Curved, 0.30),
            (FallFamily::ForceVelocityLike, 0.30),
        ],
        share_at_half_body_mass: 0.57,
        share_sd: 0.08,
        unloaded_height: Length::metres(0.38),
        unloaded_height_sd: Length::metres(0.07),
        noise_sd: Length::metres(0.012),
        noise_shape: 4.0,
    };

    /// A bar held at arms' length around the body: jumps are higher at the same load than with
    /// the bar on the shoulders (Swinton et al. 2012, J Strength Cond Res 26:906).
    pub const HEX_BAR: Self = Self {
        name: "hex bar",
        source: "as for the straight bar, with more height left at half body mass (0.62, SD 0.09: \
                 from memory), since hex-bar jumps are higher at the same load (Swinton et al. \
                 2012, J Strength Cond Res 26:906)",
        share_at_half_body_mass: 0.62,
        share_sd: 0.09,
        ..Self::STRAIGHT_BAR
    };

    pub(super) fn check(&self) -> Result<(), LoadMomentumError> {
        let above_zero = [
            self.share_at_half_body_mass,
            self.share_sd,
            self.unloaded_height.in_metres(),
            self.unloaded_height_sd.in_metres(),
            self.noise_sd.in_metres(),
            self.noise_shape - 1.0,
            self.families.iter().map(|(_, weight)| weight).sum(),
        ];
        let usable = above_zero.iter().all(|value| value.is_finite() && *value > 0.0)
            && self.families.iter().all(|(_, weight)| *weight >= 0.0);
        if usable { Ok(()) } else { Err(LoadMomentumError::Priors { name: self.name }) }
    }

    /// Variance of the unloaded height in units of the noise variance.
    pub(super) fn height_spread_ratio(&self) -> f64 {
        (self.unloaded_height_sd / self.noise_sd).powi(2)
    }

    /// Rate of the inverse gamma, so that the mean noise variance is the typical one.
    pub(super) fn noise_rate_m2(&self) -> f64 {
        (self.noise_shape - 1.0) * self.noise_sd.in_metres().powi(2)
    }
}

impl Default for LoadMomentumPriors {
    fn default() -> Self {
        Self::STRAIGHT_BAR
    }
}
