//! What every picture must hold, whatever the data: well-formed, named, finite, inside its frame,
//! no label on another. Checked on the SVG as a reader would get it.

use std::collections::HashSet;

use cornerwork_core::estimate::{Estimate, Interval, Level};
use cornerwork_core::kit::{BarKind, Plate};
use cornerwork_core::report::figure::*;
use cornerwork_core::units::Mass;
use jiff::ToSpan;
use jiff::civil::Date;
use proptest::prelude::*;
use roxmltree::{Document, Node};

use super::place::Rect;
use super::{Layout, Theme, measure, svg, text};

/// The box a text fills, from its attributes alone.
fn text_box(node: Node, usual: f64) -> Rect {
    let number = |name| node.attribute(name).map(|value| value.parse::<f64>().unwrap());
    let size = number("font-size").unwrap_or(usual);
    let bold = node.attribute("font-weight").is_some();
    let width = measure::width(node.text().unwrap(), size, bold);
    let (x, y) = (number("x").unwrap(), number("y").unwrap());
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - width / 2.0,
        Some("end") => x - width,
        _ => x,
    };
    // Cap height and descent of the usual faces are under 0.75 and 0.22 of the size.
    Rect { left, top: y - 0.75 * size, right: left + width, bottom: y + 0.22 * size }
}

fn check(figure: &Figure, layout: &Layout, theme: Theme) {
    let picture = svg(figure, layout, theme);
    let document = Document::parse(&picture).expect("well-formed");
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    let child = |name: &str| root.children().find(|node| node.has_tag_name(name)).unwrap();
    let (title, description) = (child("title"), child("desc"));
    assert_eq!(title.text().unwrap_or(""), figure.title());
    assert_eq!(description.text().unwrap_or(""), figure.description());
    let named =
        format!("{} {}", title.attribute("id").unwrap(), description.attribute("id").unwrap());
    assert_eq!(root.attribute("aria-labelledby"), Some(named.as_str()));

    let mut ids = HashSet::new();
    for node in root.descendants() {
        for attribute in node.attributes() {
            let value = attribute.value();
            assert!(!value.contains("NaN") && !value.contains("inf"), "{value}");
        }
        if let Some(id) = node.attribute("id") {
            assert!(id.starts_with(&layout.id) && ids.insert(id), "{id} must be the figure's own");
        }
        assert!(!node.has_tag_name("script") && node.attribute("style").is_none());
    }

    let size = |name| root.attribute(name).unwrap().parse::<f64>().unwrap();
    let (width, height) = (size("width"), size("height"));
    assert_eq!(width, layout.width, "the picture is as wide as its room");
    let texts = root.descendants().filter(|node| node.has_tag_name("text"));
    let boxes: Vec<(Rect, &str)> =
        texts.map(|node| (text_box(node, layout.text_px), node.text().unwrap())).collect();
    for (index, (one, label)) in boxes.iter().enumerate() {
        let inside = one.left >= -0.01
            && one.right <= width + 0.01
            && one.top >= -0.01
            && one.bottom <= height + 0.01;
        assert!(inside, "'{label}' leaves the frame: {one:?} in {width} by {height}");
        for (other, other_label) in &boxes[index + 1..] {
            assert!(!one.meets(other), "'{label}' meets '{other_label}' at {width}");
        }
    }
}

/// Values of a gym, with now and then one that cannot be drawn.
fn value(low: f64, high: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        20 => low..high,
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(f64::NEG_INFINITY),
    ]
}

fn interval(low: f64, high: f64) -> impl Strategy<Value = Interval<f64>> {
    (value(low, high), value(low, high)).prop_map(|(one, other)| Interval::between(one, other))
}

fn points(low: f64, high: f64) -> impl Strategy<Value = Vec<Point>> {
    let point = (value(0.0, 150.0), value(low, high), any::<bool>())
        .prop_map(|(across, up, counts)| Point { across, up, counts });
    prop::collection::vec(point, 0..20)
}

fn curve(low: f64, high: f64) -> impl Strategy<Value = Vec<CurvePoint>> {
    let point = (value(low, high), prop::option::of(interval(low, high)));
    prop::collection::vec(point, 0..40).prop_map(|points| {
        let place =
            |(index, (up, interval))| CurvePoint { across: index as f64 * 4.0, up, interval };
        points.into_iter().enumerate().map(place).collect()
    })
}

fn estimate(low: f64, high: f64) -> impl Strategy<Value = Estimate<f64>> {
    (value(low, high), interval(low, high)).prop_map(|(value, interval)| Estimate {
        value,
        interval,
        level: Level::USUAL,
    })
}

