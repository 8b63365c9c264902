//! The form of an athlete's facts: for a new one at the desk, to correct one on the card.

use crate::flow::enter_athlete::{born_in_words, last_correction};
use crate::flow::house::House;
use cornerwork_core::session::athlete::{Athlete, AthleteId, LEVELS, Sex, Stance, next_code};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::words;
use jiff::civil::Date;
use maud::{Markup, html};

/// A new athlete.
pub(super) fn new(gym: &Gym, today: Date) -> Markup {
    let code = next_code(gym.athletes.keys());
    html! {
        details.more #enter {
            summary { "Add an athlete" }
            form.fields method="post" action="/athlete" data-send {
                (facts(None, today))
                label { "Short code, made for you if empty" input name="code" maxlength="8" autocomplete="off" placeholder=[code]; }
                button { "Add" }
            }
        }
    }
}

/// What is known of an athlete, to correct, and the last correction to undo.
pub(super) fn correct(house: &House, ledger: &Ledger, athlete: &Athlete) -> Markup {
    let today = house.clock().today();
    html! {
        section {
            h2 { "Facts" }
            p { (sex(athlete.sex)) " · " (born_in_words(athlete.born, today)) " · " (stance(athlete.stance)) @if !athlete.level.is_empty() { " · " (athlete.level) } }
            details.more #correct {
                summary { "Correct" }
                form.fields method="post" action={ "/people/" (athlete.id) "/correct" } data-send {
                    (facts(Some(athlete), today))
                    button { "Save" }
                }
            }
            (undo(house, ledger, &athlete.id))
        }
    }
}

fn facts(known: Option<&Athlete>, today: Date) -> Markup {
    let date = known.and_then(|one| one.born.date());
    html! {
        label { "Name" input name="name" required maxlength="80" autocomplete="off" value=[known.map(|one| &one.name)]; }
        label { "Date of birth" input type="date" name="born" max=(today) autocomplete="off" value=[date]; }
        @if date.is_none() {
            label { "or age, if nobody knows it" input name="age" inputmode="numeric" size="3" autocomplete="off"; }
        }
        label { "Sex" select name="sex" required {
            // None stands chosen: comparisons with the wrong half would go unseen.
            @if known.is_none() { option value="" { "choose" } }
            @for one in [Sex::Female, Sex::Male] { option value=(sex(one)) selected[known.is_some_and(|known| known.sex == one)] { (sex(one)) } }
        } }
        label { "Stance" select name="stance" {
            @for one in [Stance::Orthodox, Stance::Southpaw] { option value=(stance(one)) selected[known.is_some_and(|known| known.stance == one)] { (stance(one)) } }
        } }
        label { "Level" input name="level" list="levels" maxlength="60" autocomplete="off" value=[known.map(|one| &one.level)]; }
        datalist #levels { @for level in LEVELS { option value=(level) {} } }
    }
}

fn undo(house: &House, ledger: &Ledger, athlete: &AthleteId) -> Markup {
    html! {
        @if let Some(last) = last_correction(ledger, athlete) {
            form.inline method="post" action="/undo" data-send {
                input type="hidden" name="operation" value=(last.id);
                p.quiet { "Corrected by " (last.author.name) ", " (words::day_and_year(house.clock().date_of(last.at))) "." }
                button.small { "Undo" }
            }
        }
    }
}

const fn sex(sex: Sex) -> &'static str {
    match sex {
        Sex::Female => "female",
        Sex::Male => "male",
    }
}

const fn stance(stance: Stance) -> &'static str {
    match stance {
        Stance::Orthodox => "orthodox",
        Stance::Southpaw => "southpaw",
    }
}
