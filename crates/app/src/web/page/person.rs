//! The card of an athlete: what the role of whoever asks may know, and may do.

use super::super::Site;
use super::super::shell::Page;
use super::{athlete_form, consent};
use crate::flow::doors::Who;
use crate::flow::house::House;
use crate::flow::person::{self, PersonView, StandDownView};
use axum::Extension;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use cornerwork_core::camp::permission::{Clearance, Role};
use cornerwork_core::camp::stand_down::Stoppage;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::restriction::Restriction;
use cornerwork_core::words::{capitalised, day};
use jiff::civil::Date;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    Path(code): Path<String>,
) -> Response {
    let Some(region) = region(&site, &code, &who) else {
        return (StatusCode::NOT_FOUND, "There is no athlete of this code here for you.")
            .into_response();
    };
    let invented = site.house.keeper.ledger().gym().invented;
    let live = format!("/people/{code}");
    let page = Page { live: Some(&live), ..Page::desk(&code, region, invented) };
    page.html().into_response()
}

/// What changes.
pub(in super::super) fn region(site: &Site, code: &str, who: &Who) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let house = &site.house;
    let code = AthleteId::new(code)?;
    let view = person::view(house, gym, &code, who)?;
    let medical = matches!(who.role, Role::Doctor | Role::Physio);
    let coach = who.role == Role::Coach;
    Some(html! {
        header.person {
            h1 { (view.athlete.name) span.code { (view.athlete.id) } }
            p.lead { (view.availability.words()) }
            @if coach { p { a href={ "/athlete/" (code) } { "Training" } " · " a href={ "/athlete/" (code) "/mass" } { "Body mass" } " · " a href={ "/athlete/" (code) "/load" } { "Load" } " · " a href={ "/athlete/" (code) "/debrief" } { "Debrief and hand-over" } } }
        }
        (barred(gym, &view, who))
        @if medical || coach { section { (new_restriction(house, gym, &code)) (new_stoppage(house, &code, house.clock().today())) } }
        @if view.sees_medical_notes { (medical_notes(&view, medical)) }
        @if !view.training.is_empty() {
            section { h2 { "Training" } @for sentence in &view.training { p { (sentence) } } }
        }
        @if let Some(mass) = &view.body_mass {
            section { h2 { "Body mass" } p { (mass) } }
        }
        @if let Some(notes) = view.cycle_notes {
            section {
                h2 { "Shared with you" }
                @if notes.is_empty() { p { "No notes yet." } }
                form.inline method="post" action={ "/people/" (code) "/cycle-note" } data-send {
                    label { "Symptoms today" select name="symptoms" { @for symptoms in 0..=3 { option value=(symptoms) { (symptoms) } } } }
                    label { "In words, if any" input name="text" maxlength="200" autocomplete="off"; }
                    button { "Add note" }
                }
                ul { @for note in notes.iter().rev().take(14) {
                    li { (day(note.on)) ": symptoms " (note.symptoms) " of 3" @if !note.text.is_empty() { ". " (note.text) } }
                } }
            }
        }
        @if coach { (athlete_form::correct(house, &ledger, view.athlete)) (head_coach(gym, &code)) (consent::section(house, gym, &view)) (leaving(&code)) }
    })
}

fn barred(gym: &Gym, view: &PersonView<'_>, who: &Who) -> Markup {
    let code = &view.athlete.id;
    html! {
        section {
            h2 { "Not allowed now" }
            @if view.barred.is_empty() { p { "Nothing on record." } }
            @for (restriction, words) in &view.barred {
                div.step {
                    p.barred { "✕ " (words) }
                    @if let Some(needs) = gym.clearance_needed(restriction) {
                        p.quiet { "Ends by " (needs.words()) "." }
                        @if who.role.clears(needs) { (clearing(code, restriction, needs, who.role)) }
                    }
                }
            }
            @if !view.cleared.is_empty() {
                h3 { "Cleared before" }
                ul { @for sentence in &view.cleared { li { "✓ " (sentence) } } }
            }
            @if let Some(stood_down) = view.stand_down { (stand_down(&stood_down)) }
            @if !view.stoppages.is_empty() {
                h3 { "Stoppages on record" }
                ul { @for one in view.stoppages {
                    li { (day(one.on)) ": " (one.kind.words()) ". " (one.rule) ", " (one.end_in_words()) ". Entered by " (one.by.words()) "." }
                } }
            }
            @if !view.stop_signs.is_empty() {
                h3 { "Sessions stopped" }
                ul { @for (on, sign) in view.stop_signs { li { (day(*on)) ": " (sign.words()) ". " (sign.call()) } } }
            }
        }
    }
}

/// The rule, the program's own bar, and the body's way back.
fn stand_down(view: &StandDownView<'_>) -> Markup {
    let facts = view.facts.filter(|facts| !facts.way_back.is_empty());
    html! {
        p.quiet { (capitalised(&view.record.rule)) ". No training at all until a doctor clears is this program's own rule. It never says that it is safe to return." }
        @if let Some(facts) = facts {
            details.more #way-back {
                summary { "The way back" }
                ol { @for step in &facts.way_back { li { (step) } } }
                p.quiet { (facts.source) ". A doctor guides the steps." }
            }
        }
    }
}

