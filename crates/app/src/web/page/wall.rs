//! The wall: one column a station, nothing to press.

use super::super::Site;
use super::super::shell::{Distance, Page};
use super::parts;
use crate::flow::floor::{self, StationView};
use axum::extract::State;
use axum::response::Html;
use cornerwork_core::report::figure::Figure;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>) -> Html<String> {
    let region = region(&site);
    let invented = site.house.keeper.ledger().gym().invented;
    Page {
        title: "Wall",
        distance: Distance::Wall,
        live: Some("/wall"),
        region,
        rest: html! {},
        invented,
        now: Some(site.house.clock().now()),
    }
    .html()
}

/// The columns.
pub(in super::super) fn region(site: &Site) -> Markup {
    let ledger = site.house.keeper.ledger();
    let now = site.house.clock().now();
    let stations: Vec<u8> = ledger
        .gym()
        .evening
        .iter()
        .flat_map(|evening| evening.plan.stations.iter().map(|station| station.number))
        .collect();
    let views: Vec<StationView<'_>> = stations
        .iter()
        .filter_map(|number| floor::station(&site.house, &ledger, *number, now))
        .collect();
    html! {
        h1.unseen { "Wall" }
        @if views.is_empty() { p.quiet { "No evening is open. " a href="/" { "Open one at the desk." } } }
        div.columns { @for view in &views { (column(view)) } }
        @if ledger.gym().invented { p.invented { (ledger.gym().name) " · invented people and numbers" } }
    }
}

fn column(view: &StationView<'_>) -> Markup {
    html! {
        section aria-label={ "Station " (view.station.number) } {
            p.place { (view.station.number) " · " (view.exercise.name) }
            @match &view.up {
                Some(up) => {
                    h2 { (up.athlete.given_name()) }
                    p.load { (parts::load_in_short(view, up)) }
                }
                None => { h2.quiet { "—" } p.load { "\u{a0}" } }
            }
            @match view.shown() {
                Some(last) => {
                    p.whose { (parts::whose(last)) }
                    (parts::number(view.exercise, last))
                    (parts::judgement(view.exercise, last))
                    (parts::contact(view.exercise, last))
                }
                None => { p.whose { "\u{a0}" } p.number.none { "·" } }
            }
            @if let Some(before) = view.before() { p.before { (parts::in_one_line(view.last_exercise, before)) } }
            @if let Some(up) = &view.up {
                @match parts::set_strip(view.exercise, up) {
                    Some(strip) => div.strip { (parts::drawn_large(&Figure::Strip(strip), &format!("set-{}", view.station.number))) },
                    None => p.beat { (parts::to_beat(view.exercise, up)) },
                }
            }
            p.action.(parts::action_class(&view.action)) { (parts::action_sentence(view)) }
        }
    }
}
