//! What `--explain` prints: the working of each number, on a terminal and in JSON alike.

use crate::cli::answer::wrapped;
use cornerwork_core::working::Working;
use serde::Serialize;

/// A working on a terminal.
pub(super) fn in_words(working: &Working) -> String {
    let mut lines = vec![
        format!("Why: {}", working.title),
        format!("  method  {}, version {}", working.method, working.version),
    ];
    for input in &working.inputs {
        lines.extend(wrapped("  from    ", &format!("{}: {}", input.name, input.value)));
    }
    for step in &working.steps {
        lines.extend(wrapped("  step    ", step));
    }
    lines.extend(wrapped("  source  ", working.source));
    lines.extend(wrapped("  doubt   ", &working.doubt));
    lines.join("\n") + "\n"
}

/// A working in JSON.
#[derive(Serialize)]
pub(super) struct WorkingObject<'a> {
    title: &'a str,
    method: &'static str,
    version: u32,
    inputs: Vec<InputObject<'a>>,
    steps: &'a [String],
    source: &'static str,
    doubt: &'a str,
}

#[derive(Serialize)]
struct InputObject<'a> {
    name: &'a str,
    value: &'a str,
}

impl<'a> From<&'a Working> for WorkingObject<'a> {
    fn from(working: &'a Working) -> Self {
        let inputs = working.inputs.iter();
        Self {
            title: &working.title,
            method: working.method,
            version: working.version,
            inputs: inputs
                .map(|input| InputObject { name: &input.name, value: &input.value })
                .collect(),
            steps: &working.steps,
            source: working.source,
            doubt: &working.doubt,
        }
    }
}