/// Words with the letters that need care in XML.
fn words() -> impl Strategy<Value = String> {
    "[a-zA-Z<>&\"' −é]{0,24}"
        .prop_filter("no number", |text: &String| !text.contains("inf") && !text.contains("NaN"))
}

fn momentum() -> Axis {
    Axis::new("momentum at take-off", "kg m/s", Decimals::Exactly(0))
}

fn velocity() -> Axis {
    Axis::new("mean velocity", "m/s", Decimals::Exactly(2))
}

prop_compose! {
    fn hill()(
        title in words(),
        description in words(),
        points in points(100.0, 300.0),
        curve in curve(100.0, 300.0),
        peak in prop::option::of(value(0.0, 150.0)),
        top in prop::option::of(interval(0.0, 150.0)),
        posts in prop::collection::vec((value(0.0, 150.0), words(), any::<bool>()), 0..4),
    ) -> Figure {
        let posts = posts.into_iter().map(|(at, name, today)| Post {
            at, name, kind: if today { PostKind::Today } else { PostKind::Next },
        });
        Hill {
            title, description, across: Axis::load(), up: momentum(), points, curve,
            level: Level::USUAL, peak,
            flat_top: top.map(|loads| FlatTop { loads, loss_fraction: 0.01 }),
            posts: posts.collect(),
            behind: None,
}.into()
    }
}

prop_compose! {
    fn slope()(
        title in words(),
        description in words(),
        points in points(0.1, 2.0),
        line in curve(0.0, 2.0),
        target in prop::option::of((value(0.0, 2.0), words(), prop::option::of(estimate(0.0, 200.0)))),
        last in prop::option::of(words()),
    ) -> Figure {
        Slope {
            title, description, across: Axis::load(), up: velocity(), points, line,
            level: Level::USUAL,
            target: target.map(|(at, name, load)| Target { at, name, load }),
            last,
            behind: None,
}.into()
    }
}

prop_compose! {
    fn strip()(
        title in words(),
        description in words(),
        bands in prop::collection::vec((interval(0.2, 1.2), words()), 0..4),
        earlier in prop::collection::vec(value(0.2, 1.2), 0..12),
        now in prop::option::of((value(0.2, 1.2), prop::option::of(interval(0.2, 1.2)), words(), any::<bool>())),
        marks in prop::collection::vec((value(0.2, 1.2), words()), 0..5),
    ) -> Figure {
        let band = |(over, name)| Band { over, name };
        let mark = |(at, name)| Mark { at, name };
        Strip {
            title, description, axis: velocity(),
            bands: bands.into_iter().map(band).collect(),
            earlier, earlier_name: "earlier reps".into(),
            now: now.map(|(at, interval, word, asks_for_act)| Now { at, interval, word, asks_for_act }),
            marks: marks.into_iter().map(mark).collect(),
        }.into()
    }
}

prop_compose! {
    fn odds()(
        title in words(),
        description in words(),
        change in estimate(-20.0, 20.0),
        trivial in interval(-5.0, 5.0),
        shares in prop::array::uniform3((words(), value(0.0, 1.0))),
        word in words(),
    ) -> Figure {
        let [below, within, above] =
            shares.map(|(name, probability)| Share { name, probability });
        Odds { title, description, axis: momentum(), change, trivial, below, within, above, word }.into()
    }
}

prop_compose! {
    fn signal()(
        values in prop::collection::vec(prop::collection::vec(value(-500.0, 4000.0), 0..300), 0..3),
        mean in curve(0.0, 3000.0),
        level in prop::option::of((value(0.0, 1500.0), words())),
    ) -> Signal {
        let line = |(index, values)| Line { name: format!("line {index}"), faint: index > 3, start: 0.0, step: 0.5, values };
        Signal {
            axis: Axis::new("force", "N", Decimals::Exactly(0)),
            lines: values.into_iter().enumerate().map(line).collect(),
            mean, mean_name: "mean of 5 jumps".into(),
            levels: level.into_iter().map(|(at, name)| Mark { at, name }).collect(),
        }
    }
}

prop_compose! {
    fn trace()(
        title in words(),
        description in words(),
        signals in prop::collection::vec(signal(), 0..3),
        phases in prop::collection::vec((interval(0.0, 150.0), words()), 0..6),
        events in prop::collection::vec((value(0.0, 150.0), words()), 0..6),
    ) -> Figure {
        Trace {
            title, description, time: Axis::time(), signals,
            phases: phases.into_iter().map(|(over, name)| Phase { over, name }).collect(),
            events: events.into_iter().map(|(at, name)| Event { at, name }).collect(),
        }.into()
    }
}

