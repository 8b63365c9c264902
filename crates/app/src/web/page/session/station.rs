//! A station of a session: who does what there and why, and what is barred.

use super::super::parts;
use super::station_form::{rule_in_words, stop_in_words};
use super::{View, minutes_of};
use cornerwork_core::exercise::{Exercise, Sides};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::program::{
    Block, DoThis, Exceptional, Objection, OfferedSwap, Planned,
};
use maud::{Markup, html};

impl<'a> View<'a> {
    fn exercise(&self, planned: &Planned) -> Option<&'a Exercise> {
        self.house.exercise(self.gym, &planned.exercise)
    }

    pub(super) fn station(&self, block: &Block) -> Markup {
        let exercise = self.house.exercise(self.gym, &block.exercise);
        let name = self.house.exercise_name(self.gym, &block.exercise);
        let stop = block.stop.or_else(|| exercise.and_then(|one| one.stop));
        html! {
            section.block {
                h2 { span.code { (block.station) } " " a href={ "/exercise/" (block.exercise) } { (name) } }
                p.dose {
                    (block.sets) " × " (block.reps)
                    @if exercise.is_some_and(|one| one.sides != Sides::None) { " each side" }
                    " · rest " (minutes_of(block.rest.in_seconds())) " · " (rule_in_words(&block.intensity))
                    @if let Some(stop) = stop { " · " (stop_in_words(stop)) }
                }
                ul.planned { @for alike in self.together(block) { (self.line(block, &alike)) } }
                (self.left_out(block))
                @if !self.runs {
                    details.more id={ "station-" (block.station) } {
                        summary { "Change this station" }
                        (self.station_form(Some(block)))
                        form method="post" action=(self.path()) data-send {
                            input type="hidden" name="what" value="no-station";
                            button name="station" value=(block.station) { "Take the station away" }
                        }
                    }
                }
            }
        }
    }

    /// What is planned at a station, those who do the same in one line.
    fn together(&self, block: &Block) -> Vec<Vec<&Planned>> {
        let mut lines: Vec<Vec<&Planned>> = Vec::new();
        for planned in self.resolved.at_station(block.station) {
            match lines
                .iter_mut()
                .find(|line| line.first().is_some_and(|one| alike(block, one, planned)))
            {
                Some(line) => line.push(planned),
                None => lines.push(vec![planned]),
            }
        }
        lines
    }

    fn line(&self, block: &Block, together: &[&Planned]) -> Markup {
        let Some(planned) = together.first() else { return html! {} };
        let names: Vec<String> =
            together.iter().map(|one| self.gym.given_name(&one.athlete)).collect();
        let swapped = planned.exercise != block.exercise;
        let exercise = self.exercise(planned);
        let id = format!("why-{}-{}", planned.station, planned.athlete);
        html! {
            li.line.barred-line[!planned.is_open()] {
                span.name { (names.join(", ")) }
                @if planned.is_open() {
                    div.with {
                        p.load {
                            @if swapped { @if let Some(exercise) = exercise { span.quiet { (exercise.name) ": " } } }
                            @if let Some(side) = planned.only { span.quiet { (side.word()) " only: " } }
                            (planned.in_words())
                            @if matches!(planned.with, DoThis::NotYet { start: None, .. }) { " " a href="/kit" { "Kit" } }
                        }
                        p.reason { (planned.reason) (doubt(planned)) (target(planned, exercise)) }
                        @if let Some(working) = &planned.working { (parts::why(&id, working, &planned.notes)) }
                        @if swapped || planned.only.is_some() { (self.as_planned(planned)) }
                    }
                } @else {
                    div.with { @for objection in &planned.objections { (self.objection(planned, objection)) } }
                }
            }
        }
    }

    fn objection(&self, planned: &Planned, objection: &Objection) -> Markup {
        let station = planned.station.to_string();
        let offer = |swap: &OfferedSwap| {
            let code = match &swap.what {
                Exceptional::Swap { only: Some(side), .. } => format!("side:{}", side.code()),
                Exceptional::Swap { to, .. } => format!("swap:{to}"),
                _ => "out".to_owned(),
            };
            html! { button name="do" value=(code) { (swap.words) } }
        };
        html! {
            p.barred { "✕ " (objection.sentence) }
            form.choices method="post" action=(self.path()) data-send {
                input type="hidden" name="what" value="except";
                input type="hidden" name="athlete" value=(planned.athlete);
                input type="hidden" name="station" value=(station);
                input type="hidden" name="exercise" value=(planned.exercise);
                @for swap in &objection.swaps { (offer(swap)) }
                button name="do" value="out" { "Leave it out" }
            }
            @if !objection.hard {
                form.inline method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="except";
                    input type="hidden" name="do" value="confirm";
                    input type="hidden" name="athlete" value=(planned.athlete);
                    input type="hidden" name="station" value=(station);
                    label { "Or answer for it: your reason" input name="reason" required maxlength="120" autocomplete="off"; }
                    button { "I answer for it" }
                }
            }
        }
    }

    fn as_planned(&self, planned: &Planned) -> Markup {
        html! {
            form method="post" action=(self.path()) data-send {
                input type="hidden" name="what" value="as-planned";
                input type="hidden" name="station" value=(planned.station);
                button.small name="athlete" value=(planned.athlete) { "Not swapped after all" }
            }
        }
    }

    /// Those who do nothing at a station by the coach's word.
    fn left_out(&self, block: &Block) -> Markup {
        let out: Vec<&Athlete> = self
            .plan
            .people
            .iter()
            .filter(|one| self.plan.exercise_for(&one.athlete, block.station).is_none())
            .filter_map(|one| self.gym.athlete(&one.athlete))
            .collect();
        html! {
            @for athlete in out {
                form.inline method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="as-planned";
                    input type="hidden" name="station" value=(block.station);
                    span.quiet { (athlete.given_name()) " leaves this out." }
                    button.small name="athlete" value=(athlete.id) { "Put back" }
                }
            }
        }
    }
}

/// Whether two lines say the same to the letter, with nothing to open or to press.
fn alike(block: &Block, one: &Planned, other: &Planned) -> bool {
    let plain = |planned: &Planned| {
        let as_planned = planned.exercise == block.exercise && planned.only.is_none();
        as_planned && planned.is_open() && planned.working.is_none()
    };
    plain(one)
        && plain(other)
        && one.in_words() == other.in_words()
        && one.reason == other.reason
        && one.target == other.target
}

/// What the rule wanted before rounding, where that differs, and how sure it is.
fn doubt(planned: &Planned) -> Markup {
    let DoThis::Hang { doubt: Some(doubt), .. } = &planned.with else { return html! {} };
    html! { span.quiet {
        " Calculated load " (format!("{:.0}–{:.0} kg (90 %).", doubt.low.in_kilograms().max(0.0), doubt.high.in_kilograms()))
    } }
}

fn target(planned: &Planned, exercise: Option<&Exercise>) -> Markup {
    let Some((target, exercise)) = planned.target.zip(exercise) else { return html! {} };
    let measure = &exercise.measure;
    html! { span.quiet { " Target: " @match target {
        Target::AtLeast(floor) => { "at least " (measure.with_unit(floor)) "." }
        Target::Window { low, high } => { (measure.number(low)) " to " (measure.with_unit(high)) "." }
    } } }
}
