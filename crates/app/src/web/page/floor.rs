//! The floor: one station as its tablet shows it, and all stations in one list.

use super::super::Site;
use super::super::shell::{Distance, Page};
use super::{doubts, film, parts, station_entry, station_first, stop};
use crate::flow::advice;
use crate::flow::floor::{self, StationView, UpView};
use crate::flow::judged::RepView;
use crate::flow::profiles::PROFILE_DAYS;
use crate::flow::{hand, picture};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use cornerwork_core::exercise::{Exercise, MeasureKind, Sides};
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::counted_twice::counted_twice;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::next_action::NextAction;
use cornerwork_core::session::rep::Side;
use maud::{Markup, html};

/// A station's page.
pub(in super::super) async fn one(State(site): State<Site>, Path(station): Path<u8>) -> Response {
    let Some(region) = region(&site, station) else { return no_station(&site, station) };
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let title = format!("Station {station}");
    let path = format!("/floor/{station}");
    Page {
        title: &title,
        distance: Distance::Floor,
        live: Some(&path),
        region,
        rest: station_entry::form(&site, station).unwrap_or_default(),
        invented: gym.invented,
        now: Some(site.house.clock().now()),
    }
    .html()
    .into_response()
}

/// Where a station is asked for that is not there: the way to one that is.
fn no_station(site: &Site, station: u8) -> Response {
    let ledger = site.house.keeper.ledger();
    let region = html! {
        h1 { "Station " (station) }
        @if ledger.gym().open_evening().is_some() {
            p.quiet { "There is no such station tonight. " a href="/floor" { "See tonight's stations." } }
        } @else {
            p.quiet { "No evening is open. " a href="/" { "Open one at the desk." } }
        }
    };
    let page =
        Page { distance: Distance::Floor, ..Page::desk("Floor", region, ledger.gym().invented) };
    (StatusCode::NOT_FOUND, page.html()).into_response()
}

/// All stations.
pub(in super::super) async fn all(State(site): State<Site>) -> Html<String> {
    let region = all_region(&site);
    let invented = site.house.keeper.ledger().gym().invented;
    Page {
        title: "Floor",
        distance: Distance::Floor,
        live: Some("/floor"),
        region,
        rest: html! {},
        invented,
        now: Some(site.house.clock().now()),
    }
    .html()
}

/// One line a station.
pub(in super::super) fn all_region(site: &Site) -> Markup {
    let ledger = site.house.keeper.ledger();
    let now = site.house.clock().now();
    let numbers: Vec<u8> = ledger
        .gym()
        .open_evening()
        .into_iter()
        .flat_map(|evening| evening.plan.stations.iter().map(|station| station.number))
        .collect();
    html! {
        h1.unseen { "Floor" }
        @if numbers.is_empty() {
            p.quiet { "No evening is open. " a href="/" { "Open one at the desk." } }
        }
        ul.stations {
            @for view in numbers.iter().filter_map(|n| floor::station(&site.house, &ledger, *n, now)) {
                li { a href={ "/floor/" (view.station.number) } {
                    span.place { (view.station.number) " " (view.exercise.name) }
                    span.name { (view.up.as_ref().map_or("—", |up| up.athlete.given_name())) }
                    span.load { (view.up.as_ref().map_or_else(String::new, |up| parts::load_in_short(&view, up))) }
                    span.action.(parts::action_class(&view.action)) { (parts::action_sentence(&view)) }
                } }
            }
        }
        @if !numbers.is_empty() {
            form.rotate method="post" action="/floor/rotate" data-send { button { "All groups to their next station" } }
            @if let Some(plan) = ledger.gym().session_tonight() {
                p.late { a href={ "/session/" (plan.id) } { "Someone is late or leaves" } }
            }
            p.late { a href="/close" { "End the evening" } }
        }
    }
}

