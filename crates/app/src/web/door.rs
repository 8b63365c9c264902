//! Who may open which page: the coach all of them, everyone else what is theirs.

use super::Site;
use super::shell::Page;
use crate::flow::doors::Who;
use axum::extract::{Request, State};
use axum::http::header::COOKIE;
use axum::http::{HeaderMap, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use cornerwork_core::camp::permission::Role;
use maud::html;

/// Name of the cookie that says whose device it is.
pub(super) const COOKIE_NAME: &str = "cornerwork-device";

/// Finds out who asks, and lets them pass or sends them to what is theirs.
pub(super) async fn check(State(site): State<Site>, mut request: Request, next: Next) -> Response {
    let token = token(request.headers());
    let who = {
        let ledger = site.house.keeper.ledger();
        site.house.safety.doors.who(token, ledger.gym())
    };
    let path = asked_for(&request);
    if !opens(who.role, &path) {
        return turned_away(&who, &path);
    }
    request.extensions_mut().insert(who);
    next.run(request).await
}

/// What a device's cookie says.
pub(super) fn token(headers: &HeaderMap) -> Option<u128> {
    let cookies = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let mut parts = cookies.flat_map(|text| text.split(';'));
    parts.find_map(|part| {
        let value = part.trim().strip_prefix(COOKIE_NAME)?.strip_prefix('=')?;
        u128::from_str_radix(value, 16).ok()
    })
}

/// The page a request is about: a stream is about the page it keeps live.
fn asked_for(request: &Request) -> String {
    let path = request.uri().path();
    if path != "/live" {
        return path.to_owned();
    }
    let query = request.uri().query().unwrap_or_default();
    let page = query.split('&').find_map(|part| part.strip_prefix("page="));
    let page = page.unwrap_or("/").replace("%2F", "/").replace("%2f", "/");
    page.split(['?', '%']).next().unwrap_or("/").to_owned()
}

/// Pages of each role. What a page then shows is the table of permissions to say.
fn opens(role: Role, path: &str) -> bool {
    let steps: Vec<&str> = path.trim_matches('/').split('/').collect();
    match (role, steps.as_slice()) {
        (Role::Coach, _) | (_, ["assets" | "role" | "join" | "wall", ..] | ["people", _, ..]) => {
            true
        }
        // Work too near a bout or sparring is the coach's to answer for.
        (Role::Guardian, _) | (_, ["floor", "answer"]) => false,
        (Role::Assistant, ["floor" | "rep" | "undo" | "people", ..] | ["session", _, "paper"]) => {
            true
        }
        (_, ["people"]) => true,
        _ => false,
    }
}

/// An athlete's page becomes the card of that athlete; the desk becomes the list of people.
fn turned_away(who: &Who, path: &str) -> Response {
    let steps: Vec<&str> = path.trim_matches('/').split('/').collect();
    match (who.role, steps.as_slice()) {
        (_, ["athlete", code]) => Redirect::to(&format!("/people/{code}")).into_response(),
        (Role::Assistant, [""]) => Redirect::to("/floor").into_response(),
        (Role::Guardian, [""] | ["people"]) if who.child.is_some() => {
            let child = who.child.as_ref().map_or_else(String::new, ToString::to_string);
            Redirect::to(&format!("/people/{child}")).into_response()
        }
        (_, [""]) => Redirect::to("/people").into_response(),
        _ => (StatusCode::FORBIDDEN, not_yours(who.role)).into_response(),
    }
}

fn not_yours(role: Role) -> axum::response::Html<String> {
    Page::desk("Not yours to see", html! {
            h1 { "This page is for the coach" }
            p { "This device is the " (role.words()) "'s. Sign in as someone who may see it, or go to what is yours." }
            p { a href="/role" { "Who holds this device" } " · " a href="/people" { "People" } }
        }, false)
    .html()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_role_opens_what_is_theirs() {
        for (role, open, closed) in [
            (Role::Coach, vec!["/", "/athlete/A05", "/close", "/people/A05/clear"], vec![]),
            (
                Role::Assistant,
                vec!["/floor", "/floor/2/rep", "/undo", "/people/A05", "/session/x/paper"],
                vec!["/", "/athlete/A05/mass", "/close", "/plan", "/floor/answer", "/session/x"],
            ),
            (
                Role::Doctor,
                vec!["/people", "/people/N01/clear"],
                vec!["/floor/1/rep", "/athlete/N01/debrief"],
            ),
            (Role::Guardian, vec!["/people/A06"], vec!["/people", "/floor", "/"]),
        ] {
            for path in open {
                assert!(opens(role, path), "{role:?} {path}");
            }
            for path in closed {
                assert!(!opens(role, path), "{role:?} {path}");
            }
        }
    }
}
