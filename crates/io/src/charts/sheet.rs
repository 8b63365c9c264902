//! The sheet a figure is drawn on: strokes, fills and texts as SVG, and nothing that is not finite.

use std::fmt::Write as _;

use super::Layout;
use super::measure;
use super::place::Rect;
use super::theme::{Theme, Tone};

/// A drawing under way.
pub(super) struct Sheet<'a> {
    layout: &'a Layout,
    theme: Theme,
    attributes: String,
    definitions: String,
    body: String,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    pub(super) tone: Tone,
    pub(super) width: f64,
    pub(super) dashes: &'static str,
}

impl Stroke {
    /// The thinnest line of a tone.
    pub(super) const fn hair(tone: Tone) -> Self {
        Self { tone, width: 1.0, dashes: "" }
    }
    /// A line of a tone and a width.
    pub(super) const fn of(tone: Tone, width: f64) -> Self {
        Self { tone, width, dashes: "" }
    }
    /// The same, dashed.
    pub(super) const fn dashed(self, dashes: &'static str) -> Self {
        Self { dashes, ..self }
    }
}

/// Which point of a text its place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text is set.
#[derive(Clone, Copy, Debug)]
pub(super) struct Type {
    pub(super) tone: Tone,
    pub(super) bold: bool,
    /// Edged with paper, where it stands among lines.
    pub(super) edged: bool,
    /// Size relative to the text size of the layout.
    pub(super) size: f64,
}

impl Type {
    /// Text of the usual size.
    pub(super) const fn plain(tone: Tone) -> Self {
        Self { tone, bold: false, edged: false, size: 1.0 }
    }
    /// The same, bold.
    pub(super) const fn bold(tone: Tone) -> Self {
        Self { bold: true, ..Self::plain(tone) }
    }
    /// The same, edged with paper.
    pub(super) const fn edged(self) -> Self {
        Self { edged: true, ..self }
    }
}

/// The outline of a path. A place that is not finite parts it.
#[derive(Default)]
pub(super) struct Outline {
    text: String,
    drawing: bool,
}

impl Outline {
    /// A line through places.
    pub(super) fn through(places: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut outline = Self::default();
        outline.run(places);
        outline
    }
    /// Adds another line through places, apart from what there is.
    pub(super) fn run(&mut self, places: impl IntoIterator<Item = (f64, f64)>) {
        self.drawing = false;
        for (x, y) in places {
            if x.is_finite() && y.is_finite() {
                let command = if self.drawing { 'L' } else { 'M' };
                let _ = write!(self.text, "{command}{} {}", number(x), number(y));
                self.drawing = true;
            } else {
                self.drawing = false;
            }
        }
    }
    /// Closes the line so far.
    pub(super) fn close(&mut self) {
        if self.drawing {
            self.text.push('Z');
            self.drawing = false;
        }
    }
}

/// A coordinate to a hundredth of a pixel.
pub(super) fn number(value: f64) -> String {
    let value = if value.is_finite() { value.clamp(-1e5, 1e5) } else { 0.0 };
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text made safe inside an element or an attribute.
fn escaped(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control() || *letter == '\n').fold(
        String::with_capacity(text.len()),
        |mut safe, letter| {
            match letter {
                '&' => safe.push_str("&amp;"),
                '<' => safe.push_str("&lt;"),
                '>' => safe.push_str("&gt;"),
                '"' => safe.push_str("&quot;"),
                _ => safe.push(letter),
            }
            safe
        },
    )
}

impl<'a> Sheet<'a> {
    pub(super) const fn new(layout: &'a Layout, theme: Theme) -> Self {
        Self {
            layout,
            theme,
            attributes: String::new(),
            definitions: String::new(),
            body: String::new(),
        }
    }

