//! How a number follows from others of the same trial, with their values put in.
//!
//! A formula is stated in words of the registry and computed beside them; it is shown only where
//! it gives the number itself, so a mean of five hops is not explained by a quotient of means.

use super::{
    Definition, Metric, MetricSet, bar_velocity, force, height, isometric, landing, power,
    reactive_strength, stiffness, timing,
};

/// A number worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Derivation {
    /// What it was worked out from.
    pub from: Vec<Metric>,
    /// The formula with the values put in, and the result: `2.229² / (2 × 9.807) = 0.253 m`.
    pub step: String,
}

type Compute = fn(&[f64], f64) -> f64;

struct Formula {
    of: &'static Definition,
    from: &'static [&'static Definition],
    /// `{0}` is the first of `from`, `{g}` gravity.
    text: &'static str,
    compute: Compute,
}

macro_rules! formulas {
    ($($of:path = $text:literal, [$($from:path),+], $compute:expr;)+) => {
        &[$(Formula { of: &$of, from: &[$(&$from),+], text: $text, compute: $compute }),+]
    };
}

static FORMULAS: &[Formula] = formulas! {
    height::FROM_IMPULSE = "{0}² / (2 × {g})", [height::TAKE_OFF_VELOCITY],
        |x, g| x[0] * x[0] / (2.0 * g);
    height::FROM_FLIGHT_TIME = "{g} × {0}² / 8", [height::FLIGHT_TIME], |x, g| g * x[0] * x[0] / 8.0;
    height::ABOVE_STANDING = "{0} + {1}", [height::FROM_IMPULSE, height::TAKE_OFF_RISE],
        |x, _| x[0] + x[1];
    height::TAKE_OFF_VELOCITY = "{0} / {1}", [super::impulse::NET, height::SYSTEM_MASS],
        |x, _| x[0] / x[1];
    height::LANDING_DROP = "2 × ({0} − {1})", [height::FROM_FLIGHT_TIME, height::FROM_IMPULSE],
        |x, _| 2.0 * (x[0] - x[1]);
    height::DROP = "{0}² / (2 × {g})", [height::TOUCH_DOWN_VELOCITY], |x, g| x[0] * x[0] / (2.0 * g);
    height::FLIGHT_TIME = "{0} − {1}", [timing::LANDING, timing::TAKE_OFF], |x, _| x[0] - x[1];
    timing::TIME_TO_TAKE_OFF = "{0} − {1}", [timing::TAKE_OFF, timing::ONSET], |x, _| x[0] - x[1];
    timing::CONTACT = "{0} − {1}", [timing::TAKE_OFF, timing::TOUCH_DOWN], |x, _| x[0] - x[1];
    force::PEAK_RELATIVE = "{0} / {1}", [force::PEAK, height::SYSTEM_MASS], |x, _| x[0] / x[1];
    force::PEAK_NET = "{0} − {1} × {g}", [force::PEAK, height::SYSTEM_MASS], |x, g| x[0] - x[1] * g;
    force::PEAK_NET = "{0} − {1}", [force::PEAK, isometric::BASELINE], |x, _| x[0] - x[1];
    isometric::NET_AT_50 = "{0} − {1}", [isometric::AT_50, isometric::BASELINE], |x, _| x[0] - x[1];
    isometric::NET_AT_100 = "{0} − {1}", [isometric::AT_100, isometric::BASELINE], |x, _| x[0] - x[1];
    isometric::NET_AT_150 = "{0} − {1}", [isometric::AT_150, isometric::BASELINE], |x, _| x[0] - x[1];
    isometric::NET_AT_200 = "{0} − {1}", [isometric::AT_200, isometric::BASELINE], |x, _| x[0] - x[1];
    isometric::NET_AT_250 = "{0} − {1}", [isometric::AT_250, isometric::BASELINE], |x, _| x[0] - x[1];
    power::PEAK_RELATIVE = "{0} / {1}", [power::PEAK, height::SYSTEM_MASS], |x, _| x[0] / x[1];
    power::MEAN_RELATIVE = "{0} / {1}", [power::MEAN, height::SYSTEM_MASS], |x, _| x[0] / x[1];
    power::MEAN = "{0} / {1}", [power::PROPULSION_WORK, timing::PROPULSION], |x, _| x[0] / x[1];
    reactive_strength::INDEX = "{0} / {1}", [height::FROM_FLIGHT_TIME, timing::CONTACT],
        |x, _| x[0] / x[1];
    reactive_strength::TIME_RATIO = "{0} / {1}", [height::FLIGHT_TIME, timing::CONTACT],
        |x, _| x[0] / x[1];
    reactive_strength::MODIFIED = "{0} / {1}", [height::FROM_IMPULSE, timing::TIME_TO_TAKE_OFF],
        |x, _| x[0] / x[1];
    reactive_strength::FLIGHT_TO_CONTRACTION = "{0} / {1}",
        [height::FLIGHT_TIME, timing::TIME_TO_TAKE_OFF], |x, _| x[0] / x[1];
    stiffness::TOTAL = "{0} / {1}", [force::AT_BOTTOM, height::DEPTH], |x, _| x[0] / x[1];
    stiffness::FROM_TIMES = "{0} π ({1} + {2}) / ({2}² × (({1} + {2}) / π − {2} / 4))",
        [height::SYSTEM_MASS, height::FLIGHT_TIME, timing::CONTACT],
        |x, _| stiffness::from_times_n_m(x[0], x[1], x[2]).unwrap_or(f64::NAN);
    landing::PEAK_WEIGHTS = "{0} / ({1} × {g})", [landing::PEAK, height::SYSTEM_MASS],
        |x, g| x[0] / (x[1] * g);
    landing::LOADING_RATE = "{0} / {1}", [landing::PEAK, landing::TIME_TO_PEAK], |x, _| x[0] / x[1];
    landing::VELOCITY_FROM_FLIGHT = "{0} − {g} × {1}",
        [height::TAKE_OFF_VELOCITY, height::FLIGHT_TIME], |x, g| x[0] - g * x[1];
    bar_velocity::MEAN = "{0} / {1}", [bar_velocity::RANGE, bar_velocity::DURATION],
        |x, _| x[0] / x[1];
};

