//! The hill as a picture.

use cornerwork_core::report::figure::{FlatTop, Hill, Post, PostKind};

use super::parts::{EDGE, Flag, Flags, Ribbon, Stretch, heading, upright};
use super::plane::{Plane, Surroundings, height_at, heights, loads, width};
use super::sheet::{Sheet, Stroke, Type};
use super::theme::{Theme, Tone};
use super::{Layout, scale::Scale};

pub(super) fn svg(hill: &Hill, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let tested = hill.tested();
    let posts = hill.posts.iter().map(|post| post.at);
    let tops = hill.flat_top.iter().flat_map(|top| [top.loads.low, top.loads.high]);
    let across = loads(&hill.points, &hill.curve, posts.chain(tops).chain(hill.peak));
    let up = heights(&hill.points, &hill.curve, tested, []);
    let width = width(&sheet, layout, (&hill.across, across), (&hill.up, up));
    let ends = (EDGE, layout.width - EDGE);
    let flags = Flags::seated(&sheet, posts_as_flags(hill, &width.scale), ends.0, ends.1);
    let ribbon = Ribbon::seated(&sheet, flat_top(hill, &width.scale), ends.0, ends.1);
    let top = heading(&mut sheet, layout, &hill.title);
    let around =
        Surroundings { across: &hill.across, up: &hill.up, flags: &flags, ribbon: &ribbon };
    let (plane, height) = Plane::draw(&mut sheet, layout, width, top, &around);

    if let Some(behind) = &hill.behind {
        plane.draw_behind(&mut sheet, &behind.curve);
    }
    plane.draw_doubt(&mut sheet, &hill.curve, tested);
    mark_flat_top(&mut sheet, &plane, hill);
    plane.draw_curve(&mut sheet, &hill.curve, tested);
    flags.draw(&mut sheet, plane.area.top, plane.area.bottom);
    plane.draw_ground(&mut sheet);
    mark_posts(&mut sheet, &plane, &hill.posts);
    plane.draw_points(&mut sheet, &hill.points);
    label(&mut sheet, &plane, hill);
    sheet.finish(&hill.title, &hill.description, height)
}

fn posts_as_flags(hill: &Hill, x: &Scale) -> Vec<Flag> {
    let flag = |post: &Post| {
        let pole = Stroke::of(Tone::Accent, 1.5);
        Flag {
            x: x.at(post.at),
            text: format!("{} {}", post.name, hill.across.value(post.at)),
            set: Type::bold(Tone::Accent),
            pole: match post.kind {
                PostKind::Today => pole,
                PostKind::Next => pole.dashed("5 4"),
            },
        }
    };
    hill.posts.iter().filter(|post| post.at.is_finite()).map(flag).collect()
}

/// A post stands on the ground: a full foot for today's load, an open one for the next to test.
fn mark_posts(sheet: &mut Sheet, plane: &Plane, posts: &[Post]) {
    for post in posts {
        let fill = match post.kind {
            PostKind::Today => Tone::Accent,
            PostKind::Next => Tone::Paper,
        };
        let foot = (plane.x.at(post.at), plane.area.bottom);
        sheet.dot(foot, 4.5, fill, Stroke::of(Tone::Accent, 1.75));
    }
}

fn flat_top(hill: &Hill, x: &Scale) -> Vec<Stretch> {
    let named = |top: &FlatTop| {
        let loads = hill.across.range(top.loads.low, top.loads.high);
        Stretch::on(x, top.loads, format!("{loads} {}", top.meaning()), Tone::Ink)
    };
    hill.flat_top.iter().filter_map(named).collect()
}

/// The flat top along the ground line: the loads that cost next to nothing of the peak.
fn mark_flat_top(sheet: &mut Sheet, plane: &Plane, hill: &Hill) {
    let Some(top) = &hill.flat_top else { return };
    let Some((left, right)) = plane.x.stretch(top.loads) else { return };
    let bottom = plane.area.bottom;
    for load in [top.loads.low, top.loads.high] {
        if let Some(height) = height_at(&hill.curve, load) {
            let stroke = Stroke::hair(Tone::Other).dashed("2 4");
            sheet.line(plane.place(load, height), (plane.x.at(load), bottom), stroke);
        }
    }
    sheet.rect(upright(left, right, bottom - 5.0, bottom), Tone::Ink);
}

fn label(sheet: &mut Sheet, plane: &Plane, hill: &Hill) {
    let mut spots = plane.spots(&hill.points, &hill.curve);
    for post in &hill.posts {
        let x = plane.x.at(post.at);
        spots.take_line([(x, plane.area.top), (x, plane.area.bottom)].into_iter());
    }
    let top = hill.curve.iter().filter(|point| point.up.is_finite());
    let summit = top.max_by(|one, other| one.up.total_cmp(&other.up));
    if let (Some(peak), Some(summit)) = (hill.peak.filter(|peak| peak.is_finite()), summit) {
        let name = format!("peak {}", hill.across.value(peak));
        let at = plane.place(peak, summit.up);
        let near = (at.0 - sheet.width_of(&name, true) / 2.0, at.1 - sheet.text() * 2.2);
        sheet.line((at.0, at.1 - 7.0), (at.0, at.1 + 7.0), Stroke::of(Tone::Ink, 1.5));
        plane.write_near(sheet, &mut spots, &name, near, Type::bold(Tone::Ink));
    }
    plane.name_band(sheet, &mut spots, &hill.curve, hill.tested(), hill.level);
    if let Some(behind) = &hill.behind {
        plane.name_behind(sheet, &mut spots, &behind.curve, &behind.name);
    }
}
