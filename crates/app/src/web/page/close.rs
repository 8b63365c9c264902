//! The close of a session: for each athlete how hard, one note, what comes next; then the line to
//! the head coach.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::close::{self, ToClose};
use axum::extract::{Query, State};
use axum::response::Html;
use cornerwork_core::camp::training_load::SessionKind;
use cornerwork_core::session::program::SessionId;
use cornerwork_core::words;
use jiff::civil::Date;
use maud::{Markup, html};
use serde::Deserialize;

/// Notes one tap long, and what comes next.
const NOTES: [&str; 6] = ["as planned", "sharp", "flat", "sore", "cut short", "technique"];
const NEXT: [&str; 4] = ["same again", "one step up", "one step down", "rest first"];

/// Which session, where it is not the evening on the floor.
#[derive(Deserialize)]
pub(in super::super) struct Asked {
    session: Option<String>,
}

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Query(asked): Query<Asked>,
) -> Html<String> {
    let session = asked.session.as_deref().and_then(SessionId::new);
    let region = region(&site, session.as_ref());
    let invented = site.house.keeper.ledger().gym().invented;
    let path = session.map_or_else(|| "/close".to_owned(), |id| format!("/close?session={id}"));
    Page { live: Some(&path), ..Page::desk("Close the session", region, invented) }.html()
}

/// What changes.
pub(in super::super) fn region(site: &Site, session: Option<&SessionId>) -> Markup {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let Some(view) = close::view(&site.house, gym, session) else {
        return html! {
            h1 { "Close the session" }
            p { "There was no session yet. Open an evening at the " a href="/" { "desk" } "." }
        };
    };
    let open = view.people.iter().filter(|one| one.closed.is_none()).count();
    html! {
        h1 { "Close the session" }
        p.lead { @match open { 0 => "Everyone is closed.", 1 => "One athlete to close.", _ => { (open) " athletes to close." } } " " (words::weekday_and_day(view.date)) }
        div.closing { @for one in &view.people { (person(one, view.date, view.minutes)) } }
        section {
            h2 { "Line to the head coach" }
            @for (coach, line) in &view.lines {
                @if let Some(coach) = coach { h3 { "To " (coach) } }
                @else if view.lines.len() > 1 { h3 { "Of athletes without a named head coach" } }
                p.message { (line) }
            }
            p.quiet { "Copy it into a message. It names who was in, limited or out, one best and one caution; never what is wrong with anyone. Whose athlete someone is stands on their page under People." }
        }
    }
}

fn person(one: &ToClose<'_>, date: Date, minutes: Option<u16>) -> Markup {
    let athlete = one.athlete;
    // What was closed stands in the form that corrects it, so that one change loses nothing else.
    let felt = one.closed.and_then(|closed| closed.exertion);
    let felt = felt.map(|felt| felt.rating().to_string()).unwrap_or_default();
    let note = one.closed.map_or("", |closed| &closed.note);
    let next = one.closed.map_or("", |closed| &closed.next);
    let minutes = one.closed.map_or(minutes, |closed| closed.minutes);
    let typed = if NOTES.contains(&note) { "" } else { note };
    let group = |name: &str| format!("{name}-{}", athlete.id);
    html! {
        section.step {
            h2 { (athlete.name) " " span.quiet { (one.reps) " reps" } }
            @if let Some(closed) = one.closed {
                p { "✓ " @match closed.exertion { Some(felt) => { "rated " (felt.rating()) }, None => "not rated" }
                    @if let Some(minutes) = closed.minutes { ", " (minutes) " minutes" }
                    @if !closed.note.is_empty() { ", " (closed.note) }
                    @if !closed.next.is_empty() { "; next " (closed.next) }
                    "." }
            }
            details.more open[one.closed.is_none()] {
                summary { @if one.closed.is_some() { "Correct" } @else { "Close" } }
                form.close method="post" action={ "/athlete/" (athlete.id) "/session" } data-send {
                    input type="hidden" name="kind" value=(SessionKind::Strength.code());
                    input type="hidden" name="date" value=(date);
                    fieldset.taps { legend { "How hard, 0 to 10" }
                        @for rating in 0..=10 { (tap("exertion", &group("felt"), &rating.to_string(), &felt)) }
                    }
                    fieldset.taps { legend { "Note" }
                        @for chip in NOTES { (tap("chip", &group("note"), chip, note)) }
                    }
                    fieldset.taps { legend { "Next time" }
                        @for step in NEXT { (tap("next", &group("next"), step, next)) }
                    }
                    div.inline {
                        label { "Minutes" input name="minutes" inputmode="numeric" size="4" value=[minutes] autocomplete="off"; }
                        label { "Other note" input name="note" maxlength="200" value=(typed) autocomplete="off"; }
                        button.main { "Close " (athlete.given_name()) }
                    }
                }
            }
        }
    }
}

/// One of a group of which one is chosen with a tap.
fn tap(name: &str, group: &str, value: &str, chosen: &str) -> Markup {
    let id = format!("{group}-{}", value.replace(' ', "-"));
    html! {
        input type="radio" name=(name) id=(id) value=(value) checked[value == chosen];
        label for=(id) { (value) }
    }
}
