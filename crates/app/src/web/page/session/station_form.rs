//! A station added or changed, and its rules in words.

use super::{View, minutes_of};
use cornerwork_core::exercise::StopRule;
use cornerwork_core::session::program::{Block, Intensity};
use maud::{Markup, html};

impl View<'_> {
    pub(super) fn another_station(&self) -> Markup {
        html! {
            details.more #another {
                summary { "Add a station" }
                (self.station_form(None))
            }
        }
    }

    pub(super) fn station_form(&self, block: Option<&Block>) -> Markup {
        let (rule, amount) =
            block.map_or(("body", String::new()), |block| rule_typed(&block.intensity));
        let number = |value: Option<u32>| value.map(|value| value.to_string());
        let rest = block.map(|block| minutes_of(block.rest.in_seconds()));
        let stop = block.and_then(|block| match block.stop {
            Some(StopRule::DropFromBest { fraction, .. }) => {
                Some(format!("{:.0}", fraction * 100.0))
            }
            _ => None,
        });
        html! {
            form.fields method="post" action=(self.path()) data-send {
                input type="hidden" name="what" value="station";
                @if let Some(block) = block { input type="hidden" name="station" value=(block.station); }
                label { "Exercise" select name="exercise" {
                    @for exercise in self.house.every_exercise(self.gym) {
                        option value=(exercise.id) selected[block.is_some_and(|block| block.exercise == exercise.id)] { (exercise.name) }
                    }
                } }
                label { "Sets" input name="sets" inputmode="numeric" autocomplete="off" value=[number(block.map(|b| b.sets))] placeholder="usual"; }
                label { "Reps" input name="reps" inputmode="numeric" autocomplete="off" value=[number(block.map(|b| b.reps))] placeholder="usual"; }
                label { "Rest" input name="rest" autocomplete="off" value=[rest] placeholder="2:00"; }
                label { "Load by" select name="rule" {
                    @for (code, words) in RULES { option value=(code) selected[code == rule] { (words) } }
                } }
                label { "How much" input name="amount" autocomplete="off" value=(amount) placeholder="100, 1.6 to 1.8, 85"; }
                label { "Stop at a drop of, %" input name="stop" inputmode="decimal" autocomplete="off" value=[stop] placeholder="usual"; }
                button { @if block.is_some() { "Save" } @else { "Add" } }
            }
        }
    }
}

const RULES: [(&str, &str); 7] = [
    ("peak", "share of the peak-momentum load, %"),
    ("velocity", "window of velocity, m/s"),
    ("maximum", "share of the maximum, %"),
    ("box", "box set by the depth-jump rule"),
    ("hold", "hold, seconds"),
    ("fixed", "the same load for all, kg"),
    ("body", "the body alone"),
];

fn rule_typed(intensity: &Intensity) -> (&'static str, String) {
    match intensity {
        Intensity::PeakMomentum { share } => ("peak", format!("{:.0}", share * 100.0)),
        Intensity::Velocity { window } => (
            "velocity",
            format!(
                "{:.2} to {:.2}",
                window.low.in_metres_per_second(),
                window.high.in_metres_per_second()
            ),
        ),
        Intensity::OneRepMax { share } => ("maximum", format!("{:.0}", share * 100.0)),
        Intensity::BoxRule => ("box", String::new()),
        Intensity::Isometric { hold } => ("hold", format!("{:.0}", hold.in_seconds())),
        Intensity::Fixed { load } => ("fixed", format!("{}", load.in_kilograms())),
        Intensity::BodyWeight => ("body", String::new()),
    }
}

pub(super) fn rule_in_words(intensity: &Intensity) -> String {
    match intensity {
        Intensity::PeakMomentum { share } if (share - 1.0).abs() < 1e-9 => {
            "at the peak of momentum".to_owned()
        }
        Intensity::PeakMomentum { share } => {
            format!("{:.0} % of the peak-momentum load", share * 100.0)
        }
        Intensity::Velocity { window } => format!(
            "{:.2} to {:.2} m/s",
            window.low.in_metres_per_second(),
            window.high.in_metres_per_second()
        ),
        Intensity::OneRepMax { share } => format!("{:.0} % of the maximum", share * 100.0),
        Intensity::BoxRule => "box set by the depth-jump rule".to_owned(),
        Intensity::Isometric { hold } => format!("hold {:.0} s", hold.in_seconds()),
        Intensity::Fixed { load } => format!("{} kg for all", load.in_kilograms()),
        Intensity::BodyWeight => "the body alone".to_owned(),
    }
}

pub(super) fn stop_in_words(stop: StopRule) -> String {
    match stop {
        StopRule::DropFromBest { fraction, in_a_row: 1 } => {
            format!("stop at a drop over {:.0} %", fraction * 100.0)
        }
        StopRule::DropFromBest { fraction, in_a_row } => {
            format!("stop at a drop over {:.0} %, {in_a_row} in a row", fraction * 100.0)
        }
        StopRule::UnderWindow { in_a_row } => format!("stop under the window {in_a_row} times"),
    }
}
