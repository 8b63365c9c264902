//! The calendar as a picture: one row for the phases, one for each thing marked on days.

use cornerwork_core::camp::phase::days_between;
use cornerwork_core::estimate::Interval;
use cornerwork_core::report::figure::{Calendar, CampLayout, NamedDays};
use cornerwork_core::words;
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};

use super::Layout;
use super::parts::{EDGE, Flag, Flags, heading, upright};
use super::scale::Scale;
use super::sheet::{Anchor, Sheet, Stroke, Type};
use super::strip::diamond;
use super::theme::{Theme, Tone};

/// Fewer letters of a name than this, the ellipsis among them, are not worth showing.
const LEAST_LETTERS: usize = 3;

pub(super) fn svg(calendar: &Calendar, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let left = EDGE + names_width(&sheet, calendar, layout.width);
    let right = layout.width - EDGE - 1.0;
    let days = f64::from(days_between(calendar.from, calendar.to) + 1).max(1.0);
    let x =
        Days { scale: Scale::new(Interval::between(0.0, days), left, right), from: calendar.from };

    let flags = Flags::seated(&sheet, flags(calendar, &x), left, right);
    let top = heading(&mut sheet, layout, &calendar.title) + flags.height(&sheet) + 4.0;
    let rows: usize = calendar.layouts.iter().map(rows_of).sum();
    let gaps = calendar.layouts.len().saturating_sub(1);
    let foot = top + (rows + gaps) as f64 * row_height(&sheet);
    week_lines(&mut sheet, calendar, &x, top, foot);
    let mut y = top;
    for one in &calendar.layouts {
        y = draw_layout(&mut sheet, one, &x, y) + row_height(&sheet);
    }
    flags.draw(&mut sheet, top - 4.0, foot);
    week_names(&mut sheet, calendar, &x, foot, right);
    let height = foot + sheet.row() + 8.0;
    sheet.finish(&calendar.title, &calendar.description, height)
}

/// Where days stand: a day is a stretch of the scale, not a point.
struct Days {
    scale: Scale,
    from: Date,
}

impl Days {
    fn start(&self, date: Date) -> f64 {
        self.scale.clamped(f64::from(days_between(self.from, date)))
    }
    fn end(&self, date: Date) -> f64 {
        self.scale.clamped(f64::from(days_between(self.from, date) + 1))
    }
    fn shows(&self, date: Date) -> bool {
        let day = f64::from(days_between(self.from, date));
        self.scale.domain.low <= day && day < self.scale.domain.high
    }
    fn middle(&self, date: Date) -> f64 {
        f64::midpoint(self.start(date), self.end(date))
    }
}

/// Row of its name where it has one, row of phases, row of each mark.
fn rows_of(layout: &CampLayout) -> usize {
    usize::from(!layout.name.is_empty()) + 1 + layout.rows.len()
}

fn row_height(sheet: &Sheet) -> f64 {
    (sheet.text() * 1.75).round()
}

fn names_width(sheet: &Sheet, calendar: &Calendar, width: f64) -> f64 {
    let names = calendar.layouts.iter().flat_map(|one| one.rows.iter().map(|row| &row.name));
    let widest = names.map(|name| sheet.width_of(name, false)).fold(0.0, f64::max);
    (widest + sheet.text()).min(width / 3.0)
}

/// Bouts fly over the plot, today beside them.
fn flags(calendar: &Calendar, x: &Days) -> Vec<Flag> {
    let within = |date: Date| calendar.from <= date && date <= calendar.to;
    let today = calendar.today.filter(|today| within(*today)).map(|today| Flag {
        x: x.middle(today),
        text: "today".to_owned(),
        set: Type::bold(Tone::Ink),
        pole: Stroke::of(Tone::Ink, 1.25).dashed("4 3"),
    });
    let last = calendar.layouts.last();
    let bouts = last.into_iter().flat_map(|one| &one.bouts).filter(|bout| within(bout.from));
    let first_bout = bouts.take(1).map(|bout| Flag {
        x: x.middle(bout.from),
        text: bout.name.clone(),
        set: Type::bold(Tone::Ink),
        pole: Stroke::hair(Tone::Ink),
    });
    today.into_iter().chain(first_bout).collect()
}

