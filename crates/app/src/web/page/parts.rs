//! Small pieces of several pages: number, judgement, action, working.

use crate::flow::floor::{StationView, UpView};
use crate::flow::judged::RepView;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use cornerwork_core::estimate::Interval;
use cornerwork_core::exercise::{Exercise, LoadModel, MeasureKind};
use cornerwork_core::note::Note;
use cornerwork_core::report::figure::{Axis, Band, Decimals, Figure, Mark, Now, Strip, Table};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::judgement::{Against, Expected, Verdict};
use cornerwork_core::session::next_action::NextAction;
use cornerwork_core::session::rep::Side;
use cornerwork_core::working::Working;
use cornerwork_io::charts::{self, Layout, Theme};
use maud::{Markup, PreEscaped, html};

/// Width of a figure on a phone, in CSS pixels.
const NARROW_PX: f64 = 340.0;

/// A figure for the wall: one width, larger text.
pub(super) fn drawn_large(figure: &Figure, id: &str) -> Markup {
    let layout = Layout::new(id, 420.0).with_text(19.0);
    html! { (PreEscaped(charts::svg(figure, &layout, Theme::Page))) }
}

/// A figure, laid out for a width in CSS pixels and once more for a phone: text in a picture that
/// is only scaled down cannot be read. The style sheet shows one of the two.
pub(super) fn drawn(figure: &Figure, id: &str, width_px: f64) -> Markup {
    let svg =
        |id: &str, width| PreEscaped(charts::svg(figure, &Layout::new(id, width), Theme::Page));
    html! {
        @if width_px > NARROW_PX {
            div.wide { (svg(id, width_px)) }
            div.narrow { (svg(&format!("{id}-narrow"), NARROW_PX)) }
        } @else {
            (svg(id, width_px))
        }
    }
}

/// A figure as wide as the page, laid out for a phone, a tablet and a laptop: for one that puts
/// more side by side the more room there is.
pub(super) fn drawn_at_each_size(figure: &Figure, id: &str) -> Markup {
    let svg = |name: &str, width| {
        let layout = Layout::new(format!("{id}-{name}"), width);
        PreEscaped(charts::svg(figure, &layout, Theme::Page))
    };
    html! {
        div.narrow { (svg("narrow", NARROW_PX)) }
        div.middle { (svg("middle", 740.0)) }
        div.wide { (svg("wide", 950.0)) }
    }
}

/// The huge number with its unit.
pub(super) fn number(exercise: &Exercise, view: &RepView<'_>) -> Markup {
    let unit = exercise.measure.unit.symbol();
    match view.rep.entry.value {
        Some(value) => {
            let digits = exercise.measure.number(value);
            html! { p.number data-say={ (digits) " " (unit) ", " (view.judgement.verdict.word()) } {
                (digits) span.unit { (unit) }
            } }
        }
        None => {
            let said = match view.judgement.verdict {
                Verdict::ByEye(_) => view.judgement.verdict.word(),
                _ => "done, no number",
            };
            html! { p.number.quiet data-say=(said) { "✓" span.unit { "no number" } } }
        }
    }
}

/// Whose number it is: "Oriel, rear hand". It stands with the number wherever that goes.
pub(super) fn whose(view: &RepView<'_>) -> String {
    let name = view.athlete.map_or("", |athlete| athlete.given_name());
    let side = view.rep.entry.side.map(|side| format!(", {}", side.word()));
    format!("{name}{}", side.unwrap_or_default())
}

/// A result that is over, in one line: "Oriel, rear hand 3.20 m/s, new best".
pub(super) fn in_one_line(exercise: &Exercise, view: &RepView<'_>) -> String {
    let verdict = view.judgement.verdict.word();
    match view.rep.entry.value {
        Some(value) => format!("{} {}, {verdict}", whose(view), exercise.measure.with_unit(value)),
        None => format!("{}, {verdict}", whose(view)),
    }
}

/// "0.42 s" for the time on the ground, where it was typed.
pub(super) fn contact_in_short(exercise: &Exercise, view: &RepView<'_>) -> Option<String> {
    let measure = exercise.measure_of(MeasureKind::ContactTime)?;
    Some(measure.with_unit(view.rep.entry.contact_time?.in_seconds()))
}

/// The time on the ground with its judgement.
pub(super) fn contact(exercise: &Exercise, view: &RepView<'_>) -> Markup {
    let Some(judged) = view.contact.filter(|_| exercise.measure.kind != MeasureKind::ContactTime)
    else {
        return html! {};
    };
    let time = contact_in_short(exercise, view);
    let measure = exercise.measure_of(MeasureKind::ContactTime);
    let against = judged.against_s.and_then(|seconds| Some(measure?.with_unit(seconds)));
    html! {
        @if let Some(time) = time {
            p.contact-time {
                (time) " on the ground " span.shape aria-hidden="true" { (judged.verdict.shape()) } " " (judged.verdict.words())
                @if let Some(against) = against { " (" (against) ")" }
            }
        }
    }
}

