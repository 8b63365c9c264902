//! Draws one of each figure with invented data, in every theme and at three widths, as a page to
//! look at: `cargo run -p cornerwork-io --example figures -- DIRECTORY`.

use jiff::ToSpan;
use jiff::civil::date;
use std::f64::consts::PI;
use std::fmt::Write as _;
use std::path::Path;

use cornerwork_core::estimate::{Estimate, Interval, Level};
use cornerwork_core::kit::{BarKind, Plate};
use cornerwork_core::report::figure::{
    Axis, Band, Calendar, CampLayout, CurvePoint, DayRow, Decimals, Event, Figure, FlatTop, Hill,
    Line, LoadedBar, Mark, NamedDays, Now, Odds, Phase, Point, Post, PostKind, Share, Signal,
    Slope, Strip, Target, Trace,
};
use cornerwork_core::units::Mass;
use cornerwork_io::charts::{Layout, Palette, Theme, svg, text};

fn main() -> std::io::Result<()> {
    let directory = std::env::args().nth(1).unwrap_or_else(|| "target/figures".to_owned());
    let directory = Path::new(&directory);
    std::fs::create_dir_all(directory)?;
    for (name, theme, palette) in [
        ("page", Theme::Page, Palette::PAPER),
        ("ink", Theme::Ink, Palette::PRINT),
        ("night", Theme::Night, Palette::NIGHT),
    ] {
        for width in [360.0, 700.0, 1200.0] {
            let page = gallery(theme, &palette, width);
            std::fs::write(directory.join(format!("{name}-{width}.html")), page)?;
        }
    }
    for terminal in
        [text::Terminal::default(), text::Terminal { ascii: true, ..Default::default() }]
    {
        println!("{}", text::hill(&hill(), &terminal));
        println!("{}", text::slope(&slope(), &terminal));
    }
    Ok(())
}

fn gallery(theme: Theme, palette: &Palette, width: f64) -> String {
    let mut page = format!(
        "<!doctype html><meta charset=utf-8><style>:root{{{}}}body{{margin:16px;background:{};}}svg{{display:block;margin:0 0 28px}}</style>",
        palette.css_variables(),
        palette.paper,
    );
    for (index, figure) in figures().iter().enumerate() {
        let layout = Layout::new(format!("figure-{index}"), width).with_heading();
        let _ = write!(page, "{}", svg(figure, &layout, theme));
    }
    page
}

fn figures() -> Vec<Figure> {
    vec![
        hill().into(),
        sparse_hill().into(),
        slope().into(),
        set_strip().into(),
        usual_strip().into(),
        odds().into(),
        jump_trace().into(),
        mean_trace().into(),
        loaded_bar(BarKind::Straight, &[25.0, 10.0, 2.5]).into(),
        calendar().into(),
        loaded_bar(BarKind::Hex, &[20.0, 15.0, 5.0, 1.25]).into(),
        loaded_bar(BarKind::Landmine, &[20.0, 10.0]).into(),
    ]
}

fn momentum_axis() -> Axis {
    Axis::new("momentum at take-off", "kg m/s", Decimals::Exactly(0))
}

/// Momentum of an 80 kg body whose jump height falls exponentially with load.
fn momentum(load: f64) -> f64 {
    (80.0 + load) * (2.0 * 9.81 * 0.38 * (-load / 64.0).exp()).sqrt()
}

fn wobble(index: usize) -> f64 {
    (index as f64 * 2.399_963).sin()
}

