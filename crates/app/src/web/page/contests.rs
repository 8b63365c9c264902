//! The single bouts on a page of the plan: who against whom, how it ended, and the form for both.

use crate::flow::camp::contest::{self, ContestLine};
use crate::flow::camp::typed::written;
use crate::flow::house::House;
use cornerwork_core::camp::contest::{Contest, Outcome};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::capitalised;
use cornerwork_core::words::short_weekday_and_day as short;
use jiff::civil::Date;
use maud::{Markup, html};

/// What is known of them.
pub(super) fn told(gym: &Gym, bout: &Bout, today: Date) -> Markup {
    let lines = contest::lines(gym, bout, today);
    let (open, known): (Vec<_>, Vec<_>) = lines.iter().partition(|line| line.is_open());
    html! {
        section #bouts {
            h2 { "Bouts and results" }
            ul.days {
                @for line in known { li.inline {
                    span {
                        strong { (short(line.day)) } " " (line.athlete.name)
                        @if line.opponent.is_empty() { span.quiet { ", opponent not known" } } @else { " against " (line.opponent) }
                        @match &line.barred {
                            Some(why) => { br; span.barred { "✕ " (why) } },
                            None => { ": " (line.result) },
                        }
                    }
                    (entry(bout, line, "enter"))
                } }
                @for day in open.chunk_by(|one, next| one.day == next.day) { li {
                    strong { (short(day[0].day)) } span.quiet { ", opponents not known: " }
                    @for (place, line) in day.iter().enumerate() { @if place > 0 { ", " } (entry(bout, line, &line.athlete.name)) }
                } }
            }
        }
    }
}

/// The way to the form with this bout filled in.
fn entry(bout: &Bout, line: &ContestLine<'_>, word: &str) -> Markup {
    let label = format!("enter or correct: {}, {}", line.athlete.name, written(line.day));
    html! {
        a href={ "/plan/" (bout.id) "?who=" (line.athlete.id) "&on=" (line.day) "#enter-bout" } aria-label=(label) { (word) }
    }
}

/// The form, for the bout a link asked for or for the next one of the first athlete.
pub(super) fn form(
    house: &House,
    gym: &Gym,
    bout: &Bout,
    path: &str,
    fields: &[(String, String)],
) -> Markup {
    let today = house.clock().today();
    let text = |name: &str| {
        let field = fields.iter().find(|(field, _)| field == name);
        field.map(|(_, text)| text.as_str())
    };
    let chosen = bout.athletes.iter().find(|id| text("who") == Some(id.as_str()));
    let chosen = chosen.or_else(|| bout.athletes.first());
    let asked: Option<Date> = text("on").and_then(|day| day.parse().ok());
    let next = || chosen.and_then(|id| gym.camps.next_day_of(bout, id, today));
    let day = asked.or_else(next).unwrap_or(bout.date);
    let known = chosen.and_then(|id| gym.camps.contests().on(&bout.id, id, day));
    let opponent = known.map_or("", |one: &Contest| &one.opponent);
    let outcome = known.and_then(|one| one.outcome);
    html! {
        section.plan #enter-bout {
            h2 { "Enter a bout or its result" }
            form.fields method="post" action=(path) data-send {
                input type="hidden" name="what" value="contest";
                label { "Who" select name="athlete" { @for athlete in bout.athletes.iter().filter_map(|id| gym.athlete(id)) {
                    option value=(athlete.id) selected[chosen == Some(&athlete.id)] { (athlete.name) }
                } } }
                label { "Day" select name="day" { @for one in gym.camps.days(bout) {
                    option value=(one) selected[one == day] { (written(one)) }
                } } }
                label { "Against, if known" input name="opponent" maxlength="60" autocomplete="off" value=(opponent); }
                label { "Result" select name="outcome" {
                    option value="" { "not yet" }
                    @for one in Outcome::all() {
                        option value=(one.code()) selected[outcome == Some(one)] { (words(one)) }
                    }
                } }
                label { "Whose rules bind, if stopped" select name="body" {
                    option value="" { "choose" }
                    @for body in house.safety.rules.stand_down_bodies() { option value=(body) { (body) } }
                } }
                button { "Save bout" }
            }
            p.quiet { "Enter the same day again to correct it. Whoever loses, withdraws or is stopped is out of the days that follow, unless a bout is entered for one. A stoppage begins the stand-down at once and cannot be taken back." }
        }
    }
}

/// How it ended, as the list to choose from says it.
fn words(outcome: Outcome) -> String {
    match outcome {
        Outcome::Stopped(kind) => format!("Lost: {}", kind.words()),
        Outcome::Walkover => "Won without boxing (walkover)".to_owned(),
        other => capitalised(other.word()),
    }
}
