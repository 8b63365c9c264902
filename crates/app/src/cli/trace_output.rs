//! What `trace` prints: lines for people, one document for programs.

use super::explain::{self, WorkingObject};
use super::reading_options;
use crate::flow::trace::{Analysis, Kind, name, working};
use cornerwork_core::metrics::{Metric, MetricSet, significant};
use cornerwork_core::working::Working;
use serde_json::{Map, Value, json};
use std::fmt::Write;

/// Version of the document.
const SCHEMA: &str = "cornerwork.trace.1";

/// The document. Numbers are in SI units, the unit last in each key; what cannot be had is absent
/// and `notes` says why.
pub(super) fn json(analysis: &Analysis, columns: Option<&str>, explain: bool) -> Value {
    let mut document = Map::new();
    document.insert("schema".into(), SCHEMA.into());
    document.insert("kind".into(), analysis.kind.id().into());
    if let Some(columns) = columns {
        document.insert("columns".into(), columns.into());
    }
    if analysis.kind == Kind::Bar {
        let reps = analysis.sets.iter().map(|set| Value::Object(numbers(set))).collect();
        document.insert("reps".into(), Value::Array(reps));
    } else {
        for set in &analysis.sets {
            document.extend(numbers(set));
        }
        document.insert("phases".into(), phases(analysis));
    }
    if !analysis.hops.is_empty() {
        document.insert("hops_all".into(), hops(analysis));
    }
    if let Some(sides) = analysis.sets.first().and_then(asymmetry) {
        document.insert("asymmetry".into(), sides);
    }
    let notes = analysis
        .notes
        .iter()
        .map(|note| json!({ "id": note.id, "text": reading_options::note(note) }));
    document.insert("notes".into(), notes.collect());
    if explain {
        document.insert("explain".into(), explanations(analysis));
        let workings = workings(analysis);
        document.insert(
            "working".into(),
            json!(workings.iter().map(WorkingObject::from).collect::<Vec<_>>()),
        );
    }
    Value::Object(document)
}

/// Every number under its key, and its 90 % interval beside it where there is one; a full stop in
/// an id leads into an object.
pub(super) fn numbers(set: &MetricSet) -> Map<String, Value> {
    let mut map = Map::new();
    for metric in &set.metrics {
        match metric.definition.id.split_once('.') {
            None => {
                map.insert(metric.definition.id.into(), metric.value.into());
                if let Some(interval) = metric.interval() {
                    let key = format!("{}_interval", metric.definition.id);
                    map.insert(key, json!([interval.low, interval.high]));
                }
            }
            Some((object, key)) => {
                let inner = map.entry(object).or_insert_with(|| Value::Object(Map::new()));
                if let Value::Object(inner) = inner {
                    inner.insert(key.into(), metric.value.into());
                }
            }
        }
    }
    map
}

fn phases(analysis: &Analysis) -> Value {
    let phases = analysis.phases.iter();
    phases.map(|(name, from, to)| json!({ "name": name, "from_s": from, "to_s": to })).collect()
}

fn hops(analysis: &Analysis) -> Value {
    let hops = analysis.hops.iter();
    hops.map(|hop| {
        json!({
            "touch_down_s": hop.touch_down_s,
            "contact_time_s": hop.contact_s,
            "flight_time_s": hop.flight_s,
            "reactive_strength_index": hop.reactive_strength_index,
        })
    })
    .collect()
}

fn asymmetry(set: &MetricSet) -> Option<Value> {
    let rows = set.asymmetry.iter().map(|sides| {
        let mut row = json!({
            "phase": sides.phase,
            "quantity": sides.quantity.id(),
            "left": sides.left,
            "right": sides.right,
        });
        if let (Value::Object(row), Some(index)) = (&mut row, sides.index_percent()) {
            row.insert("index_percent".into(), index.into());
        }
        row
    });
    let rows: Vec<Value> = rows.collect();
    (!rows.is_empty()).then_some(Value::Array(rows))
}