/// The word, the shape and the difference.
pub(super) fn judgement(exercise: &Exercise, view: &RepView<'_>) -> Markup {
    let verdict = view.judgement.verdict;
    let class = match verdict {
        Verdict::Best => "best",
        Verdict::Short | Verdict::Over | Verdict::Below => "short",
        _ => "plain",
    };
    html! {
        p.judgement.(class) {
            span.shape aria-hidden="true" { (verdict.shape()) } " " (verdict.word())
            @if let Some(difference) = difference(exercise, view) { " " span.difference { (difference) } }
        }
    }
}

/// "+0.06", and against what when that is not plain from the word.
fn difference(exercise: &Exercise, view: &RepView<'_>) -> Option<String> {
    let difference = view.judgement.difference?;
    let digits = exercise.measure.number(difference.abs());
    let sign = if difference < 0.0 { "−" } else { "+" };
    let against = match view.judgement.against? {
        Against::Best(_) => "",
        Against::Curve(_) => " to expected",
        Against::Floor(_) => " to target",
        Against::Ceiling(_) => " over target",
    };
    Some(format!("{sign}{digits}{against}"))
}

/// What a judgement rests on, for whoever asks why.
pub(super) fn judged_against(exercise: &Exercise, view: &RepView<'_>) -> String {
    let measure = &exercise.measure;
    let alike = "under the same conditions";
    match (view.judgement.verdict, view.judgement.against) {
        (_, Some(Against::Best(best))) => {
            format!("Compared with the best before it {alike}, {}.", measure.with_unit(best))
        }
        (_, Some(Against::Curve(Expected { value, band }))) => format!(
            "Expected {} with this load, {} to {} in nine of ten, from the own jumps of the days before.",
            measure.with_unit(value),
            measure.number(band.low),
            measure.with_unit(band.high)
        ),
        (_, Some(Against::Floor(floor))) => {
            format!("Held against the least it should be, {}.", measure.with_unit(floor))
        }
        (_, Some(Against::Ceiling(ceiling))) => format!(
            "Held against the upper edge of its window, {}: over it the load is too light.",
            measure.with_unit(ceiling)
        ),
        (Verdict::OnTarget, None) => "Inside its window.".to_owned(),
        (Verdict::First, None) => format!("Nothing before it {alike}."),
        (Verdict::NotCounted, _) => {
            "Its number is not used: it was set aside, or a fault spoils it.".to_owned()
        }
        (Verdict::ByEye(_), _) => {
            "Rated by eye: it counts as work, and for no best and no curve.".to_owned()
        }
        _ => "Done without a number: it counts as work and for nothing else.".to_owned(),
    }
}

/// What to beat or to hit, in a few words.
pub(super) fn to_beat(exercise: &Exercise, up: &UpView<'_>) -> String {
    let measure = &exercise.measure;
    let target = up.target.map(|target| match target {
        Target::AtLeast(floor) => format!("at least {}", measure.number(floor)),
        Target::Window { low, high } => {
            format!("window {} to {}", measure.number(low), measure.number(high))
        }
    });
    let window = matches!(up.target, Some(Target::Window { .. }));
    let best =
        up.best.filter(|_| !window).map(|best| format!("best to beat {}", measure.number(best)));
    let words: Vec<String> = target.into_iter().chain(best).collect();
    if words.is_empty() { "no best yet at this load".to_owned() } else { words.join(" · ") }
}

/// The load or the box, short enough for a heading, with the side whose turn it is unless the
/// number of the other one still stands beside it.
pub(super) fn load_in_short(view: &StationView<'_>, up: &UpView<'_>) -> String {
    let side = up.side.filter(|_| now_the_other(view).is_none());
    let side = side.map(|side| format!(" · {}", side.word())).unwrap_or_default();
    if let Some(height) = up.box_height {
        return format!("box {:.0} cm{side}", height.in_centimetres());
    }
    if up.load.bar.is_none() {
        return format!("no load{side}");
    }
    format!("{:.1} kg{side}", up.load.total.in_kilograms())
}

/// Momentum of body and bar, for loaded jumps with a known body mass.
pub(super) fn is_loaded_jump(exercise: &Exercise) -> bool {
    exercise.load_model == LoadModel::SystemMass
}

/// Class of the action: how loud it is.
pub(super) const fn action_class(action: &NextAction) -> &'static str {
    match action {
        NextAction::StopDrop { .. } | NextAction::StopUnderWindow { .. } => "stop",
        NextAction::CloseSet { .. } | NextAction::Rotate => "close",
        NextAction::Again { .. } | NextAction::Rest { .. } | NextAction::Empty => "go",
    }
}

/// What to do now, as one sentence.
pub(super) fn action_sentence(view: &StationView<'_>) -> Markup {
    if let Some(barred) = view.up.as_ref().and_then(|up| up.barred.as_ref()) {
        return html! { "✕ " (barred) };
    }
    match &view.action {
        NextAction::StopDrop { drop, .. } => {
            html! { "■ Stop: −" (format!("{:.0}", drop * 100.0)) " % from the set's best" }
        }
        NextAction::StopUnderWindow { in_a_row } => {
            html! { "■ Stop: under the window " (in_a_row) " times in a row" }
        }
        NextAction::Again { rep, of } => {
            html! { "Rep " (rep) " of " (of) @if let Some(side) = now_the_other(view) { ": now " (side.word()) } }
        }
        NextAction::CloseSet { set, of } => html! { "Set " (set) " of " (of) " done: close it" },
        NextAction::Rest { set, of, .. } => html! {
            "Rest " (rest_clock(view)) " before set " (set) " of " (of)
        },
        NextAction::Rotate => html! { "Everyone here is done: rotate" },
        NextAction::Empty => html! { "Nobody stands here" },
    }
}

