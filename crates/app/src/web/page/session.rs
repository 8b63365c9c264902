//! One session: who is in, what each does at each station and why, and how it is built.

mod people;
mod station;
mod station_form;

use super::super::Site;
use super::super::shell::Page;
use super::sessions;
use crate::flow::house::House;
use crate::flow::paper::floor_sheet;
use crate::flow::program::rotate::{self, Rotating};
use crate::flow::program::{self, done, resolve, turns};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{ResolvedSession, SessionId, SessionPlan};
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>, Path(id): Path<String>) -> Response {
    let Some(region) = region(&site, &id) else {
        let sentence = "There is no such session. Go back to the sessions.";
        return (StatusCode::NOT_FOUND, sentence).into_response();
    };
    let ledger = site.house.keeper.ledger();
    let plan = SessionId::new(&id).and_then(|id| program::session(&site.house, ledger.gym(), &id));
    let title = plan.map_or_else(|| "Session".to_owned(), |plan| plan.name);
    let path = format!("/session/{id}");
    Page {
        live: Some(&path),
        now: Some(site.house.clock().now()),
        ..Page::desk(&title, region, ledger.gym().invented)
    }
    .html()
    .into_response()
}

/// What changes.
pub(in super::super) fn region(site: &Site, id: &str) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let house = &site.house;
    let plan = program::session(house, gym, &SessionId::new(id)?)?;
    let view = View::new(house, gym, &plan);
    Some(view.page())
}

struct View<'a> {
    house: &'a House,
    gym: &'a Gym,
    plan: &'a SessionPlan,
    resolved: ResolvedSession,
    runs: bool,
    /// Whether its evening was held and closed.
    over: bool,
}

impl<'a> View<'a> {
    fn new(house: &'a House, gym: &'a Gym, plan: &'a SessionPlan) -> Self {
        let resolved = resolve::session(house, gym, plan);
        let runs = gym.evening_of(&plan.id).is_some();
        let mut held = gym.evenings_over(house.clock().today());
        let over = held.any(|evening| evening.plan.session.as_ref() == Some(&plan.id));
        Self { house, gym, plan, resolved, runs, over }
    }

    fn path(&self) -> String {
        format!("/session/{}", self.plan.id)
    }

    fn page(&self) -> Markup {
        let today = self.house.clock().today();
        let done = self.plan.date.is_some_and(|date| date <= today);
        html! {
            p.date { a href="/sessions" { "Sessions" } " · " (sessions::day_in_words(self.plan, today)) }
            h1.today { (self.plan.name) }
            (self.opening())
            @if !self.plan.is_template() { (self.people()) }
            @for block in &self.plan.blocks { (self.station(block)) }
            @if !self.runs { (self.another_station()) }
            (self.head())
            @if done && !self.plan.is_template() { (self.on_paper()) (self.done()) }
        }
    }

    /// What was written on the sheets comes in afterwards.
    fn on_paper(&self) -> Markup {
        html! {
            p { a.button href={ (self.path()) "/paper" } { "Type in from paper" } }
        }
    }

    /// Whether it fits, and the one thing to press on the day.
    fn opening(&self) -> Markup {
        let open = self.gym.open_evening().is_some();
        let today = self.plan.date == Some(self.house.clock().today());
        html! {
            section {
                @if self.plan.is_template() {
                    p.lead { "A template: plan a session from it to see loads." }
                    p.source { (self.plan.source) }
                } @else {
                    @if !self.over { (self.fits()) }
                    @if self.over {
                        p.lead { "Its evening is over." }
                        p { a.button href={ "/close?session=" (self.plan.id) } { "Ratings and the line to the head coach" } }
                    }
                    @if self.runs {
                        p { a.button href="/floor" { "To the floor" } " " a.button href="/close" { "End the evening" } }
                    } @else if today && !open {
                        form method="post" action=(self.path()) data-send {
                            input type="hidden" name="what" value="open";
                            @if self.over { button { "Open it again" } }
                            @else { button.main { "Open the evening with " (self.plan.people.len()) " in" } }
                        }
                    } @else if today && open {
                        p.quiet { "Another evening is open. " a href="/close" { "End it first." } }
                    }
                }
            }
        }
    }