/// What changes at a station.
pub(in super::super) fn region(site: &Site, number: u8) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let view = floor::station(&site.house, &ledger, number, site.house.clock().now())?;
    let path = format!("/floor/{number}");
    Some(html! {
        div.station data-up=[view.up.as_ref().map(|up| &up.athlete.id)] {
            (who(&view))
            (what(&view))
            (result(gym, &view))
            (doubts::section(site, &ledger, number, &path))
            (doubled(gym, &view, &path))
            p.action.(parts::action_class(&view.action)) { (parts::action_sentence(&view)) }
            (to_answer(&view))
            @if let Some(cue) = &view.cue { p.cue { "Say: “" (cue) "”" } }
            @if let Some(up) = &view.up { (stop::told(&ledger, up, &path, site.house.clock().now(), site.house.clock().today())) }
            (station_first::section(site, gym, &view, &path))
            (next_load(site, gym, &view, &path))
            (strip(&view))
            (buttons(&view, &path))
            @if let Some(up) = &view.up { (more(site, gym, &view, up, &path)) }
        }
        aside.beside { (beside(site, gym, &view)) }
    })
}

/// Work too near a bout or sparring: the coach may answer for it with a reason.
fn to_answer(view: &StationView<'_>) -> Markup {
    let up = view.up.as_ref().filter(|up| up.barred.is_none());
    let Some((up, why)) = up.and_then(|up| Some((up, up.to_answer.as_ref()?))) else {
        return html! {};
    };
    html! {
        div.asked {
            p { (why) }
            form.inline method="post" action="/floor/answer" data-send {
                input type="hidden" name="athlete" value=(up.athlete.id);
                input type="hidden" name="exercise" value=(view.exercise.id);
                label { "Why all the same" input name="reason" required maxlength="200" autocomplete="off"; }
                button { "I answer for it" }
            }
        }
    }
}

fn who(view: &StationView<'_>) -> Markup {
    html! {
        header.who {
            @match &view.up {
                Some(up) => {
                    h1 { (up.athlete.given_name()) span.code { (up.athlete.id) } }
                }
                None => { h1.quiet { "Nobody" } }
            }
            p.next {
                "Station " (view.station.number)
                @if let Some(next) = view.next.filter(|next| view.up.as_ref().is_none_or(|up| up.athlete.id != next.id)) {
                    br; "next " strong { (next.given_name()) }
                }
            }
        }
    }
}

fn what(view: &StationView<'_>) -> Markup {
    html! {
        section.what {
            p.exercise { (view.exercise.name) }
            @if let Some(up) = &view.up {
                p.load { (parts::load_in_short(view, up)) }
                @if let Some(picture) = picture::loaded_bar(up) {
                    div.plates { (parts::drawn(&Figure::LoadedBar(picture), "plates", 340.0)) }
                }
                @if view.exercise.sides != Sides::None { (sides(view.exercise, up)) }
            }
        }
    }
}

/// Which side the next rep is of: chosen for the coach, changed with one tap.
fn sides(exercise: &Exercise, up: &UpView<'_>) -> Markup {
    let both = match exercise.sides {
        Sides::LeadRear => [Side::Rear, Side::Lead],
        _ => [Side::Left, Side::Right],
    };
    html! {
        fieldset.sides {
            legend.unseen { "Side" }
            @for side in both {
                label {
                    input type="radio" name="side" form="rep" value=(side.code()) checked[up.side == Some(side)];
                    span { (side.word()) }
                }
            }
        }
    }
}

/// The huge number of the set in progress with whose it is, its judgement, and for a loaded jump
/// the momentum behind it. A result of before is a small named line: the place is kept empty for
/// whoever is up.
fn result(gym: &Gym, view: &StationView<'_>) -> Markup {
    let exercise = view.exercise;
    html! {
        section.result {
            @match view.shown() {
                Some(last) => {
                    p.whose { (parts::whose(last)) }
                    (parts::number(exercise, last))
                    (parts::judgement(exercise, last))
                    (parts::contact(exercise, last))
                    p.unseen { (parts::judged_against(exercise, last)) }
                    @if let Some(momentum) = floor::momentum_of(gym, exercise, last.rep) {
                        p.beat { (format!("{:.0}", momentum.in_kilogram_metres_per_second())) " kg m/s at take-off" }
                    }
                }
                None => {
                    p.number.none { "·" }
                    p.judgement.quiet { "no rep yet" }
                }
            }
            @if let Some(before) = view.before() { p.before { (parts::in_one_line(view.last_exercise, before)) } }
        }
    }
}

