//! One session: who is in, what each does at each station and why, and how it is built.

use super::super::Site;
use super::super::shell::Page;
use super::{parts, sessions};
use crate::flow::house::House;
use crate::flow::program::rotate::{self, Rotating};
use crate::flow::program::{self, done, resolve, turns};
use crate::flow::squad_jumps::SquadJumps;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use cornerwork_core::exercise::{Exercise, StopRule};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{
    Block, DoThis, Exceptional, Intensity, Objection, OfferedSwap, Planned, Presence,
    ResolvedSession, SessionId, SessionPlan,
};
use jiff::civil::Time;
use maud::{Markup, html};

/// The page.
pub(in super::super) async fn show(State(site): State<Site>, Path(id): Path<String>) -> Response {
    let Some(region) = region(&site, &id) else {
        let sentence = "There is no such session. Go back to the sessions.";
        return (StatusCode::NOT_FOUND, sentence).into_response();
    };
    let ledger = site.house.keeper.ledger();
    let plan = SessionId::new(&id).and_then(|id| program::session(&site.house, ledger.gym(), &id));
    let title = plan.map_or_else(|| "Session".to_owned(), |plan| plan.name);
    let path = format!("/session/{id}");
    Page {
        live: Some(&path),
        now: Some(site.house.clock().now()),
        ..Page::desk(&title, region, ledger.gym().invented)
    }
    .html()
    .into_response()
}

/// What changes.
pub(in super::super) fn region(site: &Site, id: &str) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let house = &site.house;
    let plan = program::session(house, gym, &SessionId::new(id)?)?;
    let view = View::new(house, gym, &plan);
    Some(view.page())
}

struct View<'a> {
    house: &'a House,
    gym: &'a Gym,
    plan: &'a SessionPlan,
    resolved: ResolvedSession,
    runs: bool,
    /// Whether its evening was held and closed.
    over: bool,
}

impl<'a> View<'a> {
    fn new(house: &'a House, gym: &'a Gym, plan: &'a SessionPlan) -> Self {
        let resolved = resolve::session(house, gym, plan);
        let runs = gym.evening_of(&plan.id).is_some();
        let last = gym.evening.as_ref().filter(|evening| evening.closed);
        let over = last.is_some_and(|evening| evening.plan.session.as_ref() == Some(&plan.id));
        Self { house, gym, plan, resolved, runs, over }
    }

    fn path(&self) -> String {
        format!("/session/{}", self.plan.id)
    }

    fn page(&self) -> Markup {
        let today = self.house.clock().today();
        let done = self.plan.date.is_some_and(|date| date <= today);
        html! {
            p.date { a href="/sessions" { "Sessions" } " · " (sessions::day_in_words(self.plan, today)) }
            h1.today { (self.plan.name) }
            (self.opening())
            @if !self.plan.is_template() { (self.people()) }
            @for block in &self.plan.blocks { (self.station(block)) }
            @if !self.runs { (self.another_station()) }
            (self.head())
            @if done && !self.plan.is_template() { (self.on_paper()) (self.done()) }
        }
    }

    /// What was written on the sheets comes in afterwards.
    fn on_paper(&self) -> Markup {
        html! {
            p { a.button href={ (self.path()) "/paper" } { "Type in from paper" } }
        }
    }

    /// Whether it fits, and the one thing to press on the day.
    fn opening(&self) -> Markup {
        let open = self.gym.open_evening().is_some();
        let today = self.plan.date == Some(self.house.clock().today());
        html! {
            section {
                @if self.plan.is_template() {
                    p.lead { "A template: plan a session from it to see loads." }
                    p.source { (self.plan.source) }
                } @else {
                    @if !self.over { (self.fits()) }
                    @if self.over {
                        p.lead { "Its evening is closed." }
                        p { a.button href="/close" { "Ratings and the line to the head coach" } }
                    }
                    @if self.runs {
                        p { a.button href="/floor" { "To the floor" } }
                    } @else if today && !open {
                        form method="post" action=(self.path()) data-send {
                            input type="hidden" name="what" value="open";
                            @if self.over { button { "Open it again with " (self.plan.people.len()) " in" } }
                            @else { button.main { "Open the evening with " (self.plan.people.len()) " in" } }
                        }
                    } @else if today && open {
                        p.quiet { "Another evening is open. Close it at the desk first." }
                    }
                }
            }
        }
    }

    fn fits(&self) -> Markup {
        if let Some(running) = turns::running(self.house, self.gym, &self.resolved) {
            return html! {
                p.lead { (running.in_words()) }
                p { a href={ (self.path()) "/rotation" } { "Who goes where when" } }
            };
        }
        match rotate::rotate(self.house, self.gym, &self.resolved) {
            Err(sentence) => html! { p.lead { (sentence) } },
            Ok(rotating) => {
                let best = &rotating.plan.best;
                let ends = rotating.clock(best.timetable.length);
                let objections = self.resolved.planned.iter().filter(|one| !one.is_open()).count();
                html! {
                    p.lead {
                        (best.rounds.len()) " rounds, over at " (ends)
                        @if rotating.in_time() { ", in time." } @else {
                            ", " strong { (late_by(&rotating)) " min late." } " Cut a set or a station."
                        }
                        @match objections {
                            0 => {}
                            1 => { " One thing is barred below: decide on it." }
                            count => { " " (count) " things are barred below: decide on them." }
                        }
                    }
                    p { a href={ (self.path()) "/rotation" } { "Who goes where when" } }
                }
            }
        }
    }

