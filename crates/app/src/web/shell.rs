//! What every page shares: head, navigation, the region that is kept live, the place for messages.

use super::{assets, footnote};
use axum::response::Html;
use jiff::Timestamp;
use maud::{DOCTYPE, Markup, html};

/// Where a page is read from: at a desk on paper, or across a room on near-black.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Distance {
    /// Desk and phone: ink on paper.
    Desk,
    /// Floor: light on near-black.
    Floor,
    /// Television: light on near-black, nothing to press.
    Wall,
}

/// A page.
pub(super) struct Page<'a> {
    /// Title of the window.
    pub title: &'a str,
    /// Where it is read from.
    pub distance: Distance,
    /// Path under which the live region is asked for; `None` for a page that stands still.
    pub live: Option<&'a str>,
    /// What is kept live.
    pub region: Markup,
    /// What stands below it: the entry form, which is kept live on its own.
    pub rest: Markup,
    /// Whether to say that everything here is invented.
    pub invented: bool,
    /// The gym's time, for pages with clocks that count in the browser.
    pub now: Option<Timestamp>,
}

impl<'a> Page<'a> {
    /// A page at the desk that stands still, with nothing below its region and no clock. What is
    /// otherwise on a page is said where the page is made.
    pub(super) fn desk(title: &'a str, region: Markup, invented: bool) -> Self {
        Self {
            title,
            distance: Distance::Desk,
            live: None,
            region,
            rest: html! {},
            invented,
            now: None,
        }
    }

    /// The whole document.
    pub(super) fn html(&self) -> Html<String> {
        let class = match self.distance {
            Distance::Desk => "desk",
            Distance::Floor => "floor",
            Distance::Wall => "wall",
        };
        let markup = html! {
            (DOCTYPE)
            html lang="en" class=(class) data-now=[self.now.map(Timestamp::as_millisecond)] {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) " · Cornerwork" }
                    link rel="stylesheet" href=(assets::style());
                    link rel="icon" href="data:,";
                    script type="module" src=(assets::script()) {}
                }
                body {
                    @if self.distance != Distance::Wall { (navigation(self.invented)) }
                    main {
                        div #region data-live=[self.live] { (footnote::marked(&self.region)) }
                        div #entry { (self.rest) }
                    }
                    p #said .unseen aria-live="polite" {}
                    div #message role="status" hidden {}
                    @if self.live.is_some() {
                        p #trouble role="alert" hidden {}
                        p #stale hidden { "Not live: the gym's computer does not answer. What you enter is kept on this device and sent when it does." }
                    }
                }
            }
        };
        Html(markup.into_string())
    }
}

fn navigation(invented: bool) -> Markup {
    html! {
        nav {
            a href="/" { "Desk" }
            a href="/squad" { "Squad" }
            a href="/plan" { "Plan" }
            a href="/floor" { "Floor" }
            a href="/wall" { "Wall" }
            a href="/traces" { "Traces" }
            a href="/kit" { "Kit" }
            a href="/people" { "People" }
            a href="/join" { "Join" }
            @if invented { span.invented { "invented people and numbers" } }
        }
    }
}