prop_compose! {
    fn loaded_bar()(
        title in words(),
        description in words(),
        plates in prop::collection::vec(prop::sample::select(vec![0.5, 1.25, 2.5, 5.0, 10.0, 15.0, 20.0, 25.0]), 0..12),
        bar in prop::sample::select(vec![BarKind::Straight, BarKind::Hex, BarKind::Landmine]),
    ) -> Figure {
        LoadedBar {
            title, description, bar, bar_mass: Mass::kilograms(20.0),
            plates: plates.into_iter().map(|mass| Plate::kilograms(mass).unwrap()).collect(),
        }.into()
    }
}

fn days() -> impl Strategy<Value = Date> {
    (0i32..200).prop_map(|day| jiff::civil::date(2026, 8, 1).saturating_add(day.days()))
}

fn named_days() -> impl Strategy<Value = Vec<NamedDays>> {
    let one = (days(), days(), words()).prop_map(|(one, other, name)| NamedDays {
        from: one.min(other),
        to: one.max(other),
        name,
    });
    prop::collection::vec(one, 0..5)
}

prop_compose! {
    fn calendar()(
        title in words(),
        description in words(),
        ends in (days(), days()),
        today in prop::option::of(days()),
        layouts in prop::collection::vec(
            (words(), named_days(), named_days(), prop::collection::vec((words(), prop::collection::vec(days(), 0..9)), 0..4)),
            0..3,
        ),
    ) -> Figure {
        Calendar {
            title, description, today,
            from: ends.0.min(ends.1),
            to: ends.0.max(ends.1),
            layouts: layouts.into_iter().map(|(name, phases, bouts, rows)| CampLayout {
                name, phases, bouts,
                rows: rows.into_iter().map(|(name, days)| DayRow { name, days }).collect(),
            }).collect(),
        }.into()
    }
}

fn turn() -> impl Strategy<Value = Turn> {
    let effort =
        (interval(0.0, 80.0), any::<bool>()).prop_map(|(over, change)| Effort { over, change });
    (words(), words(), prop::collection::vec(effort, 0..5)).prop_map(|(name, with, efforts)| Turn {
        name,
        with,
        efforts,
    })
}

prop_compose! {
    fn turns()(
        title in words(),
        description in words(),
        stations in prop::collection::vec((words(), words()), 0..5),
        rounds in prop::collection::vec(
            (words(), interval(-5.0, 80.0), prop::collection::vec(prop::collection::vec(turn(), 0..4), 0..5)),
            0..5,
        ),
        planned_end in prop::option::of((value(0.0, 90.0), words())),
        moments in prop::collection::vec((value(0.0, 90.0), words()), 0..4),
    ) -> Figure {
        let event = |(at, name)| Event { at, name };
        Turns {
            title, description, time: Axis::time(),
            stations: stations.into_iter().map(|(name, note)| StationRow { name, note }).collect(),
            rounds: rounds.into_iter().map(|(name, over, groups)| TurnRound { name, over, groups }).collect(),
            planned_end: planned_end.map(event),
            moments: moments.into_iter().map(event).collect(),
        }.into()
    }
}

fn figure() -> impl Strategy<Value = Figure> {
    prop_oneof![hill(), slope(), strip(), odds(), trace(), loaded_bar(), calendar(), turns()]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn every_picture_is_well_formed_named_finite_and_its_labels_stand_apart(
        figure in figure(),
        width in prop::sample::select(vec![320.0, 360.0, 700.0, 1200.0]),
        text_px in prop::sample::select(vec![12.0, 13.0, 16.0]),
        theme in prop::sample::select(vec![Theme::Page, Theme::Ink, Theme::Night]),
        heading in any::<bool>(),
    ) {
        let layout = Layout { heading, ..Layout::new("figure-1", width).with_text(text_px) };
        check(&figure, &layout, theme);
    }

    #[test]
    fn a_terminal_plot_keeps_its_width_and_ascii_is_ascii(figure in prop_oneof![hill(), slope()], columns in 30usize..120, ascii in any::<bool>()) {
        let terminal = text::Terminal { columns, rows: 18, ascii };
        let plot = match &figure {
            Figure::Hill(hill) => text::hill(hill, &terminal),
            Figure::Slope(slope) => text::slope(slope, &terminal),
            _ => unreachable!("only these two"),
        };
        prop_assert!(!plot.contains("NaN") && !plot.contains("inf"));
        prop_assert!(!ascii || plot.is_ascii());
        let axis = if ascii { '+' } else { '└' };
        let ground = plot.lines().find(|line| line.trim_start().starts_with(axis) && line.contains("--") | line.contains('─'));
        prop_assert_eq!(ground.map(|line| line.chars().count()), Some(columns));
    }
}