/// Two reps closer than two reps can be: offered, never dropped silently.
fn doubled(gym: &Gym, view: &StationView<'_>, path: &str) -> Markup {
    let Some(second) = counted_twice(gym, view.station.number) else { return html! {} };
    let number = second.entry.value.map(|value| view.last_exercise.measure.with_unit(value));
    html! {
        div.asked {
            p { "Two reps within half a second: one counted twice?" }
            form method="post" action="/undo" data-send {
                input type="hidden" name="operation" value=(second.id);
                input type="hidden" name="back" value=(path);
                button { "Drop the second" @if let Some(number) = number { ", " (number) } }
            }
        }
    }
}

/// The set on one scale, once there is a rep; before it, what to beat.
fn strip(view: &StationView<'_>) -> Markup {
    let Some(up) = &view.up else { return html! {} };
    html! {
        @match parts::set_strip(view.exercise, up) {
            Some(strip) => div.strip { (parts::drawn(&Figure::Strip(strip), "set", 640.0)) },
            None => p.beat { (parts::to_beat(view.exercise, up)) },
        }
    }
}

fn buttons(view: &StationView<'_>, path: &str) -> Markup {
    html! {
        div.buttons {
            @if let Some(up) = &view.up {
                @if !up.set.is_empty() {
                    form method="post" action={ (path) "/close" } data-send {
                        input type="hidden" name="athlete" value=(up.athlete.id);
                        button.main[matches!(view.action, NextAction::CloseSet { .. } | NextAction::StopDrop { .. } | NextAction::StopUnderWindow { .. })] { "Close set" }
                    }
                }
            }
            @if let Some((operation, words)) = &view.undo {
                form method="post" action="/undo" data-send {
                    input type="hidden" name="operation" value=(operation);
                    input type="hidden" name="back" value=(path);
                    button { "Undo " (words) }
                }
            }
            (station_first::not_measured(view, path, &html! {
                (station_entry::fields(view.drawn.as_ref()))
                @if let Some(side) = view.drawn.as_ref().and_then(|drawn| drawn.side) { input type="hidden" name="side" value=(side.code()); }
            }))
        }
    }
}

/// Everything else, folded away: faults, load, box, whose rep, who is up.
fn more(site: &Site, gym: &Gym, view: &StationView<'_>, up: &UpView<'_>, path: &str) -> Markup {
    let ramp = gym.ramp(&up.athlete.id, view.exercise, site.house.clock().now());
    let mut loads = advice::loads_at(&site.house, gym, view.station);
    loads.retain(|(_, load)| ramp.allows(load.total()));
    let with_box = view.exercise.measure_of(MeasureKind::ContactTime).is_some();
    html! {
        @if let Some(last) = &view.last {
            details.more #faults {
                summary { "Fault in the last rep" @if view.before().is_some() { ", " (parts::whose(last)) } }
                (faults(view.last_exercise, last, path))
            }
            details.more #mend {
                summary { "Correct the last rep" @if view.before().is_some() { ", " (parts::whose(last)) } }
                (mend(site, gym, last))
            }
        }
        @if !loads.is_empty() {
            details.more #load {
                summary { "Change the load" }
                form method="post" action={ (path) "/load" } data-send {
                    input type="hidden" name="athlete" value=(up.athlete.id);
                    label { "Load"
                        select name="load" {
                            (station_first::no_load(view, up))
                            @for (bar, load) in &loads {
                                @let grams = (load.total().in_kilograms() * 1000.0).round();
                                option value={ (bar.id) ":" (grams) } selected[load.total() == up.load.total] {
                                    (format!("{:.2}", load.total().in_kilograms())) " kg · " (bar.name) ": " (load.in_words())
                                }
                            }
                        }
                    }
                    button { "Hang it" }
                }
            }
        }
        @if with_box {
            details.more #box {
                summary { "Change the box" }
                form.choices method="post" action={ (path) "/box" } data-send {
                    input type="hidden" name="athlete" value=(up.athlete.id);
                    @for height in &gym.boxes {
                        button name="cm" value=(format!("{:.0}", height.in_centimetres())) { (format!("{:.0} cm", height.in_centimetres())) }
                    }
                }
            }
        }
        @if let Some(hand) = hand::in_the_hand(up) {
            details.more #hand {
                summary { "What it weighs in the hand" }
                p { (hand.words) }
                (parts::why("why-hand", &hand.working, &[hand.assumed]))
            }
        }
        (stop::list(up, path))
        (film::film(gym, up, site.house.clock().today()))
        details.more #turn {
            summary { "Someone else is up" }
            form.choices method="post" action={ (path) "/turn" } data-send {
                @for athlete in present(gym) {
                    button name="athlete" value=(athlete.0) { (athlete.1) }
                }
            }
        }
    }
}

