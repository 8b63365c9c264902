//! Body weight from the quietest second before the movement.

use super::{Conditions, MovedEvents};
use crate::note::Note;
use crate::signal::{Trace, window};
use std::ops::Range;

/// How the weighing is chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Length of the window (Owen et al. 2014, J Strength Cond Res 28:1552).
    pub window_s: f64,
    /// A mean below this is not a person standing (engineering choice).
    pub least_n: f64,
    /// With a logged mass, windows further off than this fraction are not considered
    /// (engineering choice).
    pub mass_tolerance: f64,
    /// Spread over weight above which the weighing is called unquiet (engineering choice).
    pub unquiet_fraction: f64,
    /// And above which it is not used: a mean that is off by half of this moves the height by 2 cm
    /// (dh = dW/W (2h + v T), h 0.35 m, v T 2.3 m; engineering choice).
    pub useless_fraction: f64,
    /// Change of force over the window, over weight, above which the athlete sways or shifts
    /// (engineering choice).
    pub sway_fraction: f64,
    /// Weighed and logged mass differing more than this get a caveat, and more than the second a
    /// strong one (engineering choices).
    pub mismatch_fractions: [f64; 2],
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            window_s: 1.0,
            least_n: 200.0,
            mass_tolerance: 0.15,
            unquiet_fraction: 0.01,
            useless_fraction: 0.015,
            sway_fraction: 0.005,
            mismatch_fractions: [0.015, 0.05],
        }
    }
}

/// The second in which the system was weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// Its samples.
    pub window: Range<usize>,
    /// Mean force: the weight of body and load, newtons.
    pub weight_n: f64,
    /// Standard deviation of the force, newtons.
    pub sd_n: f64,
    /// Standard error of the mean from ten batches, so that sway does not pass for precision.
    pub standard_error_n: f64,
}

/// Batches for the standard error: the fewest usually advised (Law 2015, section 9.5.3).
const BATCHES: usize = 10;

/// The quietest window inside `range`, or the reason there is none.
pub fn find(
    trace: &Trace,
    range: Range<usize>,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Weighing, Note> {
    let (mean_from, mean_to) = match conditions.expected_weight_n() {
        Some(weight) => (
            rules.least_n.max(weight * (1.0 - rules.mass_tolerance)),
            weight * (1.0 + rules.mass_tolerance),
        ),
        None => (rules.least_n, f64::INFINITY),
    };
    let rule = window::Quietest {
        width: trace.samples_in(rules.window_s),
        mean_from,
        mean_to,
        tie_factor: 1.01,
        tie_margin: 1e-3,
    };
    let window = match conditions.moved.weighing_s {
        Some(from_s) => MovedEvents::weighing(trace, from_s, rule.width, &range),
        None => window::quietest(&trace.values, range, &rule),
    };
    let window = window.ok_or_else(|| no_window(rules, mean_from, mean_to))?;
    let weighing = weigh(trace, window).ok_or_else(|| no_window(rules, mean_from, mean_to))?;
    if weighing.sd_n > rules.useless_fraction * weighing.weight_n {
        return Err(Note::new(
            "no-quiet-standing",
            format!(
                "The quietest {} s before the movement spreads by {:.1} N on {:.0} N; stand still \
                 before the signal. Numbers that need the weight are withheld.",
                rules.window_s, weighing.sd_n, weighing.weight_n
            ),
        ));
    }
    Ok(weighing)
}

fn no_window(rules: &Rules, mean_from: f64, mean_to: f64) -> Note {
    let range = if mean_to.is_finite() {
        format!("between {mean_from:.0} and {mean_to:.0} N")
    } else {
        format!("over {mean_from:.0} N")
    };
    Note::new(
        "no-quiet-standing",
        format!(
            "There is no {} s of standing {range} before the movement. Numbers that need the \
             weight are withheld.",
            rules.window_s
        ),
    )
}

/// Weighs over a window.
pub(super) fn weigh(trace: &Trace, window: Range<usize>) -> Option<Weighing> {
    let values = &trace.values[window.clone()];
    let (weight_n, sd_n) = window::mean_and_sd(values)?;
    let standard_error_n = window::standard_error_of_mean(values, BATCHES)?;
    Some(Weighing { window, weight_n, sd_n, standard_error_n })
}

impl Weighing {
    /// What must be said about this weighing.
    pub fn notes(&self, trace: &Trace, conditions: &Conditions, rules: &Rules) -> Vec<Note> {
        [self.unquiet(rules), self.sway(trace, rules), self.mismatch(conditions, rules)]
            .into_iter()
            .flatten()
            .collect()
    }

    fn unquiet(&self, rules: &Rules) -> Option<Note> {
        (self.sd_n > rules.unquiet_fraction * self.weight_n).then(|| {
            Note::new(
                "unquiet-standing",
                format!(
                    "The force spreads by {:.1} N while standing ({:.1} % of weight); an error of \
                     0.1 % in weight moves the height by about 3 mm.",
                    self.sd_n,
                    100.0 * self.sd_n / self.weight_n
                ),
            )
        })
    }

    fn sway(&self, trace: &Trace, rules: &Rules) -> Option<Note> {
        let values = &trace.values[self.window.clone()];
        let change_n = window::slope_per_sample(values)? * values.len() as f64;
        (change_n.abs() > rules.sway_fraction * self.weight_n).then(|| {
            Note::new(
                "sway-or-shift",
                format!("The force drifts by {change_n:.1} N over the weighing."),
            )
        })
    }

    fn mismatch(&self, conditions: &Conditions, rules: &Rules) -> Option<Note> {
        let expected_n = conditions.expected_weight_n()?;
        let off = self.weight_n / expected_n - 1.0;
        let [caveat, strong] = rules.mismatch_fractions;
        (off.abs() > caveat).then(|| {
            let ask =
                if off.abs() > strong { " Was there a load on the bar, or a vest?" } else { "" };
            let gravity = conditions.gravity_m_s2();
            Note::new(
                "mass-mismatch",
                format!(
                    "The plate weighs {:.1} kg where the log says {:.1} kg ({:+.1} %).{ask}",
                    self.weight_n / gravity,
                    expected_n / gravity,
                    100.0 * off
                ),
            )
        })
    }
}
