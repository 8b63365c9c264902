//! What happened to a recording since it was filed, in words.

use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::trace::{Filing, TraceChange};
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::words;
use jiff::Timestamp;

use crate::flow::trace::in_words;

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its operation.
    pub operation: OperationId,
    /// When.
    pub at: Timestamp,
    /// Who.
    pub author: String,
    /// What was done.
    pub what: String,
    /// Why, where a reason was given.
    pub reason: String,
}

/// All steps that stand, oldest first.
pub fn steps(ledger: &Ledger, trace: &FiledRecording) -> Vec<Step> {
    let ids = std::iter::once(&trace.id).chain(&trace.changes);
    ids.filter_map(|id| ledger.operation(*id)).filter_map(step).collect()
}

fn step(operation: &Operation) -> Option<Step> {
    let Change::Trace(change) = &operation.change else { return None };
    let (what, reason) = match change {
        TraceChange::Filed(filed) => (format!("filed as {}", said(&filed.filing)), ""),
        TraceChange::ReadAs { traces, reading } => {
            let count = match traces.len() {
                1 => String::new(),
                count => format!(", with {} others", count - 1),
            };
            (format!("columns confirmed{count}: {}", in_words(reading)), "")
        }
        TraceChange::FiledAnew { filing, reason, .. } => {
            (format!("filed anew as {}", said(filing)), reason.as_str())
        }
        TraceChange::EventMoved { event, from_s, to_s, reason, .. } => {
            let time = |time: &Option<f64>, without: &str| {
                time.map_or_else(|| without.to_owned(), |time| format!("{time:.3} s"))
            };
            let (from, to) = (time(from_s, "nowhere"), time(to_s, "where the rule finds it"));
            (format!("{} moved from {from} to {to}", event.name()), reason.as_str())
        }
        TraceChange::SetAside { reason, .. } => ("set aside".to_owned(), reason.as_str()),
        TraceChange::TakenBackIn { reason, .. } => ("counted again".to_owned(), reason.as_str()),
        TraceChange::ReadingNamed(_) | TraceChange::ReadingForgotten { .. } => return None,
    };
    Some(Step {
        operation: operation.id,
        at: operation.at,
        author: operation.author.name.clone(),
        what,
        reason: reason.to_owned(),
    })
}

fn said(filing: &Filing) -> String {
    let load = match filing.load.in_kilograms() {
        0.0 => String::new(),
        kg => format!(" with {kg:.1} kg"),
    };
    let day = words::short_day_and_year(filing.day);
    format!("{} of {}{load}, {day}", filing.kind.name(), filing.athlete)
}
