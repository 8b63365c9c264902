//! The end of an evening: everyone rated from one table, then the line to the head coach.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::close::{self, CloseView, ToClose};
use axum::extract::{Query, State};
use axum::response::Html;
use cornerwork_core::session::program::SessionId;
use cornerwork_core::words::{counted, weekday_and_day};
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
    Page { live: Some(&path), ..Page::desk("End the evening", region, invented) }.html()
}

/// What changes.
pub(in super::super) fn region(site: &Site, session: Option<&SessionId>) -> Markup {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let Some(view) = close::view(&site.house, gym, session) else {
        return html! {
            h1 { "End the evening" }
            p { "There was no session yet. Open an evening at the " a href="/" { "desk" } "." }
        };
    };
    let over = session.is_none() && !view.runs;
    html! {
        p.date { (weekday_and_day(view.date)) }
        h1 { @if over { "The evening is over" } @else if view.runs { "End the evening" } @else { "Rate the session" } }
        p.lead { (still_to_rate(&view)) }
        (table(&view, session))
        @if over && gym.evenings_over(site.house.clock().today()).next().is_some() {
            form method="post" action="/evening" data-send {
                input type="hidden" name="what" value="again";
                button { "Open it again" }
            }
        }
        section {
            h2 { "Line to the head coach" }
            @for (coach, line) in &view.to_coaches {
                @if let Some(coach) = coach { h3 { "To " (coach) } }
                @else if view.to_coaches.len() > 1 { h3 { "Of athletes without a named head coach" } }
                p.message { (line) }
            }
            p.quiet { "Copy it into a message. It names who was in, limited or out, one best and one caution; never what is wrong with anyone. Whose athlete someone is stands on their page under People." }
        }
    }
}

fn still_to_rate(view: &CloseView<'_>) -> String {
    let open = close::not_rated_in_words(&view.not_rated);
    let nobody_yet = view.people.iter().all(|one| one.reps == 0);
    let none = if nobody_yet {
        "Nobody has a rep on record yet."
    } else {
        "Everyone who trained is rated."
    };
    open.unwrap_or_else(|| none.to_owned())
}

fn table(view: &CloseView<'_>, session: Option<&SessionId>) -> Markup {
    html! {
        form.closing method="post" action="/close" data-send {
            @if let Some(session) = session { input type="hidden" name="session" value=(session); }
            datalist #notes { @for note in NOTES { option value=(note); } }
            @for one in &view.people { (line(one, view.minutes)) }
            div.buttons {
                button.main[!view.runs] name="what" value="save" { "Save" }
                @if view.runs { button.main name="what" value="end" { "Save and end the evening" } }
            }
        }
    }
}

/// One athlete: how hard, and what is worth a word. What was saved stands in the fields.
fn line(one: &ToClose<'_>, minutes: Option<u16>) -> Markup {
    let athlete = one.athlete;
    let felt = one.closed.and_then(|closed| closed.exertion);
    let felt = felt.map(|felt| felt.rating().to_string()).unwrap_or_default();
    let note = one.closed.map_or("", |closed| &closed.note);
    let next = one.closed.map_or("", |closed| &closed.next);
    let minutes = one.closed.map_or(minutes, |closed| closed.minutes);
    let field = |what: &str| format!("{what}-{}", athlete.id);
    html! {
        fieldset.rated {
            legend { (athlete.name) " " span.quiet { @if one.reps == 0 { "no rep" } @else { (counted(one.reps, "rep")) } @if !felt.is_empty() { ", rated " (felt) } } }
            fieldset.taps { legend { "How hard, 0 to 10" }
                @for rating in 0..=10 { (tap(&field("felt"), &rating.to_string(), &felt)) }
            }
            div.inline {
                label { "Minutes" input name=(field("minutes")) inputmode="numeric" size="4" value=[minutes] autocomplete="off"; }
                label { "Note" input name=(field("note")) list="notes" maxlength="200" value=(note) autocomplete="off"; }
                label { "Next time" select name=(field("next")) {
                    option value="" selected[next.is_empty()] { "–" }
                    @for step in NEXT { option value=(step) selected[step == next] { (step) } }
                    @if !next.is_empty() && !NEXT.contains(&next) { option value=(next) selected { (next) } }
                } }
            }
        }
    }
}

/// One of a group of which one is chosen with a tap.
fn tap(group: &str, value: &str, chosen: &str) -> Markup {
    let id = format!("{group}-{value}");
    html! {
        input type="radio" name=(group) id=(id) value=(value) checked[value == chosen];
        label for=(id) { (value) }
    }
}
