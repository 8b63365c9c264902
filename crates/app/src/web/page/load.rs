//! Training load: the last seven days among the athlete's own four weeks.

use super::super::Site;
use super::super::shell::Page;
use super::parts;
use crate::flow::close;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use cornerwork_core::camp::training_load::{LoadHistory, Place, SessionKind, Week};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Figure, Now, Strip};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words;
use jiff::civil::Date;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>, Path(code): Path<String>) -> Response {
    let Some(region) = region(&site, &code) else {
        return parts::no_such_athlete();
    };
    let invented = site.house.keeper.ledger().gym().invented;
    let live = format!("/athlete/{code}/load");
    let page = Page { live: Some(&live), ..Page::desk("Training load", region, invented) };
    page.html().into_response()
}

/// What changes.
pub(in super::super) fn region(site: &Site, code: &str) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let athlete = gym.athlete(&AthleteId::new(code)?)?;
    let today = site.house.clock().today();
    let history = close::load_history(&site.house, gym, &athlete.id);
    Some(html! {
        header.person {
            h1 { "Training load" span.code { (athlete.name) ", " (athlete.id) } }
            p.lead { (sentence(&history)) }
        }
        section.profile {
            @if let Some(strip) = strip(&history) { figure { (parts::drawn(&Figure::Strip(strip), "load", 720.0)) } }
            (weeks(&history))
            (parts::why("why-load", &history.now.working(), &[]))
            p.quiet { "Rating times minutes says how much was done. It does not predict injury. No load number does." }
        }
        (latest(gym, &athlete.id))
        (entry(&athlete.id, today))
    })
}

fn sentence(history: &LoadHistory) -> String {
    let now = &history.now;
    if now.is_empty() {
        return "No session was closed in the last seven days.".to_owned();
    }
    let rounds = match now.rounds {
        0 => String::new(),
        rounds => format!(", with {rounds} rounds of sparring"),
    };
    let load = match now.known_load() {
        Ok(load) => format!("{load:.0} units in the last seven days{rounds}"),
        Err(reason) => {
            format!("At least {:.0} units in the last seven days{rounds}: {reason}", now.load)
        }
    };
    match history.place() {
        Ok(place) => format!("{load}: {}.", place.words()),
        Err(reason) if now.known_load().is_ok() => format!("{load}. No own range yet: {reason}."),
        Err(_) => format!("{load}."),
    }
}

fn strip(history: &LoadHistory) -> Option<Strip> {
    let range = history.range().ok()?;
    let place = history.place().ok()?;
    Some(Strip {
        title: "Load of the last seven days".to_owned(),
        description: sentence(history),
        axis: Axis::new("load of seven days", "units", Decimals::UpTo(0)),
        bands: vec![Band { over: range, name: "own four weeks".to_owned() }],
        earlier: history.before.iter().map(|week| week.load).collect(),
        earlier_name: "weeks before".to_owned(),
        now: Some(Now {
            at: history.now.load,
            interval: None,
            word: match place {
                Place::Below => "below",
                Place::Inside => "usual",
                Place::Above => "above",
            }
            .to_owned(),
            asks_for_act: false,
        }),
        marks: Vec::new(),
    })
}

fn weeks(history: &LoadHistory) -> Markup {
    let cell = |number: Result<f64, _>, decimals: usize| match number {
        Ok(number) => format!("{number:.decimals$}"),
        Err(_) => "–".to_owned(),
    };
    let row = |week: &Week| {
        html! { tr {
            td { (words::short_day(week.first)) " to " (words::short_day(week.last())) }
            td.number data-word="load" { @if week.unrated > 0 { "at least " } (format!("{:.0}", week.load)) }
            td.number data-word="sessions" { (week.rated + week.unrated) @if week.unrated > 0 { ", " (week.unrated) " unrated" } }
            td.number data-word="rounds" { (week.rounds) }
            td.number data-word="monotony" { (cell(week.monotony(), 2)) }
            td.number data-word="strain" { (cell(week.strain(), 0)) }
        } }
    };
    html! {
        div.scroll tabindex="0" role="region" aria-label="Weeks" { table.stacks {
            thead { tr { th { "seven days" } th { "load" } th { "sessions" } th { "rounds" } th { "monotony" } th { "strain" } } }
            tbody { (row(&history.now)) @for week in &history.before { (row(week)) } }
        } }
    }
}

/// The latest sessions, newest first.
const LATEST: usize = 10;

fn latest(gym: &Gym, code: &AthleteId) -> Markup {
    let sessions = gym.safety().sessions(code);
    html! {
        @if !sessions.is_empty() {
            section {
                h2 { "Latest sessions" }
                div.scroll tabindex="0" role="region" aria-label="Latest sessions" { table.stacks {
                    thead { tr { th { "day" } th { "kind" } th { "rating" } th { "minutes" } th { "rounds" } th { "note" } } }
                    tbody { @for one in sessions.iter().rev().take(LATEST) { tr {
                        td { (words::short_day(one.date)) }
                        td { (one.kind.code()) }
                        td.number data-word="rating" { @match one.exertion { Some(felt) => (felt.rating()), None => "not asked" } }
                        td.number data-word="minutes" { @match one.minutes { Some(minutes) => (minutes), None => "not known" } }
                        td.number data-word=[one.kind.has_head_contact().then_some("rounds")] { @if one.kind.has_head_contact() { (one.rounds) } }
                        td { (one.note) }
                    } } }
                } }
            }
        }
    }
}

fn entry(code: &AthleteId, today: Date) -> Markup {
    html! {
        section {
            h2 { "Enter a session" }
            form.fields method="post" action={ "/athlete/" (code) "/session" } data-send {
                label { "Kind" select name="kind" { @for kind in SessionKind::ALL { option value=(kind.code()) { (kind.code()) } } } }
                label { "Day" input type="date" name="date" value=(today) max=(today); }
                label { "How hard, 0 to 10" input name="exertion" inputmode="decimal" size="4" autocomplete="off"; }
                label { "Minutes" input name="minutes" inputmode="numeric" size="4" autocomplete="off"; }
                label { "Rounds" input name="rounds" inputmode="numeric" size="4" autocomplete="off"; }
                button.main { "Save session" }
            }
            p.quiet { "Ask ten minutes after the end or later. Didn't ask? Leave it blank. Blank is not zero." }
        }
    }
}
