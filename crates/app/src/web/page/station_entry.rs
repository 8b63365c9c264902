//! The entry form of a station: follows who is up, the exercise and the side, and carries what it
//! was drawn for, so that a number typed for one is never stored for another.

use super::super::Site;
use crate::flow::drawn_for::DrawnFor;
use cornerwork_core::exercise::{Exercise, MeasureKind};
use cornerwork_core::session::gym::Gym;
use maud::{Markup, html};

/// The form of a station as it stands now; `None` when there is no such station tonight.
pub(in super::super) fn form(site: &Site, number: u8) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let station = gym.evening.as_ref()?.plan.station(number)?;
    let drawn = DrawnFor::standing(&site.house, gym, number);
    let id = drawn.as_ref().map_or(&station.exercise, |drawn| &drawn.exercise);
    let exercise = site.house.exercise(gym, id)?;
    Some(drawn_for(gym, number, exercise, drawn.as_ref()))
}

fn drawn_for(gym: &Gym, number: u8, exercise: &Exercise, drawn: Option<&DrawnFor>) -> Markup {
    let unit = exercise.measure.unit.symbol();
    let name = exercise.measure.kind.words();
    let contact = exercise.measure_of(MeasureKind::ContactTime);
    let contact = contact.filter(|contact| contact.kind != exercise.measure.kind);
    // Half-typed digits stay while athlete, exercise and side are the same.
    let same = drawn.map(|drawn| format!("{} {} {:?}", drawn.athlete, drawn.exercise, drawn.side));
    html! {
        form #rep.pad method="post" action={ "/floor/" (number) "/rep" } data-send data-pad data-for=[same] data-whose=[drawn.map(|drawn| whose(gym, drawn))] {
            (fields(drawn))
            div.entry {
                label for="typed" { @if let Some(drawn) = drawn { strong { (whose(gym, drawn)) } " " } (name) ", " (unit) }
                input #typed name="text" inputmode="decimal" autocomplete="off" required;
                @if let Some(contact) = contact {
                    label.contact { "on the ground, " (contact.unit.symbol()) input name="contact" inputmode="decimal" autocomplete="off"; }
                }
                button.main type="submit" { "Enter" }
            }
            div.keys {
                @for key in ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0"] {
                    button type="button" data-key=(key) { (key) }
                }
                button type="button" data-key="back" aria-label="delete the last digit" { "⌫" }
            }
        }
    }
}

/// What a form was drawn for, to be sent with it.
pub(super) fn fields(drawn: Option<&DrawnFor>) -> Markup {
    html! {
        @for (name, text) in drawn.into_iter().flat_map(DrawnFor::fields) {
            input type="hidden" name=(name) value=(text);
        }
    }
}

/// "Oriel, rear hand".
fn whose(gym: &Gym, drawn: &DrawnFor) -> String {
    let side = drawn.side.map(|side| format!(", {}", side.word())).unwrap_or_default();
    format!("{}{side}", gym.given_name(&drawn.athlete))
}
