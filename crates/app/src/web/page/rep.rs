//! The story of one rep: what it is, what it was, who changed it and why.

use super::super::Site;
use super::super::shell::Page;
use super::{floor, parts};
use crate::flow::judged;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use cornerwork_core::exercise::Exercise;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::rep::{Altered, Method};
use maud::html;

/// The page.
pub(in super::super) async fn show(State(site): State<Site>, Path(id): Path<String>) -> Response {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let found = id.parse::<OperationId>().ok().and_then(|id| gym.rep(id));
    let Some(rep) = found else {
        let sentence = "That rep is not on record, or it was taken back.";
        return (StatusCode::NOT_FOUND, sentence).into_response();
    };
    let Some(exercise) = site.house.exercise(ledger.gym(), &rep.entry.exercise) else {
        let sentence = "The exercise of that rep is not in the library.";
        return (StatusCode::NOT_FOUND, sentence).into_response();
    };
    let athlete = gym.athlete(&rep.entry.athlete);
    let view = judged::view(&site.house, gym, exercise, rep);
    let clock = site.house.clock();
    let name = athlete.map_or("", |athlete| athlete.name.as_str());
    let author = ledger.operation(rep.id).map_or("", |operation| operation.author.name.as_str());
    let region = html! {
        h1 { (exercise.name) ", " a href={ "/athlete/" (rep.entry.athlete) } { (name) } }
        (parts::number(exercise, &view))
        (parts::judgement(exercise, &view))
        (parts::contact(exercise, &view))
        p { (parts::judged_against(exercise, &view)) }
        table {
            caption { "Its story" }
            thead { tr { th { "when" } th { "who" } th { "what" } th { "why" } } }
            tbody {
                tr {
                    td { (clock.date_of(rep.entry.at)) " " (clock.time_of(rep.entry.at)) }
                    td { (author) }
                    td { "entered" @if rep.from_paper { " from paper, with the time of its session" } ", " (measured(rep.entry.method)) }
                    td {}
                }
                @for change in &rep.changes {
                    tr {
                        td { (clock.date_of(change.at)) " " (clock.time_of(change.at)) }
                        td { (change.author) }
                        td { (altered(exercise, &change.what)) }
                        td { (change.reason) }
                    }
                }
            }
        }
        section.mend { h2 { "Mend it" } (floor::mend(&site, gym, &view)) }
    };
    let page =
        Page { now: Some(site.house.clock().now()), ..Page::desk("Rep", region, gym.invented) };
    page.html().into_response()
}

/// "measured by flight time", or how it looked.
fn measured(method: Method) -> String {
    match method {
        Method::ByEye(_) => method.words().to_owned(),
        Method::ByHand => "measured by hand".to_owned(),
        _ => format!("measured by {}", method.words()),
    }
}

fn altered(exercise: &Exercise, what: &Altered) -> String {
    let number = |value: Option<f64>| {
        value.map_or_else(|| "no number".to_owned(), |value| exercise.measure.with_unit(value))
    };
    match what {
        Altered::Number { from, to } => format!("{} to {}", number(*from), number(*to)),
        Altered::Athlete { from, to } => format!("moved from {from} to {to}"),
        Altered::SetAside => "set aside".to_owned(),
    }
}
