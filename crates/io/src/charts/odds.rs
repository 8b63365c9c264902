//! A change with its odds as a picture: the scale above, the odds as one divided bar below.

use cornerwork_core::report::figure::{Odds, Share, span};

use super::Layout;
use super::parts::{
    EDGE, Flag, Flags, Ribbon, Stretch, heading, ruler_below, ruler_height, tick_count, upright,
};
use super::scale::{Ruler, Scale};
use super::sheet::{Anchor, Sheet, Stroke, Type};
use super::strip::{diamond, whisker};
use super::theme::{Theme, Tone};

pub(super) fn svg(odds: &Odds, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let inset = sheet.text() * 1.5;
    let (left, right) = (EDGE + inset, layout.width - EDGE - inset);
    let (change, trivial) = (&odds.change, odds.trivial);
    let values =
        [change.value, change.interval.low, change.interval.high, trivial.low, trivial.high];
    let ruler =
        Ruler::padded(span(values.into_iter().chain([0.0])), tick_count(&sheet, right - left));
    let x = Scale::new(ruler.domain, left, right);
    let ends = (EDGE, layout.width - EDGE);
    let flags = Flags::seated(&sheet, flag(odds, &x), ends.0, ends.1);
    let ribbon = Ribbon::seated(&sheet, too_small(odds, &x), ends.0, ends.1);

    let top = heading(&mut sheet, layout, &odds.title) + flags.height(&sheet);
    let ground = top + (sheet.text() * 2.6).round();
    if !trivial.low.is_nan() && !trivial.high.is_nan() {
        let band = upright(x.clamped(trivial.low), x.clamped(trivial.high), top, ground);
        sheet.rect(band, Tone::Doubt);
    }
    sheet.line((x.at(0.0), top), (x.at(0.0), ground), Stroke::hair(Tone::Other));
    flags.draw(&mut sheet, top, ground);
    sheet.line((left, ground), (right, ground), Stroke::hair(Tone::Ink));
    let middle = f64::midpoint(top, ground);
    if !change.interval.low.is_nan() && !change.interval.high.is_nan() {
        let ends = (x.clamped(change.interval.low), x.clamped(change.interval.high));
        whisker(&mut sheet, ends, middle, Tone::Ink);
    }
    if change.value.is_finite() {
        diamond(&mut sheet, (x.at(change.value), middle), Tone::Ink);
    }
    ruler_below(&mut sheet, &ruler, &x, ground, ends);
    let mut y = ground + ruler_height(&sheet);
    ribbon.draw(&mut sheet, y);
    y += ribbon.height(&sheet) + 4.0 + sheet.text();
    let axis = sheet.fitted(&odds.axis.label(), false, right - EDGE);
    sheet.write(&axis, (right, y), Anchor::End, Type::plain(Tone::Other));
    let bottom = draw_shares(&mut sheet, odds, (left, right), sheet_gap(y, layout));
    sheet.finish(&odds.title, &odds.description, bottom)
}

fn sheet_gap(y: f64, layout: &Layout) -> f64 {
    y + layout.text_px * 1.2
}

fn flag(odds: &Odds, x: &Scale) -> Vec<Flag> {
    let value = odds.change.value;
    let change = odds.axis.value(value);
    let sign = if value > 0.0 { "+" } else { "" };
    let flag = Flag {
        x: x.at(value),
        text: format!("{sign}{change} · {}", odds.word),
        set: Type::bold(Tone::Ink),
        pole: Stroke::of(Tone::Ink, 2.0),
    };
    if value.is_finite() { vec![flag] } else { Vec::new() }
}

fn too_small(odds: &Odds, x: &Scale) -> Vec<Stretch> {
    let trivial = odds.trivial;
    if trivial.low.is_nan() || trivial.high.is_nan() {
        return Vec::new();
    }
    vec![Stretch {
        from: x.clamped(trivial.low),
        to: x.clamped(trivial.high),
        text: "too small to matter".to_owned(),
        tone: Tone::Other,
    }]
}

/// One bar divided by the odds: hatched below, pale within, solid above; the names under it.
fn draw_shares(sheet: &mut Sheet, odds: &Odds, (left, right): (f64, f64), top: f64) -> f64 {
    let bottom = top + sheet.text();
    let hatched = sheet.hatching("below", Tone::Ink);
    let paints = [hatched, sheet.paint(Tone::Doubt), sheet.paint(Tone::Ink)];
    let chance = |share: &Share| {
        if share.probability.is_finite() { share.probability.max(0.0) } else { 0.0 }
    };
    let all: f64 = odds.shares().into_iter().map(chance).sum();
    let mut from = left;
    let mut stretches = Vec::new();
    for (share, paint) in odds.shares().into_iter().zip(&paints) {
        let to = from + if all > 0.0 { chance(share) / all * (right - left) } else { 0.0 };
        let edge = Some(Stroke::hair(Tone::Ink));
        sheet.rect_painted(upright(from, to, top, bottom), paint, edge, 0.0);
        let text = format!("{} {}", share.name, share.percent());
        stretches.push(Stretch { from, to, text, tone: Tone::Ink });
        from = to;
    }
    let names = Ribbon::seated(sheet, stretches, EDGE, right + left - EDGE).without_brackets();
    names.draw(sheet, bottom + 3.0);
    bottom + 3.0 + names.height(sheet) + 6.0
}