fn clearing(code: &AthleteId, restriction: &Restriction, needs: Clearance, role: Role) -> Markup {
    html! {
        form.inline method="post" action={ "/people/" (code) "/clear" } data-send {
            input type="hidden" name="restriction" value=(restriction.id.0);
            label { "Examined on" input type="date" name="on" required; }
            button { "Clear" }
        }
        @if needs == Clearance::Doctor && role == Role::Doctor {
            form.inline method="post" action={ "/people/" (code) "/extend" } data-send {
                input type="hidden" name="restriction" value=(restriction.id.0);
                label { "Out until at least" input type="date" name="until" required; }
                button { "Extend" }
            }
        }
    }
}

fn new_restriction(house: &House, gym: &Gym, code: &AthleteId) -> Markup {
    html! {
        details.more #bar {
            summary { "Add a restriction" }
            form.fields method="post" action={ "/people/" (code) "/restrict" } data-send {
                label { "Not allowed" select name="exercise" {
                    option value="" { "everything" }
                    @for exercise in house.every_exercise(gym) { option value=(exercise.id) { (exercise.name) } }
                } }
                label { "Side" select name="side" {
                    option value="" { "both" }
                    option value="left" { "left" } option value="right" { "right" }
                    option value="lead" { "lead hand" } option value="rear" { "rear hand" }
                } }
                label { "Free again from" input type="date" name="until"; }
                label { "Needs a doctor's or physio's clearance" select name="clearance" { option value="no" { "no" } option value="yes" { "yes" } } }
                label { "On whose word (everyone reads it)" input name="ground" required maxlength="200" autocomplete="off" placeholder="right hand, physio's word"; }
                label { "Do instead" input name="instead" maxlength="200" autocomplete="off"; }
                button { "Save" }
            }
        }
    }
}

fn new_stoppage(house: &House, code: &AthleteId, today: Date) -> Markup {
    html! {
        details.more #stopped {
            summary { "Stopped, knocked down or hurt" }
            form.fields method="post" action={ "/people/" (code) "/stoppage" } data-send {
                label { "How" select name="kind" {
                    @for kind in Stoppage::ALL { option value=(kind.code()) selected[kind == Stoppage::StoppedHeadBlows] { (kind.words()) } }
                } }
                label { "On" input type="date" name="on" required max=(today); }
                label { "Whose rules bind" select name="body" required {
                    // None stands chosen: a professional must not get an amateur's days unseen.
                    option value="" { "choose" }
                    @for body in house.safety.rules.stand_down_bodies() { option value=(body) { (body) } }
                } }
                button.main { "Start stand-down" }
            }
            p.quiet { "Stops all training at once: that bar is this program's own. The date is the longest of the body's rules for the whole history. Only a doctor's clearance ends it. It cannot be undone." }
        }
    }
}

/// Whose athlete it is.
fn head_coach(gym: &Gym, code: &AthleteId) -> Markup {
    let named = gym.safety().head_coach(code);
    let coaches = gym.safety().members().filter(|one| one.role == Role::HeadCoach);
    html! {
        section {
            h2 { "Head coach" }
            form.inline method="post" action={ "/people/" (code) "/head-coach" } data-send {
                label { "Who gets the line after a session" select name="name" {
                    option value="" { "nobody named" }
                    @for coach in coaches { option value=(coach.name) selected[named == Some(coach.name.as_str())] { (coach.name) } }
                } }
                button { "Save" }
            }
        }
    }
}

fn medical_notes(view: &PersonView<'_>, writes: bool) -> Markup {
    let code = &view.athlete.id;
    html! {
        section {
            h2 { "Medical notes" }
            @if view.medical_notes.is_empty() { p { "None." } }
            ul { @for note in view.medical_notes.iter().rev() { li { (day(note.on)) ": " (note.text) " (" (note.by.words()) ")" } } }
            @if writes {
                form.inline method="post" action={ "/people/" (code) "/medical-note" } data-send {
                    label { "Note, for physio, doctor and guardian" input name="text" required maxlength="400" autocomplete="off"; }
                    button { "Add note" }
                }
            }
        }
    }
}

fn leaving(code: &AthleteId) -> Markup {
    html! {
        section {
            h2 { "Leaving" }
            p { "Everything about this athlete: " a href={ "/people/" (code) "/everything.pdf" } { "as pages to read" } ", " a href={ "/people/" (code) "/everything.pdf?mass=yes" } { "the same with body mass" } ", " a href={ "/people/" (code) "/everything.csv" } { "as a table in SI units" } "." }
            p.quiet { "Medical notes are in the doctor's copy only, private notes in none." }
            details.more #delete {
                summary { "Delete this athlete" }
                p { "Every entry about " (code) " is removed from the gym's record and overwritten on the disk: reps, body masses, notes, consents. What others did stays. It cannot be undone." }
                p { "The program does not reach copies made before: backups, exported files, printed sheets. Delete those by hand." }
                form.inline method="post" action={ "/people/" (code) "/forget" } data-send {
                    label { "Type " (code) " to delete" input name="code" required maxlength="8" autocomplete="off"; }
                    button { "Delete everything about this athlete" }
                }
            }
        }
    }
}
