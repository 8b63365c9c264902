//! How long an athlete stood still, and whether before and after a jump agree.

use super::sway::{self, Doubt, Edge, Stance};
use super::weighing::Weighing;
use crate::signal::{Moment, Trace};
use std::ops::Range;

/// How stances are taken and brought together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// A stance reaches from a quiet stretch as far as means over this long ... (engineering choice)
    pub step_s: f64,
    /// ... stay within this fraction of the weight (engineering choice).
    pub band_fraction: f64,
    /// And no longer than this: people shift (engineering choice).
    pub longest_s: f64,
    /// The model of sway.
    pub sway: sway::Rules,
    /// Standard deviation of the integrated velocity after a landing that is the plate's and the
    /// clock's, m/s (engineering choice).
    pub landing_m_s: f64,
    /// Two stances further apart than this, as the squared distance over their doubt, have their
    /// doubt widened in proportion: chi-squared of 2 degrees of freedom, 99 % (closed form: -2 ln
    /// 0.01).
    pub disagreement: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            step_s: 0.1,
            band_fraction: 0.01,
            longest_s: 4.0,
            sway: sway::Rules::default(),
            landing_m_s: 0.004,
            disagreement: 9.21,
        }
    }
}

/// A quiet stretch, taken further both ways inside `limits` while the force stays near its mean.
pub(super) fn around(
    trace: &Trace,
    quiet: Range<usize>,
    weight_n: f64,
    limits: Range<usize>,
    rules: &Rules,
) -> Range<usize> {
    let step = trace.samples_in(rules.step_s);
    let longest = trace.samples_in(rules.longest_s);
    let near = |range: Range<usize>| {
        let mean_n = trace.values[range].iter().sum::<f64>() / step as f64;
        (mean_n - weight_n).abs() <= rules.band_fraction * weight_n
    };
    let (mut start, mut end) = (quiet.start, quiet.end);
    while end + step <= limits.end && end + step - start <= longest && near(end..end + step) {
        end += step;
    }
    while start >= limits.start + step && end + step - start <= longest && near(start - step..start)
    {
        start -= step;
    }
    start..end
}

/// The stance before a movement that begins at `onset`. The window of a weighing that a person
/// chose is taken as it is.
pub(super) fn before(
    trace: &Trace,
    weighing: &Weighing,
    onset: usize,
    chosen: bool,
    gravity_m_s2: f64,
    rules: &Rules,
) -> Option<Stance> {
    let window = &weighing.window;
    let stretch = if chosen || onset < window.end {
        window.clone()
    } else {
        let longest = trace.samples_in(rules.longest_s);
        let limits = onset.saturating_sub(longest).min(window.start)..onset;
        around(trace, window.start..onset, weighing.weight_n, limits, rules)
    };
    let gap_s = trace.between_s(Moment::at(stretch.end), Moment::at(onset)).max(0.0);
    read(trace, stretch, gap_s, Edge::End, gravity_m_s2, rules)
}

/// The stance after a landing.
pub(super) fn after(
    trace: &Trace,
    stretch: Range<usize>,
    gravity_m_s2: f64,
    rules: &Rules,
) -> Option<Stance> {
    read(trace, stretch, 0.0, Edge::Start, gravity_m_s2, rules)
}

fn read(
    trace: &Trace,
    stretch: Range<usize>,
    gap_s: f64,
    edge: Edge,
    gravity_m_s2: f64,
    rules: &Rules,
) -> Option<Stance> {
    let last = stretch.end.checked_sub(1).filter(|&last| last > stretch.start)?;
    let lasts_s = trace.between_s(Moment::at(stretch.start), Moment::at(last));
    let step_s = lasts_s / (last - stretch.start) as f64;
    sway::read(&trace.values[stretch], (step_s, gap_s), edge, gravity_m_s2, &rules.sway)
}

/// What was integrated between two stances with the weight and velocity of the first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Between {
    /// Velocity where the second begins, m/s.
    pub(super) velocity_m_s: f64,
    /// Seconds from one to the other.
    pub(super) lasts_s: f64,
    /// Standard deviation of that velocity from the noise of single samples, m/s.
    pub(super) noise_m_s: f64,
}

/// The stance before a jump, put right by the one after it: both have one weight, and the velocity
/// integrated between them must close. Each counts by its precision (the update of a Kalman filter:
/// Rasmussen & Williams 2006, section A.2, conditioning of a Gaussian), and where they contradict
/// each other the doubt is widened to cover both.
pub(super) fn together(
    before: &Stance,
    after: &Stance,
    between: Between,
    gravity_m_s2: f64,
    rules: &Rules,
) -> Stance {
    let Doubt { weight: p_w, velocity: p_v, both: p_b } = before.doubt;
    // The velocity that closes, by relative weight: ∫F dt g/W = v - v0 + g T.
    let slope = -(between.velocity_m_s - before.velocity_m_s + gravity_m_s2 * between.lasts_s);
    let weight_off = after.weight_n / before.weight_n - 1.0;
    let velocity_off = after.velocity_m_s - between.velocity_m_s;
    // Covariance of what is expected there with the state, and of the two surprises.
    let (w_v, v_v) = (slope * p_w + p_b, slope * p_b + p_v);
    let s_w = p_w + after.doubt.weight;
    let s_b = w_v + after.doubt.both;
    let s_v = before.doubt.carried_to((slope, 1.0))
        + after.doubt.velocity
        + rules.landing_m_s.powi(2)
        + between.noise_m_s.powi(2);
    let determinant = s_w * s_v - s_b * s_b;
    let solve =
        |w: f64, v: f64| ((s_v * w - s_b * v) / determinant, (s_w * v - s_b * w) / determinant);
    let (pull_w, pull_v) = solve(weight_off, velocity_off);
    let misfit = weight_off * pull_w + velocity_off * pull_v;
    let of_weight = solve(p_w, w_v);
    let of_velocity = solve(p_b, v_v);
    let doubt = Doubt {
        weight: p_w - (of_weight.0 * p_w + of_weight.1 * w_v),
        velocity: p_v - (of_velocity.0 * p_b + of_velocity.1 * v_v),
        both: p_b - (of_weight.0 * p_b + of_weight.1 * v_v),
    };
    Stance {
        weight_n: before.weight_n * (1.0 + p_w * pull_w + w_v * pull_v),
        velocity_m_s: before.velocity_m_s + p_b * pull_w + v_v * pull_v,
        doubt: doubt.times((misfit / rules.disagreement).max(1.0)),
        noise_n: before.noise_n,
    }
}
