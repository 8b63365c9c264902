//! The desk: today's sentence, who needs a decision and why, who trains.

use super::super::Site;
use super::super::shell::Page;
use super::{athlete_form, parts};
use crate::flow::desk::{self, FirstStep, Person};
use crate::flow::next_tests;
use axum::extract::State;
use axum::response::Html;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>) -> Html<String> {
    let region = region(&site);
    let invented = site.house.keeper.ledger().gym().invented;
    Page {
        live: Some("/"),
        rest: athlete_form::new(site.house.keeper.ledger().gym(), site.house.clock().today()),
        now: Some(site.house.clock().now()),
        ..Page::desk("Desk", region, invented)
    }
    .html()
}

/// What changes.
pub(in super::super) fn region(site: &Site) -> Markup {
    let ledger = site.house.keeper.ledger();
    let view = desk::view(&site.house, &ledger);
    html! {
        p.date { (view.date) @if !view.gym_name.is_empty() { " · " (view.gym_name) } }
        h1.today { (view.sentence) }
        @if !view.first_steps.is_empty() { (first_steps(&view.first_steps)) }
        @if !view.decisions.is_empty() || !view.unweighed.is_empty() || view.not_rated.is_some() {
            section {
                h2 { "Needs a decision" }
                ul.decisions {
                    @if let Some(sentence) = &view.not_rated { li { a href="/close" { "Last session" } " — " (sentence) } }
                    @for one in &view.decisions { li { a href=(one.page) { (one.person.name) } " — " (one.why) } }
                    @if !view.unweighed.is_empty() { li {
                        @for (place, person) in view.unweighed.iter().enumerate() {
                            @if place > 0 { ", " } a href={ "/athlete/" (person.code) } { (person.name) }
                        }
                        " — not weighed yet: no momentum without a body mass."
                    } }
                }
            }
        }
        @if !view.odd.is_empty() {
            section {
                h2 { "Reads odd" }
                ul.decisions { @for (station, sentence) in &view.odd { li { a href={ "/floor/" (station) } { "Station " (station) } " — " (sentence) } } }
            }
        }
        @if let Some(open) = &view.evening {
            section {
                h2 { "Tonight" }
                div.scroll tabindex="0" role="region" aria-label="Tonight's groups" {
                    table.tonight {
                        thead { tr { th { "station" } th { "now there" } th { "exercise" } th { "sets done" } } }
                        tbody { @for row in &open.rows { tr {
                            td { a href={ "/floor/" (row.station) } { (row.station) } }
                            td { (row.names) }
                            td { (row.exercise) }
                            td.number { (row.sets_done) " of " (row.sets) }
                        } } }
                    }
                }
                p { a.button href="/close" { "End the evening" } }
            }
        }
        @if view.over {
            section {
                h2 { "Tonight" }
                p { "The evening is over." }
                form method="post" action="/evening" data-send {
                    input type="hidden" name="what" value="again";
                    button { "Open it again" }
                }
            }
        }
        @if !view.tests.is_empty() {
            section {
                h2 { "Tests worth doing, " (format!("{:.0}", next_tests::MINUTES)) " minutes" }
                ul.decisions { @for (place, test) in view.tests.iter().enumerate() { li {
                    a href={ "/athlete/" (test.athlete) } { (test.name) } " — " (test.worth.sentence)
                    (parts::why(&format!("why-test-{place}"), &test.worth.working, &[]))
                } } }
            }
        }
        section {
            h2 { "Sessions" }
            @for (id, name, count) in &view.planned {
                div.inline {
                    p { a href={ "/session/" (id) } { (name) } ", today" }
                    @if view.evening.is_none() {
                        form method="post" action={ "/session/" (id) } data-send {
                            input type="hidden" name="what" value="open";
                            button.main { "Open " (name) " with " (count) " in" }
                        }
                    }
                }
            }
            p { a href="/sessions" { "Plan a session" } " · " a href="/paper" { "Print" } }
        }
        section {
            h2 { "Athletes" }
            @if view.people.is_empty() { p { "Nobody yet. Enter the first athlete below." } }
            @else { (people(&view.people, view.evening.is_none())) }
        }
    }
}

/// Where a new gym begins.
fn first_steps(steps: &[FirstStep]) -> Markup {
    html! {
        section {
            h2 { "To begin" }
            ul { @for step in steps { li { @match step {
                FirstStep::Name => { a href="/kit#gym" { "Name the gym" } ": it stands on every paper." }
                FirstStep::Kit => { a href="/kit" { "Weigh the bars and count the plates" } ": loads are rounded to what can be hung." }
                FirstStep::Athlete => { a href="#enter" { "Add an athlete" } " below, then weigh them in on their page." }
            } } } }
        }
    }
}

fn people(people: &[Person], choosing: bool) -> Markup {
    let table = html! {
        div.scroll tabindex="0" role="region" aria-label="Athletes" {
            table.people {
                thead { tr { @if choosing { th { "in" } } th.code { "code" } th { "athlete" } th { "mass" } th { "loaded jump" } th { "next bout" } } }
                tbody { @for person in people { tr {
                    @if choosing { td { @if person.barred.is_none() {
                        input type="checkbox" name="athlete" value=(person.code) aria-label={ "in: " (person.name) };
                    } @else { span title="barred" { "✕" } } } }
                    td.code { (person.code) }
                    td { a href={ "/athlete/" (person.code) } { (person.name) }
                        @if let Some(barred) = &person.barred { br; small { "✕ " (barred) } } }
                    td.number { (person.mass.as_deref().unwrap_or("not weighed")) }
                    td { (person.band) }
                    td { @match &person.bout {
                        Some(next) => a href={ "/plan/" (next.id) } { (next.days) span.wide { ", " (next.which) } },
                        None => "—",
                    } }
                } } }
            }
        }
    };
    html! {
        @if choosing {
            form method="post" action="/evening" data-send {
                input type="hidden" name="what" value="open";
                (table)
                button.main { "Open tonight with those ticked" }
            }
        } @else { (table) }
    }
}
