//! What may be put right in a recording: an event moved, the recording set aside or filed anew, and
//! the story of what was.

use super::traces as list;
use crate::flow::house::House;
use crate::flow::trace::{self, Analysis};
use crate::flow::{trace_story, traces};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::trial::{Kind, TrialEvent};
use cornerwork_core::words;
use cornerwork_core::words::capitalised;
use maud::{Markup, html};

/// Reasons for setting a recording aside, as they are met with its kind of trial.
const fn reasons(kind: Kind) -> [&'static str; 5] {
    let [first, second, third] = match kind {
        Kind::CountermovementJump | Kind::SquatJump => {
            ["moved during the weighing", "landed off the plate", "stumbled or used the arms"]
        }
        Kind::DropJump => {
            ["jumped off the box", "landed off the plate", "stumbled or used the arms"]
        }
        Kind::RepeatedJump => ["stopped in between", "left the plate", "stumbled or used the arms"],
        Kind::Isometric => ["moved before the effort", "grip or strap slipped", "wrong posture"],
        Kind::Bar => ["cut the range short", "sensor slipped", "was helped with the bar"],
    };
    ["not a full effort", first, second, third, "plate or sensor at fault"]
}
/// Reasons for moving an event.
const MOVED: [&str; 3] =
    ["seen on the trace", "the rule took a wobble for it", "checked against the video"];
/// Where each event is, and a form to move it. With script it is dragged on the picture too.
pub(super) fn events(trace: &FiledRecording, analysis: &Analysis) -> Markup {
    let movable = trace.filing.kind.movable();
    html! {
        @if !movable.is_empty() {
            section {
                h2 { "Events" }
                p { "Found automatically; drag any that look wrong. Every number is then worked out again. You can undo a move below." }
                @for event in movable { (move_form(trace, analysis, *event)) }
            }
        }
    }
}

fn move_form(trace: &FiledRecording, analysis: &Analysis, event: TrialEvent) -> Markup {
    let at = trace::time_of(analysis, event);
    let by_hand = trace.moved.at(event).is_some();
    html! {
        form.inline.event method="post" action={ "/trace/" (trace.id) } data-send data-event=(event.name()) data-at=[at] {
            input type="hidden" name="what" value="move";
            input type="hidden" name="event" value=(event.name());
            label { (event.name()) @if event == TrialEvent::Weighing { ", begin" } ", s"
                input name="seconds" inputmode="decimal" autocomplete="off" size="8" value=[at.map(|at| format!("{at:.3}"))];
            }
            label { "Why" select name="reason" { @for reason in MOVED { option { (reason) } } } }
            button { "Move it" }
            @if by_hand { span { "set by a person" } button name="seconds" value="" formnovalidate { "Leave it to the rule" } }
            @if at.is_none() { span.quiet { "not found" } }
        }
    }
}

/// One click to set it aside, with the reason on the button.
pub(super) fn aside(trace: &FiledRecording) -> Markup {
    let action = format!("/trace/{}", trace.id);
    html! {
        section {
            @if trace.set_aside.is_some() {
                h2 { "Set aside" }
                form.inline method="post" action=(action) data-send {
                    input type="hidden" name="what" value="back";
                    label { "Why it counts after all" input name="own_reason" maxlength="200" autocomplete="off"; }
                    button { "Count it again" }
                }
            } @else {
                h2 { "Do not use it" }
                p { "It stays on file; its numbers are used nowhere." }
                form.choices method="post" action=(action) data-send {
                    input type="hidden" name="what" value="aside";
                    @for reason in reasons(trace.filing.kind) { button name="reason" value=(reason) { (reason) } }
                }
                form.inline method="post" action=(action) data-send {
                    input type="hidden" name="what" value="aside";
                    label { "Another reason" input name="own_reason" required maxlength="200" autocomplete="off"; }
                    button { "Set it aside" }
                }
            }
        }
    }
}

pub(super) fn filed_anew(house: &House, gym: &Gym, trace: &FiledRecording) -> Markup {
    html! {
        details #anew {
            summary { "It is someone else's, another kind, load or day" }
            form method="post" action={ "/trace/" (trace.id) } data-send {
                input type="hidden" name="what" value="anew";
                div.fields {
                    (list::said_of(house, gym, None, Some(&trace.filing)))
                    label { "Why" input name="own_reason" maxlength="200" autocomplete="off" placeholder="filed for the wrong athlete"; }
                }
                button { "File it like this" }
            }
        }
    }
}

/// Who did what, newest first; each can be taken back.
pub(super) fn story(house: &House, ledger: &Ledger, trace: &FiledRecording) -> Markup {
    let clock = house.clock();
    let steps = trace_story::steps(ledger, trace);
    html! {
        section {
            h2 { "Its story" }
            div.scroll tabindex="0" role="region" aria-label="Its story" { table.stacks {
                thead { tr { th { "when" } th { "who" } th { "what" } th { "why" } th { span.unseen { "take back" } } } }
                tbody { @for step in steps.iter().rev() { tr {
                    td { (words::short_day_and_year(clock.date_of(step.at))) ", " (clock.time_of(step.at)) }
                    td { (step.author) }
                    td { (step.what) }
                    td { (step.reason) }
                    td { form method="post" action="/undo" data-send[step.operation != trace.id] {
                        input type="hidden" name="operation" value=(step.operation);
                        input type="hidden" name="back" value={ @if step.operation == trace.id { "/traces" } @else { "/trace/" (trace.id) } };
                        button { "Take back" }
                    } }
                } } }
            } }
            p.quiet { (capitalised(&traces::in_words(ledger.gym(), trace))) ". Kept under " code.hash { (trace.hash) } "." }
        }
    }
}