/// Relative difference up to which a formula is taken to give the number: sums of some thousand
/// products round to 1e-12, event times between samples to less.
const SAME: f64 = 1e-6;

/// How a metric follows from others of its set; `None` when it is read off the trace itself.
pub fn derivation(set: &MetricSet, metric: &Metric, gravity_m_s2: f64) -> Option<Derivation> {
    FORMULAS.iter().filter(|formula| formula.of.id == metric.definition.id).find_map(|formula| {
        let from: Option<Vec<Metric>> =
            formula.from.iter().map(|definition| set.metric(definition.id).copied()).collect();
        let from = from?;
        let values: Vec<f64> = from.iter().map(|metric| metric.value).collect();
        let found = (formula.compute)(&values, gravity_m_s2);
        let scale = values.iter().fold(metric.value.abs(), |scale, value| scale.max(value.abs()));
        ((found - metric.value).abs() <= SAME * scale)
            .then(|| Derivation { step: written(formula, &values, gravity_m_s2, metric), from })
    })
}

fn written(formula: &Formula, values: &[f64], gravity_m_s2: f64, metric: &Metric) -> String {
    let put_in = values.iter().enumerate().fold(
        formula.text.replace("{g}", &significant(gravity_m_s2)),
        |text, (place, &value)| {
            // A negative value is bracketed: - -3 is no sum and -2² is not the square meant.
            let number = significant(value);
            let number = if value < 0.0 { format!("({number})") } else { number };
            text.replace(&format!("{{{place}}}"), &number)
        },
    );
    format!("{put_in} = {} {}", metric.figures(), metric.definition.unit).trim_end().to_owned()
}

/// Four figures, and no more decimals than three.
pub fn significant(value: f64) -> String {
    let size = value.abs();
    let decimals = if size >= 1000.0 {
        0
    } else if size >= 100.0 {
        1
    } else if size >= 10.0 {
        2
    } else {
        3
    };
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(values: &[(&'static Definition, f64)]) -> MetricSet {
        let mut set = MetricSet::default();
        for &(definition, value) in values {
            set.put(definition, value);
        }
        set
    }

    #[test]
    fn a_number_is_shown_with_the_values_it_is_from() {
        let g = 9.806_65;
        let set = set(&[
            (&height::TAKE_OFF_VELOCITY, 2.5),
            (&height::FROM_IMPULSE, 6.25 / (2.0 * g)),
            (&height::TOUCH_DOWN_VELOCITY, -2.0),
            (&height::DROP, 4.0 / (2.0 * g)),
        ]);
        let step = |id: &str| derivation(&set, set.metric(id).unwrap(), g).map(|found| found.step);
        assert_eq!(step("height_from_impulse_m").unwrap(), "2.500² / (2 × 9.807) = 0.319 m");
        assert_eq!(step("drop_height_m").unwrap(), "(-2.000)² / (2 × 9.807) = 0.204 m");
        assert_eq!(step("take_off_velocity_m_s"), None);
    }

    #[test]
    fn a_formula_that_does_not_give_the_number_is_not_shown() {
        // A mean of indices is not the index of means.
        let set = set(&[
            (&height::FROM_FLIGHT_TIME, 0.30),
            (&timing::CONTACT, 0.20),
            (&reactive_strength::INDEX, 1.52),
        ]);
        let index = set.metric("reactive_strength_index").unwrap();
        assert_eq!(derivation(&set, index, 9.806_65), None);
    }

    #[test]
    fn every_formula_names_each_of_its_values() {
        for formula in FORMULAS {
            for place in 0..formula.from.len() {
                let named = formula.text.contains(&format!("{{{place}}}"));
                assert!(named, "{} lacks {{{place}}}", formula.text);
            }
        }
    }
}
