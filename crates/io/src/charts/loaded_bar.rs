//! The loaded bar as a picture: what to hang, from the collar outwards, and what it weighs.

use cornerwork_core::kit::{BarKind, Plate, Sides};
use cornerwork_core::report::figure::LoadedBar;

use super::Layout;
use super::measure;
use super::parts::{EDGE, heading, upright};
use super::sheet::{Anchor, Outline, Sheet, Stroke, Type};
use super::theme::{Theme, Tone};

/// Size of the total relative to the text.
const TOTAL: f64 = 1.9;
/// Half the bar between its collars, at least.
const SHAFT: f64 = 62.0;
/// The bare end of a sleeve.
const STUB: f64 = 16.0;
/// Paper between two plates.
const GAP: f64 = 2.0;

pub(super) fn svg(bar: &LoadedBar, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let top = heading(&mut sheet, layout, &bar.title);
    let tallest = (layout.width * 0.24).clamp(84.0, 150.0);
    let axis = top + tallest / 2.0 + 2.0;
    let mut widths = thicknesses(&sheet, &bar.plates);
    let half = SHAFT + stack_width(&widths) + STUB;
    let both = bar.sides() == Sides::Two && 2.0 * half <= layout.width - 2.0 * EDGE;
    if !both {
        squeeze(&mut widths, layout.width - 2.0 * EDGE - 2.0 * SHAFT - STUB);
    }
    let drawing = Drawing { bar, widths, tallest, axis, room: layout.width - 2.0 * EDGE };
    let caption = top + tallest + sheet.text() * (TOTAL + 0.6);
    if both {
        let middle = layout.width / 2.0;
        drawing.shaft(&mut sheet, middle - SHAFT, middle + SHAFT);
        drawing.sleeve(&mut sheet, middle + SHAFT, 1.0);
        drawing.sleeve(&mut sheet, middle - SHAFT, -1.0);
        drawing.caption(&mut sheet, (middle, caption), Anchor::Middle);
    } else {
        let collar = EDGE + 2.0 * SHAFT;
        drawing.shaft(&mut sheet, EDGE, collar);
        drawing.sleeve(&mut sheet, collar, 1.0);
        drawing.caption(&mut sheet, (EDGE, caption), Anchor::Start);
    }
    let bottom = caption + sheet.row() + 8.0;
    sheet.finish(&bar.title, &bar.description, bottom)
}

/// Wide enough for the longest text on any plate, and heavier is thicker.
fn thicknesses(sheet: &Sheet, plates: &[Plate]) -> Vec<f64> {
    let text = plates.iter().map(|plate| sheet.width_of(plate.label(), true)).fold(0.0, f64::max);
    let thicker = |plate: &Plate| plate.mass().in_kilograms().clamp(0.0, 25.0) * 0.4;
    plates.iter().map(|plate| text + 6.0 + thicker(plate)).collect()
}

fn stack_width(widths: &[f64]) -> f64 {
    widths.iter().map(|width| width + GAP).sum()
}

/// Thinner plates where a sleeve is fuller than the sheet is wide.
fn squeeze(widths: &mut [f64], room: f64) {
    let share = room / stack_width(widths).max(1.0);
    if share < 1.0 {
        widths.iter_mut().for_each(|width| *width *= share);
    }
}

struct Drawing<'a> {
    bar: &'a LoadedBar,
    widths: Vec<f64>,
    tallest: f64,
    axis: f64,
    room: f64,
}

impl Drawing<'_> {
    /// The bar between its collars, or from the edge of the sheet to the one collar shown.
    fn shaft(&self, sheet: &mut Sheet, from: f64, to: f64) {
        let y = self.axis;
        let steel = Stroke::of(Tone::Other, 4.0);
        match self.bar.bar {
            BarKind::Straight => sheet.line((from, y), (to, y), steel),
            BarKind::Hex => {
                // Seen from above: the frame one stands in, and its two handles.
                let (reach, slant) = (self.tallest * 0.42, (to - from) * 0.2);
                let mut frame = Outline::through([
                    (from, y),
                    (from + slant, y - reach),
                    (to - slant, y - reach),
                    (to, y),
                    (to - slant, y + reach),
                    (from + slant, y + reach),
                ]);
                frame.close();
                sheet.path(&frame, steel);
            }
            BarKind::Landmine => {
                sheet.line((from + 10.0, y), (to, y), steel);
                sheet.dot((from + 10.0, y), 6.0, Tone::Paper, Stroke::of(Tone::Other, 3.0));
                let foot = [(from, y + 16.0), (from + 20.0, y + 16.0)];
                sheet.line((from + 10.0, y + 7.0), (from + 10.0, y + 16.0), steel);
                sheet.path(&Outline::through(foot), steel);
            }
        }
    }

    /// Collar, plates and bare end, outwards in the direction given.
    fn sleeve(&self, sheet: &mut Sheet, collar: f64, outwards: f64) {
        let end = outwards.mul_add(stack_width(&self.widths) + STUB, collar);
        let y = self.axis;
        sheet.line((collar, y), (end, y), Stroke::of(Tone::Other, 8.0));
        sheet.line((collar, y - 9.0), (collar, y + 9.0), Stroke::of(Tone::Other, 5.0));
        let mut at = collar + outwards * 4.0;
        for (plate, width) in self.bar.plates.iter().zip(&self.widths) {
            self.plate(sheet, plate, at, outwards.mul_add(*width, at));
            at += outwards * (width + GAP);
        }
    }

    fn plate(&self, sheet: &mut Sheet, plate: &Plate, one: f64, other: f64) {
        let (left, right) = (one.min(other), one.max(other));
        let half = self.tallest / 2.0 * height_share(plate);
        let rect = upright(left, right, self.axis - half, self.axis + half);
        let ink = sheet.paint(Tone::Ink);
        sheet.rect_painted(rect, &ink, Some(Stroke::hair(Tone::Paper)), 3.0);
        if measure::width(plate.label(), sheet.text(), true) <= right - left - 2.0 {
            let at = (f64::midpoint(left, right), sheet.text().mul_add(0.36, self.axis));
            sheet.write(plate.label(), at, Anchor::Middle, Type::bold(Tone::Paper));
        }
    }

    fn caption(&self, sheet: &mut Sheet, at: (f64, f64), anchor: Anchor) {
        let kilograms =
            |mass: cornerwork_core::units::Mass| self.bar.axis().value(mass.in_kilograms());
        let total = Type { size: TOTAL, ..Type::bold(Tone::Ink) };
        sheet.write(&kilograms(self.bar.total()), at, anchor, total);
        let labels: Vec<&str> = self.bar.plates.iter().map(Plate::label).collect();
        let plates = match (labels.is_empty(), self.bar.sides()) {
            (true, _) => "no plates".to_owned(),
            (false, Sides::Two) => format!("{} a side", labels.join(" + ")),
            (false, Sides::One) => format!("{} on the end", labels.join(" + ")),
        };
        let text = format!("bar {} · {plates}", kilograms(self.bar.bar_mass));
        let under = (at.0, at.1 + sheet.row());
        let text = sheet.fitted(&text, false, self.room);
        sheet.write(&text, under, anchor, Type::plain(Tone::Other));
    }
}

/// How tall a plate is drawn: heavier is taller, up to 25 kg, and the smallest can still be read.
fn height_share(plate: &Plate) -> f64 {
    0.66f64.mul_add((plate.mass().in_kilograms() / 25.0).clamp(0.0, 1.0).sqrt(), 0.34)
}
