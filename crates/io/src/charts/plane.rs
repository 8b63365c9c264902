//! The plane of load and what depends on it: axes, points, a curve with its doubt.

use cornerwork_core::estimate::{Interval, Level};
use cornerwork_core::report::figure::{Axis, CurvePoint, Point, span};

use super::Layout;
use super::parts::{EDGE, Flags, Ribbon, ruler_below, ruler_height, tick_count};
use super::place::{Rect, Spots};
use super::scale::{Ruler, Scale};
use super::sheet::{Anchor, Outline, Sheet, Stroke, Type};
use super::theme::Tone;

/// The two scales and the rectangle they span.
pub(super) struct Plane {
    pub(super) x: Scale,
    pub(super) y: Scale,
    pub(super) area: Rect,
    across: Ruler,
    up: Ruler,
}

/// The horizontal scale, known before the heights are.
pub(super) struct Width {
    pub(super) scale: Scale,
    across: Ruler,
    up: Ruler,
}

/// Lays out the horizontal scale; the numbers of the vertical one decide where it begins.
pub(super) fn width(
    sheet: &Sheet,
    layout: &Layout,
    (across_axis, across): (&Axis, Option<Interval<f64>>),
    (up_axis, up): (&Axis, Option<Interval<f64>>),
) -> Width {
    let up = Ruler::over(up_axis.widened(up), ((plot_height(layout) / 46.0) as usize).clamp(3, 7));
    let numbers = up.ticks.iter().map(|tick| sheet.width_of(&up.label(*tick), false));
    let left = numbers.fold(0.0, f64::max) + EDGE + 10.0;
    let right = layout.width - EDGE - sheet.text();
    let across = Ruler::padded(across, tick_count(sheet, right - left)).dated(across_axis);
    Width { scale: Scale::new(across.domain, left, right), across, up }
}

/// Height of the plot itself: wide pictures are flatter.
fn plot_height(layout: &Layout) -> f64 {
    (layout.width * 0.52).clamp(190.0, 380.0)
}

/// What surrounds the plot.
pub(super) struct Surroundings<'a> {
    pub(super) across: &'a Axis,
    pub(super) up: &'a Axis,
    pub(super) flags: &'a Flags,
    pub(super) ribbon: &'a Ribbon,
}

impl Plane {
    /// Draws axes and surroundings under `top`; the plane and the height of the whole.
    pub(super) fn draw(
        sheet: &mut Sheet,
        layout: &Layout,
        width: Width,
        top: f64,
        around: &Surroundings,
    ) -> (Self, f64) {
        let Width { scale: x, across, up } = width;
        let (row, text) = (sheet.row(), sheet.text());
        let area_top = top + row + around.flags.height(sheet) + 8.0;
        let below = ruler_height(sheet) + around.ribbon.height(sheet) + row + 4.0;
        let plot = layout
            .height
            .map_or_else(|| plot_height(layout), |height| (height - area_top - below).max(120.0));
        let area = Rect {
            left: x.at(x.domain.low),
            right: x.at(x.domain.high),
            top: area_top,
            bottom: area_top + plot,
        };
        let plane = Self { x, y: Scale::new(up.domain, area.bottom, area.top), area, across, up };
        let room = layout.width - 2.0 * EDGE;
        let up_title = sheet.fitted(&around.up.label(), false, room);
        sheet.write(&up_title, (EDGE, top + text), Anchor::Start, Type::plain(Tone::Other));
        plane.draw_grid(sheet);
        let bounds = (EDGE, layout.width - EDGE);
        ruler_below(sheet, &plane.across, &plane.x, area.bottom, bounds);
        let mut y = area.bottom + ruler_height(sheet);
        around.ribbon.draw(sheet, y);
        y += around.ribbon.height(sheet);
        let across_title = sheet.fitted(&around.across.label(), false, room);
        let at = (area.right, y + 4.0 + text);
        sheet.write(&across_title, at, Anchor::End, Type::plain(Tone::Other));
        (plane, area.bottom + below + 2.0)
    }

    fn draw_grid(&self, sheet: &mut Sheet) {
        let Rect { left, right, bottom, .. } = self.area;
        for tick in &self.up.ticks {
            let y = self.y.at(*tick);
            let baseline = sheet.text().mul_add(0.35, y);
            let label = self.up.label(*tick);
            sheet.write(&label, (left - 8.0, baseline), Anchor::End, Type::plain(Tone::Other));
            if (y - bottom).abs() > 0.5 {
                sheet.line((left, y), (right, y), Stroke::hair(Tone::Hairline));
            }
        }
    }

    /// The ground line, drawn over what stands on it.
    pub(super) fn draw_ground(&self, sheet: &mut Sheet) {
        let Rect { left, right, bottom, .. } = self.area;
        sheet.line((left, bottom), (right, bottom), Stroke::hair(Tone::Ink));
    }

    /// The place of a point.
    pub(super) fn place(&self, across: f64, up: f64) -> (f64, f64) {
        (self.x.at(across), self.y.at(up))
    }

