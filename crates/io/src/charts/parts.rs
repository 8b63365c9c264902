//! The parts all figures share: the heading, flags for moments, a ribbon for stretches, a ruler.

use cornerwork_core::estimate::Interval;

use super::Layout;
use super::place::{Hang, Rect, Seat, Wish, rows, seat};
use super::scale::{Ruler, Scale};
use super::sheet::{Anchor, Outline, Sheet, Stroke, Type};
use super::theme::Tone;

/// Room between the edge of the sheet and anything on it.
pub(super) const EDGE: f64 = 2.0;
const HEADING: f64 = 1.25;

/// Writes the title where the layout asks for it; the height it takes.
pub(super) fn heading(sheet: &mut Sheet, layout: &Layout, title: &str) -> f64 {
    if !layout.heading {
        return 0.0;
    }
    let size = layout.text_px * HEADING;
    let room = (layout.width - 2.0 * EDGE) / HEADING;
    let title = sheet.fitted(title, true, room);
    let set = Type { size: HEADING, ..Type::bold(Tone::Ink) };
    sheet.write(&title, (EDGE, size), Anchor::Start, set);
    (size * 1.9).round()
}

/// A moment with its name, flown from a pole above the scale.
#[derive(Clone, Debug)]
pub(super) struct Flag {
    pub(super) x: f64,
    pub(super) text: String,
    pub(super) set: Type,
    pub(super) pole: Stroke,
}

/// Flags with their seats, ready to be drawn.
pub(super) struct Flags {
    flags: Vec<(Flag, Option<Seat>)>,
    rows: usize,
}

/// Room between the lowest row of flags and the plot, whose top number stands half over its edge.
fn lift(sheet: &Sheet) -> f64 {
    sheet.text() * 0.5
}

impl Flags {
    /// Seats flags between two places.
    pub(super) fn seated(sheet: &Sheet, mut flags: Vec<Flag>, from: f64, to: f64) -> Self {
        // From the right, so that flags flying to the right stack without crossing poles.
        flags.sort_by(|one, other| other.x.total_cmp(&one.x));
        let flags: Vec<Flag> = flags
            .into_iter()
            .map(|flag| Flag { text: sheet.fitted(&flag.text, flag.set.bold, to - from), ..flag })
            .collect();
        let wishes: Vec<Wish> = flags
            .iter()
            .map(|flag| Wish {
                at: flag.x,
                width: sheet.width_of(&flag.text, flag.set.bold),
                hang: Hang::Beside,
            })
            .collect();
        let seats = seat(&wishes, from, to);
        Self { rows: rows(&seats), flags: flags.into_iter().zip(seats).collect() }
    }
    /// Height of the rows.
    pub(super) fn height(&self, sheet: &Sheet) -> f64 {
        self.rows as f64 * sheet.row() + if self.rows > 0 { lift(sheet) } else { 0.0 }
    }
    /// Draws names over `bottom` and poles from the names down to `foot`.
    pub(super) fn draw(&self, sheet: &mut Sheet, bottom: f64, foot: f64) {
        let (row, text, lift) = (sheet.row(), sheet.text(), lift(sheet));
        for (flag, seat) in &self.flags {
            let baseline = |seat: &Seat| bottom - lift - seat.row as f64 * row - text * 0.25;
            let top = match seat {
                Some(seat) if seat.is_beside() => baseline(seat) - text * 0.75,
                Some(seat) => baseline(seat) + text * 0.35,
                None => bottom,
            };
            sheet.line((flag.x, top), (flag.x, foot), flag.pole);
            if let Some(seat) = seat {
                let (x, anchor) = if seat.is_left() {
                    (seat.right, Anchor::End)
                } else if seat.is_beside() {
                    (seat.left, Anchor::Start)
                } else {
                    ((seat.left + seat.right) / 2.0, Anchor::Middle)
                };
                sheet.write(&flag.text, (x, baseline(seat)), anchor, flag.set);
            }
        }
    }
}

/// A stretch of the scale with its name.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) text: String,
    pub(super) tone: Tone,
}

impl Stretch {
    /// A stretch of a scale with its name; `None` when an end is not a number.
    pub(super) fn on(x: &Scale, over: Interval<f64>, text: String, tone: Tone) -> Option<Self> {
        let (from, to) = x.stretch(over)?;
        Some(Self { from, to, text, tone })
    }
}

/// Stretches as brackets with their names under them.
pub(super) struct Ribbon {
    stretches: Vec<(Stretch, usize, Option<Seat>)>,
    levels: usize,
    rows: usize,
}

/// Height of one level of brackets.
const LEVEL: f64 = 7.0;

