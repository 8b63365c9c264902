//! Figures drawn: one figure model in, one picture out, for page, wall, sheet, file and terminal.
//!
//! A picture is laid out at the width it will have, with text of a fixed size, and is never
//! scaled. One grammar holds for all kinds: moments are named above the scale, stretches below
//! it, lines inside the plot. Labels keep apart; what finds no room stays in the table.

mod calendar;
mod decimate;
mod hill;
mod loaded_bar;
mod measure;
mod odds;
mod parts;
mod place;
mod plane;
mod scale;
mod sheet;
mod slope;
mod strip;
#[cfg(test)]
mod tests;
pub mod text;
mod theme;
mod trace;
mod turns;

pub use theme::{Palette, Theme};

use cornerwork_core::report::figure::Figure;

/// The room a picture has, in CSS pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Id of the picture, unique in its page: the ids inside begin with it.
    pub id: String,
    /// Width; narrower than 200 is taken as 200.
    pub width: f64,
    /// Height of the plot's own choosing when `None`; a strip and a bar always choose their own.
    pub height: Option<f64>,
    /// Size of the text.
    pub text_px: f64,
    /// Whether the title is written over the picture, for one that stands alone in a file.
    pub heading: bool,
}

impl Layout {
    /// A picture of this id and width among the text of a page.
    pub fn new(id: impl Into<String>, width: f64) -> Self {
        Self { id: id.into(), width: width.max(200.0), height: None, text_px: 13.0, heading: false }
    }
    /// The same with its title written over it.
    #[must_use]
    pub fn with_heading(self) -> Self {
        Self { heading: true, ..self }
    }
    /// The same with text of another size: larger for the wall.
    #[must_use]
    pub fn with_text(self, text_px: f64) -> Self {
        Self { text_px, ..self }
    }
    /// The same with a set height.
    #[must_use]
    pub fn with_height(self, height: f64) -> Self {
        Self { height: Some(height), ..self }
    }
}

/// The figure as one SVG element, complete with its title and its finding in words.
pub fn svg(figure: &Figure, layout: &Layout, theme: Theme) -> String {
    match figure {
        Figure::Hill(hill) => hill::svg(hill, layout, theme),
        Figure::Slope(slope) => slope::svg(slope, layout, theme),
        Figure::Strip(strip) => strip::svg(strip, layout, theme),
        Figure::Odds(odds) => odds::svg(odds, layout, theme),
        Figure::Trace(trace) => trace::svg(trace, layout, theme),
        Figure::LoadedBar(bar) => loaded_bar::svg(bar, layout, theme),
        Figure::Calendar(calendar) => calendar::svg(calendar, layout, theme),
        Figure::Turns(turns) => turns::svg(turns, layout, theme),
    }
}