    /// The interval of the curve, full inside the tested loads and fading outside.
    pub(super) fn draw_doubt(
        &self,
        sheet: &mut Sheet,
        curve: &[CurvePoint],
        tested: Option<Interval<f64>>,
    ) {
        let doubt = sheet.fading("doubt", Tone::Doubt, self.span(), self.full(tested));
        sheet.clip("doubt-plot", self.area);
        sheet.fill_painted(&self.band(curve), &doubt);
        sheet.unclip();
    }

    const fn span(&self) -> (f64, f64) {
        (self.area.left, self.area.right)
    }

    /// The places between which the curve is backed by tests.
    fn full(&self, tested: Option<Interval<f64>>) -> (f64, f64) {
        tested.map_or_else(
            || self.span(),
            |tested| (self.x.clamped(tested.low), self.x.clamped(tested.high)),
        )
    }

    /// The curve, solid inside the tested loads, dotted and fading outside.
    pub(super) fn draw_curve(
        &self,
        sheet: &mut Sheet,
        curve: &[CurvePoint],
        tested: Option<Interval<f64>>,
    ) {
        let ink = sheet.fading("ink", Tone::Ink, self.span(), self.full(tested));
        let tested = tested.unwrap_or(self.x.domain);
        sheet.clip("plot", self.area);
        let inside = crossing(curve, tested);
        let line = |points: &[CurvePoint]| {
            Outline::through(points.iter().map(|point| self.place(point.across, point.up)))
        };
        let outside = Stroke::of(Tone::Ink, 1.5).dashed("1 5");
        let before: Vec<CurvePoint> = curve
            .iter()
            .take_while(|point| point.across < tested.low)
            .chain(inside.first())
            .copied()
            .collect();
        let after: Vec<CurvePoint> = inside
            .last()
            .into_iter()
            .chain(curve.iter().filter(|point| point.across > tested.high))
            .copied()
            .collect();
        sheet.path_painted(&line(&before), &ink, outside);
        sheet.path_painted(&line(&after), &ink, outside);
        sheet.path(&line(&inside), Stroke::of(Tone::Ink, 2.25));
        sheet.unclip();
    }

    /// The outline of the interval around a curve; where it is not known, there is none.
    fn band(&self, curve: &[CurvePoint]) -> Outline {
        let mut outline = Outline::default();
        let known = |point: &CurvePoint| {
            point.interval.filter(|interval| !interval.low.is_nan() && !interval.high.is_nan())
        };
        for run in curve.split(|point| known(point).is_none()) {
            let edge = |end: fn(Interval<f64>) -> f64| {
                run.iter().filter_map(move |point| {
                    known(point).map(|interval| self.place(point.across, end(interval)))
                })
            };
            let high: Vec<_> = edge(|interval| interval.high).collect();
            let low: Vec<_> = edge(|interval| interval.low).collect();
            outline.run(high.into_iter().chain(low.into_iter().rev()));
            outline.close();
        }
        outline
    }

    /// Where the curves of others lie: grey, an edge on either side of their middle, no shade that
    /// could be taken for the doubt of the curve in front.
    pub(super) fn draw_behind(&self, sheet: &mut Sheet, curve: &[CurvePoint]) {
        sheet.clip("behind-plot", self.area);
        let run = |at: &dyn Fn(&CurvePoint) -> Option<f64>| {
            Outline::through(
                curve.iter().filter_map(|point| Some(self.place(point.across, at(point)?))),
            )
        };
        let edge = Stroke::of(Tone::Other, 1.25);
        sheet.path(&run(&|point| Some(point.interval?.low)), edge);
        sheet.path(&run(&|point| Some(point.interval?.high)), edge);
        sheet.path(&run(&|point| Some(point.up)), edge.dashed("5 4"));
        sheet.unclip();
    }

    /// Names what lies behind at the edge that leaves room.
    pub(super) fn name_behind(
        &self,
        sheet: &mut Sheet,
        spots: &mut Spots,
        curve: &[CurvePoint],
        name: &str,
    ) {
        let inside = |y: f64| y >= self.area.top && y <= self.area.bottom;
        let edges = curve.iter().filter_map(|point| {
            let interval = point.interval?;
            [interval.high, interval.low]
                .map(|end| self.place(point.across, end))
                .into_iter()
                .find(|(_, y)| inside(*y))
        });
        let visible: Vec<(f64, f64)> = edges.collect();
        let Some((x, y)) = visible.get(visible.len() / 8) else { return };
        let near = (x + 4.0, y - sheet.text() * 1.5);
        self.write_near(sheet, spots, name, near, Type::plain(Tone::Other));
    }

    /// The points as measured; those set aside as crosses.
    pub(super) fn draw_points(&self, sheet: &mut Sheet, points: &[Point]) {
        for point in points.iter().filter(|point| point.is_finite()) {
            let at = self.place(point.across, point.up);
            if point.counts {
                sheet.dot(at, 4.5, Tone::Ink, Stroke::of(Tone::Paper, 1.5));
            } else {
                sheet.cross(at, 3.5, Stroke::of(Tone::Other, 1.5));
            }
        }
    }

