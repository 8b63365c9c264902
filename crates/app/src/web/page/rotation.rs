//! Who goes where when: the plan as a picture, as a table, as a list for each athlete, and how good
//! it is.

use super::super::Site;
use super::super::shell::Page;
use super::parts;
use crate::flow::house::House;
use crate::flow::paper::floor_sheet;
use crate::flow::program::rotate::{self, Rotating};
use crate::flow::program::turns::{self, Running};
use crate::flow::program::{self, resolve};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use cornerwork_core::prescription::rotation::Slot;
use cornerwork_core::report::figure::{Figure, Turns};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::{Evening, Gym};
use cornerwork_core::session::program::{ResolvedSession, SessionId};
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>, Path(id): Path<String>) -> Response {
    let Some(region) = region(&site, &id) else {
        let sentence = "There is no such session. Go back to the sessions.";
        return (StatusCode::NOT_FOUND, sentence).into_response();
    };
    let path = format!("/session/{id}/rotation");
    Page {
        live: Some(&path),
        now: Some(site.house.clock().now()),
        ..Page::desk("Who goes where when", region, site.house.keeper.ledger().gym().invented)
    }
    .html()
    .into_response()
}

/// What changes.
pub(in super::super) fn region(site: &Site, id: &str) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let plan = program::session(&site.house, gym, &SessionId::new(id)?)?;
    let resolved = resolve::session(&site.house, gym, &plan);
    Some(html! {
        p.date { a href={ "/session/" (plan.id) } { (plan.name) } }
        h1.today { "Who goes where when" }
        @if let Some(sentence) = floor_sheet::printed_when(&site.house, gym, &plan) {
            p.quiet { (sentence) " " a href={ "/paper/floor/" (plan.id) } { "Print" } }
        }
        @if let Some(found) = turns::held(&site.house, gym, &resolved) {
            (running(&site.house, gym, &resolved, found))
        } @else { @match &rotate::rotate(&site.house, gym, &resolved) {
            Err(sentence) => { p.lead { (sentence) } },
            Ok(rotating) => {
                (verdict(gym, rotating))
                (picture(turns::planned(&site.house, gym, &resolved, rotating)))
                (timetable(&site.house, gym, &resolved, rotating))
                (lists(&site.house, gym, &resolved, rotating))
            }
        } }
    })
}

/// The rounds of an evening that runs: what is done, what runs, what comes.
fn running(house: &House, gym: &Gym, resolved: &ResolvedSession, running: Running) -> Markup {
    let (rounds, ended) = (running.rounds, running.ended);
    html! {
        p.lead { (running.in_words()) }
        @if running.round.is_some() && !ended {
            p { "When someone comes late or leaves, say so on the page of the session: the rest is planned anew." }
        }
        @if let Some(evening) = gym.evening_held(&resolved.plan.id) {
            @let plan = &evening.plan;
            (picture(running.turns))
            section {
                h2 { "The floor" }
                div.scroll tabindex="0" role="region" aria-label="Stations by rounds" {
                    table.rounds {
                        thead { tr {
                            th { "station" }
                            @for round in 0..rounds { th { (heading(round, evening)) } }
                        } }
                        tbody { @for (place, station) in plan.stations.iter().enumerate() { tr {
                            th scope="row" { (station.number) }
                            @for round in 0..rounds {
                                td { @for id in plan.group_at(place, round) { (running_turn(house, gym, resolved, id, station.number)) } }
                            }
                        } } }
                    }
                }
            }
        }
    }
}

/// "2 now".
fn heading(round: usize, evening: &Evening) -> String {
    match round.cmp(&evening.rotations) {
        std::cmp::Ordering::Less => format!("{} done", round + 1),
        std::cmp::Ordering::Equal if evening.closed => format!("{} ended", round + 1),
        std::cmp::Ordering::Equal => format!("{} now", round + 1),
        std::cmp::Ordering::Greater => (round + 1).to_string(),
    }
}

/// The picture; the table under it holds the same in words.
fn picture(turns: Turns) -> Markup {
    html! { figure { (parts::drawn_at_each_size(&Figure::Turns(turns), "turns")) } }
}

fn running_turn(
    house: &House,
    gym: &Gym,
    resolved: &ResolvedSession,
    id: &AthleteId,
    station: u8,
) -> Markup {
    html! {
        div.turn {
            span.name { (gym.given_name(id)) }
            @if let Some(planned) = resolved.at(id, station) { " " span.quiet { (turns::in_short(house, gym, &resolved.plan, planned)) } }
        }
    }
}

