//! Typing in from paper: the printed sheets as forms, in their own order, Enter going on from blank
//! to blank.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::paper::floor_sheet;
use crate::flow::paper::typing::{self, Row, Sheet, Slot, Typing};
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use cornerwork_core::session::program::{SessionId, SessionPlan};
use cornerwork_core::words;
use maud::{Markup, html};
use serde::Deserialize;

/// Which printing of the sheets, from 1; the last where none is named.
#[derive(Deserialize)]
pub(in super::super) struct Asked {
    sheet: Option<usize>,
}

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Response {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let found = SessionId::new(&id).ok_or_else(|| "There is no such session.".to_owned());
    let (plan, view) = match found.and_then(|id| typing::typing(&site.house, gym, &id, asked.sheet))
    {
        Ok(found) => found,
        Err(sentence) => {
            let region = html! { h1 { "Type in from paper" } p { (sentence) } p { a href="/sessions" { "Sessions" } } };
            let page = Page::desk("Type in from paper", region, gym.invented).html();
            return (StatusCode::NOT_FOUND, page).into_response();
        }
    };
    let region = region(&site, plan, &view);
    Page::desk("Type in from paper", region, gym.invented).html().into_response()
}

fn region(site: &Site, plan: &SessionPlan, view: &Typing<'_>) -> Markup {
    let (all, done) = view.count();
    let day = plan.date.map(words::weekday_and_day).unwrap_or_default();
    html! {
        div data-paper {
            p.date { a href={ "/session/" (plan.id) } { (plan.name) } " · " (day) }
            h1 { "Type in from paper" }
            p { @match view.printings.get(view.printing.saturating_sub(1)) {
                Some(at) => { "The sheets printed " (floor_sheet::printed_at(&site.house, *at)) "; each says so under its name." }
                None => { "These sheets were never printed: this is the order they would have now." }
            } }
            @if view.printings.len() > 1 { p { "Another one hung on the wall?"
                @for (place, at) in view.printings.iter().enumerate() { @if place + 1 != view.printing {
                    " " a href={ "/session/" (plan.id) "/paper?sheet=" (place + 1) } { "Printed " (floor_sheet::printed_at(&site.house, *at)) }
                } }
            } }
            p { "Enter goes on to the next blank. Leave empty what was not done; type a dash for a rep without a number. Every rep gets the time of its session and is marked as from paper." }
            p.lead aria-live="polite" { span #done { (done) } " of " (all) " on record." }
            @for sheet in &view.sheets { (one(plan, sheet, view.printing)) }
            p { a.button href={ "/close?session=" (plan.id) } { "Rate this session" } }
        }
    }
}

fn one(plan: &SessionPlan, sheet: &Sheet<'_>, printing: usize) -> Markup {
    html! {
        section.sheet aria-label={ "Station " (sheet.station) } {
            h2 { (sheet.station) " · " (sheet.exercise.name) ", " (sheet.exercise.measure.unit.symbol()) }
            @for row in &sheet.rows { (line(plan, sheet, row, printing)) }
        }
    }
}

fn line(plan: &SessionPlan, sheet: &Sheet<'_>, row: &Row<'_>, printing: usize) -> Markup {
    let printed = &row.printed;
    let (who, side) = (row.athlete.given_name(), typing::side_words(printed.side));
    let hung = typing::hung_as_printed(printed);
    let unit = if printed.box_height.is_some() { "cm" } else { "kg" };
    let id = format!(
        "s{}-{}-{}",
        printed.station,
        printed.athlete,
        printed.side.map_or("both", |side| side.code())
    );
    html! {
        form.row id=(id) method="post" action={ "/session/" (plan.id) "/paper" } {
            input type="hidden" name="station" value=(printed.station);
            input type="hidden" name="athlete" value=(printed.athlete);
            @if let Some(side) = printed.side { input type="hidden" name="side" value=(side.code()); }
            input type="hidden" name="sheet" value=(printing);
            input type="hidden" name="back" value={ "/session/" (plan.id) "/paper?sheet=" (printing) "#" (id) };
            p.name { (who) @if !side.is_empty() { ", " span.side { (side) } }
                @if row.exercise.id != sheet.exercise.id { " " span.quiet { (row.exercise.name) } } }
            @if !hung.is_empty() {
                label.hung { span.unseen { (who) " " (side) ", with " } input name="hung" inputmode="decimal" autocomplete="off" value=(hung) size="5" tabindex="-1"; span { (unit) } }
            }
            @match &row.barred {
                Some(sentence) => p.barred { (sentence) },
                None => {
                    div.blanks {
                        @for set in row.blanks.chunk_by(|one, other| one.set == other.set) {
                            span.set { @for slot in set { (blank(row, slot, who, side)) } }
                        }
                    }
                    button.small.plain { "Keep the row" }
                }
            }
            @if let Some(sentence) = &row.ended { p.quiet { (sentence) " Type in only what was done before that." } }
        }
    }
}

fn blank(row: &Row<'_>, slot: &Slot<'_>, who: &str, side: &str) -> Markup {
    if let (None, Some(rep)) = (slot.typed, slot.at_the_rack) {
        let value = typing::as_typed(row.exercise, rep);
        return html! { a.at-the-rack href={ "/rep/" (rep.id) } title="entered at the rack" { (value) } };
    }
    let side = if side.is_empty() { String::new() } else { format!(", {side}") };
    let words = format!("{who}{side}, set {}, rep {}", slot.set, slot.rep);
    let value = slot.typed.map(|rep| typing::as_typed(row.exercise, rep));
    html! {
        input.blank name={ "blank-" (slot.set) "-" (slot.rep) } inputmode="decimal" autocomplete="off" size="5"
            aria-label=(words) value=[value.as_deref()] data-state=[value.as_ref().map(|_| "kept")] enterkeyhint="next";
    }
}
