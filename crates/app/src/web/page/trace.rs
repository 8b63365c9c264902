//! One recording: what it shows, its numbers, and what may be put right.

use super::super::Site;
use super::super::assets;
use super::super::shell::Page;
use super::trace_mend::{aside, events, filed_anew, story};
use super::trace_over::over_each_other;
use super::{parts, trace_numbers, traces as list};
use crate::flow::house::House;
use crate::flow::trace::{self, Analysis};
use crate::flow::trace_beside::{self, Candidate, LAID_OVER};
use crate::flow::trials::{self, Asked, Numbers};
use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use cornerwork_core::estimate::Interval;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::units::Mass;
use cornerwork_core::words;
use cornerwork_core::words::capitalised;
use maud::{Markup, html};

/// Shown beside the trial itself, seconds.
const MARGIN_S: f64 = 0.15;

/// How the page is asked for.
#[derive(Clone, Debug, Default)]
pub(super) struct View {
    /// Seconds of the recording to be shown; the trial when not said.
    pub(super) over: Option<Interval<f64>>,
    /// Recordings laid over this one; those of its set when not said.
    pub(super) picked: Option<Vec<OperationId>>,
}

impl View {
    fn from_query(query: &str) -> Self {
        let number = |name: &str| {
            let part = query.split('&').find_map(|part| part.strip_prefix(name));
            part?.parse::<f64>().ok().filter(|number| number.is_finite())
        };
        let over = number("from=").zip(number("to="));
        let with = query.split('&').filter_map(|part| part.strip_prefix("with=")?.parse().ok());
        let picked = query.split('&').any(|part| part == "picked=yes").then(|| with.collect());
        Self {
            over: over.filter(|(from, to)| from < to).map(|(low, high)| Interval { low, high }),
            picked,
        }
    }

    /// The address of the page with what is picked, ready for a stretch of time to be added.
    fn address(&self, id: OperationId) -> String {
        let picked = self.picked.as_ref().map(|picked| {
            let with: String = picked.iter().map(|id| format!("with={id}&")).collect();
            format!("picked=yes&{with}")
        });
        format!("/trace/{id}?{}", picked.unwrap_or_default())
    }

    /// Whether a recording is laid over this one.
    pub(super) fn is_picked(&self, one: &Candidate) -> bool {
        self.picked.as_ref().map_or(one.of_set, |picked| picked.contains(&one.id))
    }
}

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Path(id): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let house = &site.house;
    let view = View::from_query(query.as_deref().unwrap_or_default());
    let Some((trace, asked, others)) = find(house, &id) else {
        let sentence = "That recording is not on file, or its filing was taken back.";
        return (StatusCode::NOT_FOUND, sentence).into_response();
    };
    let recordings = house.keeper.recordings();
    let found = match &asked {
        Some(asked) => Some(trials::analysis(recordings, asked).await),
        None => None,
    };
    let mut beside = Vec::new();
    if let Some(Ok(_)) = &found {
        for one in others.iter().filter(|one| view.is_picked(one)).take(LAID_OVER) {
            if let Ok(analysis) = trials::analysis(recordings, &one.asked).await {
                beside.push((one, analysis));
            }
        }
    }
    let ledger = house.keeper.ledger();
    let gym = ledger.gym();
    let region = html! {
        (head(house, gym, &trace))
        @match &found {
            None => section { p.lead { "Its columns wait to be confirmed. " a href="/traces" { "Confirm them" } "." } },
            Some(Err(why)) => section { p.lead { "△ " (why) } p { "The recording stays on file as it came. File it as what it is, or set it aside." } },
            Some(Ok(analysis)) => {
                @if let Some(number) = trials::headline(&Numbers::of(analysis)) {
                    p.lead { strong { (number) } " · " a href="#numbers" { "all numbers" } }
                }
                (picture(&trace, analysis, &view))
                (events(&trace, analysis))
                (notes(analysis))
                section #numbers { h2 { "Numbers" } (trace_numbers::tables(analysis)) }
                (over_each_other(&trace, analysis, &beside, &others, &view))
            }
        }
        (aside(&trace))
        (filed_anew(house, gym, &trace))
        (story(house, &ledger, &trace))
    };
    let page = Page {
        rest: html! { script type="module" src=(assets::trace_script()) {} },
        ..Page::desk("Trace", region, gym.invented)
    };
    page.html().into_response()
}

type Wanted = (FiledRecording, Option<Asked>, Vec<Candidate>);

/// The recording, what is asked of it, and those that can be laid over it.
fn find(house: &House, id: &str) -> Option<Wanted> {
    let ledger = house.keeper.ledger();
    let gym = ledger.gym();
    let trace = gym.traces.get(id.parse().ok()?)?;
    let asked = Asked::of(gym, house.clock(), trace);
    Some((trace.clone(), asked, trace_beside::candidates(house, gym, trace)))
}