fn hill() -> Hill {
    let loads = [0.0, 0.0, 20.0, 20.0, 35.0, 35.0, 50.0, 50.0, 65.0, 65.0, 80.0];
    let curve = (0..=110).map(|load| {
        let load = f64::from(load);
        let beyond = (load - 80.0).max(0.0);
        let doubt = 2.0 + 0.0012 * (load - 40.0).powi(2) + 0.011 * beyond.powi(2);
        CurvePoint::new(load, momentum(load), momentum(load) - doubt, momentum(load) + doubt)
    });
    let mut points: Vec<Point> = loads
        .iter()
        .enumerate()
        .map(|(index, load)| Point::new(*load, momentum(*load) + 3.0 * wobble(index)))
        .collect();
    points.push(Point::set_aside(65.0, 229.0));
    Hill {
        title: "Momentum against load".into(),
        description:
            "Momentum peaks near 48 kg; any load from 30.7 to 67 kg gives nearly all of it.".into(),
        across: Axis { quantity: "load on the hex bar".into(), ..Axis::load() },
        up: momentum_axis(),
        points,
        curve: curve.collect(),
        level: Level::USUAL,
        peak: Some(48.0),
        flat_top: Some(FlatTop { loads: Interval { low: 30.7, high: 67.0 }, loss_fraction: 0.01 }),
        posts: vec![
            Post { at: 50.0, name: "today".into(), kind: PostKind::Today },
            Post { at: 95.0, name: "test next".into(), kind: PostKind::Next },
        ],
        behind: None,
    }
}

fn sparse_hill() -> Hill {
    let curve = (0..=90).map(|load| {
        let load = f64::from(load);
        let doubt = 3.0 + 0.02 * (load - 15.0).max(0.0).powi(2);
        CurvePoint::new(load, momentum(load), momentum(load) - doubt, momentum(load) + doubt)
    });
    Hill {
        title: "Three loads so far".into(),
        description: "Too few loads to tell where momentum peaks; test 50 kg next.".into(),
        across: Axis::load(),
        up: momentum_axis(),
        points: [0.0, 15.0, 30.0]
            .iter()
            .enumerate()
            .map(|(index, load)| Point::new(*load, momentum(*load) + 2.0 * wobble(index)))
            .collect(),
        curve: curve.collect(),
        level: Level::USUAL,
        peak: None,
        flat_top: None,
        posts: vec![Post { at: 50.0, name: "test next".into(), kind: PostKind::Next }],
        behind: None,
    }
}

fn slope() -> Slope {
    let velocity = |load: f64| 1.42 - 0.0092 * load;
    let line = (0..=100).map(|index| {
        let load = 20.0 + f64::from(index) * 1.1;
        let doubt = 0.02 + 0.000_018 * (load - 65.0).powi(2);
        CurvePoint::new(load, velocity(load), velocity(load) - doubt, velocity(load) + doubt)
    });
    Slope {
        title: "Mean velocity against load".into(),
        description: "At 0.60 m/s the line gives 89.1 kg, 86 to 92.5 kg.".into(),
        across: Axis { quantity: "load on the bar".into(), ..Axis::load() },
        up: Axis::new("mean velocity", "m/s", Decimals::Exactly(2)),
        points: [40.0, 40.0, 60.0, 60.0, 80.0, 80.0, 95.0, 100.0]
            .iter()
            .enumerate()
            .map(|(index, load)| Point::new(*load, velocity(*load) + 0.025 * wobble(index)))
            .collect(),
        line: line.collect(),
        level: Level::USUAL,
        target: Some(Target {
            at: 0.6,
            name: "target".into(),
            load: Some(Estimate {
                value: 89.1,
                interval: Interval { low: 86.0, high: 92.5 },
                level: Level::USUAL,
            }),
        }),
        last: None,
        behind: None,
    }
}

fn set_strip() -> Strip {
    Strip {
        title: "This set".into(),
        description: "Rep 4 at 0.64 m/s, inside the window and under the best of 0.69 m/s.".into(),
        axis: Axis::new("mean velocity", "m/s", Decimals::Exactly(2)),
        bands: vec![Band {
            over: Interval { low: 0.58, high: 0.68 },
            name: "target window 0.58–0.68".into(),
        }],
        earlier: vec![0.66, 0.67, 0.65],
        earlier_name: "earlier reps".into(),
        now: Some(Now { at: 0.64, interval: None, word: "on target".into(), asks_for_act: false }),
        marks: vec![
            Mark { at: 0.69, name: "best to beat".into() },
            Mark { at: 0.55, name: "stop below".into() },
        ],
    }
}

