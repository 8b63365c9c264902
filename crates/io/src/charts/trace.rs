//! The trace as a picture: panels over one time, moments above, phases below.

use cornerwork_core::report::figure::{Event, Phase, Signal, Trace, span};

use super::Layout;
use super::decimate::decimate;
use super::parts::{
    EDGE, Flag, Flags, Ribbon, Stretch, heading, ruler_below, ruler_height, tick_count, upright,
};
use super::place::{Rect, Spots};
use super::scale::{Ruler, Scale};
use super::sheet::{Anchor, Outline, Sheet, Stroke, Type};
use super::theme::{Theme, Tone};

pub(super) fn svg(trace: &Trace, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let height = panel_height(trace, layout);
    let rulers: Vec<Ruler> = trace
        .signals
        .iter()
        .map(|signal| {
            let shown = signal.axis.widened(span(values(signal)));
            Ruler::padded(shown, ((height / 46.0) as usize).clamp(3, 6))
        })
        .collect();
    let numbers = rulers.iter().flat_map(|ruler| {
        ruler
            .ticks
            .iter()
            .map(|tick| sheet.width_of(&ruler.label(*tick), false))
            .collect::<Vec<_>>()
    });
    let left = numbers.fold(0.0, f64::max) + EDGE + 10.0;
    let right = layout.width - EDGE - sheet.text();
    let over = trace.duration();
    let time = Ruler::over(over, tick_count(&sheet, right - left));
    let time = match over {
        Some(over) => time.trimmed(over),
        None => time,
    };
    let time = time.dated(&trace.time);
    let x = Scale::new(time.domain, left, right);
    let ends = (EDGE, layout.width - EDGE);
    let flags = Flags::seated(&sheet, events(trace, &x), ends.0, ends.1);
    let ribbon = Ribbon::seated(&sheet, phases(trace, &x), ends.0, ends.1);

    let title = heading(&mut sheet, layout, &trace.title);
    let first = title + flags.height(&sheet);
    let title_row = sheet.row() + 8.0;
    let panel = title_row + height + PANEL_GAP;
    let ground = first + (trace.signals.len() as f64 * panel - PANEL_GAP).max(0.0);
    shade_phases(&mut sheet, trace, &x, first, ground);
    flags.draw(&mut sheet, first, ground);
    for (index, (signal, ruler)) in trace.signals.iter().zip(rulers).enumerate() {
        let top = (index as f64).mul_add(panel, first);
        let area = Rect { left, right, top: top + title_row, bottom: top + title_row + height };
        draw_signal(&mut sheet, signal, &x, &ruler, area, trace, index);
    }
    sheet.line((left, ground), (right, ground), Stroke::hair(Tone::Ink));
    // Where time runs, in the picture's own units, and the panels stand: an event is moved there.
    for (name, value) in [
        ("left", left),
        ("right", right),
        ("top", first),
        ("bottom", ground),
        ("from", time.domain.low),
        ("to", time.domain.high),
    ] {
        sheet.tell(name, value);
    }
    ruler_below(&mut sheet, &time, &x, ground, ends);
    let mut y = ground + ruler_height(&sheet);
    ribbon.draw(&mut sheet, y);
    y += ribbon.height(&sheet) + 4.0 + sheet.text();
    let axis = sheet.fitted(&trace.time.label(), false, right - EDGE);
    sheet.write(&axis, (right, y), Anchor::End, Type::plain(Tone::Other));
    sheet.finish(&trace.title, &trace.description, y + 8.0)
}

const PANEL_GAP: f64 = 10.0;

fn panel_height(trace: &Trace, layout: &Layout) -> f64 {
    let panels = trace.signals.len().max(1) as f64;
    match layout.height {
        Some(height) => ((height - 120.0) / panels - layout.text_px * 2.0).max(60.0),
        None if panels > 1.0 => (layout.width * 0.22).clamp(90.0, 180.0),
        None => (layout.width * 0.4).clamp(170.0, 320.0),
    }
}

