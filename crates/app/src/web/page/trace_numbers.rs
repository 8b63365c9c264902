//! Numbers of a recording as tables, each with its 'why?'.

use super::parts;
use crate::flow::trace::{Analysis, Hop, name, working};
use cornerwork_core::metrics::registry::FAMILIES;
use cornerwork_core::metrics::{Definition, Metric, MetricSet, significant};
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
            @if !analysis.hops.is_empty() { (hops(&analysis.hops)) }
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
        (metric.figures())
        @if let Some(error) = metric.reach_figures() { span.quiet { " ± " (error) } }
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

/// Repetitions of a bar: a column each, the working that of the first.
fn repetitions(analysis: &Analysis) -> Markup {
    let Some(first) = analysis.sets.first() else { return html! {} };
    html! {
        table.metrics.reps {
            caption { "Repetitions" }
            thead { tr {
                th scope="col" { span.unseen { "number" } }
                @for rep in 1..=analysis.sets.len() { th.number scope="col" { (rep) } }
                th scope="col" { span.unseen { "why" } }
            } }
            tbody { @for metric in &first.metrics {
                @let definition = metric.definition;
                @let id = format!("why-{}", definition.id.replace('.', "-"));
                tr {
                    th scope="row" { (with_unit(definition)) }
                    @for set in &analysis.sets {
                        td.number { @match set.metric(definition.id) { Some(metric) => (metric.figures()), None => "–" } }
                    }
                    td { (parts::why(&id, &working(analysis, first, metric), &[])) }
                }
            } }
        }
        @if analysis.sets.len() > 1 { p.quiet { "‘why?’ works out repetition 1; the others are worked out alike." } }
    }
}

fn with_unit(definition: &Definition) -> String {
    let name = name(definition.id, definition.unit);
    if definition.unit.is_empty() { name } else { format!("{name}, {}", definition.unit) }
}

/// Hops of a series: a row each.
fn hops(hops: &[Hop]) -> Markup {
    html! {
        table.hops {
            caption { "Hops" }
            thead { tr {
                th scope="col" { "hop" } th.number scope="col" { "contact, s" } th.number scope="col" { "flight, s" }
                th.number scope="col" { "reactive strength, m/s" }
            } }
            tbody { @for (index, hop) in hops.iter().enumerate() { tr {
                th scope="row" { (index + 1) }
                td.number { (format!("{:.3}", hop.contact_s)) }
                td.number { (format!("{:.3}", hop.flight_s)) }
                td.number { (format!("{:.2}", hop.reactive_strength_index)) }
            } } }
        }
    }
}