fn usual_strip() -> Strip {
    Strip {
        title: "Jump height today".into(),
        description: "33.1 cm, below the usual 35 to 39 cm: ask before loading.".into(),
        axis: Axis::new("jump height", "cm", Decimals::Exactly(1)),
        bands: vec![
            Band { over: Interval { low: 35.0, high: 39.0 }, name: "usual days".into() },
            Band { over: Interval { low: 36.4, high: 37.6 }, name: "last week".into() },
        ],
        earlier: (0..14).map(|index| 37.0 + 1.6 * wobble(index)).collect(),
        earlier_name: "earlier days".into(),
        now: Some(Now {
            at: 33.1,
            interval: Some(Interval { low: 32.2, high: 34.0 }),
            word: "below usual, ask".into(),
            asks_for_act: true,
        }),
        marks: vec![],
    }
}

fn odds() -> Odds {
    Odds {
        title: "Change since the last camp".into(),
        description: "Momentum rose by 6.2 kg m/s, probably a real gain.".into(),
        axis: Axis::new("change in momentum", "kg m/s", Decimals::Exactly(1)),
        change: Estimate {
            value: 6.2,
            interval: Interval { low: 1.1, high: 11.3 },
            level: Level::USUAL,
        },
        trivial: Interval { low: -3.0, high: 3.0 },
        below: Share { name: "lower".into(), probability: 0.004 },
        within: Share { name: "no real change".into(), probability: 0.15 },
        above: Share { name: "higher".into(), probability: 0.846 },
        word: "probably higher".into(),
    }
}

/// Ground force of an invented countermovement jump of an 80 kg body, 100,000 samples.
fn force(time: f64) -> f64 {
    let weight = 784.5;
    let wave = |from: f64, to: f64, size: f64| {
        let share = (time - from) / (to - from);
        if (0.0..1.0).contains(&share) { size * (PI * share).sin() } else { 0.0 }
    };
    let noise = 4.0 * (time * 3217.0).sin() + 3.0 * (time * 7919.0).cos();
    let ground = weight + wave(0.8, 1.15, -480.0) + wave(1.15, 1.78, 1150.0);
    let landing = weight + wave(2.28, 2.42, 2600.0) + wave(2.42, 2.7, 420.0);
    match time {
        time if time < 1.8 => ground + noise,
        time if time < 2.28 => noise,
        _ => landing + noise,
    }
}

fn jump_trace() -> Trace {
    let step = 3.2 / 100_000.0;
    let left: Vec<f64> = (0..100_000).map(|index| 0.52 * force(f64::from(index) * step)).collect();
    let right: Vec<f64> = (0..100_000).map(|index| 0.48 * force(f64::from(index) * step)).collect();
    let both: Vec<f64> = (0..100_000).map(|index| force(f64::from(index) * step)).collect();
    let line =
        |name: &str, values| Line { name: name.into(), faint: false, start: 0.0, step, values };
    let newtons = |name: &str| Axis::new(name, "N", Decimals::Exactly(0));
    let phase = |low, high, name: &str| Phase { over: Interval { low, high }, name: name.into() };
    let event = |at, name: &str| Event { at, name: name.into() };
    let mut total = Signal::line(newtons("force, both feet"), line("", both));
    total.levels.push(Mark { at: 784.5, name: "body weight".into() });
    let mut feet = Signal::line(newtons("force, each foot"), line("left", left));
    feet.lines.push(line("right", right));
    Trace {
        title: "Countermovement jump".into(),
        description: "Take-off at 1.80 s, landing at 2.28 s.".into(),
        time: Axis::time(),
        signals: vec![total, feet],
        phases: vec![
            phase(0.8, 1.15, "unweighting"),
            phase(1.15, 1.36, "braking"),
            phase(1.36, 1.8, "propulsion"),
            phase(1.8, 2.28, "flight"),
            phase(2.28, 2.7, "landing"),
        ],
        events: vec![
            event(0.8, "onset"),
            event(1.36, "lowest point"),
            event(1.8, "take-off"),
            event(2.28, "landing"),
        ],
    }
}

