//! The latest reps, each a link to its story.

use crate::flow::house::House;
use crate::flow::judged::{self, RepView};
use crate::web::page::parts;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::units::Mass;
use cornerwork_core::words;
use maud::{Markup, html};

/// The latest reps, newest first.
const LATEST: usize = 40;

/// The section.
pub(super) fn section(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    let clock = house.clock();
    let rows: Vec<RepView<'_>> = gym
        .reps_of(&athlete.id)
        .rev()
        .take(LATEST)
        .filter_map(|rep| {
            let exercise = house.exercise(gym, &rep.entry.exercise)?;
            Some(judged::view(house, gym, exercise, rep))
        })
        .collect();
    html! {
        section {
            h2 { "Latest reps" }
            div.scroll tabindex="0" role="region" aria-label="Latest reps" { table.stacks {
                thead { tr { th { "when" } th { "exercise" } th { "load" } th { "number" } th { "judgement" } } }
                tbody { @for view in &rows {
                    @if let Some(exercise) = house.exercise(gym, &view.rep.entry.exercise) { tr {
                        td { a href={ "/rep/" (view.rep.id) } { (words::day(clock.date_of(view.rep.entry.at))) " " (clock.time_of(view.rep.entry.at)) } }
                        td { (exercise.name) @if let Some(side) = view.rep.entry.side { ", " (side.word()) } }
                        td.number { @if view.rep.entry.load.total > Mass::ZERO { (format!("{:.1} kg", view.rep.entry.load.total.in_kilograms())) } @else if let Some(height) = view.rep.entry.box_height { "box " (format!("{:.0} cm", height.in_centimetres())) } }
                        td.number { @match view.rep.entry.value { Some(value) => (exercise.measure.with_unit(value)), None => (view.rep.entry.method.without_number()) } @if let Some(time) = parts::contact_in_short(exercise, view) { ", " (time) } }
                        td { (view.judgement.verdict.shape()) " " (view.judgement.verdict.word()) }
                    } }
                } }
            } }
        }
    }
}