/// Codes and given names of everyone in tonight's groups.
fn present(gym: &Gym) -> Vec<(String, String)> {
    gym.evening
        .iter()
        .flat_map(|evening| evening.plan.groups.iter().flatten())
        .filter_map(|id| gym.athlete(id))
        .map(|athlete| (athlete.id.to_string(), athlete.given_name().to_owned()))
        .collect()
}

fn faults(exercise: &Exercise, last: &RepView<'_>, path: &str) -> Markup {
    html! {
        form.choices method="post" action={ (path) "/fault" } data-send {
            input type="hidden" name="rep" value=(last.rep.id);
            @for fault in &exercise.faults {
                @let seen = last.rep.faults.iter().any(|seen| seen.tag == fault.tag);
                button name="fault" value=(fault.tag) aria-pressed=(seen) { (fault.words) @if seen { " ✓" } }
            }
        }
    }
}

/// Correct the number, credit the rep to someone else, or set it aside.
pub(super) fn mend(site: &Site, gym: &Gym, last: &RepView<'_>) -> Markup {
    let exercise = site.house.exercise(gym, &last.rep.entry.exercise);
    let unit = exercise.map_or("", |exercise| exercise.measure.unit.symbol());
    let action = format!("/rep/{}", last.rep.id);
    html! {
        form method="post" action=(action) data-send {
            label { "Right number, " (unit) input name="text" inputmode="decimal" autocomplete="off" required; }
            button name="what" value="correct" { "Correct" }
        }
        form.choices method="post" action=(action) data-send {
            input type="hidden" name="what" value="move";
            span.quiet { "It was" }
            @for (code, name) in present(gym).iter().filter(|(code, _)| *code != last.rep.entry.athlete.to_string()) {
                button name="athlete" value=(code) { (name) }
            }
        }
        form.choices method="post" action=(action) data-send {
            button name="what" value="aside" { "Set the number aside" }
            a.button href=(action) { "Its story" }
        }
    }
}

/// What to hang or set next, with one button to do it.
fn next_load(site: &Site, gym: &Gym, view: &StationView<'_>, path: &str) -> Markup {
    let Some(up) = &view.up else { return html! {} };
    let Some(advice) = advice::at_station(&site.house, gym, view.station, up.athlete) else {
        return html! {};
    };
    let hang = advice.hang.as_ref().filter(|load| !load.same_as(&up.load));
    let box_height = advice.box_height.filter(|height| up.box_height != Some(*height));
    html! {
        section.advice {
            p { (advice.sentence) }
            @if let Some(load) = hang {
                form method="post" action={ (path) "/load" } data-send {
                    input type="hidden" name="athlete" value=(up.athlete.id);
                    button name="load" value={ (load.bar.as_deref().unwrap_or_default()) ":" ((load.total.in_kilograms() * 1000.0).round()) } {
                        "Hang " (format!("{:.1}", load.total.in_kilograms())) " kg" small { (advice.plates) }
                    }
                }
            }
            @if let Some(height) = box_height {
                form method="post" action={ (path) "/box" } data-send {
                    input type="hidden" name="athlete" value=(up.athlete.id);
                    button name="cm" value=(format!("{:.0}", height.in_centimetres())) { "Set " (format!("{:.0}", height.in_centimetres())) " cm" }
                }
            }
        }
        @if let Some(working) = &advice.working { (parts::why("why-next", working, &advice.notes)) }
    }
}

/// Beside the station where the screen is wide: the curve that the advice comes from.
fn beside(site: &Site, gym: &Gym, view: &StationView<'_>) -> Markup {
    let Some(up) = &view.up else { return html! {} };
    html! {
        @if parts::is_loaded_jump(view.exercise)
            && let Ok(momentum) = site.house.profiles.momentum(&site.house, gym, &up.athlete.id, view.exercise, PROFILE_DAYS) {
            @let hill = picture::hill(&momentum, Some(up.load.total), None);
            figure { (parts::drawn(&Figure::Hill(hill), "hill", 460.0)) }
        }
        a href={ "/athlete/" (up.athlete.id) } { "All of " (up.athlete.given_name()) }
    }
}
