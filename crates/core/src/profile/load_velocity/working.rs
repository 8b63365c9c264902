//! How the numbers of a load-velocity profile came about.

use super::one_rep_max::Threshold;
use super::profile::{LoadVelocityProfile, MEANING};
use crate::estimate::Estimate;
use crate::stats::bent_line::BentLine;
use crate::units::{Mass, Velocity};
use crate::working::{Input, Working};

const CURVE: &str = "Least squares (Draper and Smith 1998, Applied Regression Analysis); a straight \
    line suits one athlete's lift (Pestaña-Melero et al. 2018, J Appl Biomech 34:184); a bend of \
    three sizes, none among them, averaged over (Hoeting et al. 1999, Stat Sci 14:382)";

impl LoadVelocityProfile {
    /// How the curve came about.
    pub fn working(&self) -> Working {
        let line = &self.line;
        Working {
            title: "load-velocity profile".into(),
            method: "load-velocity-curve",
            version: 2,
            inputs: self.inputs(),
            steps: vec![
                format!(
                    "straight line: slope = sum of (load - {:.2}) x velocity / {:.1} = {:.5} m/s \
                     for each kg",
                    line.mean_x, line.sum_squares_x, line.slope
                ),
                format!("velocity = {:.4} {:+.5} x load", line.intercept, line.slope),
                format!(
                    "scatter of one rep {:.3} m/s, weighed with {:.2} m/s beforehand",
                    self.rep_sd().in_metres_per_second(),
                    self.settings.typical_error.in_metres_per_second()
                ),
                format!(
                    "probability of a bend {:.2}, {:.2} beforehand",
                    self.bend_probability(),
                    BentLine::bend_probability_before()
                ),
            ],
            source: CURVE,
            doubt: "over the scatter, the size of the bend and the fall together".into(),
        }
    }

    /// How the load for a velocity came about.
    pub fn working_of_load_at(&self, velocity: Velocity) -> Working {
        let line = &self.line;
        let mut inputs = self.inputs();
        inputs.push(Input::new("velocity to reach", metres_per_second(velocity)));
        let wanted = velocity.in_metres_per_second();
        let straight = (wanted - line.intercept) / line.slope;
        let mut steps = vec![format!(
            "on the straight line: load = ({wanted:.3} - {:.4}) / {:.5} = {straight:.1} kg",
            line.intercept, line.slope,
        )];
        let load = self.load_at(velocity);
        if let Ok(load) = load {
            steps.push(format!("on the curve: {:.1} kg", load.value.in_kilograms()));
        }
        Working {
            title: format!("load for {}", metres_per_second(velocity)),
            method: "load-at-velocity",
            version: 2,
            inputs,
            steps,
            source: CURVE,
            doubt: match load {
                Ok(load) => kilogram_doubt(&load),
                Err(unknown) => unknown.to_string(),
            },
        }
    }

    /// How the one-repetition maximum came about.
    pub fn working_of_one_rep_max(&self, threshold: &Threshold) -> Working {
        let mut working = self.working_of_load_at(threshold.velocity);
        working.title = "one-repetition maximum, predicted".into();
        working.method = "one-rep-max-from-velocity";
        let spread = threshold.sd.map_or("not given".into(), metres_per_second);
        working.inputs.push(Input::new("spread of that velocity", spread));
        working.inputs.push(Input::new("its source", threshold.source.clone()));
        working.doubt = match self.one_rep_max(threshold) {
            Ok(found) => kilogram_doubt(&found.value),
            Err(error) => error.to_string(),
        };
        working
    }

    fn inputs(&self) -> Vec<Input> {
        let points = self.points.iter().map(|rep| {
            Input::new(
                format!("{:.2} kg", rep.load.in_kilograms()),
                metres_per_second(rep.velocity),
            )
        });
        std::iter::once(Input::new("velocity means", MEANING)).chain(points).collect()
    }
}

fn metres_per_second(velocity: Velocity) -> String {
    format!("{:.3} m/s", velocity.in_metres_per_second())
}

fn kilogram_doubt(load: &Estimate<Mass>) -> String {
    format!(
        "{} interval {:.1} to {:.1} kg",
        load.level,
        load.interval.low.in_kilograms(),
        load.interval.high.in_kilograms()
    )
}
