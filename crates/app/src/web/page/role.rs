//! Who holds this device: sign in with a number, or hand it back.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::doors::Who;
use axum::Extension;
use axum::extract::State;
use axum::response::Html;
use maud::html;

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
) -> Html<String> {
    let ledger = site.house.keeper.ledger().await;
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
                @if let Some(pin) = gym.safety().member(name).and_then(|one| one.pin.as_deref()) {
                    p { "Your number: " strong { (pin) } }
                }
                form method="post" action="/role" {
                    input type="hidden" name="what" value="renew";
                    button { "A new number that nobody else is shown" }
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
            p.quiet { "A number keeps the gym's own people to what is theirs to see. It keeps nobody out who can open the gym's folder or listen on its network." }
        }
    };
    Page::desk("Who holds this device", region, gym.invented).html()
}
