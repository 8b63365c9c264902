//! Who may open which page: the coach all of them, everyone else what is theirs.

use super::Site;
use super::shell::Page;
use crate::flow::doors::Who;
use axum::extract::{Request, State};
use axum::http::header::{COOKIE, SET_COOKIE};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use cornerwork_core::camp::permission::Role;
use maud::html;
use uuid::Uuid;

/// Name of the cookie that says whose device it is.
pub(super) const COOKIE_NAME: &str = "cornerwork-device";

/// Finds out who asks, and lets them pass or sends them to what is theirs.
pub(super) async fn check(State(site): State<Site>, mut request: Request, next: Next) -> Response {
    let token = token(request.headers());
    let known = device(request.headers());
    let device = known.clone().unwrap_or_else(new_device);
    let who = {
        let ledger = site.house.keeper.ledger();
        Who { device: Some(device.clone()), ..site.house.safety.doors.who(token, ledger.gym()) }
    };
    let path = asked_for(&request);
    if !opens(who.role, &path) {
        return turned_away(&who, &path);
    }
    request.extensions_mut().insert(who);
    let mut response = next.run(request).await;
    if known.is_none()
        && let Ok(cookie) = HeaderValue::from_str(&remembered(&device))
    {
        response.headers_mut().append(SET_COOKIE, cookie);
    }
    response
}

/// Name of the cookie by which a device is told from others in the record. It opens nothing.
const DEVICE_COOKIE: &str = "cornerwork-id";
/// A device is known by its id for this long after it was first seen: ten years, as the record is.
const REMEMBERED_S: u32 = 315_576_000;

/// The id a device was given, if it looks like one.
fn device(headers: &HeaderMap) -> Option<String> {
    let is_id = |text: &str| text.len() == 12 && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    cookie(headers, DEVICE_COOKIE).filter(|text| is_id(text)).map(str::to_owned)
}

fn new_device() -> String {
    // Twelve digits: enough that two devices of a gym never share one.
    format!("{:012x}", Uuid::new_v4().as_u128() >> 80)
}

fn remembered(device: &str) -> String {
    format!("{DEVICE_COOKIE}={device}; Path=/; Max-Age={REMEMBERED_S}; HttpOnly; SameSite=Lax")
}

/// What a device's cookie says.
pub(super) fn token(headers: &HeaderMap) -> Option<u128> {
    cookie(headers, COOKIE_NAME).and_then(|value| u128::from_str_radix(value, 16).ok())
}

fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let cookies = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let mut parts = cookies.flat_map(|text| text.split(';'));
    parts.find_map(|part| part.trim().strip_prefix(name)?.strip_prefix('='))
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
