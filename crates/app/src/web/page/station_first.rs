//! What a station needs before it can work for whoever is up, each with the tap that gives it; and
//! reps that nothing measures.

use super::super::Site;
use crate::flow::first_evening::{self, Missing};
use crate::flow::floor::{StationView, UpView};
use crate::flow::program::bar_kind;
use cornerwork_core::exercise::MeasureKind;
use cornerwork_core::kit::BarKind;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Seen;
use maud::{Markup, html};

/// What is missing here, with a tap for each.
pub(super) fn section(site: &Site, gym: &Gym, view: &StationView<'_>, path: &str) -> Markup {
    let up = view.up.as_ref().filter(|up| up.barred.is_none());
    let missing = up.and_then(|up| {
        first_evening::missing(&site.house, gym, view.station, &up.athlete.id).map(|it| (up, it))
    });
    let Some((up, missing)) = missing else { return html! {} };
    html! {
        (unloaded(up, &missing, path))
        @if missing.body_mass { (weigh_in(up, path)) }
        @if let Some(kind) = missing.bar { (other_bar(gym, kind, path)) }
        @if missing.boxes { (add_box(path)) }
    }
}

fn unloaded(up: &UpView<'_>, missing: &Missing<'_>, path: &str) -> Markup {
    let name = up.athlete.given_name();
    html! {
        @if missing.jumps_unloaded {
            section.advice {
                p { (name) " jumps without a load: two or three, the best counts." }
                form method="post" action={ (path) "/loaded" } data-send {
                    input type="hidden" name="athlete" value=(up.athlete.id);
                    button { "Done: on to " (missing.exercise.name) }
                }
            }
        } @else if missing.unloaded_jump {
            section.advice {
                p { (name) " has no jump without a load lately. Start with one." }
                form method="post" action={ (path) "/unloaded" } data-send {
                    input type="hidden" name="athlete" value=(up.athlete.id);
                    button { "Jump without a load" }
                }
            }
        }
    }
}

fn weigh_in(up: &UpView<'_>, path: &str) -> Markup {
    html! {
        form.inline method="post" action={ "/athlete/" (up.athlete.id) "/mass" } data-send {
            input type="hidden" name="back" value=(path);
            label { "Body mass of " (up.athlete.given_name()) ", kg" input name="text" inputmode="decimal" autocomplete="off" required size="6"; }
            button { "Weigh in" }
        }
    }
}

/// A bar that can be held as the kind that is missing, or where to enter one.
fn other_bar(gym: &Gym, kind: BarKind, path: &str) -> Markup {
    let bars = first_evening::bars_to_use_as(gym, kind);
    html! {
        section.advice {
            p { "No " (kind.word()) " bar here yet. " @if bars.is_empty() { a href="/kit#bars" { "Add one on the Kit page." } } }
            @for bar in bars {
                form method="post" action="/kit" data-send {
                    input type="hidden" name="what" value="bar";
                    input type="hidden" name="back" value=(path);
                    input type="hidden" name="name" value=(bar.name);
                    input type="hidden" name="text" value=(format!("{}", bar.mass().in_kilograms()));
                    input type="hidden" name="weighed" value=(if bar.assumed { "no" } else { "yes" });
                    @for way in bar.ways() { input type="hidden" name="kind" value=(way.kind.word()); }
                    button name="kind" value=(kind.word()) { "Use " (bar.name) ", " (format!("{:.1}", bar.mass().in_kilograms())) " kg, here" }
                }
            }
        }
    }
}

fn add_box(path: &str) -> Markup {
    html! {
        form.inline method="post" action="/kit" data-send {
            input type="hidden" name="what" value="box";
            input type="hidden" name="back" value=(path);
            label { "No box yet. Height of one, cm" input name="text" inputmode="decimal" autocomplete="off" required size="6"; }
            button { "Add box" }
        }
    }
}

/// A load list's first line where the load is jumped with.
pub(super) fn no_load(view: &StationView<'_>, up: &UpView<'_>) -> Markup {
    let jumps = super::parts::is_loaded_jump(view.exercise) && bar_kind(view.exercise).is_some();
    html! {
        @if jumps { option value="none" selected[up.load.bar.is_none()] { "no load: a jump without a bar" } }
    }
}

/// Reps without a number: one, or all that are left of the set; and where a sensor would measure a
/// velocity, how the rep looked.
pub(super) fn not_measured(view: &StationView<'_>, path: &str, fields: &Markup) -> Markup {
    let Some(up) = &view.up else { return html! {} };
    let left = left_of_set(view, up);
    let velocity = [MeasureKind::MeanVelocity, MeasureKind::PeakVelocity];
    html! {
        form method="post" action={ (path) "/missed" } data-send {
            (fields)
            button { "Rep done, not measured" }
        }
        @if left > 1 {
            form method="post" action={ (path) "/missed" } data-send {
                (fields)
                input type="hidden" name="reps" value=(left);
                button { (left) " reps done" }
            }
        }
        @if velocity.contains(&view.exercise.measure.kind) {
            form.by-eye method="post" action={ (path) "/missed" } data-send {
                (fields)
                span.quiet { "No sensor? By eye it was" }
                @for seen in Seen::ALL { button name="seen" value=(seen.code()) { (seen.word()) } }
            }
        }
    }
}

/// Reps that the set still lacks, on the side whose turn it is.
fn left_of_set(view: &StationView<'_>, up: &UpView<'_>) -> u32 {
    let done = up.set.iter().filter(|one| one.rep.entry.side == up.side).count();
    view.station.reps.saturating_sub(u32::try_from(done).unwrap_or(u32::MAX))
}
