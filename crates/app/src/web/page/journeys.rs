//! The journey to a bout on a page of the plan.

use crate::flow::camp::travel::{GROUND, TravelView};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use jiff::civil::DateTime;
use maud::{Markup, html};

/// What is known of it, and what to mind.
pub(super) fn told(travel: &TravelView) -> Markup {
    html! {
        section #travel {
            h2 { "Travel" }
            ul { @for sentence in &travel.said { li { (sentence) } } }
            @if !travel.mind.is_empty() {
                @for sentence in &travel.mind { p.note { (sentence) } }
                details.why { summary { "why?" } p { (GROUND) } }
            }
        }
    }
}

/// The form.
pub(super) fn form(gym: &Gym, bout: &Bout, path: &str) -> Markup {
    let journey = gym.camps.journey(&bout.id);
    let day = |at: Option<DateTime>| at.map(|at| at.date().to_string()).unwrap_or_default();
    let time = |at: Option<DateTime>| at.map(|at| at.strftime("%H:%M").to_string());
    let (leaves, arrives) = (journey.map(|one| one.leaves), journey.map(|one| one.arrives));
    html! {
        section.plan #journey {
            details open[journey.is_none() && gym.camps.facts(&bout.id).is_some_and(|facts| facts.zone.is_some())] {
                summary { "Travel" }
                form.fields method="post" action=(path) data-send {
                    input type="hidden" name="what" value="travel";
                    label { "Leaves, day here" input type="date" name="leaves_on" value=(day(leaves)); }
                    label { "at, by the gym's clock" input name="leaves_at" autocomplete="off" placeholder="09:30" value=[time(leaves)]; }
                    label { "Arrives, day there" input type="date" name="arrives_on" value=(day(arrives)); }
                    label { "at, by the venue's clock" input name="arrives_at" autocomplete="off" placeholder="12:40" value=[time(arrives)]; }
                    button { "Save trip" }
                }
                p.quiet { "The venue's time zone stands under \"Change what is agreed\". Clear all four boxes to delete the trip." }
            }
        }
    }
}