/// A day that lies within a longer phase before it does not give the next one room over its name.
#[test]
fn names_of_phases_that_overlap_stand_apart() {
    let day = |month, day| Date::constant(2026, month, day);
    let phase = |name: &str, from, to| NamedDays { name: name.into(), from, to };
    let phases = vec![
        phase("strength and speed", day(9, 4), day(12, 1)),
        phase("", day(8, 1), day(8, 1)),
        phase("work on the bag and pads", day(8, 1), day(10, 3)),
    ];
    let calendar = Calendar {
        title: "Camp".into(),
        description: "Three phases.".into(),
        from: day(8, 1),
        to: day(12, 1),
        today: None,
        layouts: vec![CampLayout { name: String::new(), phases, bouts: vec![], rows: vec![] }],
    };
    check(&calendar.into(), &Layout::new("camp", 320.0).with_text(12.0), Theme::Page);
}

/// A hundred thousand samples cost no more than a few points a pixel.
#[test]
fn a_long_trace_makes_a_small_picture() {
    let values = (0..100_000).map(|index| f64::from(index % 977)).collect();
    let line = Line { name: String::new(), faint: false, start: 0.0, step: 0.001, values };
    let trace = Trace {
        title: "Force".into(),
        description: "A saw.".into(),
        time: Axis::time(),
        signals: vec![Signal::line(Axis::new("force", "N", Decimals::Exactly(0)), line)],
        phases: vec![],
        events: vec![],
    };
    let layout = Layout::new("long", 700.0);
    let picture = svg(&trace.into(), &layout, Theme::Page);
    assert!(picture.len() < 50_000, "{} bytes", picture.len());
}

#[test]
fn the_last_point_is_named_at_its_dot_and_days_are_dates() {
    let day_zero = Date::constant(2026, 9, 23);
    let slope = Slope {
        title: "Weeks".into(),
        description: "Steady.".into(),
        across: Axis::dates(day_zero),
        up: Axis::new("mean of the day", "cm", Decimals::Exactly(1)).spanning(4.0),
        points: [(-44.0, 32.9), (-30.0, 33.1), (-14.0, 33.0), (0.0, 32.5)]
            .map(|(day, mean)| Point::new(day, mean))
            .to_vec(),
        line: vec![CurvePoint::bare(-44.0, 33.0), CurvePoint::bare(0.0, 33.0)],
        level: Level::USUAL,
        target: None,
        last: Some("last day".into()),
        behind: None,
    };
    let picture = svg(&Figure::Slope(slope), &Layout::new("weeks", 700.0), Theme::Ink);
    let document = Document::parse(&picture).unwrap();
    let texts = || document.descendants().filter(|node| node.has_tag_name("text"));
    let label = texts().find(|node| node.text() == Some("last day 32.5 cm")).unwrap();
    let x: f64 = label.attribute("x").unwrap().parse().unwrap();
    assert!(x > 500.0, "near the last dot at the right end: {x}");
    assert!(texts().any(|node| node.text() == Some("13 Sep")), "{picture}");
    // Four centimetres at least, although the days lie within six millimetres.
    for tick in ["31.0", "34.5"] {
        assert!(texts().any(|node| node.text() == Some(tick)), "{tick}: {picture}");
    }
}

#[test]
fn literal_themes_hold_no_variables() {
    let stack = loaded();
    for theme in [Theme::Ink, Theme::Night] {
        assert!(!svg(&stack, &Layout::new("bar", 360.0), theme).contains("var("));
    }
    assert!(svg(&stack, &Layout::new("bar", 360.0), Theme::Page).contains("var(--figure-ink,"));
}

#[test]
fn a_bar_shows_every_plate_on_both_sides() {
    let picture = svg(&loaded(), &Layout::new("bar", 700.0), Theme::Ink);
    let document = Document::parse(&picture).unwrap();
    let shown = |label: &str| {
        let texts = document.descendants().filter(|node| node.has_tag_name("text"));
        texts.filter(|node| node.text() == Some(label)).count()
    };
    assert_eq!((shown("20"), shown("1.25"), shown("62.5 kg")), (2, 2, 1));
}

fn loaded() -> Figure {
    LoadedBar {
        title: "Hang".into(),
        description: "20 and 1.25 a side.".into(),
        bar: BarKind::Straight,
        bar_mass: Mass::kilograms(20.0),
        plates: [20.0, 1.25].map(|mass| Plate::kilograms(mass).unwrap()).to_vec(),
    }
    .into()
}
