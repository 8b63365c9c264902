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
    if let Some((low, high)) = x.stretch(trivial) {
        sheet.rect(upright(low, high, top, ground), Tone::Doubt);
    }
    sheet.line((x.at(0.0), top), (x.at(0.0), ground), Stroke::hair(Tone::Other));
    flags.draw(&mut sheet, top, ground);
    sheet.line((left, ground), (right, ground), Stroke::hair(Tone::Ink));
    let middle = f64::midpoint(top, ground);
    if let Some(ends) = x.stretch(change.interval) {
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
    let text = "too small to matter".to_owned();
    Stretch::on(x, odds.trivial, text, Tone::Other).into_iter().collect()
}

/// One bar divided by the odds: hatched below, pale within, solid above. Under it, in the same
/// order and each with a sample of its paint, what the parts are.
fn draw_shares(sheet: &mut Sheet, odds: &Odds, (left, right): (f64, f64), top: f64) -> f64 {
    let bottom = top + sheet.text();
    let hatched = sheet.hatching("below", Tone::Ink);
    let paints = [hatched, sheet.paint(Tone::Doubt), sheet.paint(Tone::Ink)];
    let edge = Some(Stroke::hair(Tone::Ink));
    let all: f64 = odds.shares().into_iter().map(chance).sum();
    let mut from = left;
    let (mut x, mut y) = (left, bottom + sheet.row());
    for (share, paint) in odds.shares().into_iter().zip(&paints) {
        let to = from + if all > 0.0 { chance(share) / all * (right - left) } else { 0.0 };
        sheet.rect_painted(upright(from, to, top, bottom), paint, edge, 0.0);
        from = to;

        let sample = sheet.text() * 0.7;
        let text = format!("{} {}", share.name, share.percent());
        let text = sheet.fitted(&text, false, right - left - sample - 6.0);
        let width = sample + 6.0 + sheet.width_of(&text, false);
        if x > left && x + width > right {
            (x, y) = (left, y + sheet.row());
        }
        sheet.rect_painted(upright(x, x + sample, y - sample, y), paint, edge, 0.0);
        sheet.write(&text, (x + sample + 6.0, y), Anchor::Start, Type::plain(Tone::Ink));
        x += width + sheet.text() * 1.6;
    }
    y + 8.0
}

/// A chance that can be drawn.
const fn chance(share: &Share) -> f64 {
    if share.probability.is_finite() { share.probability.clamp(0.0, 1.0) } else { 0.0 }
}
