//! Bar strokes of least jerk: x = D (10 τ³ - 15 τ⁴ + 6 τ⁵), τ = t/T (Flash & Hogan 1985, J Neurosci
//! 5:1688). Mean velocity is D/T, peak velocity 1.875 D/T in the middle.

use super::Shape;

/// One stroke upward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Height gained, m.
    pub range_m: f64,
    /// Time, s.
    pub duration_s: f64,
}

impl Stroke {
    /// Position after a fraction of the time, m.
    pub fn position_m(&self, tau: f64) -> f64 {
        self.range_m * tau.powi(3) * (10.0 - 15.0 * tau + 6.0 * tau * tau)
    }

    /// Velocity after a fraction of the time, m/s.
    pub fn velocity_m_s(&self, tau: f64) -> f64 {
        30.0 * self.range_m / self.duration_s * tau * tau * (1.0 - tau).powi(2)
    }

    /// Acceleration after a fraction of the time, m/s².
    pub fn acceleration_m_s2(&self, tau: f64) -> f64 {
        60.0 * self.range_m / self.duration_s.powi(2) * tau * (1.0 - tau) * (1.0 - 2.0 * tau)
    }

    /// Highest velocity, m/s.
    pub fn peak_velocity_m_s(&self) -> f64 {
        1.875 * self.range_m / self.duration_s
    }

    /// Fraction of the time at which the velocity first reaches `edge_m_s`, by bisection; the
    /// stroke is symmetrical, so it falls back to it at one minus that.
    pub fn edge(&self, edge_m_s: f64) -> f64 {
        bisect(0.0, 0.5, |tau| self.velocity_m_s(tau) - edge_m_s)
    }

    /// Fraction of the time at which the bar brakes as gravity would; `None` when it never does.
    pub fn propulsion_end(&self, gravity_m_s2: f64) -> Option<f64> {
        let steepest = 0.5 + 3.0_f64.sqrt() / 6.0;
        (self.acceleration_m_s2(steepest) < -gravity_m_s2)
            .then(|| bisect(0.5, steepest, |tau| -gravity_m_s2 - self.acceleration_m_s2(tau)))
    }

    /// Mean velocity between two fractions of the time, m/s.
    pub fn mean_velocity_m_s(&self, from: f64, to: f64) -> f64 {
        (self.position_m(to) - self.position_m(from)) / ((to - from) * self.duration_s)
    }

    /// A set of `reps` strokes up and slower strokes down, with pauses.
    pub fn set(&self, reps: usize) -> Shape {
        let stroke = *self;
        let lowering_s = 1.5 * stroke.duration_s;
        (0..reps).fold(Shape::new().hold(0.5, 0.0), |shape, _| {
            shape
                .then(stroke.duration_s, move |u| stroke.position_m(u / stroke.duration_s))
                .hold(0.5, stroke.range_m)
                .then(lowering_s, move |u| stroke.position_m(1.0 - u / lowering_s))
                .hold(0.5, 0.0)
        })
    }
}

/// Root of a function that rises through zero between two ends.
fn bisect(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..80 {
        let middle = (low + high) / 2.0;
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}
