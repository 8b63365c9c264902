//! A form as a device sent it, and the answer in the shape the device asked for.
//!
//! A page with script sends the form in the background and is answered in JSON; one without is
//! answered by going back to the page, or by a page with the question.

use super::shell::Page;
use crate::flow::act::{Answer, Offer};
use crate::flow::doors::{NOT_SIGNED_IN, Who};
use axum::extract::{Form, FromRequest, Request};
use axum::http::header::{ACCEPT, HeaderName, REFERER};
use axum::http::{Extensions, HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse, Json, Redirect, Response};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::{Author, OperationId};
use maud::{Markup, html};
use serde_json::json;
use uuid::Uuid;

/// A form with what its answer depends on.
pub(super) struct Submitted {
    fields: Vec<(String, String)>,
    wants_json: bool,
    referer: Option<String>,
    author: Author,
}

impl<S: Send + Sync> FromRequest<S> for Submitted {
    type Rejection = Response;

    async fn from_request(request: Request, state: &S) -> Result<Self, Response> {
        let headers = request.headers().clone();
        let author = author(request.extensions());
        let Form(fields) =
            Form::from_request(request, state).await.map_err(IntoResponse::into_response)?;
        Ok(Self::of(&headers, author, fields))
    }
}

fn header<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

impl Submitted {
    /// A form by its fields, from whoever sent it.
    pub(super) fn of(headers: &HeaderMap, author: Author, fields: Vec<(String, String)>) -> Self {
        let wants_json =
            header(headers, &ACCEPT).is_some_and(|accept| accept.contains("application/json"));
        let referer = header(headers, &REFERER).map(str::to_owned);
        Self { fields, wants_json, referer, author }
    }

    /// Whether the device asked for an answer in JSON.
    pub(super) const fn wants_json(&self) -> bool {
        self.wants_json
    }

    /// Every field with its text, in order.
    pub(super) fn fields(&self) -> &[(String, String)] {
        &self.fields
    }

    /// What stands in a field.
    pub(super) fn text(&self, name: &str) -> Option<&str> {
        self.fields.iter().find(|(field, _)| field == name).map(|(_, text)| text.as_str())
    }

    /// The same, empty when the field is missing.
    pub(super) fn typed(&self, name: &str) -> String {
        self.text(name).unwrap_or_default().to_owned()
    }

    /// Every value of a field that may stand several times.
    pub(super) fn all(&self, name: &str) -> impl Iterator<Item = &str> {
        self.fields.iter().filter(move |(field, _)| field == name).map(|(_, text)| text.as_str())
    }

    /// A number, if the field holds one.
    pub(super) fn number(&self, name: &str) -> Option<f64> {
        self.text(name)?.parse().ok()
    }

    /// The athlete named in the form.
    pub(super) fn athlete(&self) -> Option<AthleteId> {
        self.text("athlete").and_then(AthleteId::new)
    }

    /// The device's own id for this submission, or a new one for a form sent without script.
    pub(super) fn id(&self) -> OperationId {
        let own = self.text("id").and_then(|id| id.parse().ok());
        own.unwrap_or_else(|| OperationId(Uuid::now_v7().as_u128()))
    }

    /// Who stands behind it: whoever is signed in on the device that sent it.
    pub(super) fn author(&self) -> Author {
        self.author.clone()
    }

    /// Says that the form makes no sense.
    pub(super) fn unreadable(&self) -> Response {
        let sentence = "That form could not be read. Reload the page and try again.";
        self.answer(Answer::Refused(sentence.to_owned()))
    }

    /// Tells the device what became of it.
    pub(super) fn answer(&self, told: Answer) -> Response {
        if self.wants_json { in_json(told) } else { self.in_page(told) }
    }

    fn in_page(&self, told: Answer) -> Response {
        let back = self.back();
        match told {
            Answer::Kept => Redirect::to(&back).into_response(),
            Answer::GoTo(path) => Redirect::to(&path).into_response(),
            Answer::Refused(sentence) => {
                let page = still(html! {
                    h1 { "Not taken" }
                    p { (sentence) }
                    p { a href=(back) { "Back" } }
                });
                (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
            }
            Answer::Ask { doubt, offers } => self.question(&doubt, &offers, &back).into_response(),
        }
    }

    fn question(&self, doubt: &str, offers: &[Offer], back: &str) -> Html<String> {
        let set = |offer: &Offer, name: &str| offer.fields.iter().any(|(field, _)| *field == name);
        let kept = |offer| {
            let fields = self.fields.iter().filter(|(name, _)| name != "back");
            fields.filter(move |(name, _)| !set(offer, name))
        };
        still(html! {
            h1 { "Which was meant?" }
            p { (doubt) }
            @for offer in offers {
                form method="post" {
                    @for (name, text) in kept(offer) { input type="hidden" name=(name) value=(text); }
                    // The question's own address is no page to come back to.
                    input type="hidden" name="back" value=(back);
                    @for (name, text) in &offer.fields { input type="hidden" name=(name) value=(text); }
                    button { (offer.words) }
                }
            }
            p { a href=(back) { "Retype" } }
        })
    }

    /// Where the form was: the page named in it or the one the browser came from, by path alone.
    fn back(&self) -> String {
        let named = self.text("back").filter(|path| is_of_this_site(path));
        let came_from = || {
            let (_, rest) = self.referer.as_deref()?.split_once("://")?;
            rest.find('/').map(|at| &rest[at..])
        };
        named.or_else(came_from).unwrap_or("/").to_owned()
    }
}

/// Who sends a request, as the door found out; nothing in the request itself says so.
pub(super) fn author(request: &Extensions) -> Author {
    match request.get::<Who>() {
        Some(who) => who.author(),
        None => Author::from(NOT_SIGNED_IN),
    }
}

/// A path of this site. A browser reads two slashes of either kind as the start of another one.
fn is_of_this_site(path: &str) -> bool {
    path.starts_with('/') && !path[1..].starts_with(['/', '\\'])
}

fn in_json(told: Answer) -> Response {
    match told {
        Answer::Kept => Json(json!({ "kept": true })).into_response(),
        Answer::GoTo(path) => Json(json!({ "kept": true, "go": path })).into_response(),
        Answer::Ask { doubt, offers } => {
            let of = |offer: &Offer| {
                let fields = offer.fields.iter().map(|(name, text)| json!([name, text]));
                json!({ "sentence": offer.words, "fields": fields.collect::<Vec<_>>() })
            };
            let offers: Vec<_> = offers.iter().map(of).collect();
            Json(json!({ "kept": false, "ask": doubt, "offers": offers })).into_response()
        }
        Answer::Refused(sentence) => {
            let told = json!({ "kept": false, "refused": sentence });
            (StatusCode::UNPROCESSABLE_ENTITY, Json(told)).into_response()
        }
    }
}

fn still(region: Markup) -> Html<String> {
    Page::desk("Question", region, false).html()
}
