//! Body mass: the line to the limit with its doubt, the check-weights, the jump beside it.

use super::super::Site;
use super::super::shell::Page;
use super::parts;
use crate::flow::body_mass::{self, MassView, in_both};
use crate::flow::house::House;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use cornerwork_core::camp::body_mass::WeighIn;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words;
use jiff::civil::Date;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>, Path(code): Path<String>) -> Response {
    let Some(region) = region(&site, &code) else {
        return parts::no_such_athlete();
    };
    let invented = site.house.keeper.ledger().gym().invented;
    let live = format!("/athlete/{code}/mass");
    let page = Page { live: Some(&live), ..Page::desk("Body mass", region, invented) };
    page.html().into_response()
}

/// What changes.
pub(in super::super) fn region(site: &Site, code: &str) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let house = &site.house;
    let athlete = gym.athlete(&AthleteId::new(code)?)?;
    let today = house.clock().today();
    let view = body_mass::view(house, gym, athlete);
    Some(html! {
        header.person {
            h1 { "Body mass" span.code { (athlete.name) ", " (athlete.id) } }
            p.lead { (body_mass::sentence(&view)) }
            (weigh(gym, athlete))
        }
        (line(&view, today))
        @if !view.is_minor { (checks(&view, today)) }
        (beside_the_jump(house, gym, athlete, &view))
        @if !view.is_minor { (limit_form(house, gym, &view, &athlete.id)) }
        p.quiet { "The program only draws the line. Making weight is for a qualified dietitian and a doctor, and the body's rules come first." }
    })
}

fn weigh(gym: &Gym, athlete: &Athlete) -> Markup {
    let last = gym.body_mass(&athlete.id).map(|(_, mass)| format!("{:.1}", mass.in_kilograms()));
    html! {
        form.inline method="post" action={ "/athlete/" (athlete.id) "/mass" } data-send {
            label { "Body mass, kg"
                input name="text" inputmode="decimal" autocomplete="off" required size="6" placeholder=[last];
            }
            button { "Weigh in" }
        }
    }
}

fn line(view: &MassView, today: Date) -> Markup {
    let Some(slope) = body_mass::slope(view, today) else { return html! {} };
    let Ok(trend) = &view.trend else { return html! {} };
    let until = view.limit.as_ref().map_or(today, |limit| limit.weigh_in.max(today));
    let notes = view.way.as_ref().map_or(&[][..], |way| way.notes.as_slice());
    html! {
        section.profile {
            figure { (parts::drawn(&Figure::Slope(slope), "mass-line", 720.0)) }
            @for note in notes { p.note { (note.text) } }
            (parts::why("why-mass", &trend.working(until), notes))
        }
    }
}

fn checks(view: &MassView, today: Date) -> Markup {
    html! {
        @if !view.checks.is_empty() {
            section {
                h2 { "Check-weights" }
                div.scroll tabindex="0" role="region" aria-label="Check-weights" { table {
                    thead { tr { th { "day" } th { "days before" } th { "at most" } th { "at this rate" } } }
                    tbody { @for check in &view.checks { tr {
                        td { (words::day_and_year(check.date)) }
                        td.number { (check.rule.days_before_bout) }
                        td.number { (in_both(check.most)) }
                        td { @match &view.trend {
                            _ if check.date < today => { "past" }
                            Ok(trend) => { @let chance = trend.chance_within(check.most, check.date);
                                @if chance >= 0.5 { "✓ " } @else { "✕ " }
                                (format!("{:.1} kg expected", trend.on(check.date).value.in_kilograms())) }
                            Err(_) => { "no line yet" }
                        } }
                    } } }
                } }
                @if let Some(source) = &view.check_source { p.source { "Limit plus " @for (number, check) in view.checks.iter().enumerate() { @if number > 0 { ", " } (check.rule.percent_over) " %" } ". " (source) "." } }
            }
        }
    }
}

fn beside_the_jump(house: &House, gym: &Gym, athlete: &Athlete, view: &MassView) -> Markup {
    let Some(trace) = body_mass::joint(house, gym, athlete, view) else { return html! {} };
    html! {
        section.profile {
            h2 { "Body mass and jump, on the same days" }
            figure { (parts::drawn(&Figure::Trace(trace), "mass-and-jump", 720.0)) }
            p.quiet { "Jumps from a day before the weigh-in to a day after are left out: they are not comparable." }
        }
    }
}

fn limit_form(house: &House, gym: &Gym, view: &MassView, code: &AthleteId) -> Markup {
    let limit = view.limit.as_ref();
    let planned = gym.bout_of_limit(code);
    let (weigh_in, bout) = body_mass::days_for_a_limit(house, gym, view, code);
    html! {
        section {
            h2 { "Limit" }
            @match limit {
                Some(limit) => p { @if view.weigh_in == Some(WeighIn::Passed) { "Last limit, its weigh-in past: " } (in_both(limit.limit)) " at the weigh-in of " (words::day_and_year(limit.weigh_in)) ", for "
                    @match planned {
                        Some(planned) => { a href={ "/plan/" (planned.id) } { (planned.name) } " on " (words::day_and_year(limit.bout)) ". When that moves, weigh-in and check-weights move with it." }
                        None => { "a bout on " (words::day_and_year(limit.bout)) " that is on no plan: it moves with none." }
                    }
                },
                None => p { "None agreed." },
            }
            form.fields method="post" action={ "/athlete/" (code) "/limit" } data-send {
                label { "Limit, kg or lb" input name="text" autocomplete="off" placeholder="160 lb"; }
                label { "Weigh-in" input type="date" name="weigh_in" value=[weigh_in]; }
                label { "Bout" input type="date" name="bout" value=[bout]; }
                label { "Check-weights of" select name="body" {
                    option value="" { "nobody" }
                    @for body in house.safety.rules.check_bodies() {
                        option value=(body) selected[limit.and_then(|one| one.check_body.as_deref()) == Some(body)] { (body) }
                    }
                } }
                button { "Save limit" }
            }
            p.quiet { "Leave it empty to remove the limit." }
        }
    }
}
