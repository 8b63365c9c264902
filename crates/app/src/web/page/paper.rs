//! Papers: a list of what can be printed, and each of them as PDF.

use super::super::Site;
use super::super::shell::Page;
use super::parts;
use crate::flow::act::{self, Act, Answer};
use crate::flow::camp::view;
use crate::flow::house::House;
use crate::flow::{paper, program};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{Html, IntoResponse, Response};
use cornerwork_core::report::document::Document;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::program::{SessionId, SessionPlan};
use cornerwork_core::words;
use jiff::civil::Date;
use maud::html;
use uuid::Uuid;

/// What can be printed.
pub(in super::super) async fn list(State(site): State<Site>) -> Html<String> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let region = html! {
        h1 { "Paper" }
        p { "Each opens as a PDF to print or to send. Papers say what an athlete may not do, never why." }
        h2 { "Floor sheets" }
        @let coming: Vec<_> = coming(gym, site.house.clock().today()).collect();
        @if coming.is_empty() { p { "No session is planned. " a href="/sessions" { "Plan one" } ", then print its sheets." } }
        ul.papers { @for plan in coming {
            li { a href={ "/paper/floor/" (plan.id) } { (plan.name) } @if let Some(date) = plan.date { ", " (words::weekday_and_day(date)) } }
        } }
        h2 { "The squad" }
        p { a href="/paper/squad" { "Squad on one sheet" } }
        h2 { "Camps" }
        @let camps = view::ahead(gym, site.house.clock().today());
        @if camps.is_empty() { p { "No bout ahead. " a href="/plan" { "Add one" } ", then print its camp." } }
        ul.papers { @for bout in camps {
            li { a href={ "/paper/camp/" (bout.id) } { (bout.name) } ", " (words::weekday_and_day(bout.date)) }
        } }
        h2 { "For the meeting, and to hand over" }
        ul.papers { @for athlete in gym.athletes.values() {
            li { a href={ "/paper/athlete/" (athlete.id) } { (athlete.name) } ", " a href={ "/paper/hand-over/" (athlete.id) } aria-label={ "hand-over: " (athlete.name) } { "hand-over" } }
        } }
    };
    Page::desk("Paper", region, gym.invented).html()
}

fn coming(gym: &Gym, today: Date) -> impl Iterator<Item = &SessionPlan> {
    gym.program.sessions().filter(move |plan| plan.date.is_some_and(|date| date >= today))
}

/// The sheets of a session, one a station.
pub(in super::super) async fn floor(State(site): State<Site>, Path(id): Path<String>) -> Response {
    let document = {
        let ledger = site.house.keeper.ledger();
        let plan =
            SessionId::new(&id).and_then(|id| program::session(&site.house, ledger.gym(), &id));
        plan.map(|plan| paper::floor_sheet(&site.house, ledger.gym(), &plan))
    };
    let Some(document) = document else {
        return (StatusCode::NOT_FOUND, "There is no session of this name.").into_response();
    };
    remember(&site, &id).await;
    printed(document, &id).await
}

/// What is handed out is kept, so that it can be typed in by the same order whatever changes until
/// then. A failure here must not keep the sheet from the printer: typing in then goes by the order
/// as it is on that day.
async fn remember(site: &Site, session: &str) {
    let Some(session) = SessionId::new(session) else { return };
    let id = OperationId(Uuid::now_v7().as_u128());
    let author = "the program, printing".into();
    let told = act::act(&site.house, id, author, Act::Printed(session)).await;
    if let Answer::Refused(sentence) = told {
        tracing::warn!(%sentence, "a printed sheet was not remembered");
    }
}

/// The squad on one sheet.
pub(in super::super) async fn squad(State(site): State<Site>) -> Response {
    let document = {
        let ledger = site.house.keeper.ledger();
        paper::squad_page(&site.house, &ledger)
    };
    printed(document, "squad").await
}

/// The page of one athlete.
pub(in super::super) async fn athlete(
    State(site): State<Site>,
    Path(code): Path<String>,
) -> Response {
    of_athlete(&site, &code, &code, paper::athlete_page).await
}

/// The plan of a camp on one page.
pub(in super::super) async fn camp(State(site): State<Site>, Path(id): Path<String>) -> Response {
    let document = {
        let ledger = site.house.keeper.ledger();
        let gym = ledger.gym();
        gym.bouts.get(&id).map(|bout| paper::camp_page(&site.house, gym, bout))
    };
    match document {
        Some(document) => printed(document, &id).await,
        None => (StatusCode::NOT_FOUND, "There is no bout of this name.").into_response(),
    }
}

/// What is handed on about one athlete.
pub(in super::super) async fn hand_over(
    State(site): State<Site>,
    Path(code): Path<String>,
) -> Response {
    of_athlete(&site, &code, &format!("{code}-hand-over"), paper::hand_over_page).await
}

/// A page of one athlete as PDF, in a file of this name.
async fn of_athlete(
    site: &Site,
    code: &str,
    name: &str,
    page: impl Fn(&House, &Gym, &Athlete) -> Document,
) -> Response {
    let document = {
        let ledger = site.house.keeper.ledger();
        let athlete = AthleteId::new(code).and_then(|id| ledger.gym().athlete(&id));
        athlete.map(|athlete| page(&site.house, ledger.gym(), athlete))
    };
    match document {
        Some(document) => printed(document, name).await,
        None => parts::no_such_athlete(),
    }
}

/// The document as PDF. Setting it takes a while, so it is done beside the streams, and after the
/// ledger was let go.
pub(in super::super) async fn printed(document: Document, name: &str) -> Response {
    let set = tokio::task::spawn_blocking(move || cornerwork_paper::pdf(&document)).await;
    match set {
        Ok(Ok(pdf)) => {
            let file = format!("inline; filename=\"{name}.pdf\"");
            ([(CONTENT_TYPE, "application/pdf".to_owned()), (CONTENT_DISPOSITION, file)], pdf)
                .into_response()
        }
        Ok(Err(error)) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
        Err(_) => {
            let sentence = "The paper could not be set. The page of the same name shows the same.";
            (StatusCode::INTERNAL_SERVER_ERROR, sentence).into_response()
        }
    }
}