    /// The spots labels may take: none on points or on the curve.
    pub(super) fn spots(&self, points: &[Point], curve: &[CurvePoint]) -> Spots {
        let mut spots = Spots::inside(self.area);
        for point in points.iter().filter(|point| point.is_finite()) {
            let (x, y) = self.place(point.across, point.up);
            spots.take(Rect::around(x, y, 6.0));
        }
        spots.take_line(curve.iter().map(|point| self.place(point.across, point.up)));
        spots
    }

    /// Writes a label at the free spot nearest a wished one, if there is any.
    pub(super) fn write_near(
        &self,
        sheet: &mut Sheet,
        spots: &mut Spots,
        label: &str,
        near: (f64, f64),
        set: Type,
    ) {
        let label = sheet.fitted(label, set.bold, self.area.right - self.area.left);
        let (width, height) = (sheet.width_of(&label, set.bold), sheet.text() * 1.2);
        if let Some(spot) = spots.find(near.0, near.1, width, height) {
            let baseline = sheet.text().mul_add(0.9, spot.top);
            sheet.write(&label, (spot.left, baseline), Anchor::Start, set.edged());
        }
    }

    /// Names the curve and its band where they leave room, near the end of the tested loads.
    pub(super) fn name_band(
        &self,
        sheet: &mut Sheet,
        spots: &mut Spots,
        curve: &[CurvePoint],
        tested: Option<Interval<f64>>,
        level: Level,
    ) {
        let tested = tested.unwrap_or(self.x.domain);
        let at = Interval::between(tested.low, tested.high);
        let target = 0.8f64.mul_add(at.high - at.low, at.low);
        let known = curve.iter().filter(|point| point.interval.is_some() && point.up.is_finite());
        let near = known.min_by(|one, other| {
            (one.across - target).abs().total_cmp(&(other.across - target).abs())
        });
        let Some((point, interval)) = near.and_then(|point| Some((point, point.interval?))) else {
            return;
        };
        let name = format!("shaded: {level} interval");
        let (x, y) = self.place(point.across, interval.high);
        let near = (x + 4.0, y - sheet.text() * 1.5);
        self.write_near(sheet, spots, &name, near, Type::plain(Tone::Other));
    }
}

/// Height of a curve at a place, between its points; `None` outside them.
pub(super) fn height_at(curve: &[CurvePoint], across: f64) -> Option<f64> {
    crossing(curve, Interval { low: across, high: across }).first().map(|point| point.up)
}

/// The part of a curve inside an interval of its horizontal axis, cut exactly at the ends.
fn crossing(curve: &[CurvePoint], within: Interval<f64>) -> Vec<CurvePoint> {
    let mut inside: Vec<CurvePoint> = Vec::new();
    for (index, point) in curve.iter().enumerate() {
        for cut in [within.low, within.high] {
            let before = index.checked_sub(1).map(|before| curve[before]);
            if let Some(before) = before.filter(|before| before.across < cut && cut < point.across)
            {
                let share = (cut - before.across) / (point.across - before.across);
                let up = share.mul_add(point.up - before.up, before.up);
                inside.push(CurvePoint::bare(cut, up));
            }
        }
        if within.contains(point.across) {
            inside.push(*point);
        }
    }
    inside
}

/// What the vertical axis should show: the points, the curve, and the interval as far as it says
/// something; a wild interval or an extrapolated curve leaves through the frame.
pub(super) fn heights(
    points: &[Point],
    curve: &[CurvePoint],
    tested: Option<Interval<f64>>,
    others: impl IntoIterator<Item = f64>,
) -> Option<Interval<f64>> {
    let measured = points.iter().filter(|point| point.is_finite()).map(|point| point.up);
    let known = |point: &&CurvePoint| tested.is_none_or(|tested| tested.contains(point.across));
    let inside = crossing(curve, tested.unwrap_or(Interval { low: f64::MIN, high: f64::MAX }));
    let core = span(measured.chain(inside.iter().map(|point| point.up)).chain(others))?;
    let room = |share: f64| share * (core.high - core.low);
    let within =
        |value: f64, share: f64| value.clamp(core.low - room(share), core.high + room(share));
    let ends = curve
        .iter()
        .filter(known)
        .filter_map(|point| point.interval)
        .flat_map(|interval| [interval.low, interval.high])
        .map(|end| within(end, 0.6));
    let beyond = curve.iter().map(|point| within(point.up, 0.35));
    span([core.low, core.high].into_iter().chain(ends).chain(beyond))
}

/// What the horizontal axis should show.
pub(super) fn loads(
    points: &[Point],
    curve: &[CurvePoint],
    others: impl IntoIterator<Item = f64>,
) -> Option<Interval<f64>> {
    let measured = points.iter().filter(|point| point.is_finite()).map(|point| point.across);
    span(measured.chain(curve.iter().map(|point| point.across)).chain(others))
}