fn explanations(analysis: &Analysis) -> Value {
    let metrics = analysis.sets.iter().flat_map(|set| &set.metrics).map(|metric| {
        let mut one = json!({
            "id": metric.definition.id,
            "unit": metric.definition.unit,
            "value": metric.value,
            "definition": metric.definition.definition,
            "source": metric.definition.source,
        });
        if let (Value::Object(one), Some(error)) = (&mut one, metric.standard_error) {
            one.insert("standard_error".into(), error.into());
        }
        one
    });
    json!({ "metrics": metrics.collect::<Vec<_>>(), "rules": format!("{:#?}", analysis.rules) })
}

/// The working of every number, as the page of a recording on file shows it.
fn workings(analysis: &Analysis) -> Vec<Working> {
    let of_set =
        |set: &MetricSet| set.metrics.iter().map(|one| working(analysis, set, one)).collect();
    analysis.sets.iter().flat_map::<Vec<_>, _>(of_set).collect()
}

/// Lines for people.
pub(super) fn text(analysis: &Analysis, columns: Option<&str>, explain: bool) -> String {
    let mut page = String::new();
    heading(&mut page, analysis, columns);
    if analysis.kind == Kind::Bar {
        repetitions(&mut page, analysis);
    } else {
        for (name, from, to) in &analysis.phases {
            line(&mut page, name, &format!("{from:.3} to {to:.3} s"));
        }
        for metric in analysis.sets.iter().flat_map(|set| &set.metrics) {
            page.push('\n');
            one_number(&mut page, metric);
        }
        page.push('\n');
    }
    sides(&mut page, analysis);
    if explain {
        for working in workings(analysis) {
            page += &format!("\n{}", explain::in_words(&working));
        }
        page += &format!("\nRead by these rules:\n{:#?}\n", analysis.rules);
    }
    for note in &analysis.notes {
        page += &format!("\nNote ({}): {}\n", note.id, reading_options::note(note));
    }
    page
}

// Writing to a string cannot fail, so the answers of `write!` are let go.

fn heading(page: &mut String, analysis: &Analysis, columns: Option<&str>) {
    let _ = writeln!(page, "Read as: {}", analysis.kind.name());
    if let Some(columns) = columns {
        let _ = writeln!(page, "Columns: {columns}");
    }
    page.push('\n');
}

fn line(page: &mut String, name: &str, value: &str) {
    let _ = writeln!(page, "{name:<44} {value}");
}

fn one_number(page: &mut String, metric: &Metric) {
    let definition = metric.definition;
    let name = name(definition.id, definition.unit);
    let value = metric.figures();
    let doubt = metric.reach_figures().map(|reach| format!(" ± {reach}"));
    let text = format!("{value}{} {}", doubt.unwrap_or_default(), definition.unit);
    let _ = write!(page, "{name:<44} {}", text.trim_end());
}

fn repetitions(page: &mut String, analysis: &Analysis) {
    let _ = writeln!(
        page,
        "{:>4} {:>9} {:>11} {:>18} {:>11} {:>9}",
        "rep", "start s", "mean m/s", "mean propuls. m/s", "peak m/s", "range m"
    );
    for (index, set) in analysis.sets.iter().enumerate() {
        let value = |id: &str| set.metric(id).map_or("–".into(), |m| format!("{:.3}", m.value));
        let _ = writeln!(
            page,
            "{:>4} {:>9} {:>11} {:>18} {:>11} {:>9}",
            index + 1,
            value("start_s"),
            value("mean_velocity_m_s"),
            value("mean_propulsive_velocity_m_s"),
            value("peak_velocity_m_s"),
            value("range_m"),
        );
    }
}

fn sides(page: &mut String, analysis: &Analysis) {
    let rows = analysis.sets.first().map(|set| set.asymmetry.as_slice()).unwrap_or_default();
    if rows.is_empty() {
        return;
    }
    let _ = writeln!(page, "\nLeft against right (positive: the left does more)");
    for sides in rows {
        let index = sides.index_percent().map_or("–".into(), |index| format!("{index:+.1} %"));
        let name = format!("{} {}", sides.phase, sides.quantity.id().replace('_', " "));
        line(
            page,
            &name,
            &format!("{} {} {index}", significant(sides.left), significant(sides.right)),
        );
    }
}
