//! An athlete: what to lift now, the curves with their doubt, a test under way, what was done.

mod answers;
mod history;
mod lift;
mod loaded_jump;
mod peers;
mod primer;
mod unloaded_jump;

use super::super::Site;
use super::super::shell::Page;
use super::{parts, plate_series};
use crate::flow::enter_athlete::born_in_words;
use crate::flow::house::House;
use crate::flow::peers::Field;
use crate::flow::profiles::PROFILE_DAYS;
use crate::flow::progress::Methods;
use crate::flow::reps_by_method;
use axum::extract::{Path, RawQuery, State};
use axum::response::{IntoResponse, Response};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::restriction::end_in_words;
use cornerwork_core::words;
use maud::{Markup, html};
use unloaded_jump::Jumps;

/// How the page is asked for.
#[derive(Clone, Copy)]
pub(in super::super) struct View {
    /// Days of jumps that make the profile.
    days: i32,
    /// How jumps measured another way are taken.
    methods: Methods,
}

impl View {
    /// From the query of the address: `days=1&methods=aligned`.
    pub(in super::super) fn from_query(query: &str) -> Self {
        let days = query.split('&').find_map(|part| part.strip_prefix("days=")?.parse().ok());
        let aligned = query.split('&').any(|part| part == "methods=aligned");
        Self {
            days: days.filter(|days| (1..=3660).contains(days)).unwrap_or(PROFILE_DAYS),
            methods: if aligned { Methods::Aligned } else { Methods::KeptApart },
        }
    }

    /// The address of the page so asked for.
    fn address(self, athlete: &str) -> String {
        let methods = match self.methods {
            Methods::KeptApart => "",
            Methods::Aligned => "&methods=aligned",
        };
        format!("/athlete/{athlete}?days={}{methods}", self.days)
    }
}

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let view = View::from_query(query.as_deref().unwrap_or_default());
    let Some(region) = region(&site, &code, view).await else {
        return parts::no_such_athlete();
    };
    let invented = site.house.keeper.ledger().gym().invented;
    let live = view.address(&code);
    let page = Page {
        live: Some(&live),
        now: Some(site.house.clock().now()),
        ..Page::desk(&code, region, invented)
    };
    page.html().into_response()
}

/// What changes.
pub(in super::super) async fn region(site: &Site, code: &str, view: View) -> Option<Markup> {
    let id = AthleteId::new(code)?;
    site.house.profiles.trials.catch_up(&site.house, Some(&id)).await;
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let athlete = gym.athlete(&id)?;
    let house = &site.house;
    let jumps = Jumps::of(house, gym, athlete, view);
    let fields = Field::all(house, gym);
    Some(html! {
        (head(house, gym, athlete))
        (answers::section(house, gym, athlete, &jumps, &fields))
        (unloaded_jump::section(house, gym, athlete, view, &jumps))
        (loaded_jump::section(house, gym, athlete, view))
        @for (exercise, sides) in reps_by_method::lifted(house, gym, &athlete.id) { (lift::section(house, gym, athlete, exercise, &sides)) }
        (plate_series::sections(house, gym, athlete))
        (primer::section(house, gym, athlete))
        (peers::section(house, athlete, &fields))
        (history::section(house, gym, athlete))
    })
}

fn head(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    let today = house.clock().today();
    let bout = gym.next_bout(&athlete.id, today);
    html! {
        header.person {
            h1 { (athlete.name) span.code { (athlete.id) } }
            p { (athlete.level) ", " (born_in_words(athlete.born, today))
                @if let Some(bout) = bout { " · " strong { (bout.days_from(today)) " days" } " to " (bout.name) }
            }
            @for restriction in gym.restrictions(&athlete.id, today) {
                p.barred { "✕ " (restriction.ground) ": "
                    (end_in_words(restriction.earliest_end, gym.clearance_needed(restriction)))
                    "."
                    @if let Some(instead) = &restriction.instead { " Instead: " (instead) "." }
                }
            }
            p { a href={ "/people/" (athlete.id) } { "Card and consent" } " · " a href={ "/athlete/" (athlete.id) "/mass" } { "Body mass" } " · " a href={ "/athlete/" (athlete.id) "/load" } { "Load" } " · " a href={ "/athlete/" (athlete.id) "/debrief" } { "Debrief" } }
            form.inline method="post" action={ "/athlete/" (athlete.id) "/mass" } data-send {
                label { "Body mass, kg"
                    input name="text" inputmode="decimal" autocomplete="off" required size="6"
                        placeholder=[gym.body_mass(&athlete.id).map(|(_, mass)| format!("{:.1}", mass.in_kilograms()))];
                }
                button { "Weigh in" }
                @if let Some((at, mass)) = gym.body_mass(&athlete.id) {
                    span.quiet { "last " (format!("{:.1}", mass.in_kilograms())) " kg, " (words::day(house.clock().date_of(at))) }
                }
            }
        }
    }
}
