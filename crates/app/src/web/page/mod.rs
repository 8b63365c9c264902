//! One file a page. A page is a region that is rendered from the gym's state, alone or inside the
//! whole document, and what stands still around it.

pub(super) mod athlete;
mod athlete_form;
pub(super) mod body_mass;
pub(super) mod close;
mod consent;
mod contests;
pub(super) mod debrief;
pub(super) mod desk;
mod doubts;
pub(super) mod exercises;
mod film;
pub(super) mod floor;
pub(super) mod join;
mod journeys;
pub(super) mod kit;
pub(super) mod load;
pub(super) mod paper;
mod parts;
pub(super) mod people;
pub(super) mod person;
pub(super) mod plan;
mod plate_series;
pub(super) mod rep;
pub(super) mod role;
pub(super) mod rotation;
pub(super) mod session;
pub(super) mod sessions;
pub(super) mod squad;
pub(super) mod station_entry;
mod station_first;
mod stop;
pub(super) mod trace;
mod trace_mend;
mod trace_numbers;
mod trace_over;
pub(super) mod traces;
pub(super) mod typing;
pub(super) mod wall;

use super::Site;
use crate::flow::doors::Who;
use cornerwork_core::session::program::SessionId;
use maud::Markup;

/// The entry form of the page at a path, which follows the record beside its region; `None` where
/// there is none.
pub(super) fn entry(site: &Site, path: &str) -> Option<Markup> {
    let station = path.strip_prefix("/floor/")?;
    station_entry::form(site, station.parse().ok()?)
}

/// The region of the page at a path, for its live stream; `None` where there is none.
pub(super) async fn region(site: &Site, who: &Who, path: &str) -> Option<Markup> {
    let (path, query) = path.split_once('?').unwrap_or((path, ""));
    let steps: Vec<&str> = path.trim_matches('/').split('/').collect();
    match steps.as_slice() {
        [""] => Some(desk::region(site)),
        ["floor"] => Some(floor::all_region(site)),
        ["floor", station] => floor::region(site, station.parse().ok()?),
        ["kit"] => Some(kit::region(site)),
        ["plan"] => Some(plan::all_region(site)),
        ["plan", id] => plan::region(site, id),
        ["sessions"] => Some(sessions::region(site)),
        ["session", id] => session::region(site, id),
        ["session", id, "rotation"] => rotation::region(site, id),
        ["squad"] => Some(squad::region(site, squad::order(query))),
        ["close"] => {
            let session = query.strip_prefix("session=").and_then(SessionId::new);
            Some(close::region(site, session.as_ref()))
        }
        ["people"] => Some(people::region(site, who)),
        ["people", code] => person::region(site, code, who),
        ["athlete", code, "mass"] => body_mass::region(site, code),
        ["athlete", code, "load"] => load::region(site, code),
        ["wall"] => Some(wall::region(site)),
        ["athlete", code] => athlete::region(site, code, athlete::View::from_query(query)).await,
        _ => None,
    }
}
