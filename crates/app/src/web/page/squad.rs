//! The squad: by each yardstick everyone on one scale, adjusted for body mass.

use super::super::Site;
use super::super::shell::{Distance, Page};
use super::parts;
use crate::flow::squad::{self, ByYardstick, Group, Order};
use axum::extract::{RawQuery, State};
use axum::response::Html;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::words;
use maud::{Markup, html};

/// How rows are sorted, from the query of the address: `sort=name`.
pub(in super::super) fn order(query: &str) -> Order {
    let code = query.split('&').find_map(|part| part.strip_prefix("sort="));
    code.map_or_else(Order::default, Order::from_code)
}

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    RawQuery(query): RawQuery,
) -> Html<String> {
    let order = order(query.as_deref().unwrap_or_default());
    let region = region(&site, order);
    let invented = site.house.keeper.ledger().gym().invented;
    let live = format!("/squad?sort={}", order.code());
    Page {
        title: "Squad",
        distance: Distance::Desk,
        live: Some(&live),
        region,
        rest: html! {},
        invented,
        now: Some(site.house.clock().now()),
    }
    .html()
}

/// What changes.
pub(in super::super) fn region(site: &Site, order: Order) -> Markup {
    let ledger = site.house.keeper.ledger();
    let measures = squad::view(&site.house, ledger.gym(), order);
    html! {
        h1 { "Squad" }
        p { "Like for like: women and men apart, adjusted for body mass. With so few people a place is rough, so each comes with its range." }
        p.quiet { "No published figures for boxers were found that hold up: places are among the people here." }
        @for by in &measures { (measure(by, order)) }
    }
}

fn measure(by: &ByYardstick<'_>, order: Order) -> Markup {
    let code = by.yardstick.code();
    html! {
        section.profile id=(code) {
            h2 { (by.yardstick.name()) }
            @if by.groups.is_empty() { p { "Nobody was tested yet." } }
            div.pair {
                @for (place, group) in by.groups.iter().enumerate() {
                    figure { figcaption { (group.who) } (parts::drawn(&Figure::Strip(group.strip.clone()), &format!("{code}-{place}"), 460.0)) }
                }
            }
            @for group in &by.groups { (rows(by, group, order)) }
            p.source { "Exponent from " (by.yardstick.scaling().source) "." }
            @if !by.missing.is_empty() {
                p.quiet { "Missing: "
                    @for (place, (athlete, reason)) in by.missing.iter().enumerate() {
                        @if place > 0 { "; " }
                        a href={ "/athlete/" (athlete.id) } { (athlete.name) } ", " (reason.trim_end_matches('.'))
                    }
                    "."
                }
            }
        }
    }
}

fn rows(by: &ByYardstick<'_>, group: &Group<'_>, order: Order) -> Markup {
    let axis = by.yardstick.axis();
    let exponent = group.scaled.exponent;
    let reference = format!("{:.0} kg", group.scaled.reference_mass_kg);
    let label = format!("{}, {}", by.yardstick.name(), group.who);
    html! {
        div.scroll tabindex="0" role="region" aria-label=(label) {
            table.squad {
                caption { (group.who) }
                thead { tr {
                    (heading("athlete", Order::Name, order, by))
                    (heading(&axis.label(), Order::Place, order, by))
                    (heading("body mass", Order::Mass, order, by))
                    @if exponent.value != 0.0 { th { "at " (reference) } }
                    th { "place among the others" }
                    (heading("tested", Order::Date, order, by))
                } }
                tbody { @for row in &group.rows { tr {
                    td { a href={ "/athlete/" (row.athlete.id) "#peers" } { (row.athlete.name) } }
                    td.number { (axis.number(row.measured.value)) }
                    td.number data-word="body mass" { (format!("{:.1} kg", row.measured.body_mass_kg)) }
                    @if exponent.value != 0.0 { td.number data-word={ "at " (reference) } { (axis.number(row.scaled)) } }
                    td.place { (row.place) }
                    td data-word="tested" { (words::day(row.measured.date)) }
                } } }
            }
        }
        p.quiet {
            @if exponent.value == 0.0 { "Body mass makes no difference here" } @else { "All read at " (reference) }
            ": exponent " (format!("{:.2} ± {:.2}", exponent.value, exponent.standard_deviation)) "."
        }
    }
}

/// A heading that sorts.
fn heading(words: &str, by: Order, now: Order, measure: &ByYardstick<'_>) -> Markup {
    let address = format!("/squad?sort={}#{}", by.code(), measure.yardstick.code());
    html! {
        @if by == now { th aria-sort=(if by == Order::Name || by == Order::Mass { "ascending" } else { "descending" }) { (words) } }
        @else { th { a href=(address) { (words) } } }
    }
}