/// How good it is, in two sentences; why, for whoever asks. Where no load is ever changed there is
/// nothing to say of changes.
fn verdict(gym: &Gym, rotating: &Rotating) -> Markup {
    let (best, alphabetical) = (&rotating.plan.best, &rotating.plan.alphabetical);
    let fewest = rotating.plan.fewest_changes;
    html! {
        section {
            @if let Some(changes) = turns::changes_in_words(best.changes, alphabetical.changes) {
                p.lead { (changes) @if rotating.plan.proven && best.changes > 0 { " No plan does better." } }
            }
            @if best.clashes > 0 { p { (clashes(best.clashes)) } }
            p {
                "Over at " (rotating.clock(best.timetable.length)) ", "
                @if rotating.in_time() { "in time." } @else { strong { "later than planned." } }
                " Every athlete has the station's rest before each set."
            }
            @for sentence in rotating.left_out(gym) { p.barred { (sentence) } }
            details.why #why-rotation {
                summary { "why?" }
                div.working {
                    p { "A search by steps from the alphabetical order and from orders by load, then every other possibility as far as it can be counted. First no bar or plate in two places at once, then the fewest changes of load. Sets last 15 s a rep, a change 30 s, going on 2 min (common practice, no source)." }
                    table {
                        tbody {
                            tr { th { "compared" } th { "this plan" } th { "alphabetical" } }
                            tr { td { "load changes" } td.number { (best.changes) } td.number { (alphabetical.changes) } }
                            tr { td { "bars or plates wanted twice" } td.number { (best.clashes) } td.number { (alphabetical.clashes) } }
                            tr { td { "over at" } td.number { (rotating.clock(best.timetable.length)) } td.number { (rotating.clock(alphabetical.timetable.length)) } }
                            @if best.changes > fewest { tr { td { "fewest any plan could have" } td.number { (fewest) } td {} } }
                        }
                    }
                }
            }
        }
    }
}

fn clashes(count: u32) -> String {
    let times = if count == 1 { "Once".to_owned() } else { format!("{count} times") };
    format!("{times} a bar or plate is wanted at two stations: share it by turns.")
}

/// The same as a table: stations down, rounds across.
fn timetable(house: &House, gym: &Gym, resolved: &ResolvedSession, rotating: &Rotating) -> Markup {
    let best = &rotating.plan.best;
    html! {
        section {
            h2 { "The floor" }
            div.scroll tabindex="0" role="region" aria-label="Stations by rounds" {
                table.rounds {
                    thead { tr {
                        th { "station" }
                        @for start in &best.timetable.round_starts { th { (rotating.clock(*start)) } }
                    } }
                    tbody { @for (place, block) in resolved.plan.blocks.iter().enumerate() { tr {
                        th scope="row" { (block.station) }
                        @for (round, groups) in best.rounds.iter().enumerate() {
                            td { @for &person in &groups[place] { (cell(house, gym, (resolved, rotating), (round, place, person))) } }
                        }
                    } } }
                }
            }
            p.quiet { "In the order of their sets." @if best.changes > 0 { " ◆ marks a load that is changed between the sets." } }
        }
    }
}

fn cell(
    house: &House,
    gym: &Gym,
    (resolved, rotating): (&ResolvedSession, &Rotating),
    (round, place, person): (usize, usize, usize),
) -> Markup {
    let rotation = &rotating.plan.best;
    let id = &rotating.people[person];
    let station = resolved.plan.blocks[place].station;
    let sets: Vec<&Slot> = rotation
        .timetable
        .of_person(person)
        .filter(|slot| slot.round == round && slot.station == place)
        .collect();
    let changed = sets.iter().filter(|slot| slot.change).count();
    html! {
        div.turn {
            span.name { (gym.given_name(id)) }
            @if let Some(planned) = resolved.at(id, station) { " " span.quiet { (turns::in_short(house, gym, &resolved.plan, planned)) } }
            @if changed > 0 { " " span.changes title={ (changed) " changes of load" } { "◆" @if changed > 1 { (changed) } } }
        }
    }
}

/// One plain list for each athlete.
fn lists(house: &House, gym: &Gym, resolved: &ResolvedSession, rotating: &Rotating) -> Markup {
    let timetable = &rotating.plan.best.timetable;
    html! {
        section {
            h2 { "Each athlete" }
            div.lists { @for (person, id) in rotating.people.iter().enumerate() { @if let Some(athlete) = gym.athlete(id) {
                div {
                    h3 { (athlete.given_name()) span.code { (id) } }
                    ol.passes { @for slot in timetable.of_person(person).filter(|slot| slot.set == 0) {
                        @let station = resolved.plan.blocks[slot.station].station;
                        li {
                            strong { (rotating.clock(slot.start)) } " station " (station)
                            @if let Some(planned) = resolved.at(id, station) {
                                ": " (program::dose(house, gym, planned)) ", "
                                @if let Some(name) = turns::swapped(house, gym, &resolved.plan, planned) { strong { (name) } ", " }
                                (planned.in_words())
                            }
                        }
                    } }
                }
            } } }
        }
    }
}
