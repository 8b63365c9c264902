//! Forms about safety, people and the close of a session; who holds a device; all about one
//! athlete in a file.

use super::Site;
use super::act::{do_it, typed_athlete};
use super::door::{COOKIE_NAME, token};
use super::form::Submitted;
use super::page;
use crate::flow::act::{self, Act, Answer};
use crate::flow::close::TypedSession;
use crate::flow::doors::{self, Who};
use crate::flow::paper::{self, Along};
use crate::flow::pin;
use crate::flow::safety::{self, SafetyAct};
use crate::flow::takeaway;
use axum::Extension;
use axum::extract::{Path, Query, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE, SET_COOKIE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use cornerwork_core::camp::permission::{Matter, Role, Sight};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use serde::Deserialize;

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
    if what == "correct" {
        return correct(&site, &who, athlete, &form).await;
    }
    let fields = form.fields().to_vec();
    let act = SafetyAct { athlete: Some(athlete), what, fields, who, number: None };
    do_it(&site, Some(Act::Safety(act)), &form).await
}

/// An athlete's facts are the coach's to correct: rules of age hang on them.
async fn correct(site: &Site, who: &Who, athlete: AthleteId, form: &Submitted) -> Response {
    if who.role != Role::Coach {
        let sentence = "Only the coach corrects an athlete's facts.";
        return form.answer(Answer::Refused(sentence.to_owned()));
    }
    let typed = typed_athlete(form);
    do_it(site, Some(Act::CorrectAthlete { athlete, typed }), form).await
}

/// Someone who works here.
pub(super) async fn people(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    form: Submitted,
) -> Response {
    let name = form.typed("name").trim().to_owned();
    with_new_number(&site, who, "member", &name, &form).await
}

/// Keeps the hash of a new number and shows the number once.
async fn with_new_number(
    site: &Site,
    who: Who,
    what: &str,
    name: &str,
    form: &Submitted,
) -> Response {
    let id = form.id();
    if site.house.keeper.ledger().knows(id) {
        // Sent again: the number of the first time stands, and it was shown then.
        return form.answer(Answer::Kept);
    }
    let pin = pin::new();
    let number = {
        let pin = pin.clone();
        tokio::task::spawn_blocking(move || pin::hashed(&pin)).await.ok().flatten()
    };
    if number.is_none() {
        let sentence = "There was no memory left to make a number. Close something and try again.";
        return form.answer(Answer::Refused(sentence.to_owned()));
    }
    let fields = form.fields().to_vec();
    let act = SafetyAct { athlete: None, what: what.to_owned(), fields, who, number };
    let answer = act::act(&site.house, id, form.author(), Act::Safety(act)).await;
    form.answer(match answer {
        Answer::Kept => {
            let token = site.house.safety.doors.to_show(name, &pin);
            Answer::GoTo(format!("/role/number/{token:032x}"))
        }
        other => other,
    })
}

/// A session closed.
pub(super) async fn session(
    State(site): State<Site>,
    Path(code): Path<String>,
    form: Submitted,
) -> Response {
    let act = AthleteId::new(&code).map(|athlete| {
        Act::CloseSession(TypedSession {
            athlete,
            kind: form.typed("kind"),
            date: form.typed("date"),
            exertion: form.typed("exertion"),
            minutes: form.typed("minutes"),
            rounds: form.typed("rounds"),
            note: form.typed("note"),
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
    if form.text("what") == Some("out") {
        if let Some(token) = token(&headers) {
            site.house.safety.doors.sign_out(token);
        }
        return with_cookie(&format!("{COOKIE_NAME}=; Path=/; Max-Age=0"), "/role");
    }
    if form.text("what") == Some("renew") {
        let name = who.name.clone().unwrap_or_default();
        return with_new_number(&site, who, "renew", &name, &form).await;
    }
    match doors::sign_in(&site.house, &form.typed("name"), &form.typed("pin")).await {
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

/// What goes along besides what always does.
#[derive(Deserialize)]
pub(super) struct Asked {
    mass: Option<String>,
}

/// Everything about one athlete: a table in SI units, or pages to read.
pub(super) async fn everything(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    Path((code, what)): Path<(String, String)>,
    Query(asked): Query<Asked>,
) -> Response {
    let medical = who.role.sees(Matter::Diagnosis) == Sight::All;
    let paper = {
        let ledger = site.house.keeper.ledger();
        let gym = ledger.gym();
        let athlete = AthleteId::new(&code)
            .filter(|code| who.sees(code) && (medical || who.role == Role::Coach))
            .and_then(|code| gym.athlete(&code));
        match (athlete, what.as_str()) {
            (Some(athlete), "everything.csv") => {
                return table(&site, gym, athlete, medical);
            }
            (Some(athlete), "everything.pdf") => {
                let body_mass = asked.mass.as_deref() == Some("yes");
                let along = Along { body_mass, medical_notes: medical };
                paper::everything(&site.house, gym, athlete, along)
            }
            _ => {
                let sentence = "There is nothing of this name here for you.";
                return (StatusCode::NOT_FOUND, sentence).into_response();
            }
        }
    };
    page::paper::printed(paper, &format!("{code}-everything")).await
}

fn table(site: &Site, gym: &Gym, athlete: &Athlete, medical: bool) -> Response {
    match takeaway::table(&site.house, gym, athlete, medical) {
        Ok(csv) => {
            let name = format!("attachment; filename=\"{}.csv\"", athlete.id);
            let headers =
                [(CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()), (CONTENT_DISPOSITION, name)];
            (headers, csv).into_response()
        }
        Err(reason) => (StatusCode::INTERNAL_SERVER_ERROR, reason).into_response(),
    }
}
