//! What is known before the first jump, as a named and sourced struct.

use super::fall::FallFamily;
use super::jump::LoadMomentumError;
use super::shape::take_off_velocity;
use crate::units::{Acceleration, Length, Velocity};

/// Starting knowledge of a load-momentum profile.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadMomentumPriors {
    /// Name for the working: "straight bar".
    pub name: &'static str,
    /// Where the numbers are from.
    pub source: &'static str,
    /// Probability of each family of falls; need not sum to 1.
    pub families: [(FallFamily, f64); 7],
    /// Mean share of the unloaded height that is left at half body mass.
    pub share_at_half_body_mass: f64,
    /// Its spread among athletes: scale of a Student's t of three degrees, whose heavy tails let
    /// an unusual athlete's jumps speak.
    pub share_sd: f64,
    /// Mean unloaded height.
    pub unloaded_height: Length,
    /// Its spread (SD) among athletes, at the typical noise.
    pub unloaded_height_sd: Length,
    /// Typical noise (SD) of one unloaded jump; with a load heights stray less, in proportion to
    /// velocity.
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
                 18:551); unloaded height 0.38 m, SD 0.07 m, from memory; weights of the \
                 families: chosen so that no kind of fall is much worse off than by simple rules \
                 (docs/momentum-loss.md)",
        families: [
            (FallFamily::StraightLine, 0.15),
            (FallFamily::StraightVelocity, 0.18),
            (FallFamily::Curved, 0.12),
            (FallFamily::ForceVelocityLike, 0.20),
            (FallFamily::Domed, 0.10),
            (FallFamily::Sigmoid, 0.10),
            (FallFamily::Knee, 0.15),
        ],
        share_at_half_body_mass: 0.57,
        share_sd: 0.08,
        unloaded_height: Length::metres(0.38),
        unloaded_height_sd: Length::metres(0.07),
        noise_sd: Length::metres(0.012),
        noise_shape: 3.0,
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

    /// How probable a share at half body mass is beside others, up to a factor.
    pub(super) fn density_of_share(&self, share: f64) -> f64 {
        let z = (share - self.share_at_half_body_mass) / self.share_sd;
        (1.0 + z * z / 3.0).powi(-2)
    }

    pub(super) fn unloaded_velocity(&self, gravity: Acceleration) -> Velocity {
        take_off_velocity(self.unloaded_height, gravity)
    }

    pub(super) fn unloaded_velocity_sd(&self, gravity: Acceleration) -> Velocity {
        self.in_velocity(self.unloaded_height_sd, gravity)
    }

    /// Typical noise of the take-off velocity, the same at every load.
    pub(super) fn noise_of_velocity(&self, gravity: Acceleration) -> Velocity {
        self.in_velocity(self.noise_sd, gravity)
    }

    /// What a small difference in height is in velocity, at the unloaded height: `dv = v dh / 2h`.
    fn in_velocity(&self, difference: Length, gravity: Acceleration) -> Velocity {
        self.unloaded_velocity(gravity) * (0.5 * (difference / self.unloaded_height))
    }
}

impl Default for LoadMomentumPriors {
    fn default() -> Self {
        Self::STRAIGHT_BAR
    }
}
