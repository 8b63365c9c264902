//! Hand velocity from a cable that is tied to the bar somewhere else.

use crate::units::{Length, Velocity};

/// Under this sine or cosine the cable hardly moves as the bar turns (about 10 degrees from dead),
/// and its reading says nothing of the hand (common practice, no source).
const DEAD: f64 = 0.17;

/// How the cable runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cable {
    /// Straight up or down from a point on the bar.
    Vertical {
        /// Along the bar from the pivot to the tie.
        tie_from_pivot: Length,
    },
    /// To a device on the floor in line with the bar, at the height of the pivot.
    ToFloor {
        /// Along the bar from the pivot to the tie.
        tie_from_pivot: Length,
        /// From the pivot to the device.
        device_from_pivot: Length,
    },
}

/// Why a cable reading cannot be turned into a velocity of the hand. Compare it only with
/// readings of the same set-up.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum CableError {
    /// The cable hardly moves at this angle.
    #[error(
        "With the bar at {angle_deg:.0} degrees this cable hardly moves: its velocity says \
         nothing of the hand."
    )]
    Dead {
        /// Angle of the bar above the floor, in degrees.
        angle_deg: f64,
    },
    /// A distance that is not above zero.
    #[error("The cable's distances must be measured from the pivot and lie above zero.")]
    Distance,
}

impl Cable {
    /// Velocity of the hand along its arc when the cable pays out at this velocity.
    ///
    /// The plain ratio of distances is right only with the bar level: it reads a third low at 45
    /// degrees.
    ///
    /// # Errors
    /// [`CableError`]: a dead angle, or distances not above zero.
    pub fn hand_velocity(
        self,
        cable: Velocity,
        bar_angle_rad: f64,
        hand_from_pivot: Length,
    ) -> Result<Velocity, CableError> {
        let lever = self.lever_m(bar_angle_rad)?;
        Ok(cable * (hand_from_pivot.in_metres() / lever))
    }

    /// Cable paid out for one radian of the bar, in metres.
    fn lever_m(self, angle: f64) -> Result<f64, CableError> {
        let dead = CableError::Dead { angle_deg: angle.to_degrees() };
        match self {
            Self::Vertical { tie_from_pivot } if tie_from_pivot > Length::ZERO => {
                let moves = angle.cos().abs() >= DEAD;
                moves.then(|| tie_from_pivot.in_metres() * angle.cos()).ok_or(dead)
            }
            Self::ToFloor { tie_from_pivot, device_from_pivot }
                if tie_from_pivot > Length::ZERO && device_from_pivot > Length::ZERO =>
            {
                let (tie, device) = (tie_from_pivot.in_metres(), device_from_pivot.in_metres());
                let squared = tie.powi(2) + device.powi(2) - 2.0 * tie * device * angle.cos();
                let moves = angle.sin() >= DEAD;
                moves.then(|| tie * device * angle.sin() / squared.sqrt()).ok_or(dead)
            }
            _ => Err(CableError::Distance),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_4;

    const HAND: Length = Length::metres(2.15);
    const TIE: Length = Length::metres(1.6);

    fn hand(cable: Cable, velocity: f64, angle: f64) -> Result<f64, CableError> {
        cable
            .hand_velocity(Velocity::metres_per_second(velocity), angle, HAND)
            .map(Velocity::in_metres_per_second)
    }

    // Closed forms at 45 degrees, cable at 1 m/s: 2.15/(1.6 cos 45°) = 1.9003; and for a device
    // 1.2 m along the floor, omega = 1.133451/(1.6 x 1.2 sin 45°) = 0.834865, times 2.15.
    #[test]
    fn the_hand_moves_as_the_geometry_says() {
        let vertical = Cable::Vertical { tie_from_pivot: TIE };
        assert!((hand(vertical, 1.0, FRAC_PI_4).unwrap() - 1.9003).abs() < 5e-5);
        let floor = Cable::ToFloor { tie_from_pivot: TIE, device_from_pivot: Length::metres(1.2) };
        assert!((hand(floor, 1.0, FRAC_PI_4).unwrap() - 1.794_96).abs() < 5e-6);
    }

    // The lever is the derivative of the cable's length: checked by a small turn of the bar.
    #[test]
    fn a_small_turn_of_the_bar_pays_out_what_is_said() {
        let device = 1.2;
        let floor =
            Cable::ToFloor { tie_from_pivot: TIE, device_from_pivot: Length::metres(device) };
        let length = |angle: f64| {
            let (x, y) = (1.6 * angle.cos() - device, 1.6 * angle.sin());
            x.hypot(y)
        };
        for degrees in [15.0_f64, 30.0, 60.0, 85.0] {
            let (angle, step) = (degrees.to_radians(), 1e-6);
            let paid_out = (length(angle + step) - length(angle - step)) / (2.0 * step);
            assert!((hand(floor, paid_out, angle).unwrap() - 2.15).abs() < 1e-6);
        }
    }

    #[test]
    fn a_dead_cable_is_refused() {
        let vertical = Cable::Vertical { tie_from_pivot: TIE };
        assert!(matches!(hand(vertical, 1.0, 1.45), Err(CableError::Dead { .. })));
        let floor = Cable::ToFloor { tie_from_pivot: TIE, device_from_pivot: Length::metres(1.2) };
        assert!(matches!(hand(floor, 1.0, 0.1), Err(CableError::Dead { .. })));
        let nowhere = Cable::Vertical { tie_from_pivot: Length::ZERO };
        assert_eq!(hand(nowhere, 1.0, 0.5), Err(CableError::Distance));
    }
}