/// The side whose turn it is, while the number of the other one still stands.
fn now_the_other(view: &StationView<'_>) -> Option<Side> {
    let last = view.shown()?;
    let side = view.up.as_ref()?.side?;
    last.rep.entry.side.filter(|done| *done != side).map(|_| side)
}

/// A clock that counts rest up in the browser, from the last effort.
pub(super) fn rest_clock(view: &StationView<'_>) -> Markup {
    let since = view.up.as_ref().and_then(|up| up.last_effort);
    let rest = view.station.rest.in_seconds();
    match since {
        Some(since) => html! {
            span.clock data-since=(since.as_millisecond()) data-rest=(rest) { (minutes(rest)) }
        },
        None => html! { span.clock { (minutes(rest)) } },
    }
}

fn minutes(seconds: f64) -> String {
    format!("{}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}

/// The strip of the set: reps so far with the load and side of the last one, target and best to
/// beat.
pub(super) fn set_strip(exercise: &Exercise, up: &UpView<'_>) -> Option<Strip> {
    let measure = &exercise.measure;
    let shown = |value: f64| measure.from_si(value);
    let last_view = up.set.iter().rev().find(|view| view.rep.counts())?;
    let alike = |view: &&RepView<'_>| {
        view.rep.entry.side == last_view.rep.entry.side
            && view.rep.entry.load.same_as(&last_view.rep.entry.load)
    };
    let values: Vec<f64> =
        (up.set.iter()).filter(alike).filter_map(|view| view.rep.number()).map(shown).collect();
    let (last, earlier) = values.split_last()?;
    let verdict = last_view.judgement.verdict;
    let bands = match up.target {
        Some(Target::Window { low, high }) => vec![Band {
            over: Interval::between(shown(low), shown(high)),
            name: "window".to_owned(),
        }],
        _ => Vec::new(),
    };
    let mut marks = Vec::new();
    if let Some(Target::AtLeast(floor)) = up.target {
        marks.push(Mark { at: shown(floor), name: "target".to_owned() });
    }
    // The best of the side, load and box of that rep, whatever comes next.
    if let Some(best) = last_view.best.filter(|_| bands.is_empty()) {
        marks.push(Mark { at: shown(best), name: "best to beat".to_owned() });
    }
    if let Some(Against::Curve(expected)) = last_view.judgement.against {
        marks.push(Mark { at: shown(expected.value), name: "expected".to_owned() });
    }
    Some(Strip {
        title: format!("{}: this set", whose(last_view)),
        description: format!(
            "{} reps of this set; the last was {}, {}.",
            values.len(),
            measure.with_unit(last_view.rep.number()?),
            verdict.word()
        ),
        axis: Axis::new(
            measure.kind.words(),
            measure.unit.symbol(),
            Decimals::Exactly(measure.decimals),
        ),
        bands,
        earlier: earlier.to_vec(),
        earlier_name: "reps of this set".to_owned(),
        now: Some(Now {
            at: *last,
            interval: None,
            word: verdict.word().to_owned(),
            asks_for_act: matches!(verdict, Verdict::Short | Verdict::Over),
        }),
        marks,
    })
}

/// 'Why?': the working of a number, folded away.
pub(super) fn why(id: &str, working: &Working, notes: &[Note]) -> Markup {
    html! {
        details.why id=(id) {
            summary { "why?" }
            div.working {
                p.title { (working.title) }
                table {
                    caption { "What went in" }
                    tbody {
                        @for input in &working.inputs {
                            tr { th scope="row" { (input.name) } td { (input.value) } }
                        }
                    }
                }
                @if !working.steps.is_empty() {
                    ol.steps { @for step in &working.steps { li { (step) } } }
                }
                p { strong { "How sure. " } (working.doubt) }
                @for note in notes { p { (note.text) } }
                p.source { "Method " (working.method) ", version " (working.version) ". " (working.source) }
            }
        }
    }
}

/// The numbers of a picture, folded away.
pub(super) fn data_table(id: &str, table: &Table) -> Markup {
    html! {
        details.data id=(id) {
            summary { "numbers" }
            div.scroll tabindex="0" role="group" aria-label="numbers of the picture" { table {
                thead { tr { @for name in &table.columns { th { (name) } } } }
                tbody { @for row in &table.rows { tr { @for cell in row { td.number { (cell) } } } } }
            } }
        }
    }
}

/// What is answered where an address names nobody.
pub(super) fn no_such_athlete() -> Response {
    (StatusCode::NOT_FOUND, "There is no athlete of this code here.").into_response()
}