fn draw_layout(sheet: &mut Sheet, layout: &CampLayout, x: &Days, top: f64) -> f64 {
    let (row, text) = (row_height(sheet), sheet.text());
    let mut y = top;
    if !layout.name.is_empty() {
        let name = sheet.fitted(&layout.name, true, x.scale.at(x.scale.domain.high) - EDGE);
        sheet.write(&name, (EDGE, y + text * 1.2), Anchor::Start, Type::bold(Tone::Ink));
        y += row;
    }
    let mut free_from = EDGE;
    for (place, phase) in layout.phases.iter().enumerate() {
        // Two tones by turns keep neighbours apart; the name says which is which.
        let tone = if place % 2 == 0 { Tone::Doubt } else { Tone::Shade };
        free_from = draw_phase(sheet, phase, x, (y, y + row), (tone, free_from));
    }
    for bout in &layout.bouts {
        let rect = upright(x.start(bout.from), x.end(bout.to), y, y + row);
        sheet.rect(rect, Tone::Ink);
    }
    y += row;
    for marked in &layout.rows {
        let name = sheet.fitted(&marked.name, false, x.start(x.from) - EDGE - text * 0.5);
        sheet.write(&name, (EDGE, y + text * 1.2), Anchor::Start, Type::plain(Tone::Other));
        for day in marked.days.iter().filter(|day| x.shows(**day)) {
            diamond(sheet, (x.middle(*day), y + row / 2.0), Tone::Ink);
        }
        y += row;
    }
    y
}

/// Draws a phase and its name where that finds room right of `free_from`; where the next may.
fn draw_phase(
    sheet: &mut Sheet,
    phase: &NamedDays,
    x: &Days,
    (top, bottom): (f64, f64),
    (tone, free_from): (Tone, f64),
) -> f64 {
    let (from, to) = (x.start(phase.from), x.end(phase.to));
    let paint = sheet.paint(tone);
    let edge = Some(Stroke::hair(Tone::Other));
    sheet.rect_painted(upright(from, to, top + 1.0, bottom - 1.0), &paint, edge, 2.0);
    let room = to - from.max(free_from) - 6.0;
    let name = sheet.fitted(&phase.name, false, room);
    // A letter and an ellipsis say nothing.
    if name != phase.name && name.chars().count() < LEAST_LETTERS {
        return free_from;
    }
    let baseline = f64::midpoint(top, bottom) + sheet.text() * 0.36;
    let at = (f64::midpoint(from.max(free_from), to), baseline);
    sheet.write(&name, at, Anchor::Middle, Type::plain(Tone::Ink));
    // A phase of few days inside one before it frees nothing that one wrote over.
    free_from.max(to)
}

fn mondays(calendar: &Calendar) -> impl Iterator<Item = Date> {
    let wait = i32::from(Weekday::Monday.since(calendar.from.weekday()));
    let first = calendar.from.saturating_add(wait.days());
    let to = calendar.to;
    (0..)
        .map(move |week: i32| first.saturating_add((7 * week).days()))
        .take_while(move |day| *day <= to)
}

fn week_lines(sheet: &mut Sheet, calendar: &Calendar, x: &Days, top: f64, foot: f64) {
    for monday in mondays(calendar) {
        let at = x.start(monday);
        sheet.line((at, top), (at, foot + 4.0), Stroke::hair(Tone::Hairline));
    }
}

/// The date of each Monday there is room for.
fn week_names(sheet: &mut Sheet, calendar: &Calendar, x: &Days, foot: f64, right: f64) {
    let mut free_from = EDGE;
    for monday in mondays(calendar) {
        let label = words::short_day(monday);
        let width = sheet.width_of(&label, false);
        let left = x.start(monday).min(right - width);
        if left >= free_from {
            let at = (left, foot + 6.0 + sheet.text());
            sheet.write(&label, at, Anchor::Start, Type::plain(Tone::Other));
            free_from = left + width + sheet.text() * 0.7;
        }
    }
}
