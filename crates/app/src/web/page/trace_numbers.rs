//! Numbers of a recording as tables, each with its 'why?'.

use super::parts;
use crate::flow::trace::{Analysis, name, working};
use cornerwork_core::metrics::registry::FAMILIES;
use cornerwork_core::metrics::{Metric, MetricSet, significant};
use maud::{Markup, html};

/// All numbers, a table a family.
pub(super) fn tables(analysis: &Analysis) -> Markup {
    html! {
        @if let [set] = analysis.sets.as_slice() {
            @for family in FAMILIES {
                @let metrics = of_family(set, family.metrics);
                @if !metrics.is_empty() {
                    (table(analysis, set, family.title, &metrics))
                }
            }
            @if !set.asymmetry.is_empty() { (sides(set)) }
        } @else {
            (repetitions(analysis))
        }
    }
}

fn of_family<'a>(
    set: &'a MetricSet,
    family: &[&'static cornerwork_core::metrics::Definition],
) -> Vec<&'a Metric> {
    family.iter().filter_map(|definition| set.metric(definition.id)).collect()
}

fn table(analysis: &Analysis, set: &MetricSet, title: &str, metrics: &[&Metric]) -> Markup {
    html! {
        table.metrics {
            caption { (title) }
            tbody { @for metric in metrics {
                @let definition = metric.definition;
                @let id = format!("why-{}", definition.id.replace('.', "-"));
                tr {
                    th scope="row" { (name(definition.id, definition.unit)) }
                    td.number { (with_doubt(metric)) }
                    td { (parts::why(&id, &working(analysis, set, metric), &[])) }
                }
            } }
        }
    }
}

fn with_doubt(metric: &Metric) -> Markup {
    html! {
        (significant(metric.value))
        @if let Some(error) = metric.standard_error { span.quiet { " ± " (significant(error)) } }
        " " (metric.definition.unit)
    }
}

fn sides(set: &MetricSet) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Left against right" { table {
            caption { "Left against right (positive: the left does more)" }
            thead { tr { th { "phase" } th { "what" } th { "left" } th { "right" } th { "difference" } } }
            tbody { @for side in &set.asymmetry { tr {
                td { (side.phase) }
                td { (name(side.quantity.id(), unit_of(side.quantity.id()))) }
                td.number { (significant(side.left)) }
                td.number { (significant(side.right)) }
                td.number { @match side.index_percent() { Some(index) => (format!("{index:+.1} %")), None => "–" } }
            } } }
        } }
    }
}

fn unit_of(id: &str) -> &'static str {
    if id.ends_with("_n_s") { "N s" } else { "N" }
}

/// Repetitions of a bar: a row each.
fn repetitions(analysis: &Analysis) -> Markup {
    let columns: Vec<&Metric> =
        analysis.sets.first().map(|set| set.metrics.iter().collect()).unwrap_or_default();
    html! {
        div.scroll tabindex="0" role="region" aria-label="Repetitions" { table {
            caption { "Repetitions" }
            thead { tr {
                th { "rep" }
                @for metric in &columns {
                    th { (name(metric.definition.id, metric.definition.unit)) ", " (metric.definition.unit) }
                }
            } }
            tbody { @for (index, set) in analysis.sets.iter().enumerate() { tr {
                td { (index + 1) }
                @for metric in &columns {
                    td.number { @match set.metric(metric.definition.id) { Some(metric) => (significant(metric.value)), None => "–" } }
                }
            } } }
        } }
        @if let Some(first) = analysis.sets.first() { @for metric in &columns {
            @let id = format!("why-{}", metric.definition.id.replace('.', "-"));
            (parts::why(&id, &working(analysis, first, metric), &[]))
        } }
    }
}