impl Ribbon {
    /// Seats stretches between two places.
    pub(super) fn seated(sheet: &Sheet, mut stretches: Vec<Stretch>, from: f64, to: f64) -> Self {
        // The narrow first: a wide stretch finds room elsewhere along itself.
        stretches.sort_by(|one, other| (one.to - one.from).total_cmp(&(other.to - other.from)));
        let stretches: Vec<Stretch> = stretches
            .into_iter()
            .map(|stretch| Stretch {
                text: sheet.fitted(&stretch.text, false, to - from),
                ..stretch
            })
            .collect();
        let wishes: Vec<Wish> = stretches
            .iter()
            .map(|stretch| Wish {
                at: f64::midpoint(stretch.from, stretch.to),
                width: sheet.width_of(&stretch.text, stretch.tone == Tone::Accent),
                hang: Hang::Under(((stretch.to - stretch.from) / 2.0).max(0.0)),
            })
            .collect();
        let seats = seat(&wishes, from, to);
        let levels = levels(&stretches);
        Self {
            levels: levels.iter().max().map_or(0, |level| level + 1),
            rows: rows(&seats),
            stretches: stretches
                .into_iter()
                .zip(levels)
                .zip(seats)
                .map(|((stretch, level), seat)| (stretch, level, seat))
                .collect(),
        }
    }
    /// Height of brackets and names.
    pub(super) fn height(&self, sheet: &Sheet) -> f64 {
        self.levels as f64 * LEVEL + self.rows as f64 * sheet.row()
    }
    /// Draws brackets and names under `top`.
    pub(super) fn draw(&self, sheet: &mut Sheet, top: f64) {
        let names = (self.levels as f64).mul_add(LEVEL, top);
        let (row, text) = (sheet.row(), sheet.text());
        for (stretch, level, seat) in &self.stretches {
            let y = (*level as f64).mul_add(LEVEL, top) + 2.0;
            let (from, to) = (stretch.from + 0.75, (stretch.to - 0.75).max(stretch.from + 1.5));
            let bracket = [(from, y - 2.5), (from, y + 1.0), (to, y + 1.0), (to, y - 2.5)];
            sheet.path(&Outline::through(bracket), Stroke::of(stretch.tone, 1.5));
            let Some(seat) = seat else { continue };
            if seat.row > 0 {
                let foot = names + seat.row as f64 * row + 2.0;
                sheet.line((seat.at, y + 1.0), (seat.at, foot), Stroke::hair(Tone::Other));
            }
            let baseline = names + seat.row as f64 * row + text * 0.95;
            let x = f64::midpoint(seat.left, seat.right);
            // The accent asks for an act, so it speaks up.
            let set = Type { bold: stretch.tone == Tone::Accent, ..Type::plain(stretch.tone) };
            sheet.write(&stretch.text, (x, baseline), Anchor::Middle, set);
        }
    }
}

/// Brackets that overlap get levels of their own.
fn levels(stretches: &[Stretch]) -> Vec<usize> {
    let mut ends: Vec<Vec<(f64, f64)>> = Vec::new();
    stretches
        .iter()
        .map(|stretch| {
            let free = |taken: &Vec<(f64, f64)>| {
                taken.iter().all(|(from, to)| stretch.to <= from + 0.5 || to - 0.5 <= stretch.from)
            };
            let level = ends.iter().position(free).unwrap_or(ends.len());
            if level == ends.len() {
                ends.push(Vec::new());
            }
            ends[level].push((stretch.from, stretch.to));
            level
        })
        .collect()
}

/// How many ticks a width has room for, given what would be written.
pub(super) fn tick_count(sheet: &Sheet, width: f64) -> usize {
    ((width / (sheet.text() * 5.5)) as usize).clamp(2, 10)
}

/// Draws ticks and their numbers under a ground line; numbers that would touch are left out.
pub(super) fn ruler_below(
    sheet: &mut Sheet,
    ruler: &Ruler,
    scale: &Scale,
    y: f64,
    bounds: (f64, f64),
) {
    let mut free_from = bounds.0;
    for tick in &ruler.ticks {
        let x = scale.at(*tick);
        let label = ruler.label(*tick);
        let width = sheet.width_of(&label, false);
        let left = (x - width / 2.0).min(bounds.1 - width).max(bounds.0);
        sheet.line((x, y), (x, y + 4.0), Stroke::hair(Tone::Other));
        if left >= free_from {
            let baseline = y + 6.0 + sheet.text();
            let set = Type::plain(Tone::Other);
            sheet.write(&label, (left + width / 2.0, baseline), Anchor::Middle, set);
            free_from = left + width + 6.0;
        }
    }
}

/// Height of the numbers under a ground line.
pub(super) fn ruler_height(sheet: &Sheet) -> f64 {
    sheet.row() + 6.0
}

/// A rectangle between two places of a scale over a height.
pub(super) const fn upright(left: f64, right: f64, top: f64, bottom: f64) -> Rect {
    Rect { left, top, right, bottom }
}
