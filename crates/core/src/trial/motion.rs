//! Velocity and displacement of the centre of mass, from force alone.

use crate::signal::{Moment, Sampling, Trace, integral};
use std::ops::Range;

/// Motion of the centre of mass over a stretch of a trace.
///
/// By Newton's second law: acceleration is g (F/W - 1), W the weight of the system (Linthorne
/// 2001, Am J Phys 69:1198); both integrals by the trapezoid rule on the real time steps.
#[derive(Clone, Debug, PartialEq)]
pub struct Motion {
    /// First sample covered.
    pub start: usize,
    /// Velocity in m/s, up positive, one a sample from `start`.
    pub velocity_m_s: Vec<f64>,
    /// Displacement in m from where it was at `start`, one a sample.
    pub displacement_m: Vec<f64>,
}

/// A velocity that is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchor {
    /// When; inside the stretch integrated.
    pub at: Moment,
    /// How fast, m/s.
    pub velocity_m_s: f64,
}

impl Motion {
    /// Integrates `force` over samples `start..end` of a system of weight `weight_n`, with its
    /// velocity known at one instant: at rest before a jump, at rest after a landing, or free
    /// fall.
    pub fn integrate(
        force: &Trace,
        (start, end): (usize, usize),
        weight_n: f64,
        gravity_m_s2: f64,
        anchor: Anchor,
    ) -> Self {
        let per_newton = gravity_m_s2 / weight_n;
        let acceleration = |force_n: &f64| (force_n - weight_n) * per_newton;
        let acceleration_m_s2: Vec<f64> =
            force.values[start..end].iter().map(acceleration).collect();
        let mut velocity_m_s = integral::cumulative(&force.sampling, start, &acceleration_m_s2);
        drop(acceleration_m_s2);
        let here = Moment { before: anchor.at.before - start, ..anchor.at };
        let at_start_m_s = anchor.velocity_m_s - here.of(&velocity_m_s);
        velocity_m_s.iter_mut().for_each(|velocity| *velocity += at_start_m_s);
        let displacement_m = integral::cumulative(&force.sampling, start, &velocity_m_s);
        Self { start, velocity_m_s, displacement_m }
    }

    /// Takes off a velocity that has grown evenly from nothing at `from` to `left_m_s` at `to`,
    /// and integrates displacement anew.
    pub(super) fn close(&mut self, from: Moment, to: Moment, left_m_s: f64, sampling: &Sampling) {
        let (from_s, to_s) = (from.time_s(sampling), to.time_s(sampling));
        for (index, velocity) in self.velocity_m_s.iter_mut().enumerate() {
            let time_s = sampling.time_s(self.start + index);
            *velocity -= left_m_s * (time_s - from_s) / (to_s - from_s);
        }
        self.displacement_m = integral::cumulative(sampling, self.start, &self.velocity_m_s);
    }

    /// One past the last sample covered.
    pub const fn end(&self) -> usize {
        self.start + self.velocity_m_s.len()
    }

    fn local(&self, moment: Moment) -> Moment {
        Moment { before: moment.before - self.start, ..moment }
    }

    /// Velocity at an instant, m/s.
    pub fn velocity_at(&self, moment: Moment) -> f64 {
        self.local(moment).of(&self.velocity_m_s)
    }

    /// Displacement at an instant, m.
    pub fn displacement_at(&self, moment: Moment) -> f64 {
        self.local(moment).of(&self.displacement_m)
    }

    /// Velocity at a sample, m/s.
    pub fn velocity(&self, sample: usize) -> f64 {
        self.velocity_m_s[sample - self.start]
    }

    /// Velocities at samples, m/s; none where there are none.
    pub fn velocities(&self, samples: Range<usize>) -> &[f64] {
        let local = samples.start - self.start..samples.end - self.start;
        self.velocity_m_s.get(local).unwrap_or_default()
    }

    /// Displacement at a sample, m.
    pub fn displacement(&self, sample: usize) -> f64 {
        self.displacement_m[sample - self.start]
    }

    /// Sample of the lowest velocity between two instants.
    pub fn fastest_descent(&self, from: Moment, to: Moment) -> Option<usize> {
        (from.after()..=to.before).min_by(|&a, &b| self.velocity(a).total_cmp(&self.velocity(b)))
    }

    /// First instant after sample `from`, up to sample `to`, at which the velocity comes up
    /// through zero.
    pub fn turns_upward(&self, from: usize, to: usize) -> Option<Moment> {
        self.rises_through(0.0, from, to)
    }

    /// First instant after sample `from`, up to sample `to`, at which the velocity comes up
    /// through a level.
    pub fn rises_through(&self, level_m_s: f64, from: usize, to: usize) -> Option<Moment> {
        let end = to.min(self.end() - 1);
        let after = (from + 1..=end).find(|&sample| self.velocity(sample) >= level_m_s)?;
        let local = Moment::crossing(&self.velocity_m_s, after - 1 - self.start, level_m_s);
        Some(Moment { before: local.before + self.start, ..local })
    }

    /// Lowest displacement between two instants, m; the ends count.
    pub fn lowest(&self, from: Moment, to: Moment) -> f64 {
        self.inside(from, to).fold(self.displacement_at(from), f64::min)
    }

    /// Highest displacement between two instants, m; the ends count.
    pub fn highest(&self, from: Moment, to: Moment) -> f64 {
        self.inside(from, to).fold(self.displacement_at(from), f64::max)
    }

    fn inside(&self, from: Moment, to: Moment) -> impl Iterator<Item = f64> {
        let samples = from.after()..(to.before + 1).max(from.after());
        samples.map(|sample| self.displacement(sample)).chain([self.displacement_at(to)])
    }
}
