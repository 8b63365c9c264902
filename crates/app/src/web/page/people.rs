//! People: who is in, limited or out, who works here, and who may see what.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::doors::Who;
use crate::flow::person;
use axum::Extension;
use axum::extract::State;
use axum::response::Html;
use cornerwork_core::camp::permission::{Matter, Role};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
) -> Html<String> {
    let region = region(&site, &who);
    let invented = site.house.keeper.ledger().gym().invented;
    Page { live: Some("/people"), ..Page::desk("People", region, invented) }.html()
}

/// What changes.
pub(in super::super) fn region(site: &Site, who: &Who) -> Markup {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let today = site.house.clock().today();
    html! {
        h1 { "People" }
        p { "This device is the " (who.role.words()) "'s" @if let Some(name) = &who.name { ": " (name) } ". " a href="/role" { "Sign in or out" } "." }
        section {
            h2 { "Athletes today" }
            @if gym.athletes.is_empty() { p { "Nobody yet. Add the first athlete at the desk." } }
            @else {
                div.scroll tabindex="0" role="region" aria-label="Athletes today" { table {
                    thead { tr { th { "code" } th { "athlete" } th { "today" } } }
                    tbody { @for athlete in gym.athletes.values() { tr {
                        td.code { (athlete.id) }
                        td { a href={ "/people/" (athlete.id) } { (athlete.name) } }
                        td { (person::availability(gym, athlete, today).words()) }
                    } } }
                } }
            }
        }
        @if who.role == Role::Coach { (staff(gym)) (table_of_sight()) (deleted(gym)) }
    }
}

fn staff(gym: &Gym) -> Markup {
    html! {
        section {
            h2 { "Who works here" }
            @if gym.safety().members().next().is_some() {
                div.scroll tabindex="0" role="region" aria-label="Who works here" { table {
                    thead { tr { th { "name" } th { "role" } th { "number" } } }
                    tbody { @for member in gym.safety().members() { tr {
                        td { (member.name) }
                        td { (member.role.words()) @if let Some(child) = &member.child { " of " (child) } }
                        td {
                            @match (&member.pin, member.pin_is_private) { (None, _) => "none", (_, true) => "their own", (_, false) => "given by the coach" }
                            @for taken in gym.safety().taken_over(&member.name) { br; span.quiet { "their own replaced " (taken.words()) } }
                        }
                    } } }
                } }
            }
            form.fields method="post" action="/people" data-send {
                label { "Name" input name="name" required maxlength="60" autocomplete="off"; }
                label { "Role" select name="role" {
                    @for role in Role::ALL { option value=(role.code()) { (role.words()) } }
                } }
                label { "Guardian of (code)" input name="child" maxlength="8" autocomplete="off"; }
                label { "Reason, if they lost their own number" input name="reason" maxlength="200" autocomplete="off"; }
                button { "Add, with a new number" }
            }
            p.quiet { "The program makes the number and shows it once. Each person signs in with it and asks for one of their own; a doctor's word on a stand-down counts only under that one. Lost number: add the person again and give a reason. The reason stays on record and is shown at sign-in. Once a coach has a number, a device nobody is signed in on is an assistant's: floor and wall only." }
        }
    }
}

fn table_of_sight() -> Markup {
    html! {
        details.more #sight {
            summary { "Who may see what" }
            div.scroll tabindex="0" role="region" aria-label="Who may see what" { table {
                thead { tr { th { "" span.unseen { "matter" } } @for role in Role::ALL { th { (role.words()) } } } }
                tbody { @for matter in Matter::ALL { tr {
                    td { (matter.words()) }
                    @for role in Role::ALL { td { (role.sees(matter).words()) } }
                } } }
            } }
        }
    }
}

fn deleted(gym: &Gym) -> Markup {
    let forgotten = &gym.safety().forgotten;
    html! {
        @if !forgotten.is_empty() {
            section {
                h2 { "Deleted" }
                ul { @for (on, entries) in forgotten { li { (words::day_and_year(*on)) ": one athlete, " (entries) " entries." } } }
                p.quiet { "Copies made before lie outside the program: backups, exported files, printed sheets. Delete those by hand." }
            }
        }
    }
}
