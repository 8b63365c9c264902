//! How a number of a recording came about: what 'why?' on a page and `--explain` show.

use super::analysis::{Analysis, Signals};
use super::figure::time_of;
use super::words::name;
use cornerwork_core::metrics::{Metric, MetricSet, derivation, significant};
use cornerwork_core::trial::TrialEvent;
use cornerwork_core::working::{Input, Working};

/// Version of the way recordings are read. A later one computes every number anew.
const VERSION: u32 = 1;

/// The working of one number of a set.
pub fn working(analysis: &Analysis, set: &MetricSet, metric: &Metric) -> Working {
    let definition = metric.definition;
    let gravity_m_s2 = analysis.conditions.gravity.in_metres_per_second_squared();
    let derived = derivation(set, metric, gravity_m_s2);
    let mut inputs: Vec<Input> = Vec::new();
    let mut steps = vec![definition.definition.to_owned()];
    if let Some(derived) = derived {
        inputs.extend(derived.from.iter().map(of_metric));
        steps.push(derived.step);
    }
    inputs.extend(of_recording(analysis));
    let doubt = match metric.interval() {
        Some(interval) => format!(
            "90 % interval {} to {} {}, from the noise, the sway while standing and the clock of this \
             one trial. How the athlete varies from trial to trial is not in it.",
            significant(interval.low),
            significant(interval.high),
            definition.unit
        ),
        None => "Not known from one trial. The notes say what speaks against it.".to_owned(),
    };
    Working {
        title: format!("{}: {}", name(definition.id, definition.unit), in_unit(metric)),
        method: analysis.kind.id(),
        version: VERSION,
        inputs,
        steps,
        source: definition.source,
        doubt,
    }
}

fn in_unit(metric: &Metric) -> String {
    let text = format!("{} {}", metric.figures(), metric.definition.unit);
    text.trim_end().to_owned()
}

fn of_metric(metric: &Metric) -> Input {
    Input::new(name(metric.definition.id, metric.definition.unit), in_unit(metric))
}

/// What every number of the recording stands on.
fn of_recording(analysis: &Analysis) -> Vec<Input> {
    let mut inputs = Vec::new();
    match &analysis.signals {
        Signals::Force { recording, weight_n, .. } => {
            inputs.push(Input::new("samples a second", significant(recording.rate_hz)));
            inputs.extend(
                weight_n.map(|weight| Input::new("weight", format!("{} N", significant(weight)))),
            );
        }
        Signals::Bar { position, .. } => {
            let rate = position.sampling.rate_hz();
            inputs.extend(rate.map(|rate| Input::new("samples a second", significant(rate))));
        }
    }
    inputs.extend(TrialEvent::ALL.into_iter().filter_map(|event| {
        Some(Input::new(event.name(), format!("at {:.3} s", time_of(analysis, event)?)))
    }));
    inputs
}
