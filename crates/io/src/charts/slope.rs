//! The slope as a picture.

use cornerwork_core::estimate::Estimate;
use cornerwork_core::report::figure::{Slope, Target};

use super::Layout;
use super::parts::{EDGE, Flag, Flags, Ribbon, Stretch, heading, upright};
use super::place::Spots;
use super::plane::{Plane, Surroundings, heights, loads, width};
use super::scale::Scale;
use super::sheet::{Sheet, Stroke, Type};
use super::theme::{Theme, Tone};

pub(super) fn svg(slope: &Slope, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let tested = slope.tested();
    let load = slope.target.as_ref().and_then(|target| target.load);
    let asked = slope.target.iter().map(|target| target.at);
    let across = loads(&slope.points, &slope.line, load.iter().flat_map(load_span));
    let up = heights(&slope.points, &slope.line, tested, asked);
    let width = width(&sheet, layout, (&slope.across, across), (&slope.up, up));
    let ends = (EDGE, layout.width - EDGE);
    let ribbon = Ribbon::seated(&sheet, load_interval(slope, &width.scale), ends.0, ends.1);
    let flags = Flags::seated(&sheet, Vec::<Flag>::new(), ends.0, ends.1);
    let top = heading(&mut sheet, layout, &slope.title);
    let around =
        Surroundings { across: &slope.across, up: &slope.up, flags: &flags, ribbon: &ribbon };
    let (plane, height) = Plane::draw(&mut sheet, layout, width, top, &around);

    if let Some(behind) = &slope.behind {
        plane.draw_behind(&mut sheet, &behind.curve);
    }
    plane.draw_doubt(&mut sheet, &slope.line, tested);
    plane.draw_curve(&mut sheet, &slope.line, tested);
    plane.draw_ground(&mut sheet);
    if let Some(target) = &slope.target {
        draw_target(&mut sheet, &plane, target);
    }
    plane.draw_points(&mut sheet, &slope.points);
    label(&mut sheet, &plane, slope);
    sheet.finish(&slope.title, &slope.description, height)
}

/// The load and its interval, no further from it than is worth showing.
fn load_span(load: &Estimate<f64>) -> [f64; 3] {
    let reach = load.value.abs().max(1.0) * 0.5;
    let near = |end: f64| end.clamp(load.value - reach, load.value + reach);
    if load.value.is_finite() {
        [load.value, near(load.interval.low), near(load.interval.high)]
    } else {
        [f64::NAN; 3]
    }
}

fn load_interval(slope: &Slope, x: &Scale) -> Vec<Stretch> {
    let load = slope.target.as_ref().and_then(|target| target.load);
    let named = |load: &Estimate<f64>| {
        let doubt = interval_in_words(slope, load);
        let text = format!("{} ({doubt})", slope.across.value(load.value));
        Stretch::on(x, load.interval, text, Tone::Accent)
    };
    load.iter().filter(|load| load.value.is_finite()).filter_map(named).collect()
}

fn interval_in_words(slope: &Slope, load: &Estimate<f64>) -> String {
    let axis = &slope.across;
    match (load.interval.low.is_finite(), load.interval.high.is_finite()) {
        (true, true) => axis.range(load.interval.low, load.interval.high),
        (true, false) => format!("{} or more", axis.value(load.interval.low)),
        (false, true) => format!("{} or less", axis.value(load.interval.high)),
        (false, false) => "no limit either way".to_owned(),
    }
}

/// The level asked for, and the drop from where the line meets it to the load axis.
fn draw_target(sheet: &mut Sheet, plane: &Plane, target: &Target) {
    if !target.at.is_finite() {
        return;
    }
    let y = plane.y.at(target.at);
    let (left, right, bottom) = (plane.area.left, plane.area.right, plane.area.bottom);
    sheet.line((left, y), (right, y), Stroke::of(Tone::Other, 1.25).dashed("6 4"));
    let Some(load) = target.load.filter(|load| load.value.is_finite()) else { return };
    let x = plane.x.at(load.value);
    if let Some((low, high)) = plane.x.stretch(load.interval) {
        let bar = upright(low, high, bottom - 9.0, bottom);
        let paint = sheet.hatching("load", Tone::Accent);
        sheet.rect_painted(bar, &paint, None, 0.0);
    }
    sheet.line((x, y), (x, bottom), Stroke::of(Tone::Accent, 1.75));
    sheet.dot((x, y), 4.0, Tone::Paper, Stroke::of(Tone::Accent, 1.75));
    sheet.dot((x, bottom), 4.5, Tone::Accent, Stroke::of(Tone::Paper, 1.0));
}

/// Beside its dot, on the side that has room.
fn name_last_point(sheet: &mut Sheet, plane: &Plane, spots: &mut Spots, slope: &Slope) {
    let last = slope.points.iter().rfind(|point| point.is_finite());
    let Some((name, point)) = slope.last.as_ref().zip(last) else { return };
    let name = format!("{name} {}", slope.up.value(point.up));
    let (x, y) = plane.place(point.across, point.up);
    let near = (x - sheet.width_of(&name, true) - 8.0, y - sheet.text() * 1.6);
    plane.write_near(sheet, spots, &name, near, Type::bold(Tone::Ink));
}

fn label(sheet: &mut Sheet, plane: &Plane, slope: &Slope) {
    let mut spots = plane.spots(&slope.points, &slope.line);
    if let Some(target) = slope.target.as_ref().filter(|target| target.at.is_finite()) {
        let y = plane.y.at(target.at);
        spots.take_line([(plane.area.left, y), (plane.area.right, y)].into_iter());
        if let Some(load) = target.load.filter(|load| load.value.is_finite()) {
            let x = plane.x.at(load.value);
            spots.take_line([(x, y), (x, plane.area.bottom)].into_iter());
        }
        let name = format!("{} {}", target.name, slope.up.value(target.at));
        let near = (plane.area.left + 6.0, y - sheet.text() * 1.6);
        plane.write_near(sheet, &mut spots, &name, near, Type::bold(Tone::Ink));
    }
    name_last_point(sheet, plane, &mut spots, slope);
    plane.name_band(sheet, &mut spots, &slope.line, slope.tested(), slope.level);
    if let Some(behind) = &slope.behind {
        plane.name_behind(sheet, &mut spots, &behind.curve, &behind.name);
    }
}
