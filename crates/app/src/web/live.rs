//! One stream a page: whenever the gym's record changes, the page's region and, where it has one,
//! its entry form are rendered again, and each is sent if it differs. A page that reconnects is
//! sent both as they are now, so it can miss nothing that still matters. While nothing can be kept,
//! every page says so.

use super::{Site, footnote, page};
use crate::flow::doors::Who;
use axum::Extension;
use axum::extract::{Query, State};
use axum::response::sse::{Event, KeepAlive, Sse};
use cornerwork_core::session::ledger::Ledger;
use futures_util::stream::{self, Stream};
use maud::Markup;
use serde::Deserialize;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::watch;

/// What a page asks for.
#[derive(Deserialize)]
pub(super) struct Asked {
    /// Path of the page, with its query.
    page: String,
}

/// A comment this often tells a page that it is still connected.
const HEARTBEAT: Duration = Duration::from_secs(10);

/// The stream of a page.
pub(super) async fn stream(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    Query(asked): Query<Asked>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let changes = site.house.keeper.changes();
    let mut troubles = site.house.keeper.troubles();
    // A page that comes while nothing can be kept is told so first.
    troubles.mark_changed();
    let watcher =
        Watcher { site, who, path: asked.page, changes, troubles, entry: None, region: None };
    let heartbeat =
        KeepAlive::new().interval(HEARTBEAT).event(Event::default().event("beat").data(""));
    Sse::new(stream::unfold(watcher, Watcher::next)).keep_alive(heartbeat)
}

struct Watcher {
    site: Site,
    who: Who,
    path: String,
    changes: watch::Receiver<Arc<Ledger>>,
    troubles: watch::Receiver<Option<String>>,
    entry: Option<String>,
    region: Option<String>,
}

impl Watcher {
    async fn next(mut self) -> Option<(Result<Event, Infallible>, Self)> {
        loop {
            let version = self.changes.borrow_and_update().operations().len();
            let entry = page::entry(&self.site, &self.path).map(Markup::into_string);
            if let Some(event) = fresh("entry", version, entry, &mut self.entry) {
                return Some((Ok(event), self));
            }
            let region = page::region(&self.site, &self.who, &self.path).await?;
            let region = footnote::marked(&region).into_string();
            if let Some(event) = fresh("region", version, Some(region), &mut self.region) {
                return Some((Ok(event), self));
            }
            tokio::select! {
                changed = self.changes.changed() => changed.ok()?,
                changed = self.troubles.changed() => {
                    changed.ok()?;
                    let words = self.troubles.borrow_and_update().clone().unwrap_or_default();
                    return Some((Ok(Event::default().event("trouble").data(words)), self));
                }
                () = self.site.stopping.cancelled() => return None,
            }
        }
    }
}

/// The event that sends a part of a page, if it differs from what was sent before.
fn fresh(
    name: &str,
    version: usize,
    part: Option<String>,
    sent: &mut Option<String>,
) -> Option<Event> {
    if part.is_none() || part == *sent {
        return None;
    }
    let event = Event::default().event(name).id(version.to_string());
    let event = event.data(part.as_deref()?);
    *sent = part;
    Some(event)
}
