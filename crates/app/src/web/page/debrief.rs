//! The debrief of a camp and what is handed on: planned, done, what changed, what to keep.

use super::super::Site;
use super::super::shell::Page;
use super::parts;
use crate::flow::close;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use cornerwork_core::camp::hand_over::HandOver;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::words::day;
use maud::{Markup, html};

/// Notes shown.
const MOST_NOTES: usize = 12;

/// The page.
pub(in super::super) async fn show(State(site): State<Site>, Path(code): Path<String>) -> Response {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let athlete = AthleteId::new(&code).and_then(|code| gym.athlete(&code));
    let Some(athlete) = athlete else {
        return parts::no_such_athlete();
    };
    let jump = close::jump_change(&site.house, gym, athlete);
    let told = close::hand_over(&site.house, gym, athlete, jump.as_ref());
    Page::desk("Debrief", content(&told), gym.invented).html().into_response()
}

fn content(one: &HandOver) -> Markup {
    html! {
        header.person {
            h1 { "Debrief" span.code { (one.name) ", " (one.athlete) } }
            p { (day(one.from)) " to " (day(one.to)) ": for the talk after the camp, and for whoever coaches next. " a href={ "/paper/hand-over/" (one.athlete) } { "On one page, to print" } }
        }
        @if one.is_empty() { p { "Nothing is on record of these weeks." } }
        (list("Planned and done", &one.done))
        (list("What changed", &one.changed))
        @if !one.best_loads.is_empty() {
            section { h2 { "Loads that work" } ul { @for (name, value) in &one.best_loads { li { (name) ": " strong { (value) } } } } }
        }
        (list("What to avoid", &one.avoid))
        @if !one.keep.is_empty() {
            section { h2 { "What to keep" } ul { @for (on, note) in one.keep.iter().take(MOST_NOTES) { li { (day(*on)) ": " (note) } } } }
        }
    }
}

fn list(heading: &str, sentences: &[String]) -> Markup {
    html! {
        @if !sentences.is_empty() {
            section { h2 { (heading) } ul { @for sentence in sentences { li { (sentence) } } } }
        }
    }
}
