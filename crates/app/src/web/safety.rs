//! Forms about safety, people and the close of a session; who holds a device; all about one
//! athlete in a file.

use super::Site;
use super::act::do_it;
use super::door::{COOKIE_NAME, token};
use super::form::Submitted;
use crate::flow::act::{Act, Answer};
use crate::flow::close::TypedSession;
use crate::flow::doors::Who;
use crate::flow::safety::{self, SafetyAct};
use crate::flow::takeaway;
use axum::Extension;
use axum::extract::{Path, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE, SET_COOKIE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use cornerwork_core::camp::permission::{Matter, Role, Sight};
use cornerwork_core::session::athlete::AthleteId;

/// Something about one person: a stoppage, a clearance, a consent, a note, the end.
pub(super) async fn person(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    Path((code, what)): Path<(String, String)>,
    form: Submitted,
) -> Response {
    let Some(athlete) = AthleteId::new(&code).filter(|code| who.sees(code)) else {
        return form.unreadable();
    };
    if what == "forget" {
        let typed = form.typed("code");
        return form.answer(safety::forget(&site.house, &who, athlete, &typed, form.id()).await);
    }
    let fields = form.fields().to_vec();
    let act = SafetyAct { athlete: Some(athlete), what, fields, who };
    do_it(&site, Some(Act::Safety(act)), &form).await
}

/// Someone who works here.
pub(super) async fn people(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    form: Submitted,
) -> Response {
    let act =
        SafetyAct { athlete: None, what: "member".to_owned(), fields: form.fields().to_vec(), who };
    do_it(&site, Some(Act::Safety(act)), &form).await
}

/// A session closed.
pub(super) async fn session(
    State(site): State<Site>,
    Path(code): Path<String>,
    form: Submitted,
) -> Response {
    let note = match form.typed("note") {
        typed if typed.trim().is_empty() => form.typed("chip"),
        typed => typed,
    };
    let act = AthleteId::new(&code).map(|athlete| {
        Act::CloseSession(TypedSession {
            athlete,
            kind: form.typed("kind"),
            date: form.typed("date"),
            exertion: form.typed("exertion"),
            minutes: form.typed("minutes"),
            rounds: form.typed("rounds"),
            note,
            next: form.typed("next"),
        })
    });
    do_it(&site, act, &form).await
}

/// A limit agreed.
pub(super) async fn limit(
    State(site): State<Site>,
    Path(code): Path<String>,
    form: Submitted,
) -> Response {
    let act = AthleteId::new(&code).map(|athlete| Act::AgreeLimit {
        athlete,
        text: form.typed("text"),
        chosen: form.number("chosen"),
        weigh_in: form.typed("weigh_in"),
        bout: form.typed("bout"),
        body: form.typed("body"),
    });
    do_it(&site, act, &form).await
}

/// Someone signs in or out.
pub(super) async fn role(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    headers: HeaderMap,
    form: Submitted,
) -> Response {
    let doors = &site.house.safety.doors;
    if form.text("what") == Some("out") {
        if let Some(token) = token(&headers) {
            doors.sign_out(token);
        }
        return with_cookie(&format!("{COOKIE_NAME}=; Path=/; Max-Age=0"), "/role");
    }
    if form.text("what") == Some("renew") {
        let act = SafetyAct { athlete: None, what: "renew".to_owned(), fields: vec![], who };
        return do_it(&site, Some(Act::Safety(act)), &form).await;
    }
    let entered = {
        let ledger = site.house.keeper.ledger().await;
        let now = site.house.clock().now();
        doors.sign_in(ledger.gym(), &form.typed("name"), &form.typed("pin"), now)
    };
    match entered {
        Ok(token) => {
            let cookie = format!("{COOKIE_NAME}={token:032x}; Path=/; HttpOnly; SameSite=Strict");
            with_cookie(&cookie, "/role")
        }
        Err(refusal) => form.answer(Answer::Refused(refusal.to_string())),
    }
}

fn with_cookie(cookie: &str, path: &str) -> Response {
    ([(SET_COOKIE, cookie)], Redirect::to(path)).into_response()
}

/// Everything about one athlete as one table, in SI units.
pub(super) async fn everything(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    Path((code, what)): Path<(String, String)>,
) -> Response {
    let medical = who.role.sees(Matter::Diagnosis) == Sight::All;
    let ledger = site.house.keeper.ledger().await;
    let athlete = AthleteId::new(&code)
        .filter(|code| who.sees(code) && (medical || who.role == Role::Coach))
        .and_then(|code| ledger.gym().athlete(&code));
    let Some(athlete) = athlete.filter(|_| what == "everything.csv") else {
        return (StatusCode::NOT_FOUND, "There is nothing of this name here for you.")
            .into_response();
    };
    match takeaway::table(&site.house, ledger.gym(), athlete, medical) {
        Ok(csv) => {
            let name = format!("attachment; filename=\"{}.csv\"", athlete.id);
            let headers =
                [(CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()), (CONTENT_DISPOSITION, name)];
            (headers, csv).into_response()
        }
        Err(reason) => (StatusCode::INTERNAL_SERVER_ERROR, reason).into_response(),
    }
}
