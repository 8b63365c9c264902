//! Consent on an athlete's card: what was answered, and the form for a new answer.

use crate::flow::house::House;
use crate::flow::person::PersonView;
use cornerwork_core::camp::consent::{Consent, ConsentTo, Giver};
use cornerwork_core::camp::permission::Role;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::day;
use jiff::civil::Date;
use maud::{Markup, html};

/// The section.
pub(super) fn section(house: &House, gym: &Gym, view: &PersonView<'_>) -> Markup {
    let athlete = view.athlete;
    let today = house.clock().today();
    let minor = athlete.is_junior(today);
    html! {
        section {
            h2 { "Consent" }
            (answers(gym, view, today))
            @if minor { p.quiet { "Under 18: a guardian must agree to everything, and the athlete too, except to training. No answer counts as no." } }
            details.more #word {
                summary { "Record consent" }
                form.fields method="post" action={ "/people/" (athlete.id) "/consent" } data-send {
                    label { "For" select name="to" { @for to in asked(minor) { option value=(to.code()) { (to.words()) } } } }
                    label { "Answer" select name="given" { option value="yes" { "yes" } option value="no" { "no, or withdrawn" } } }
                    @if minor {
                        label { "Given by" select name="giver" { @for giver in [Giver::Guardian, Giver::Athlete] { option value=(giver.code()) { (giver.code()) } } } }
                    } @else {
                        input type="hidden" name="giver" value=(Giver::Athlete.code());
                    }
                    label { "Name of who answered" input name="name" required maxlength="60" autocomplete="off" value=[(!minor).then_some(&athlete.name)]; }
                    fieldset { legend.quiet { "Notes on cycle and mood: who may read them" }
                        @for role in [Role::Coach, Role::Physio, Role::Doctor, Role::Nutritionist] {
                            label.check { input type="checkbox" name="shared" value=(role.code()); span { (role.words()) } }
                        }
                    }
                    button { "Save" }
                }
            }
            (confirm_box(house, gym, view, today))
        }
    }
}

/// Training is asked of a guardian only: an adult who comes to train has said yes.
fn asked(minor: bool) -> impl Iterator<Item = ConsentTo> {
    ConsentTo::ALL.into_iter().filter(move |to| minor || *to != ConsentTo::Training)
}

fn answers(gym: &Gym, view: &PersonView<'_>, today: Date) -> Markup {
    let athlete = view.athlete;
    let safety = gym.safety();
    let latest = |to| safety.consents(&athlete.id).iter().rev().find(|one: &&Consent| one.to == to);
    html! {
        div.scroll tabindex="0" role="region" aria-label="Consent" { table {
            thead { tr { th { "for" } th { "answer" } th { "last change" } } }
            tbody { @for to in asked(athlete.is_junior(today)) {
                @let said = latest(to);
                tr {
                    td { (to.words()) }
                    td { (answer(safety.consented(athlete, to, today), said)) }
                    td { @if let Some(one) = said {
                        @if one.given { "yes" } @else { "no" } ", " (one.name) " (" (one.giver.code()) "), " (day(one.on))
                    } }
                }
            } }
        } }
    }
}

/// Nobody who was not asked is shown as having refused.
const fn answer(stands: bool, said: Option<&Consent>) -> &'static str {
    match (stands, said) {
        (true, _) => "✓ yes",
        (false, None) => "not asked yet",
        (false, Some(Consent { given: true, .. })) => "△ one answer still missing",
        (false, Some(_)) => "✕ no",
    }
}

fn confirm_box(house: &House, gym: &Gym, view: &PersonView<'_>, today: Date) -> Markup {
    let age = view.athlete.age_years(today);
    let confirmable: Vec<_> = house
        .every_exercise(gym)
        .filter(|one| one.permissions.confirm_under_years.is_some_and(|years| age < years))
        .filter(|one| one.permissions.barred_under_years.is_none_or(|years| age >= years))
        .collect();
    html! {
        @if !confirmable.is_empty() {
            details.more #confirm {
                summary { "Allow a higher box" }
                form.fields method="post" action={ "/people/" (view.athlete.id) "/confirm-box" } data-send {
                    label { "Exercise" select name="exercise" { @for one in &confirmable { option value=(one.id) { (one.name) } } } }
                    label { "Highest, cm" input name="cm" required inputmode="decimal" size="5" autocomplete="off"; }
                    label { "Why" input name="reason" required maxlength="200" autocomplete="off"; }
                    button { "Allow for four weeks" }
                }
            }
        }
    }
}
