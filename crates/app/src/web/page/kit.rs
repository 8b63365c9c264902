//! The kit: bars, plates, boxes and the jump mat, as weighed and measured.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::kit;
use axum::extract::State;
use axum::response::Html;
use cornerwork_core::kit::{Bar, BarKind};
use cornerwork_core::session::gym::Gym;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>) -> Html<String> {
    let region = region(&site);
    let invented = site.house.keeper.ledger().gym().invented;
    Page { live: Some("/kit"), ..Page::desk("Kit", region, invented) }.html()
}

/// What changes.
pub(in super::super) fn region(site: &Site) -> Markup {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    html! {
        h1 { "Kit" @if !gym.name.is_empty() { " of " (gym.name) } }
        p { "Weigh every bar once: stamped and real mass differ. What was lifted keeps the mass that was on record then." }
        (bars(gym))
        (plates(gym))
        (boxes(gym))
        (mat(gym))
        section #gym {
            h2 { "The gym" }
            form.inline method="post" action="/kit" data-send {
                input type="hidden" name="what" value="name";
                label { "Name" input name="text" required maxlength="80" autocomplete="off" placeholder=(gym.name); }
                button { "Save" }
            }
        }
    }
}

fn bars(gym: &Gym) -> Markup {
    html! {
        section #bars {
            h2 { "Bars" }
            @if !gym.bars.is_empty() {
                table {
                    thead { tr { th { "bar" } th { "kind" } th { "mass" } } }
                    tbody { @for bar in kit::owned(gym) { tr {
                        td { (bar.name) }
                        td { (kinds_in_words(bar)) }
                        td.number { (format!("{:.2}", bar.mass().in_kilograms())) " kg" @if bar.assumed { ", as stamped, not weighed" } }
                    } } }
                }
            }
            form.inline method="post" action="/kit" data-send {
                input type="hidden" name="what" value="bar";
                label { "Bar" input name="name" required maxlength="40" autocomplete="off" placeholder="hex blue"; }
                fieldset.choices {
                    legend { "Held as (tick all that apply)" }
                    @for kind in BarKind::ALL {
                        label { input type="checkbox" name="kind" value=(kind.word()); (kind.word()) }
                    }
                }
                label { "Mass, kg" input name="text" required inputmode="decimal" size="6" autocomplete="off"; }
                label { "Known" select name="weighed" {
                    option value="yes" { "weighed" }
                    option value="no" { "only stamped" }
                } }
                button { "Save bar" }
            }
        }
    }
}

/// "straight, landmine".
fn kinds_in_words(bar: &Bar) -> String {
    let words: Vec<&str> = bar.ways().iter().map(|way| way.kind.word()).collect();
    words.join(", ")
}

fn plates(gym: &Gym) -> Markup {
    let listed = kit::plates_in_words(&gym.plates);
    html! {
        section #plates {
            h2 { "Plates" }
            p { @if listed.is_empty() { "None counted yet." } @else { (kit::plates_counted(&gym.plates)) "." } }
            form.inline method="post" action="/kit" data-send {
                input type="hidden" name="what" value="plates";
                label { "Pairs, in kg (20x2 is two pairs)" input name="text" required size="36" autocomplete="off" value=(listed) placeholder="20x2, 15, 10x3, 5x3, 2.5x3, 1.25x2"; }
                button { "Save plates" }
            }
        }
    }
}

fn boxes(gym: &Gym) -> Markup {
    let heights: Vec<String> =
        gym.boxes.iter().map(|height| format!("{:.0}", height.in_centimetres())).collect();
    let listed = heights.join(", ");
    html! {
        section #boxes {
            h2 { "Boxes" }
            p { @if listed.is_empty() { "None measured yet." } @else { "Heights in cm: " (listed) "." } }
            form.inline method="post" action="/kit" data-send {
                input type="hidden" name="what" value="boxes";
                label { "Heights, cm" input name="text" required size="36" autocomplete="off" value=(listed) placeholder="20, 30, 45, 60"; }
                button { "Save boxes" }
            }
        }
    }
}

fn mat(gym: &Gym) -> Markup {
    let high = gym.mat_reads_high_by.in_centimetres();
    html! {
        section #mat {
            h2 { "Jump mat" }
            p { @if high == 0.0 { "Not compared with a better method yet." } @else { "Reads " (format!("{high:.1}")) " cm high. That is taken off before a momentum curve is made; numbers on the floor stay as the mat reads." } }
            form.inline method="post" action="/kit" data-send {
                input type="hidden" name="what" value="mat";
                label { "Reads high by, cm" input name="text" required inputmode="decimal" size="6" autocomplete="off"; }
                label { "Compared with" input name="against" required maxlength="80" autocomplete="off" placeholder="force platform, 20 jumps"; }
                button { "Enter" }
            }
        }
    }
}
