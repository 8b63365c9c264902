//! Recordings laid over each other, and which ones.

use super::parts;
use super::trace::View;
use crate::flow::trace::{self, Aligned, Analysis};
use crate::flow::trace_beside::{Candidate, LAID_OVER};
use crate::flow::trials::{self, Numbers};
use cornerwork_core::estimate::Interval;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::words::capitalised;
use maud::{Markup, html};

/// The trials on one time axis, with the number each is known by.
pub(super) fn over_each_other(
    trace: &FiledRecording,
    analysis: &Analysis,
    beside: &[(&Candidate, Analysis)],
    candidates: &[Candidate],
    view: &View,
) -> Markup {
    let own = Aligned { name: "this one".to_owned(), analysis };
    let others = beside.iter().map(|(one, analysis)| Aligned { name: one.name.clone(), analysis });
    let trials: Vec<Aligned<'_>> = std::iter::once(own).chain(others).collect();
    let drawn = trace::overlay(&trials);
    let title = match trace::word_for_repetitions(trace.filing.kind) {
        Some(word) => format!("{} over each other", capitalised(word)),
        None => "Trials over each other".to_owned(),
    };
    html! {
        @if drawn.is_some() || !candidates.is_empty() {
            section #over {
                h2 { (title) }
                @if let Some(figure) = drawn {
                    @let table = figure.table();
                    p { (figure.description) }
                    figure { (parts::drawn(&Figure::Trace(figure.clone()), &format!("set-{}", trace.id), 960.0)) }
                    (parts::data_table("set-data", &table))
                    @if !beside.is_empty() { (numbers_of(&trials, beside)) }
                } @else { p { "Tick which to lay over this one." } }
                @if !candidates.is_empty() { (pick(trace, candidates, view)) }
            }
        }
    }
}

/// The number each trial is known by, with the way to it.
fn numbers_of(trials: &[Aligned<'_>], beside: &[(&Candidate, Analysis)]) -> Markup {
    let links = std::iter::once(None).chain(beside.iter().map(|(one, _)| Some(one.id)));
    html! {
        ul.trials { @for (trial, id) in trials.iter().zip(links) {
            li {
                @match id { Some(id) => a href={ "/trace/" (id) } { (trial.name) }, None => strong { (trial.name) } }
                @if let Some(number) = trials::headline(&Numbers::of(trial.analysis)) { " " span.number { (number) } }
            }
        } }
    }
}

/// Which recordings are laid over this one. The address of the page says it, so a picture can be
/// kept as a link and nothing is stored.
fn pick(trace: &FiledRecording, candidates: &[Candidate], view: &View) -> Markup {
    let picked = candidates.iter().filter(|one| view.is_picked(one)).count();
    let ticks = |of_athlete: bool| {
        let theirs = || candidates.iter().filter(move |one| one.of_athlete == of_athlete);
        html! {
            @for one in theirs() {
                label.tick { input type="checkbox" name="with" value=(one.id) checked[view.is_picked(one)]; span { (one.name) } }
            }
        }
    };
    html! {
        @if picked > LAID_OVER {
            p.note { (picked) " are ticked; " (LAID_OVER) " at most are drawn over this one, the newest." }
        }
        form #pick action={ "/trace/" (trace.id) "#over" } {
            input type="hidden" name="picked" value="yes";
            @if let Some(Interval { low, high }) = view.over {
                input type="hidden" name="from" value=(low);
                input type="hidden" name="to" value=(high);
            }
            @if candidates.iter().any(|one| one.of_athlete) {
                fieldset.ticks { legend { "Of the same athlete" } (ticks(true)) }
            }
            @if candidates.iter().any(|one| !one.of_athlete) {
                details #of-others { summary { "of others" } fieldset.ticks { legend { "Of other athletes" } (ticks(false)) } }
            }
            button { "Draw these" }
        }
    }
}
