//! The slope that would jump highest at a given maximal power.

/// The theoretical optimum of one athlete at one push-off distance.
///
/// At a given power the jump is highest when it is itself done at maximal power, so its take-off
/// velocity equals the velocity at no force: V³ + 2 g d V = 4 d P. This root gives the long
/// expression of Samozino et al. 2012 to every digit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestSlope {
    /// Velocity at no force, m/s.
    pub velocity_m_s: f64,
    /// Force at no velocity for each kg of body mass, N/kg.
    pub force_n_kg: f64,
    /// Slope for each kg of body mass, N s/m/kg; below zero.
    pub slope_n_s_m_kg: f64,
    /// Height jumped with it, m.
    pub height_m: f64,
}

impl BestSlope {
    /// The optimum for a power in W/kg, a push-off distance in m and a gravity in m/s².
    pub fn for_power(power_w_kg: f64, push_off_m: f64, gravity: f64) -> Self {
        // Cardano: V³ + p V = q with p > 0 has one real root.
        let half = 2.0 * push_off_m * power_w_kg;
        let root = (half.powi(2) + (2.0 * gravity * push_off_m / 3.0).powi(3)).sqrt();
        let velocity = (half + root).cbrt() + (half - root).cbrt();
        Self {
            velocity_m_s: velocity,
            force_n_kg: 4.0 * power_w_kg / velocity,
            slope_n_s_m_kg: -4.0 * power_w_kg / velocity.powi(2),
            height_m: velocity.powi(2) / (2.0 * gravity),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Samozino et al. 2012, Med Sci Sports Exerc 44:313, optimal slope as printed (form from
    /// memory): the second implementation.
    fn printed_slope(p: f64, d: f64, g: f64) -> f64 {
        let z = -g.powi(6) * d.powi(6)
            - 18.0 * g.powi(3) * d.powi(5) * p.powi(2)
            - 54.0 * d.powi(4) * p.powi(4)
            + 6.0
                * 3.0_f64.sqrt()
                * (2.0 * g.powi(3) * d.powi(9) * p.powi(6) + 27.0 * d.powi(8) * p.powi(8)).sqrt();
        -g.powi(2) / (3.0 * p)
            + (g.powi(4) * d.powi(4) + 12.0 * g * d.powi(3) * p.powi(2))
                / (3.0 * d.powi(2) * p * z.cbrt())
            + z.cbrt() / (3.0 * d.powi(2) * p)
    }

    // Roots of the cubic found separately by numpy, g = 9.81.
    #[test]
    fn the_optimum_is_the_root_of_the_cubic() {
        let rows = [
            (25.0, 0.35, 2.584_080, 38.698_49, -14.975_730, 0.340_340),
            (25.0, 0.40, 2.670_399, 37.447_58, -14.023_214, 0.363_457),
            (30.0, 0.40, 2.925_579, 41.017_53, -14.020_312, 0.436_239),
            (35.0, 0.40, 3.150_609, 44.435_85, -14.103_890, 0.505_930),
            (20.0, 0.35, 2.301_710, 34.756_77, -15.100_412, 0.270_024),
        ];
        for (power, push_off, velocity, force, slope, height) in rows {
            let best = BestSlope::for_power(power, push_off, 9.81);
            assert!((best.velocity_m_s - velocity).abs() < 1e-6);
            assert!((best.force_n_kg - force).abs() < 1e-5);
            assert!((best.slope_n_s_m_kg - slope).abs() < 1e-6);
            assert!((best.height_m - height).abs() < 1e-6);
        }
    }

    #[test]
    fn the_root_equals_the_printed_expression() {
        for power in [15.0, 25.0, 40.0] {
            for push_off in [0.3, 0.4, 0.5] {
                let best = BestSlope::for_power(power, push_off, 9.81).slope_n_s_m_kg;
                assert!((best - printed_slope(power, push_off, 9.81)).abs() < 1e-8 * best.abs());
            }
        }
    }
}
