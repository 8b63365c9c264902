//! What reads odd at a station, asked about: a set that may be someone else's, a sensor that may
//! have moved, a rep that does not look like the athlete. Nothing is changed without a yes.

use super::super::Site;
use super::parts;
use crate::flow::odd_rep::{self, OddRep};
use crate::flow::sensor::{self, Moved};
use crate::flow::whose::{self, Perhaps, Question};
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::rep::DoneWith;
use maud::{Markup, html};

/// Everything that is asked at a station.
pub(super) fn section(site: &Site, ledger: &Ledger, station: u8, path: &str) -> Markup {
    let moved = sensor::moved(&site.house, ledger.gym());
    let here = moved.iter().filter(|moved| moved.stations.contains(&station));
    html! {
        @if let Some(asked) = whose::at_station(&site.house, ledger, station) { (wrong_athlete(&asked, path)) }
        @for moved in here { (sensor_moved(moved)) }
        @if let Some(odd) = odd_rep::at_station(&site.house, ledger.gym(), station) { (odd_rep(&odd, path)) }
    }
}

fn odd_rep(odd: &OddRep<'_>, path: &str) -> Markup {
    html! {
        section.doubt role="status" {
            p { "? " (odd.sentence) }
            form.choices method="post" action={ (path) "/fault" } data-send {
                input type="hidden" name="rep" value=(odd.rep.id);
                @for fault in &odd.faults { button name="fault" value=(fault.tag) { (fault.words) } }
            }
            form.choices method="post" action={ "/rep/" (odd.rep.id) } data-send {
                button name="what" value="aside" { "Set the number aside" }
            }
            (parts::why("why-odd", &odd.working, &[]))
        }
    }
}

fn wrong_athlete(asked: &Question<'_>, path: &str) -> Markup {
    let first = asked.reps.first().map(ToString::to_string).unwrap_or_default();
    let with = |perhaps: &Perhaps<'_>| match &perhaps.done_with {
        Some(DoneWith { box_height: Some(height), .. }) => {
            format!(", box {:.0} cm", height.in_centimetres())
        }
        Some(with) => format!(", {:.1} kg", with.load.total.in_kilograms()),
        None => String::new(),
    };
    html! {
        section.doubt role="status" {
            p { "? " (asked.sentence) }
            form.choices method="post" action={ (path) "/whose" } data-send {
                input type="hidden" name="rep" value=(first);
                @for perhaps in &asked.perhaps {
                    button.main name="athlete" value=(perhaps.athlete.id) { "Yes, " (perhaps.athlete.given_name()) (with(perhaps)) }
                }
                button name="athlete" value=(asked.credited.id) { "No, " (asked.credited.given_name()) }
            }
            (parts::why("why-whose", &asked.working, &[]))
        }
    }
}

fn sensor_moved(moved: &Moved) -> Markup {
    html! {
        section.doubt role="status" {
            p { "? " (moved.sentence) }
            (parts::why("why-sensor", &moved.working, &[]))
        }
    }
}