    fn fits(&self) -> Markup {
        let printed = floor_sheet::printed_when(self.house, self.gym, self.plan);
        if let Some(running) = turns::held(self.house, self.gym, &self.resolved) {
            return html! {
                p.lead { (running.in_words()) }
                p { a href={ (self.path()) "/rotation" } { "Who goes where when" } @if let Some(said) = &printed { " · " span.quiet { (said) } } }
            };
        }
        match rotate::rotate(self.house, self.gym, &self.resolved) {
            Err(sentence) => html! { p.lead { (sentence) } },
            Ok(rotating) => {
                let best = &rotating.plan.best;
                let ends = rotating.clock(best.timetable.length);
                let objections = self.resolved.planned.iter().filter(|one| !one.is_open()).count();
                html! {
                    p.lead {
                        (best.rounds.len()) " rounds, over at " (ends)
                        @if rotating.in_time() { ", in time." } @else {
                            ", " strong { (late_by(&rotating)) " min late." } " Cut a set or a station."
                        }
                        @match objections {
                            0 => {}
                            1 => { " One thing is barred below: decide on it." }
                            count => { " " (count) " things are barred below: decide on them." }
                        }
                    }
                    p { a href={ (self.path()) "/rotation" } { "Who goes where when" } @if let Some(said) = &printed { " · " span.quiet { (said) } } }
                }
            }
        }
    }

    fn head(&self) -> Markup {
        let plan = self.plan;
        html! {
            details.more #head {
                summary { "Name, day, length, template" }
                @if !self.runs {
                    form.fields method="post" action=(self.path()) data-send {
                        input type="hidden" name="what" value="head";
                        label { "Name" input name="name" required maxlength="60" value=(plan.name) autocomplete="off"; }
                        @if let Some(date) = plan.date { label { "Day" input type="date" name="day" required value=(date); } }
                        label { "Starts" input name="starts" required value=(plan.starts.strftime("%H:%M")) autocomplete="off"; }
                        label { "Minutes" input name="minutes" inputmode="numeric" required value=(plan.minutes) autocomplete="off"; }
                        button { "Save" }
                    }
                }
                form.inline method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="keep";
                    label { "Save as a template called" input name="name" required maxlength="60" autocomplete="off"; }
                    button { "Save template" }
                }
                @if !self.runs && self.gym.program.session(&plan.id).is_some() {
                    form method="post" action=(self.path()) data-send {
                        input type="hidden" name="what" value="drop";
                        button { @if plan.is_template() { "Delete the template" } @else { "Delete the session" } }
                    }
                }
            }
        }
    }

    /// Planned beside performed.
    fn done(&self) -> Markup {
        let rows = done::rows(self.house, self.gym, self.plan);
        let any = rows.iter().any(|row| row.reps_done > 0);
        html! {
            @if any {
                section {
                    h2 { "Planned and done" }
                    div.scroll tabindex="0" role="region" aria-label="Planned and done" {
                        table {
                            thead { tr { th { "athlete" } th { "exercise" } th { "planned" } th { "reps done" } th { "with" } th { "best" } } }
                            tbody { @for row in &rows { tr {
                                td { (self.gym.athlete(&row.athlete).map_or("", |athlete| athlete.given_name())) }
                                td { (row.exercise) }
                                td { (row.planned.as_deref().unwrap_or("not planned")) }
                                td.number { (row.reps_done) @if row.reps_planned > 0 { " of " (row.reps_planned) } }
                                td { (if row.loads_done.is_empty() { "—".to_owned() } else { row.loads_done.join(", ") }) }
                                td.number { (row.best.as_deref().unwrap_or("—")) }
                            } } }
                        }
                    }
                }
            }
        }
    }
}

fn minutes_of(seconds: f64) -> String {
    format!("{}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}

fn late_by(rotating: &Rotating) -> String {
    let over = rotating.plan.best.timetable.length - rotating.limit;
    format!("{:.0}", (over.in_seconds() / 60.0).ceil())
}
