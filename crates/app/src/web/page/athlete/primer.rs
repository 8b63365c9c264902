//! After a hard hold: the delay at which this athlete is at the best.

use crate::flow::house::House;
use crate::flow::primer::{self, Primed};
use crate::web::page::parts;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use maud::{Markup, html};

/// The section; nothing where no delay was tested.
pub(super) fn section(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    let found = primer::of(house, gym, &athlete.id);
    html! {
        @if !found.is_empty() {
            section.profile #primer {
                h2 { "After a primer" }
                @for (place, primed) in found.iter().enumerate() { (one(place, primed)) }
            }
        }
    }
}

fn one(place: usize, primed: &Primed<'_>) -> Markup {
    let found = &primed.delay.value;
    let measure = &primed.measured.measure;
    let id = format!("primer-{place}");
    html! {
        h3 { (primed.measured.name) " after " (primed.primer.name) }
        p.lead { (found.sentence) }
        figure { (parts::drawn(&Figure::Strip(primer::strip(primed)), &id, 720.0)) }
        table {
            thead { tr { th { "delay" } th { "against the day" } th { "best, in 100" } } }
            tbody { @for delay in &found.delays { tr {
                td.number { (format!("{:.0} min", delay.minutes)) }
                td.number { (format!("{:+.1} {}", delay.above_the_day, measure.unit.symbol())) }
                td.number { (format!("{:.0}", delay.chance_of_best * 100.0)) }
            } } }
        }
        (parts::why(&format!("why-{id}"), &found.working, &primed.delay.notes))
    }
}
