//! Who holds this device: sign in with a number, or hand it back.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::doors::Who;
use axum::Extension;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use maud::{Markup, Render, html};

/// What a number keeps safe, and what it does not.
struct WhatItKeeps;
const WHAT_IT_KEEPS: WhatItKeeps = WhatItKeeps;

impl Render for WhatItKeeps {
    fn render(&self) -> Markup {
        html! {
            p.quiet { "A number keeps the gym's own people to what is theirs to see. After five wrong ones a name is closed for five minutes." }
            p.quiet { "What it does not do: pages travel the gym's network unencrypted, so whoever listens there reads a number as it is typed. The folder holds a hash and no number, but six digits can be tried one by one by whoever takes the folder. Use it in a network of the gym's own, and choose no number that opens something else." }
        }
    }
}

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
) -> Html<String> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let names: Vec<(String, &str)> = gym
        .safety()
        .members()
        .filter(|one| one.pin.is_some())
        .map(|one| (one.name.clone(), one.role.words()))
        .collect();
    let region = html! {
        h1 { "Who holds this device" }
        @match &who.name {
            Some(name) => {
                p.lead { (name) ", " (who.role.words()) "." }
                form method="post" action="/role" {
                    input type="hidden" name="what" value="out";
                    button { "Hand it back" }
                }
                @if gym.safety().member(name).is_some_and(|one| !one.pin_is_private) {
                    p { "The coach has seen your number. Ask for one of your own: a word on a stand-down counts under that only." }
                }
                @for taken in gym.safety().taken_over(name) {
                    p.note { "Your own number was replaced on " (taken.words()) "." }
                }
                form method="post" action="/role" {
                    input type="hidden" name="what" value="renew";
                    button { "A new number of my own" }
                }
            }
            None => p.lead { "Nobody signed in: it is the " (who.role.words()) "'s." },
        }
        section {
            h2 { "Sign in" }
            @if names.is_empty() {
                p { "Nobody has a number yet. The coach enters people and their roles under " a href="/people" { "People" } "." }
            } @else {
                form.fields method="post" action="/role" {
                    label { "Name" select name="name" {
                        @for (name, role) in &names { option value=(name) { (name) ", " (role) } }
                    } }
                    label { "Number" input name="pin" type="password" inputmode="numeric" autocomplete="off" required maxlength="12"; }
                    button.main { "Sign in" }
                }
            }
            (WHAT_IT_KEEPS)
            @if gym.invented {
                h3 { "Numbers of this invented gym" }
                p { @for (name, pin) in crate::demo::numbers() { span.pin { (name) " " strong { (pin) } } " " } }
            }
        }
    };
    Page::desk("Who holds this device", region, gym.invented).html()
}

/// A new number, shown once.
pub(in super::super) async fn number(
    State(site): State<Site>,
    Path(token): Path<String>,
) -> Response {
    let invented = site.house.keeper.ledger().gym().invented;
    let token = u128::from_str_radix(&token, 16).ok();
    let shown = token.and_then(|token| site.house.safety.doors.shown(token));
    let (status, region) = match shown {
        Some((name, pin)) => (
            StatusCode::OK,
            html! {
                h1 { "Number of " (name) }
                p.pin.lead { strong { (pin) } }
                p { "It is shown this once and kept as a hash: nobody can look it up later. Write it down for " (name) ", who signs in with it and asks for one of their own." }
                (WHAT_IT_KEEPS)
                p { a href="/people" { "People" } " · " a href="/role" { "Sign in" } }
            },
        ),
        None => (
            StatusCode::NOT_FOUND,
            html! {
                h1 { "Shown already" }
                p { "A number is shown once. Whoever lost it gets a new one: at " a href="/people" { "People" } " from the coach, or under " a href="/role" { "Who holds this device" } " from the program." }
            },
        ),
    };
    (status, Page::desk("A new number", region, invented).html()).into_response()
}
