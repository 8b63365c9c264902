//! The first look: is he better, how sure, is today usual, what load, compared with whom.

use super::unloaded_jump::Jumps;
use crate::flow::house::House;
use crate::flow::peers::{self, Field, Yardstick};
use crate::flow::plan;
use crate::flow::profiles::PROFILE_DAYS;
use cornerwork_core::prescription::load_to_use::LoadToUse;
use cornerwork_core::profile::change::Change;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::{self, capitalised};
use maud::{Markup, html};

/// Four questions with their answers, each a link to where it is shown.
pub(super) fn section(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    jumps: &Jumps,
    fields: &[Field<'_>],
) -> Markup {
    html! {
        dl.answers {
            dt { "Better?" }
            dd { a href="#unloaded" { (better(jumps)) } }
            dt { "Today?" }
            dd { a href="#today" { (today(jumps)) } }
            dt { "Load?" }
            dd { a href="#loaded" { (load(house, gym, athlete)) } }
            dt { "Peers?" }
            dd { a href="#peers" { (place(house, athlete, fields)) } }
        }
    }
}

fn better(jumps: &Jumps) -> Markup {
    match &jumps.change {
        Ok(change) => {
            html! { strong { (capitalised(&change.value.verdict.to_string())) } ": " (odds(&change.value)) }
        }
        Err(reason) => html! { (reason) },
    }
}

/// The likeliest of the three.
fn odds(change: &Change) -> String {
    let odds = change.odds;
    let sides = [
        (odds.rise, "a real gain"),
        (odds.no_matter, "no real change"),
        (odds.fall, "a real loss"),
    ];
    let likeliest = sides.into_iter().max_by(|one, other| one.0.total_cmp(&other.0));
    likeliest.map_or_else(String::new, |(chance, words)| {
        format!("{words} {:.0} % likely", chance * 100.0)
    })
}

fn today(jumps: &Jumps) -> Markup {
    match &jumps.day {
        Ok(day) => {
            let today = &day.today.value;
            html! {
                strong { (today.readiness.word()) } ": "
                (format!("{:.1} cm on {}, usual {:.1} to {:.1}", today.value, words::day(day.date), today.band.low, today.band.high))
            }
        }
        Err(reason) => html! { (reason) },
    }
}

fn load(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    let momentum = plan::exercise(house, gym, plan::LOADED_JUMP).and_then(|exercise| {
        house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS)
    });
    match momentum {
        Ok(momentum) => match momentum.to_use() {
            LoadToUse::Band(band) => html! {
                strong { (band) }
                " for the loaded jump"
            },
            not_known => html! { (not_known) },
        },
        Err(absent) => html! { (absent) },
    }
}

/// The place among similar boxers by the unloaded jump.
fn place(house: &House, athlete: &Athlete, fields: &[Field<'_>]) -> Markup {
    let field = fields.iter().find(|field| field.yardstick == Yardstick::UnloadedJump);
    let Some(field) = field else { return html! {} };
    match peers::standing(house, athlete, field) {
        Ok(standing) => {
            let place = &standing.place.value;
            html! {
                strong { (peers::place_in_short(&place.place, place.peers)) }
                ", unloaded jump among " (standing.among)
            }
        }
        Err(reason) => html! { (reason) },
    }
}