fn mean_trace() -> Trace {
    let at = |index: i32| f64::from(index) * 0.01;
    let velocity = |time: f64| 1.1 * (PI * time / 0.9).sin().powf(0.8);
    let mut values: Vec<f64> = (0..=90).map(|index| velocity(at(index)) * 1.08).collect();
    values[60] = f64::NAN;
    values[61] = f64::NAN;
    let mean = (0..=90).map(|index| {
        let (time, up) = (at(index), velocity(at(index)));
        CurvePoint::new(time, up, up - 0.06 - 0.04 * up, up + 0.06 + 0.04 * up)
    });
    let axis = Axis::new("bar velocity", "m/s", Decimals::Exactly(2));
    let line = Line { name: "today".into(), faint: false, start: 0.0, step: 0.01, values };
    Trace {
        title: "Today over the usual rep".into(),
        description: "Today's rep is faster than the mean of twelve in its second half.".into(),
        time: Axis::time(),
        signals: vec![Signal {
            axis,
            lines: vec![line],
            mean: mean.collect(),
            mean_name: "mean of 12 reps".into(),
            levels: vec![],
        }],
        phases: vec![],
        events: vec![],
    }
}

fn loaded_bar(bar: BarKind, plates: &[f64]) -> LoadedBar {
    LoadedBar {
        title: "Hang".into(),
        description: "The plates to hang on each side, from the collar outwards.".into(),
        bar,
        bar_mass: Mass::kilograms(20.0),
        plates: plates.iter().filter_map(|mass| Plate::kilograms(*mass).ok()).collect(),
    }
}

/// A camp whose bout moved, both ways under each other.
fn calendar() -> Calendar {
    let named = |from, to, name: &str| NamedDays { from, to, name: name.into() };
    let tuesdays = |count: i32| {
        (0..count).map(|week| date(2026, 9, 1).saturating_add((7 * week).days())).collect()
    };
    Calendar {
        title: "Tindra's debut".into(),
        description: "Moved from 21 November to 5 December: a week of strength is added and power begins anew.".into(),
        from: date(2026, 8, 31),
        to: date(2026, 12, 6),
        today: Some(date(2026, 10, 24)),
        layouts: vec![
            CampLayout {
                name: "as it was".into(),
                phases: vec![
                    named(date(2026, 8, 31), date(2026, 10, 3), "strength"),
                    named(date(2026, 10, 5), date(2026, 10, 17), "strength-speed"),
                    named(date(2026, 10, 19), date(2026, 11, 7), "power"),
                    named(date(2026, 11, 9), date(2026, 11, 20), "taper"),
                ],
                bouts: vec![named(date(2026, 11, 21), date(2026, 11, 21), "Lanternlight")],
                rows: vec![DayRow { name: "sparring".into(), days: tuesdays(10) }],
            },
            CampLayout {
                name: "as it would be".into(),
                phases: vec![
                    named(date(2026, 8, 31), date(2026, 10, 3), "strength"),
                    named(date(2026, 10, 5), date(2026, 10, 17), "strength-speed"),
                    named(date(2026, 10, 19), date(2026, 10, 24), "power"),
                    named(date(2026, 10, 26), date(2026, 10, 31), "strength"),
                    named(date(2026, 11, 2), date(2026, 11, 21), "power"),
                    named(date(2026, 11, 23), date(2026, 12, 4), "taper"),
                ],
                bouts: vec![named(date(2026, 12, 5), date(2026, 12, 5), "Lanternlight")],
                rows: vec![
                    DayRow { name: "sparring".into(), days: tuesdays(12) },
                    DayRow { name: "test day".into(), days: vec![date(2026, 11, 23)] },
                ],
            },
        ],
    }
}