    fn people(&self) -> Markup {
        let action = self.path();
        let everyone: Vec<&Athlete> = self.gym.athletes.values().collect();
        // What all jumps say is looked at once, and only where today's are asked about.
        let is_today = self.plan.date == Some(self.house.clock().today());
        let squad = is_today.then(|| SquadJumps::of_gym(self.house, self.gym));
        html! {
            section {
                h2 { "Who is in" }
                ul.present { @for presence in &self.plan.people { @if let Some(athlete) = self.gym.athlete(&presence.athlete) {
                    li {
                        details id={ "presence-" (athlete.id) } {
                            summary { (athlete.given_name()) span.code { (athlete.id) } (times(self.plan.starts, presence)) }
                            (self.comes(&athlete.id))
                        }
                    }
                } } }
                @for presence in &self.plan.people { @if let Some(athlete) = self.gym.athlete(&presence.athlete) { (self.today(athlete, squad.as_ref())) } }
                @if !self.runs {
                    details.more #people {
                        summary { "Change who is in" }
                        form method="post" action=(action) data-send {
                            input type="hidden" name="what" value="people";
                            fieldset.ticks {
                                legend.unseen { "Who is in" }
                                @for athlete in everyone {
                                    label.tick {
                                        input type="checkbox" name="athlete" value=(athlete.id) checked[self.plan.presence(&athlete.id).is_some()];
                                        span { (athlete.name) }
                                    }
                                }
                            }
                            button { "These are in" }
                        }
                    }
                } @else {
                    details.more #people {
                        summary { "Someone comes after all" }
                        form.choices method="post" action=(action) data-send {
                            input type="hidden" name="what" value="in";
                            @for athlete in everyone.iter().filter(|one| self.plan.presence(&one.id).is_none()) {
                                button name="athlete" value=(athlete.id) { (athlete.given_name()) }
                            }
                        }
                    }
                }
            }
        }
    }

    /// Comes late, goes early, or there the whole time.
    fn comes(&self, athlete: &AthleteId) -> Markup {
        let (late, leaves) = if self.runs {
            ("minutes from now", "minutes from now")
        } else {
            ("minutes after the start", "minutes after the start")
        };
        let form = |what: &str, words: &str, unit: &str, usual: &str| {
            html! {
                form.inline method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value=(what);
                    input type="hidden" name="athlete" value=(athlete);
                    label { (words) ", " (unit) input name="minutes" inputmode="numeric" size="4" required value=(usual) autocomplete="off"; }
                    button { (words) }
                }
            }
        };
        html! {
            div.comes {
                (form("late", "Comes late", late, if self.runs { "0" } else { "20" }))
                (form("leaves", "Leaves", leaves, if self.runs { "0" } else { "45" }))
                form method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="in";
                    button name="athlete" value=(athlete) { @if self.runs { "Here from now to the end" } @else { "There the whole time" } }
                }
            }
        }
    }

    /// A low jump in the warm-up: what the rule would take off, for the coach to decide.
    fn today(&self, athlete: &Athlete, squad: Option<&SquadJumps>) -> Markup {
        let taken = self.plan.exceptions.iter().find_map(|one| match one.what {
            Exceptional::Lighter { fraction } if one.athlete == athlete.id => Some(fraction),
            _ => None,
        });
        let shift = |squad| resolve::shift_for_today(self.house, self.gym, &athlete.id, squad);
        let proposed = squad.and_then(shift);
        let button = |percent: f64, words: &str| {
            html! {
                form method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="except";
                    input type="hidden" name="athlete" value=(athlete.id);
                    button name="do" value={ "lighter:" (percent) } { (words) }
                }
            }
        };
        html! {
            @match (taken, proposed) {
                (Some(fraction), _) if fraction > 0.0 => {
                    div.asked {
                        p { strong { (athlete.given_name()) } (format!(": {:.0} % off every load today.", fraction * 100.0)) }
                        (button(0.0, "As planned after all"))
                    }
                }
                (None, Some((fraction, sentence))) => {
                    div.asked {
                        p { strong { (athlete.given_name()) } ": " (sentence) " Common practice takes " (format!("{:.0}", fraction * 100.0)) " % off the first loads; you decide." }
                        (button(fraction * 100.0, &format!("Take {:.0} % off", fraction * 100.0)))
                        (button(0.0, "As planned"))
                    }
                }
                _ => {}
            }
        }
    }

    fn exercise(&self, planned: &Planned) -> Option<&'a Exercise> {
        self.house.exercise(self.gym, &planned.exercise)
    }

    fn station(&self, block: &Block) -> Markup {
        let exercise = self.house.exercise(self.gym, &block.exercise);
        let name = self.house.exercise_name(self.gym, &block.exercise);
        let stop = block.stop.or_else(|| exercise.and_then(|one| one.stop));
        html! {
            section.block {
                h2 { span.code { (block.station) } " " a href={ "/exercise/" (block.exercise) } { (name) } }
                p.dose {
                    (block.sets) " × " (block.reps)
                    @if exercise.is_some_and(|one| one.sides != cornerwork_core::exercise::Sides::None) { " each side" }
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

    fn another_station(&self) -> Markup {
        html! {
            details.more #another {
                summary { "Add a station" }
                (self.station_form(None))
            }
        }
    }

    fn station_form(&self, block: Option<&Block>) -> Markup {
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
                button { @if block.is_some() { "Change it" } @else { "Add it" } }
            }
        }
    }

    fn head(&self) -> Markup {
        let plan = self.plan;
        html! {
            details.more #head {
                summary { "Name, day, length, template" }
                @if !self.runs {
                    form.fields method="post" action=(self.path()) data-send {
                        input type="hidden" name="what" value="head";
                        label { "Name" input name="name" required maxlength="60" value=(plan.name) autocomplete="off"; }
                        @if let Some(date) = plan.date { label { "Day" input type="date" name="day" required value=(date); } }
                        label { "Starts" input name="starts" required value=(plan.starts.strftime("%H:%M")) autocomplete="off"; }
                        label { "Minutes" input name="minutes" inputmode="numeric" required value=(plan.minutes) autocomplete="off"; }
                        button { "Change it" }
                    }
                }
                form.inline method="post" action=(self.path()) data-send {
                    input type="hidden" name="what" value="keep";
                    label { "Keep as a template called" input name="name" required maxlength="60" autocomplete="off"; }
                    button { "Keep it" }
                }
                @if !self.runs && self.gym.program.session(&plan.id).is_some() {
                    form method="post" action=(self.path()) data-send {
                        input type="hidden" name="what" value="drop";
                        button { @if plan.is_template() { "Drop the template" } @else { "Drop the session" } }
                    }
                }
            }
        }
    }

    /// Planned beside performed.
    fn done(&self) -> Markup {
        let rows = done::rows(self.house, self.gym, self.plan);
        let any = rows.iter().any(|row| row.reps_done > 0);
        html! {
            @if any {
                section {
                    h2 { "Planned and done" }
                    div.scroll tabindex="0" role="region" aria-label="Planned and done" {
                        table {
                            thead { tr { th { "athlete" } th { "exercise" } th { "planned" } th { "reps done" } th { "with" } th { "best" } } }
                            tbody { @for row in &rows { tr {
                                td { (self.gym.athlete(&row.athlete).map_or("", |athlete| athlete.given_name())) }
                                td { (row.exercise) }
                                td { (row.planned.as_deref().unwrap_or("not planned")) }
                                td.number { (row.reps_done) @if row.reps_planned > 0 { " of " (row.reps_planned) } }
                                td { (if row.loads_done.is_empty() { "—".to_owned() } else { row.loads_done.join(", ") }) }
                                td.number { (row.best.as_deref().unwrap_or("—")) }
                            } } }
                        }
                    }
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

const RULES: [(&str, &str); 7] = [
    ("peak", "share of the peak-momentum load, %"),
    ("velocity", "window of velocity, m/s"),
    ("maximum", "share of the maximum, %"),
    ("box", "box by its own rule"),
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

fn rule_in_words(intensity: &Intensity) -> String {
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
        Intensity::BoxRule => "box by its own rule".to_owned(),
        Intensity::Isometric { hold } => format!("hold {:.0} s", hold.in_seconds()),
        Intensity::Fixed { load } => format!("{} kg for all", load.in_kilograms()),
        Intensity::BodyWeight => "the body alone".to_owned(),
    }
}

fn stop_in_words(stop: StopRule) -> String {
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

/// What the rule wanted before rounding, where that differs, and how sure it is.
fn doubt(planned: &Planned) -> Markup {
    let DoThis::Hang { doubt: Some(doubt), .. } = &planned.with else { return html! {} };
    html! { span.quiet {
        " By the rule " (format!("{:.0} to {:.0} kg, 90 % sure.", doubt.low.in_kilograms().max(0.0), doubt.high.in_kilograms()))
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

/// " from 18:40 until 19:05", where it is not the whole session.
fn times(starts: Time, presence: &Presence) -> Markup {
    let clock = |minute: u16| rotate::clock_after(starts, rotate::minutes(minute));
    html! {
        @if presence.from_minute > 0 { span.quiet { " from " (clock(presence.from_minute)) } }
        @if let Some(until) = presence.until_minute { span.quiet { " until " (clock(until)) } }
    }
}

fn minutes_of(seconds: f64) -> String {
    format!("{}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}

fn late_by(rotating: &Rotating) -> String {
    let over = rotating.plan.best.timetable.length - rotating.limit;
    format!("{:.0}", (over.in_seconds() / 60.0).ceil())
}
