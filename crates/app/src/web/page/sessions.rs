//! Sessions: what is planned, from which templates, and what was done.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::program;
use axum::extract::State;
use axum::response::Html;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::SessionPlan;
use cornerwork_core::words;
use jiff::civil::Date;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>) -> Html<String> {
    let region = region(&site);
    let ledger = site.house.keeper.ledger();
    let templates = program::templates(&site.house, ledger.gym());
    Page {
        live: Some("/sessions"),
        rest: new_session(&templates, ledger.gym(), site.house.clock().today()),
        now: Some(site.house.clock().now()),
        ..Page::desk("Sessions", region, ledger.gym().invented)
    }
    .html()
}

/// What changes.
pub(in super::super) fn region(site: &Site) -> Markup {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let today = site.house.clock().today();
    let dated = || gym.program.sessions().filter(|plan| !plan.is_template());
    let mut coming: Vec<&SessionPlan> =
        dated().filter(|plan| plan.date.is_some_and(|date| date >= today)).collect();
    coming.sort_by_key(|plan| (plan.date, plan.starts));
    let mut past: Vec<&SessionPlan> =
        dated().filter(|plan| plan.date.is_some_and(|date| date < today)).collect();
    past.sort_by_key(|plan| (std::cmp::Reverse(plan.date), plan.starts));
    html! {
        h1 { "Sessions" }
        section {
            h2 { "Planned" }
            @if coming.is_empty() { p { "Nothing yet. Plan a session from a template below." } }
            (list(&coming, today))
        }
        section {
            h2 { "Templates" }
            ul.sessions { @for plan in program::templates(&site.house, gym) { li {
                a href={ "/session/" (plan.id) } { (plan.name) }
                " " span.quiet { (stations_in_words(&plan)) ", " (plan.minutes) " min" }
                p.source { (plan.source) }
            } } }
        }
        @if !past.is_empty() {
            section { h2 { "Past" } (list(&past, today)) }
        }
        p { a href="/exercises" { "The exercise library" } }
    }
}

fn list(plans: &[&SessionPlan], today: Date) -> Markup {
    html! {
        ul.sessions { @for plan in plans { li {
            a href={ "/session/" (plan.id) } { (plan.name) }
            " " span.quiet { (day_in_words(plan, today)) ", " (plan.people.len()) " in, " (stations_in_words(plan)) }
        } } }
    }
}

/// "today 18:20", "Friday 25 September 18:20".
pub(super) fn day_in_words(plan: &SessionPlan, today: Date) -> String {
    let time = plan.starts.strftime("%H:%M");
    match plan.date {
        Some(date) if date == today => format!("today {time}"),
        Some(date) => format!("{} {time}", words::weekday_and_day(date)),
        None => "template".to_owned(),
    }
}

fn stations_in_words(plan: &SessionPlan) -> String {
    match plan.blocks.len() {
        1 => "1 station".to_owned(),
        count => format!("{count} stations"),
    }
}

fn new_session(templates: &[SessionPlan], gym: &Gym, today: Date) -> Markup {
    let suggested = program::suggested(gym, today);
    let purpose = suggested.as_ref().map(|(purpose, _)| *purpose);
    let fits = templates.iter().find(|plan| Some(plan.purpose) == purpose).map(|plan| &plan.id);
    html! {
        section {
            h2 { "Plan a session" }
            form.fields method="post" action="/sessions" data-send {
                label { "From template" select name="template" {
                    @for plan in templates { option value=(plan.id) selected[fits == Some(&plan.id)] { (plan.name) } }
                } }
                label { "Day" input type="date" name="day" required value=(today); }
                button.main { "Plan it" }
            }
            @if let Some((_, words)) = &suggested { p.quiet { (words) " today." } }
        }
    }
}