fn values(signal: &Signal) -> impl Iterator<Item = f64> {
    let lines = signal.lines.iter().flat_map(|line| line.values.iter().copied());
    let mean = signal.mean.iter().flat_map(|point| {
        let ends = point.interval.map(|interval| [interval.low, interval.high]);
        std::iter::once(point.up).chain(ends.into_iter().flatten())
    });
    lines.chain(mean).chain(signal.levels.iter().map(|level| level.at))
}

fn events(trace: &Trace, x: &Scale) -> Vec<Flag> {
    let flag = |event: &Event| Flag {
        x: x.clamped(event.at),
        text: event.name.clone(),
        set: Type::plain(Tone::Ink),
        pole: Stroke::hair(Tone::Ink),
    };
    trace.events.iter().filter(|event| event.at.is_finite()).map(flag).collect()
}

fn phases(trace: &Trace, x: &Scale) -> Vec<Stretch> {
    let named = |phase: &Phase| Stretch::on(x, phase.over, phase.name.clone(), Tone::Ink);
    trace.phases.iter().filter_map(named).collect()
}

/// Every second phase is shaded, so that neighbours part without a line.
fn shade_phases(sheet: &mut Sheet, trace: &Trace, x: &Scale, top: f64, ground: f64) {
    let shaded = trace.phases.iter().step_by(2);
    for (from, to) in shaded.filter_map(|phase| x.stretch(phase.over)) {
        sheet.rect(upright(from, to, top, ground), Tone::Shade);
    }
}

fn draw_signal(
    sheet: &mut Sheet,
    signal: &Signal,
    x: &Scale,
    ruler: &Ruler,
    area: Rect,
    trace: &Trace,
    index: usize,
) {
    let y = Scale::new(ruler.domain, area.bottom, area.top);
    let title = sheet.fitted(&signal.axis.label(), false, area.right - EDGE);
    let baseline = area.top - sheet.row() - 8.0 + sheet.text();
    for tick in &ruler.ticks {
        let at = y.at(*tick);
        let label = ruler.label(*tick);
        let text = (area.left - 8.0, sheet.text().mul_add(0.35, at));
        sheet.write(&label, text, Anchor::End, Type::plain(Tone::Other));
        sheet.line((area.left, at), (area.right, at), Stroke::hair(Tone::Hairline));
    }
    sheet.write(&title, (EDGE, baseline), Anchor::Start, Type::plain(Tone::Other));
    sheet.clip(&format!("panel-{index}"), area);
    draw_mean(sheet, signal, x, &y);
    for level in signal.levels.iter().filter(|level| level.at.is_finite()) {
        let at = y.at(level.at);
        sheet.line((area.left, at), (area.right, at), Stroke::hair(Tone::Other).dashed("6 4"));
    }
    let mut spots = Spots::inside(area);
    for event in &trace.events {
        let x = x.clamped(event.at);
        spots.take_line([(x, area.top), (x, area.bottom)].into_iter());
    }
    let per_pixel = (x.domain.high - x.domain.low) / (area.right - area.left).max(1.0);
    spots.take_line(signal.mean.iter().map(|point| (x.at(point.across), y.at(point.up))));
    let mut ends = Vec::new();
    for (order, line) in signal.lines.iter().enumerate().rev() {
        let set = signal.lines[..order].iter().filter(|line| !line.faint).count();
        let runs = decimate(line.samples(), x.domain.low, per_pixel);
        let mut outline = Outline::default();
        for run in &runs {
            let places = || run.iter().map(|(time, value)| (x.at(*time), y.at(*value)));
            // A lone sample is a line without length: its round cap shows as a dot.
            outline.run(places().chain(places().next_back()));
            spots.take_line(places());
        }
        sheet.path(&outline, if line.faint { FAINT } else { line_stroke(set) });
        let highest = runs.iter().flatten().max_by(|one, other| one.1.total_cmp(&other.1)).copied();
        let named = highest.filter(|_| !line.faint);
        ends.extend(named.map(|(time, value)| (line.name.as_str(), set, x.at(time), y.at(value))));
    }
    sheet.unclip();
    for level in signal.levels.iter().filter(|level| level.at.is_finite()) {
        let at = y.at(level.at);
        spots.take_line([(area.left, at), (area.right, at)].into_iter());
        let name = format!("{} {}", level.name, signal.axis.value(level.at));
        let wished = area.right - sheet.width_of(&name, false);
        note(sheet, &mut spots, &name, (wished, at - sheet.text() * 1.5), Tone::Other);
    }
    for (name, order, x, y) in ends {
        let tone = if order == 0 { Tone::Ink } else { Tone::Other };
        note(sheet, &mut spots, name, (x + 8.0, y - 2.0), tone);
    }
    if let Some(point) = signal.mean.get(signal.mean.len() * 3 / 4) {
        let near = (x.at(point.across), y.at(point.up) - sheet.text() * 2.0);
        note(sheet, &mut spots, &signal.mean_name, near, Tone::Other);
    }
}

