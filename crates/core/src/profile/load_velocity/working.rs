//! How the numbers of a load-velocity profile came about.

use super::one_rep_max::Threshold;
use super::profile::{LoadVelocityProfile, RepChoice};
use crate::estimate::Estimate;
use crate::units::{Mass, Velocity};
use crate::working::{Input, Working};

const LINE: &str = "Least squares (Draper and Smith 1998, Applied Regression Analysis); a straight \
    line suits one athlete's lift (Pestana-Melero et al. 2018, J Appl Biomech 34:184)";
const INVERSE: &str = "Fieller 1954, J R Stat Soc B 16:175";

impl LoadVelocityProfile {
    /// How the line came about.
    pub fn working(&self) -> Working {
        let line = &self.line;
        let terms = format!("velocity = {:.4} {:+.5} x load", line.intercept, line.slope);
        Working {
            title: "load-velocity line".into(),
            method: "load-velocity-line",
            version: 1,
            inputs: self.inputs(),
            steps: vec![
                format!(
                    "slope = sum of (load - {:.2}) x velocity / {:.1} = {:.5} m/s for each kg",
                    line.mean_x, line.sum_squares_x, line.slope
                ),
                terms,
                format!("scatter of one rep about the line: {}", self.scatter()),
            ],
            source: LINE,
            doubt: format!(
                "slope {:.5} with standard error {:.5} m/s for each kg; the line explains {:.1} % \
                 of the variance",
                line.slope,
                self.slope_standard_error_m_s_per_kg(),
                100.0 * self.r_squared()
            ),
        }
    }

    /// How the load for a velocity came about.
    pub fn working_of_load_at(&self, velocity: Velocity) -> Working {
        let line = &self.line;
        let mut inputs = self.inputs();
        inputs.push(Input::new("velocity to reach", metres_per_second(velocity)));
        Working {
            title: format!("load for {}", metres_per_second(velocity)),
            method: "load-at-velocity",
            version: 1,
            inputs,
            steps: vec![format!(
                "load = ({:.3} - {:.4}) / {:.5} = {:.1} kg",
                velocity.in_metres_per_second(),
                line.intercept,
                line.slope,
                (velocity.in_metres_per_second() - line.intercept) / line.slope
            )],
            source: INVERSE,
            doubt: match self.load_at(velocity) {
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
        let choice = match self.settings.choice {
            RepChoice::FastestAtEachLoad => "the fastest at each load",
            RepChoice::All => "all",
        };
        let points = self.points.iter().map(|rep| {
            Input::new(
                format!("{:.2} kg", rep.load.in_kilograms()),
                metres_per_second(rep.velocity),
            )
        });
        std::iter::once(Input::new("reps", choice)).chain(points).collect()
    }

    fn scatter(&self) -> String {
        let sd = self.noise.sd;
        self.noise.degrees_of_freedom.map_or_else(
            || format!("{sd:.3} m/s, assumed"),
            |df| format!("{sd:.4} m/s on {df} degrees of freedom"),
        )
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
