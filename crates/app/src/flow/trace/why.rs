//! How a number of a recording came about: what 'why?' shows.

use super::analysis::{Analysis, Signals};
use super::figure::time_of;
use super::words::name;
use cornerwork_core::metrics::{Metric, significant};
use cornerwork_core::trial::TrialEvent;
use cornerwork_core::working::{Input, Working};

/// Version of the way recordings are read. A later one computes every number anew.
const VERSION: u32 = 1;

/// The working of one number.
pub fn working(analysis: &Analysis, metric: &Metric) -> Working {
    let definition = metric.definition;
    let value = format!("{} {}", significant(metric.value), definition.unit);
    let doubt = match metric.standard_error {
        Some(error) => format!(
            "Standard error {} {}, from the weighing and the clock of this one trial; how the \
             athlete varies from trial to trial is not in it.",
            significant(error),
            definition.unit
        ),
        None => "Not known from one trial. The notes say what speaks against it.".to_owned(),
    };
    Working {
        title: format!("{}: {}", name(definition.id, definition.unit), value.trim_end()),
        method: analysis.kind.id(),
        version: VERSION,
        inputs: inputs(analysis),
        steps: vec![definition.definition.to_owned()],
        source: definition.source,
        doubt,
    }
}

/// What every number of the recording stands on.
fn inputs(analysis: &Analysis) -> Vec<Input> {
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