    /// Says a number of the picture to a page that puts something over it.
    pub(super) fn tell(&mut self, name: &str, value: f64) {
        self.attributes += &format!(r#" data-{name}="{value}""#);
    }

    /// Size of the usual text.
    pub(super) const fn text(&self) -> f64 {
        self.layout.text_px
    }
    /// How much larger than on a page everything is drawn.
    pub(super) fn scale(&self) -> f64 {
        (self.text() / 13.0).max(0.75)
    }
    /// Height of one line of text with its room.
    pub(super) fn row(&self) -> f64 {
        (self.text() * 1.45).round()
    }
    /// Width of a text of the usual size.
    pub(super) fn width_of(&self, text: &str, bold: bool) -> f64 {
        measure::width(text, self.text(), bold)
    }
    /// A text cut to fit a room.
    pub(super) fn fitted(&self, text: &str, bold: bool, room: f64) -> String {
        measure::fitted(text, self.text(), bold, room)
    }

    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), stroke: Stroke) {
        self.path(&Outline::through([from, to]), stroke);
    }

    pub(super) fn path(&mut self, outline: &Outline, stroke: Stroke) {
        let colour = self.theme.colour(stroke.tone);
        self.path_painted(outline, &colour, stroke);
    }

    /// A line painted with a gradient or pattern.
    pub(super) fn path_painted(&mut self, outline: &Outline, paint: &str, stroke: Stroke) {
        if outline.text.is_empty() {
            return;
        }
        let dashes = match stroke.dashes {
            "" => String::new(),
            dashes => format!(r#" stroke-dasharray="{dashes}""#),
        };
        let _ = write!(
            self.body,
            r#"<path d="{}" fill="none" stroke="{paint}" stroke-width="{}" stroke-linecap="round" stroke-linejoin="round"{dashes}/>"#,
            outline.text,
            number(stroke.width * self.scale()),
        );
    }

    pub(super) fn fill(&mut self, outline: &Outline, tone: Tone) {
        let paint = self.theme.colour(tone);
        self.fill_painted(outline, &paint);
    }

    /// An area painted with a gradient or pattern.
    pub(super) fn fill_painted(&mut self, outline: &Outline, paint: &str) {
        if !outline.text.is_empty() {
            let _ = write!(self.body, r#"<path d="{}" fill="{paint}"/>"#, outline.text);
        }
    }

    pub(super) fn rect(&mut self, rect: Rect, tone: Tone) {
        let paint = self.theme.colour(tone);
        self.rect_painted(rect, &paint, None, 0.0);
    }

    /// A rectangle with an outline and rounded corners.
    pub(super) fn rect_painted(
        &mut self,
        rect: Rect,
        paint: &str,
        stroke: Option<Stroke>,
        corner: f64,
    ) {
        let edge = stroke.map_or_else(String::new, |stroke| {
            format!(
                r#" stroke="{}" stroke-width="{}""#,
                self.theme.colour(stroke.tone),
                number(stroke.width * self.scale())
            )
        });
        let corner =
            if corner > 0.0 { format!(r#" rx="{}""#, number(corner)) } else { String::new() };
        let _ = write!(
            self.body,
            r#"<rect x="{}" y="{}" width="{}" height="{}" fill="{paint}"{edge}{corner}/>"#,
            number(rect.left),
            number(rect.top),
            number((rect.right - rect.left).max(0.0)),
            number((rect.bottom - rect.top).max(0.0)),
        );
    }

    /// A dot with an edge of another tone.
    pub(super) fn dot(&mut self, at: (f64, f64), radius: f64, fill: Tone, edge: Stroke) {
        if !(at.0.is_finite() && at.1.is_finite()) {
            return;
        }
        let _ = write!(
            self.body,
            r#"<circle cx="{}" cy="{}" r="{}" fill="{}" stroke="{}" stroke-width="{}"/>"#,
            number(at.0),
            number(at.1),
            number(radius * self.scale()),
            self.theme.colour(fill),
            self.theme.colour(edge.tone),
            number(edge.width * self.scale()),
        );
    }

    /// A cross: what was set aside.
    pub(super) fn cross(&mut self, at: (f64, f64), reach: f64, stroke: Stroke) {
        let (x, y) = at;
        let reach = reach * self.scale();
        let mut outline = Outline::through([(x - reach, y - reach), (x + reach, y + reach)]);
        outline.run([(x - reach, y + reach), (x + reach, y - reach)]);
        self.path(&outline, stroke);
    }

    /// A text with its baseline at a place.
    pub(super) fn write(&mut self, text: &str, at: (f64, f64), anchor: Anchor, set: Type) {
        if text.is_empty() || !(at.0.is_finite() && at.1.is_finite()) {
            return;
        }
        let mut style = match anchor {
            Anchor::Start => String::new(),
            Anchor::Middle => r#" text-anchor="middle""#.to_owned(),
            Anchor::End => r#" text-anchor="end""#.to_owned(),
        };
        if set.bold {
            style.push_str(r#" font-weight="700""#);
        }
        if set.edged {
            let paper = self.theme.colour(Tone::Paper);
            let _ = write!(
                style,
                r#" stroke="{paper}" stroke-width="3" stroke-linejoin="round" paint-order="stroke""#
            );
        }
        if set.size != 1.0 {
            let _ = write!(style, r#" font-size="{}""#, number(self.text() * set.size));
        }
        let _ = write!(
            self.body,
            r#"<text x="{}" y="{}" fill="{}"{style}>{}</text>"#,
            number(at.0),
            number(at.1),
            self.theme.colour(set.tone),
            escaped(text),
        );
    }

    /// A paint of one tone that is full between two places and fades outside them to both ends
    /// of a span.
    pub(super) fn fading(
        &mut self,
        name: &str,
        tone: Tone,
        span: (f64, f64),
        full: (f64, f64),
    ) -> String {
        const FAINT: &str = "0.35";
        let id = format!("{}-{name}", self.layout.id);
        let width = (span.1 - span.0).max(1.0);
        let share = |x: f64| number(((x - span.0) / width).clamp(0.0, 1.0));
        let colour = self.theme.colour(tone);
        let _ = write!(
            self.definitions,
            r#"<linearGradient id="{}" gradientUnits="userSpaceOnUse" x1="{}" y1="0" x2="{}" y2="0">"#,
            escaped(&id),
            number(span.0),
            number(span.1),
        );
        let stops = [("0", FAINT), (&share(full.0), "1"), (&share(full.1), "1"), ("1", FAINT)];
        for (offset, opacity) in stops {
            let _ = write!(
                self.definitions,
                r#"<stop offset="{offset}" stop-color="{colour}" stop-opacity="{opacity}"/>"#
            );
        }
        self.definitions.push_str("</linearGradient>");
        format!("url(#{})", escaped(&id))
    }

    /// A paint of slanted lines on paper.
    pub(super) fn hatching(&mut self, name: &str, tone: Tone) -> String {
        let id = escaped(&format!("{}-{name}", self.layout.id));
        let _ = write!(
            self.definitions,
            r#"<pattern id="{id}" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V5" stroke="{}" stroke-width="2.4"/></pattern>"#,
            self.theme.colour(tone),
        );
        format!("url(#{id})")
    }

    /// Everything drawn until the matching [`Sheet::unclip`] shows inside a rectangle only.
    pub(super) fn clip(&mut self, name: &str, rect: Rect) {
        let id = escaped(&format!("{}-{name}", self.layout.id));
        let _ = write!(
            self.definitions,
            r#"<clipPath id="{id}"><rect x="{}" y="{}" width="{}" height="{}"/></clipPath>"#,
            number(rect.left),
            number(rect.top),
            number((rect.right - rect.left).max(0.0)),
            number((rect.bottom - rect.top).max(0.0)),
        );
        let _ = write!(self.body, r#"<g clip-path="url(#{id})">"#);
    }
    pub(super) fn unclip(&mut self) {
        self.body.push_str("</g>");
    }

    /// The colour of a tone, where a paint is asked for.
    pub(super) fn paint(&self, tone: Tone) -> String {
        self.theme.colour(tone)
    }

    /// The whole as one SVG element that says in words what it shows.
    pub(super) fn finish(self, title: &str, description: &str, height: f64) -> String {
        let Layout { id, width, text_px, .. } = self.layout;
        let (id, width, height) = (escaped(id), number(*width), number(height));
        let background = if self.theme.is_opaque() {
            format!(
                r#"<rect width="{width}" height="{height}" fill="{}"/>"#,
                self.theme.colour(Tone::Paper)
            )
        } else {
            String::new()
        };
        let definitions = match self.definitions.as_str() {
            "" => String::new(),
            definitions => format!("<defs>{definitions}</defs>"),
        };
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{id}-title {id}-desc"{} width="{width}" height="{height}" viewBox="0 0 {width} {height}" font-family="{}" font-size="{}" font-variant="tabular-nums"><title id="{id}-title">{}</title><desc id="{id}-desc">{}</desc>{definitions}{background}{}</svg>"#,
            self.attributes,
            self.theme.font(),
            number(*text_px),
            escaped(title),
            escaped(description),
            self.body,
        )
    }
}
