//! The strip as a picture.

use cornerwork_core::report::figure::{Band, Now, Strip, span};

use super::Layout;
use super::parts::{
    EDGE, Flag, Flags, Ribbon, Stretch, heading, ruler_below, ruler_height, tick_count, upright,
};
use super::scale::{Ruler, Scale};
use super::sheet::{Anchor, Outline, Sheet, Stroke, Type};
use super::theme::{Theme, Tone};

pub(super) fn svg(strip: &Strip, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let inset = sheet.text() * 1.5;
    let (left, right) = (EDGE + inset, layout.width - EDGE - inset);
    let ruler = Ruler::padded(span(values(strip)), tick_count(&sheet, right - left));
    let x = Scale::new(ruler.domain, left, right);
    let ends = (EDGE, layout.width - EDGE);
    let flags = Flags::seated(&sheet, flags(strip, &x), ends.0, ends.1);
    let ribbon = Ribbon::seated(&sheet, stretches(strip, &x), ends.0, ends.1);

    let top = heading(&mut sheet, layout, &strip.title) + flags.height(&sheet);
    let ground = top + (sheet.text() * 2.6).round();
    for (from, to) in strip.bands.iter().filter_map(|band| x.stretch(band.over)) {
        sheet.rect(upright(from, to, top, ground), Tone::Doubt);
    }
    flags.draw(&mut sheet, top, ground);
    draw_earlier(&mut sheet, strip, &x, top, ground);
    sheet.line((left, ground), (right, ground), Stroke::hair(Tone::Ink));
    if let Some(now) = strip.now.as_ref().filter(|now| now.at.is_finite()) {
        draw_now(&mut sheet, now, &x, f64::midpoint(top, ground));
    }
    ruler_below(&mut sheet, &ruler, &x, ground, ends);
    let mut y = ground + ruler_height(&sheet);
    ribbon.draw(&mut sheet, y);
    y += ribbon.height(&sheet) + 4.0 + sheet.text();
    let axis = sheet.fitted(&strip.axis.label(), false, right - EDGE);
    sheet.write(&axis, (right, y), Anchor::End, Type::plain(Tone::Other));
    sheet.finish(&strip.title, &strip.description, y + 8.0)
}

fn values(strip: &Strip) -> impl Iterator<Item = f64> {
    let now = strip.now.iter().flat_map(|now| {
        let ends = now.interval.map(|interval| [interval.low, interval.high]);
        std::iter::once(now.at).chain(ends.into_iter().flatten())
    });
    now.chain(strip.marks.iter().map(|mark| mark.at))
        .chain(strip.bands.iter().flat_map(|band| [band.over.low, band.over.high]))
        .chain(strip.earlier.iter().copied())
}

const fn now_tone(now: &Now) -> Tone {
    if now.asks_for_act { Tone::Accent } else { Tone::Ink }
}

/// The value now with its word, and what it is held against.
fn flags(strip: &Strip, x: &Scale) -> Vec<Flag> {
    let now = strip.now.iter().filter(|now| now.at.is_finite()).map(|now| Flag {
        x: x.at(now.at),
        text: format!("{} · {}", strip.axis.value(now.at), now.word),
        set: Type::bold(now_tone(now)),
        pole: Stroke::of(now_tone(now), 2.0),
    });
    let marks = strip.marks.iter().filter(|mark| mark.at.is_finite()).map(|mark| Flag {
        x: x.at(mark.at),
        text: format!("{} {}", mark.name, strip.axis.number(mark.at)),
        set: Type::plain(Tone::Ink),
        pole: Stroke::hair(Tone::Ink).dashed("4 3"),
    });
    now.chain(marks).collect()
}

fn stretches(strip: &Strip, x: &Scale) -> Vec<Stretch> {
    let named = |band: &Band| Stretch::on(x, band.over, band.name.clone(), Tone::Other);
    strip.bands.iter().filter_map(named).collect()
}

fn draw_earlier(sheet: &mut Sheet, strip: &Strip, x: &Scale, top: f64, ground: f64) {
    let height = (ground - top) * 0.45;
    for value in strip.earlier.iter().filter(|value| value.is_finite()) {
        let x = x.at(*value);
        sheet.line((x, ground - height), (x, ground - 1.0), Stroke::of(Tone::Other, 1.75));
    }
}

/// A diamond on the scale, with its doubt as a bar with ends.
fn draw_now(sheet: &mut Sheet, now: &Now, x: &Scale, y: f64) {
    let tone = now_tone(now);
    if let Some(ends) = now.interval.and_then(|interval| x.stretch(interval)) {
        whisker(sheet, ends, y, tone);
    }
    diamond(sheet, (x.at(now.at), y), tone);
}

/// The bar of an interval, with ends.
pub(super) fn whisker(sheet: &mut Sheet, (low, high): (f64, f64), y: f64, tone: Tone) {
    let reach = sheet.text() / 3.0;
    let mut outline = Outline::through([(low, y), (high, y)]);
    for end in [low, high] {
        outline.run([(end, y - reach), (end, y + reach)]);
    }
    sheet.path(&outline, Stroke::of(tone, 1.75));
}

/// The mark of the value now.
pub(super) fn diamond(sheet: &mut Sheet, (x, y): (f64, f64), tone: Tone) {
    let reach = sheet.text() / 2.0;
    let mut outline =
        Outline::through([(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)]);
    outline.close();
    sheet.fill(&outline, tone);
    sheet.path(&outline, Stroke::hair(Tone::Paper));
}