/// The file as it was received, byte for byte.
pub(in super::super) async fn as_received(
    State(site): State<Site>,
    Path(id): Path<String>,
) -> Response {
    let found = {
        let ledger = site.house.keeper.ledger();
        let trace = id.parse().ok().and_then(|id| ledger.gym().traces.get(id));
        trace.map(|trace| (trace.hash, trace.file.clone()))
    };
    let Some((hash, file)) = found else {
        return (StatusCode::NOT_FOUND, "That recording is not on file.").into_response();
    };
    match site.house.keeper.recordings().read(hash).await {
        Ok(bytes) => {
            let safe = |letter: &char| letter.is_ascii_alphanumeric() || " ._-".contains(*letter);
            let name: String = file.chars().filter(safe).collect();
            let headers = [
                (CONTENT_TYPE, "application/octet-stream".to_owned()),
                (CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
            ];
            (headers, bytes).into_response()
        }
        Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
    }
}

fn head(house: &House, gym: &Gym, trace: &FiledRecording) -> Markup {
    let filing = &trace.filing;
    let name =
        gym.athlete(&filing.athlete).map_or(filing.athlete.as_str(), |one| one.name.as_str());
    let kind = capitalised(filing.kind.name());
    let set = gym.traces.set_of(trace);
    let place = set.iter().position(|one| one.id == trace.id).unwrap_or(0);
    html! {
        header.person {
            h1 { (kind) ", " a href={ "/athlete/" (filing.athlete) } { (name) } }
            p {
                (words::day_and_year(filing.day))
                @if let Some(exercise) = list::exercise_shown(house, filing) { " · " (exercise) }
                @if filing.load > Mass::ZERO { " · " (format!("{:.1} kg", filing.load.in_kilograms())) " on the bar" }
                @if let Some(height) = filing.box_height { " · box " (format!("{:.0} cm", height.in_centimetres())) }
                " · " a href={ "/trace/" (trace.id) "/file" } { (trace.file) }
            }
            @if let Some(reading) = &trace.reading {
                p.quiet { "Read " @if let Some(name) = &reading.name { "as “" (name) "”: " } @else { "with " } (trace::in_words(reading)) ". " a href={ "/traces?anew=" (trace.id) } { "Read it anew" } }
            }
            @if let Some(reason) = &trace.set_aside { p.barred { "✕ Set aside: " (reason) ". Its numbers are used nowhere." } }
            p.neighbours {
                a href="/traces" { "All traces" }
                @if set.len() > 1 {
                    span.quiet { "trial " (place + 1) " of " (set.len()) " of the set" }
                    @if let Some(before) = place.checked_sub(1) { a href={ "/trace/" (set[before].id) } rel="prev" { "← before" } }
                    @if let Some(next) = set.get(place + 1) { a href={ "/trace/" (next.id) } rel="next" { "next →" } }
                }
            }
        }
    }
}

/// The stretch in which the trial happens, and a little around it.
fn of_trial(analysis: &Analysis) -> Interval<f64> {
    let whole = analysis.span_s();
    let from = analysis.phases.iter().map(|(_, from, _)| *from).fold(f64::INFINITY, f64::min);
    let to = analysis.phases.iter().map(|(.., to)| *to).fold(f64::NEG_INFINITY, f64::max);
    if from < to {
        Interval { low: (from - MARGIN_S).max(whole.low), high: (to + MARGIN_S).min(whole.high) }
    } else {
        whole
    }
}

fn picture(trace: &FiledRecording, analysis: &Analysis, view: &View) -> Markup {
    let figure = trace::figure(analysis);
    let table = figure.table();
    let shown = view.over.unwrap_or_else(|| of_trial(analysis));
    html! {
        section #picture {
            h2.unseen { "The trace" }
            (zoom(&view.address(trace.id), analysis, shown))
            figure #trace-figure data-at=(view.address(trace.id)) {
                (parts::drawn(&Figure::Trace(figure.within(shown)), "trace", 960.0))
            }
            details.data #trace-data {
                summary { "the trace in words and numbers" }
                p { (figure.description) }
                div.scroll tabindex="0" role="group" aria-label="numbers of the trace" { table {
                    thead { tr { @for name in &table.columns { th { (name) } } } }
                    tbody { @for row in &table.rows { tr { @for cell in row { td.number { (cell) } } } } }
                } }
            }
        }
    }
}

/// Links that show another stretch: they work without script, and with it only the picture changes.
fn zoom(address: &str, analysis: &Analysis, shown: Interval<f64>) -> Markup {
    let whole = analysis.span_s();
    let (width, middle) = (shown.high - shown.low, (shown.low + shown.high) / 2.0);
    let to = |low: f64, high: f64| {
        let (low, high) = (low.max(whole.low), high.min(whole.high));
        format!("{address}from={low:.3}&to={high:.3}#picture")
    };
    let phase = |name: &str| analysis.phases.iter().find(|(one, ..)| *one == name);
    let push = phase("unweighting").or_else(|| phase("propulsion")).or_else(|| phase("contact"));
    let push = push.zip(phase("flight")).map(|((_, from, _), (_, until, _))| (*from, *until));
    html! {
        p.zoom {
            a href={ (address) "#picture" } { "the trial" }
            @if let Some((from, until)) = push { a href=(to(from - 0.1, until + 0.1)) { "to take-off" } }
            a href=(to(whole.low, whole.high)) { "whole recording" }
            a href=(to(middle - width / 4.0, middle + width / 4.0)) { "closer" }
            a href=(to(middle - width, middle + width)) { "wider" }
            a href=(to(shown.low - width / 2.0, shown.high - width / 2.0)) { "← earlier" }
            a href=(to(shown.low + width / 2.0, shown.high + width / 2.0)) { "later →" }
            span.quiet .by-hand hidden { "Drag across the picture to look closer." }
        }
    }
}

fn notes(analysis: &Analysis) -> Markup {
    html! {
        @if !analysis.notes.is_empty() {
            section {
                h2 { "To know" }
                @for note in &analysis.notes { p.note { (note.text) } }
            }
        }
    }
}
