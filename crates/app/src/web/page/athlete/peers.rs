//! Better than whom: the athlete among people of the same sex, by each yardstick.

use crate::flow::house::House;
use crate::flow::peers::{self, Field, Standing, Yardstick};
use crate::web::page::parts;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::words;
use maud::{Markup, html};

/// The section.
pub(super) fn section(house: &House, athlete: &Athlete, fields: &[Field<'_>]) -> Markup {
    let mut found = Vec::new();
    let mut missing = Vec::new();
    for field in fields {
        match peers::standing(house, athlete, field) {
            Ok(standing) => found.push((field.yardstick, standing)),
            Err(reason) => missing.push((field.yardstick, reason)),
        }
    }
    html! {
        section.profile #peers {
            h2 { "Compared with similar boxers" }
            div.pair { @for (yardstick, standing) in &found { (place(*yardstick, standing)) } }
            @for (yardstick, reason) in &missing { p.quiet { (yardstick.name()) ": " (reason.trim_end_matches('.')) "." } }
            p.quiet { "No published figures for boxers were found that hold up. " a href="/squad" { "The whole squad" } }
        }
    }
}

/// What was done about body mass.
fn body_mass(exponent: f64) -> String {
    if exponent.abs() < 0.005 {
        return "Body mass makes no difference here.".to_owned();
    }
    format!("Adjusted for body mass, to the power {exponent:.2}.")
}

fn place(yardstick: Yardstick, standing: &Standing) -> Markup {
    let strip = peers::strip(yardstick, standing);
    let id = format!("peers-{}", yardstick.code());
    let place = &standing.place.value;
    html! {
        figure {
            (parts::drawn(&Figure::Strip(strip), &id, 460.0))
            p { (peers::place_in_short(&place.place, place.peers)) ". "
                span.quiet {
                    (yardstick.axis().value(standing.own.value)) " on " (words::day(standing.own.date)) ", among " (standing.among) ". "
                    (body_mass(place.exponent.value))
                }
            }
            (parts::why(&format!("why-{id}"), &place.working, &standing.place.notes))
        }
    }
}
