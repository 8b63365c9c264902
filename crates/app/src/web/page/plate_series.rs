//! What plates recorded of an athlete: each test a series of its own.

use super::parts;
use crate::flow::house::House;
use crate::flow::plate_series::{self, Series};
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words;
use maud::{Markup, html};

/// Days listed, newest first.
const LISTED: usize = 8;

/// All series of an athlete; nothing when no plate was stood on.
pub(super) fn sections(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    let series = plate_series::of(house, gym, &athlete.id);
    html! {
        @for (index, series) in series.iter().enumerate() { (section(index, series)) }
        @if gym.traces.of(&athlete.id).next().is_some() {
            p { a href={ "/traces?athlete=" (athlete.id) } { "All traces of " (athlete.given_name()) } }
        }
    }
}

fn section(index: usize, series: &Series) -> Markup {
    let decimals = series.decimals;
    html! {
        section.profile {
            h2 { (series.name) }
            p { (plate_series::sentence(series)) }
            @if let Some(strip) = plate_series::strip(series).filter(|strip| !strip.earlier.is_empty()) {
                figure { (parts::drawn(&Figure::Strip(strip), &format!("series-{index}"), 720.0)) }
            }
            @if let Some(latest) = &series.latest { (parts::why(&format!("why-series-{index}"), &latest.value.working, &latest.notes)) }
            table {
                caption { (series.metric.definition) }
                thead { tr { th { "day" } th { "mean" } th { "trials" } } }
                tbody { @for day in series.days.iter().rev().take(LISTED) { tr {
                    td.number { (words::short_day_and_year(day.date)) }
                    td.number { (format!("{:.decimals$}", day.mean())) " " (series.unit) }
                    td { @for (place, trial) in day.trials.iter().enumerate() {
                        @if place > 0 { ", " }
                        a href={ "/trace/" (trial.trace) } { (format!("{:.decimals$}", trial.value)) }
                    } }
                } } }
            }
        }
    }
}