/// One of many: none of them is followed by eye.
const FAINT: Stroke = Stroke::of(Tone::Other, 0.75);

/// The athlete's line is solid ink, the others are grey and dashed, each in its own way.
const fn line_stroke(order: usize) -> Stroke {
    match order {
        0 => Stroke::of(Tone::Ink, 1.75),
        1 => Stroke::of(Tone::Other, 1.5).dashed("6 4"),
        _ => Stroke::of(Tone::Other, 1.5).dashed("1 4"),
    }
}

fn draw_mean(sheet: &mut Sheet, signal: &Signal, x: &Scale, y: &Scale) {
    let known = signal.mean.iter().filter_map(|point| Some((x.at(point.across), point.interval?)));
    let known: Vec<_> = known
        .filter(|(_, interval)| interval.low.is_finite() && interval.high.is_finite())
        .collect();
    let high = known.iter().map(|(x, interval)| (*x, y.at(interval.high)));
    let low = known.iter().rev().map(|(x, interval)| (*x, y.at(interval.low)));
    let mut band = Outline::through(high.chain(low));
    band.close();
    sheet.fill(&band, Tone::Doubt);
    let mean = signal.mean.iter().map(|point| (x.at(point.across), y.at(point.up)));
    sheet.path(&Outline::through(mean), Stroke::of(Tone::Other, 1.25));
}

/// A note at the free spot nearest a wished one, if there is any.
fn note(sheet: &mut Sheet, spots: &mut Spots, text: &str, near: (f64, f64), tone: Tone) {
    if text.is_empty() {
        return;
    }
    let (width, height) = (sheet.width_of(text, false), sheet.text() * 1.2);
    if let Some(spot) = spots.find(near.0, near.1, width, height) {
        let at = (spot.left, sheet.text().mul_add(0.9, spot.top));
        sheet.write(text, at, Anchor::Start, Type::plain(tone).edged());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cornerwork_core::report::figure::{Axis, Decimals, Line};

    #[test]
    fn many_lines_are_thin_and_only_the_one_in_ink_and_further_ones_are_named() {
        let line = |name: &str, faint| Line {
            name: name.to_owned(),
            faint,
            start: 0.0,
            step: 0.1,
            values: vec![0.0, 1.0, 0.5],
        };
        let axis = Axis::new("velocity", "m/s", Decimals::Exactly(1));
        let mut signal = Signal::line(axis, line("rep 1", false));
        signal.lines.extend([line("rep 2", true), line("rep 3", true), line("last week", false)]);
        let trace = Trace {
            title: "Reps".to_owned(),
            description: String::new(),
            time: Axis::time(),
            signals: vec![signal],
            phases: vec![],
            events: vec![],
        };
        let picture = svg(&trace, &Layout::new("reps", 800.0), Theme::Page);
        assert!(picture.contains("rep 1") && picture.contains("last week"));
        assert!(!picture.contains("rep 2") && !picture.contains("rep 3"));
        assert_eq!(picture.matches("stroke-width=\"0.75\"").count(), 2, "{picture}");
        assert_eq!(picture.matches("stroke-dasharray=\"6 4\"").count(), 1, "{picture}");
    }
}
