//! The plan: everybody's camp on one sheet, one camp, and a change of it before it is accepted.

use super::super::Site;
use super::super::camp::wanted;
use super::super::shell::Page;
use super::contests;
use super::journeys;
use super::parts;
use crate::flow::body_mass::in_both;
use crate::flow::camp::fight_night::{self, Order};
use crate::flow::camp::proposal::{self, Proposal};
use crate::flow::camp::travel;
use crate::flow::camp::typed::{WEEKDAYS, written};
use crate::flow::camp::view::{self, BoutLine, CampView, PhaseLine};
use crate::flow::house::House;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use cornerwork_core::camp::bout_facts::Standing;
use cornerwork_core::camp::camp_plan::Mark;
use cornerwork_core::camp::camps::Told;
use cornerwork_core::camp::phase::{PhaseKind, PhaseRules};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::{self, capitalised};
use maud::{Markup, html};

/// Width of the calendar on a desk, in CSS pixels.
const CALENDAR_PX: f64 = 760.0;
/// Changes shown before the rest is folded away.
const CHANGES_SHOWN: usize = 8;

type Fields = Vec<(String, String)>;

/// Everybody's camp.
pub(in super::super) async fn all(State(site): State<Site>) -> Html<String> {
    let region = all_region(&site);
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    Page {
        live: Some("/plan"),
        rest: html! {
            section.plan {
                h2 { "Add a bout" }
                form method="post" action="/plan" data-send {
                    (bout_fields(&Typed::default()))
                    (ticks(gym.athletes.values(), |_| false, "Who boxes"))
                    button.main { "Save bout" }
                }
            }
        },
        now: Some(site.house.clock().now()),
        ..Page::desk("Plan", region, gym.invented)
    }
    .html()
}

/// What changes of it.
pub(in super::super) fn all_region(site: &Site) -> Markup {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let today = site.house.clock().today();
    let bouts = view::ahead(gym, today);
    let without = view::without_bout(gym, today);
    html! {
        h1 { "Plan" }
        @match view::squad_figure(gym, today) {
            Some(figure) => figure { (parts::drawn(&figure, "camps", CALENDAR_PX)) },
            None => p { "No bout ahead. Add one below: the camp is planned back from it." },
        }
        @for bout in bouts { (bout_line(&view::line(gym, bout, today))) }
        @if !without.is_empty() && !gym.bouts.is_empty() {
            p.quiet { "No bout ahead: " (names(&without)) "." }
        }
        @let over = view::over(gym, today);
        @if !over.is_empty() {
            details.more { summary { "Bouts that are over" }
                ul { @for bout in over { li {
                    a href={ "/plan/" (bout.id) } { (bout.name) } ", " (written(bout.date))
                } } }
            }
        }
        @let cancelled = view::cancelled(gym);
        @if !cancelled.is_empty() {
            section {
                h2 { "Cancelled" }
                (changes(&site.house, gym, &cancelled, true))
            }
        }
    }
}

fn bout_line(line: &BoutLine<'_>) -> Markup {
    html! {
        section {
            h2 { a href={ "/plan/" (line.bout.id) } { (line.bout.name) }
                @if line.offered { " " span.quiet { "(offered)" } } }
            p { (written(line.bout.date)) ": " (line.today) "." }
            p { (names(&line.athletes)) }
        }
    }
}

fn names(athletes: &[&Athlete]) -> String {
    athletes.iter().map(|one| one.name.as_str()).collect::<Vec<_>>().join(", ")
}

/// One camp, or the camp of the athlete whose code this is.
pub(in super::super) async fn one(
    State(site): State<Site>,
    Path(id): Path<String>,
    Query(fields): Query<Fields>,
) -> Response {
    let today = site.house.clock().today();
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let Some(view) = view::camp(&site.house, gym, &id) else {
        return match view::bout_of(gym, &id, today) {
            Some(bout) => Redirect::to(&format!("/plan/{}", bout.id)).into_response(),
            None => gone(gym, &id),
        };
    };
    let path = format!("/plan/{id}");
    Page {
        live: Some(&path),
        rest: forms(&site.house, gym, &view, &fields),
        now: Some(site.house.clock().now()),
        ..Page::desk(&view.bout.name, camp(&site.house, gym, &view), gym.invented)
    }
    .html()
    .into_response()
}

fn gone(gym: &Gym, id: &str) -> Response {
    let cancelled = gym.camps.cancelled().iter().any(|one| one.bout.id == id);
    let region = html! {
        @if cancelled {
            h1 { (view::name_of_gone(gym, id)) " is cancelled" }
            p { a href="/plan" { "The plan" } " says why, and takes it back." }
        } @else {
            h1 { "No such bout" }
            p { "There is no bout or athlete of that name with a bout ahead." }
            p { a href="/plan" { "Back to the plan" } }
        }
    };
    let page = Page::desk("Plan", region, gym.invented);
    (StatusCode::NOT_FOUND, page.html()).into_response()
}

/// What changes of one camp.
pub(in super::super) fn region(site: &Site, id: &str) -> Option<Markup> {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    Some(camp(&site.house, gym, &view::camp(&site.house, gym, id)?))
}

fn camp(house: &House, gym: &Gym, view: &CampView<'_>) -> Markup {
    let today = house.clock().today();
    html! {
        p.date { (view.days) @if view.facts.standing == Standing::Offered { " · offered, not confirmed" } }
        h1 { (view.bout.name) }
        p.lead { (capitalised(&view.today)) "." }
        @if let Some(apart) = &view.calendars_apart { p.note { (apart) } }
        @if let Some(short) = &view.short_notice { p.note { (short) } }
        @match view::camp_figure(house, gym, view.bout, today) {
            Some(figure) => figure { (parts::drawn(&figure, "camp", CALENDAR_PX)) },
            None if view.bout.date < today => p { "No camp was laid out for it." },
            None => p { "The camp is not laid out yet: say below when it begins." },
        }
        @if let Some(beside) = gym.camps.plan(&view.bout.id).and_then(|plan| view::tests_beside_sparring(plan, today)) { p.note { (beside) } }
        section {
            h2 { "Who boxes" }
            p { @for (place, athlete) in view.athletes.iter().enumerate() {
                @if place > 0 { ", " } a href={ "/athlete/" (athlete.id) } { (athlete.name) }
            } }
            (facts(view))
            p { a href={ "/paper/camp/" (view.bout.id) } { "The camp on one page, to print" } }
        }
        (contests::told(gym, view.bout, today))
        @if !view.phases.is_empty() { (phases(&view.phases)) }
        @if let Some(travel) = &view.travel { (journeys::told(travel)) }
        @if !view.limits.is_empty() { (weights(house, view)) }
        @if !view.marks.is_empty() { (marks(view)) }
        @if !view.history.is_empty() {
            section {
                h2 { "What was agreed and changed" }
                (changes(house, gym, &view.history, false))
            }
        }
    }
}

fn facts(view: &CampView<'_>) -> Markup {
    let facts = &view.facts;
    let zone = facts.zone.as_deref().unwrap_or("as at the gym");
    html! {
        dl.facts {
            @if let Some(rounds) = facts.rounds { dt { "Rounds" } dd { (rounds) " minutes" } }
            @if let Some(bell) = facts.first_bell { dt { "First bell" } dd { (bell.strftime("%H:%M")) " at the venue" } }
            @if let Some(time) = facts.weigh_in_at { dt { "Weigh-in" } dd { (time.strftime("%H:%M")) " at the venue" } }
            dt { "Venue's clock" } dd { (zone) }
            @if !facts.remark.is_empty() { dt { "Notes" } dd { (facts.remark) } }
        }
    }
}

fn phases(lines: &[PhaseLine]) -> Markup {
    html! {
        section {
            h2 { "Phases" }
            dl.facts {
                @for line in lines {
                    dt { @if line.now { "▸ " } (line.kind) }
                    dd { (line.days) @if line.now { strong { " — now" } } br; span.quiet { (line.because) } }
                }
            }
        }
    }
}

fn weights(house: &House, view: &CampView<'_>) -> Markup {
    let at = |day| {
        view.facts.weigh_in_at.and_then(|time| travel::time_in_both(house, &view.facts, day, time))
    };
    html! {
        section {
            h2 { "Limits of weight" }
            dl.facts { @for line in &view.limits {
                dt { a href={ "/athlete/" (line.athlete.id) "/mass" } { (line.athlete.name) } }
                dd {
                    (in_both(line.limit.limit)) " at the weigh-in of " (written(line.limit.weigh_in))
                    @if let Some(at) = at(line.limit.weigh_in) { ", " (at) }
                    @for check in line.checks_in_words() { br; "check-weight " (check) }
                }
            } }
            p.quiet { "They move with the bout and fall away with it. Juniors have none." }
        }
    }
}

fn marks(view: &CampView<'_>) -> Markup {
    html! {
        section {
            h2 { "Days marked" }
            ul.days { @for (day, mark) in &view.marks { li.inline {
                span { (written(*day)) ": " (mark.word()) }
                form method="post" action={ "/plan/" (view.bout.id) } data-send {
                    input type="hidden" name="what" value="clear";
                    input type="hidden" name="day" value=(day);
                    input type="hidden" name="mark" value=(mark.word());
                    button.small aria-label={ "take off: " (mark.word()) " on " (written(*day)) } { "take off" }
                }
            } } }
        }
    }
}

fn changes(house: &House, gym: &Gym, told: &[&Told], named: bool) -> Markup {
    let (shown, folded) = told.split_at(told.len().min(CHANGES_SHOWN));
    let names = house.names(gym);
    let list = |told: &[&Told]| {
        html! {
            ul.days { @for one in told { li.inline {
                span {
                    @if named { (name_of(gym, one)) ": " }
                    (one.change.sentence(&names)) " "
                    span.quiet { (one.author) ", " (words::short_day(house.clock().date_of(one.at))) }
                }
                @if one.change.begins_stand_down() { span.quiet { "stands until a doctor clears it" } }
                @else {
                    form method="post" action="/undo" data-send {
                        input type="hidden" name="operation" value=(one.operation);
                        button.small aria-label={ "take back: " (one.change.sentence(&names)) } { "take back" }
                    }
                }
            } } }
        }
    };
    html! {
        (list(shown))
        @if !folded.is_empty() { details { summary { "Earlier" } (list(folded)) } }
    }
}

fn name_of(gym: &Gym, told: &Told) -> String {
    use cornerwork_core::camp::camp_change::CampChange;
    match &told.change {
        CampChange::BoutCancelled { bout, .. } => view::name_of_gone(gym, bout).to_owned(),
        _ => String::new(),
    }
}

/// What a form of a bout shows in its fields.
#[derive(Default)]
struct Typed {
    day: String,
    name: String,
    more_days: String,
    zone: String,
    bell: String,
    weigh_in: String,
    rounds: String,
    offered: bool,
    remark: String,
    known: bool,
}

impl Typed {
    fn of(view: &CampView<'_>) -> Self {
        let facts = &view.facts;
        let more: Vec<String> = facts.more_days.iter().map(ToString::to_string).collect();
        let typed = |time: Option<jiff::civil::Time>| {
            time.map(|time| time.strftime("%H:%M").to_string()).unwrap_or_default()
        };
        Self {
            day: view.bout.date.to_string(),
            name: view.bout.name.clone(),
            more_days: more.join(", "),
            zone: facts.zone.clone().unwrap_or_default(),
            bell: typed(facts.first_bell),
            weigh_in: typed(facts.weigh_in_at),
            rounds: facts.rounds.map(|rounds| rounds.to_string()).unwrap_or_default(),
            offered: facts.standing == Standing::Offered,
            remark: facts.remark.clone(),
            known: true,
        }
    }
}

fn bout_fields(typed: &Typed) -> Markup {
    html! {
        div.fields {
            label { "Name" input name="name" required maxlength="80" autocomplete="off" value=(typed.name); }
            @if typed.known { input type="hidden" name="day" value=(typed.day); }
            @else { label { "Day at the venue" input type="date" name="day" required value=(typed.day); } }
            label { "Standing" select name="standing" {
                option value="confirmed" selected[!typed.offered] { "confirmed" }
                option value="offered" selected[typed.offered] { "offered" }
            } }
            label { "Rounds" input name="rounds" autocomplete="off" placeholder="8 x 3" value=(typed.rounds); }
            label { "First bell there" input name="bell" autocomplete="off" placeholder="19:30" value=(typed.bell); }
            label { "Weigh-in there" input name="weigh_in" autocomplete="off" placeholder="13:00" value=(typed.weigh_in); }
            label { "Time zone there" input name="zone" autocomplete="off" placeholder="as here" value=(typed.zone); }
            label { "Further days (tournament)" input name="more_days" autocomplete="off" placeholder="2026-10-18 2026-10-24" value=(typed.more_days); }
            label { "Corner, travel, gloves" input name="remark" maxlength="400" autocomplete="off" value=(typed.remark); }
        }
    }
}

fn ticks<'a>(
    athletes: impl Iterator<Item = &'a Athlete>,
    ticked: impl Fn(&Athlete) -> bool,
    legend: &str,
) -> Markup {
    html! {
        fieldset {
            legend.quiet { (legend) }
            div.ticks { @for athlete in athletes {
                label.tick {
                    input type="checkbox" name="athlete" value=(athlete.id) checked[ticked(athlete)];
                    span { (athlete.name) }
                }
            } }
        }
    }
}

fn forms(house: &House, gym: &Gym, view: &CampView<'_>, fields: &Fields) -> Markup {
    let path = format!("/plan/{}", view.bout.id);
    let change = format!("{path}/change");
    let today = house.clock().today();
    let laid_out = !view.phases.is_empty();
    html! {
        (contests::form(house, gym, view.bout, &path, fields))
        section.plan {
            @if laid_out {
                h2 { "Move the bout" }
                p.quiet { "What would change is shown first." }
                form method="get" action=(change) {
                    div.fields {
                        label { "To" input type="date" name="to" required value=(view.bout.date); }
                        button { "Show what changes" }
                    }
                    @if view.athletes.len() > 1 {
                        (ticks(view.athletes.iter().copied(), |_| true, "Whose bout moves"))
                    }
                }
            }
            @if laid_out {
                details { summary { "Change phases or sparring days" } (layout_form(gym, view, &change, today)) }
            } @else {
                h2 { "Lay out the camp" }
                (layout_form(gym, view, &change, today))
            }
        }
        section.plan {
            h2 { "Mark a day" }
            form.fields method="post" action=(path) data-send {
                input type="hidden" name="what" value="mark";
                label { "Day" input type="date" name="day" required value=(today); }
                label { "What" select name="mark" { @for mark in Mark::ALL { option { (mark.word()) } } } }
                button { "Mark it" }
            }
        }
        (journeys::form(gym, view.bout, &path))
        (fight_night_form(house, view, &path, fields))
        section.plan {
            details { summary { "Change what is agreed" }
                form method="post" action=(path) data-send {
                    input type="hidden" name="what" value="facts";
                    (bout_fields(&Typed::of(view)))
                    (ticks(gym.athletes.values(), |one| view.bout.athletes.contains(&one.id), "Who boxes"))
                    button { "Keep" }
                }
            }
            details { summary { "Cancel the bout" }
                form method="post" action=(path) data-send {
                    input type="hidden" name="what" value="cancel";
                    @if view.athletes.len() > 1 {
                        (ticks(view.athletes.iter().copied(), |_| true, "For whom"))
                    }
                    div.fields {
                        label { "Why" input name="reason" required maxlength="200" autocomplete="off"; }
                        button { "Cancel the bout" }
                    }
                    p.quiet { "Usually three to five days off hard work, then maintenance; the last test closes the camp (common practice, no source). A limit of weight agreed for it falls away. What was done stays on record, and this can be taken back." }
                }
            }
        }
    }
}

fn layout_form(gym: &Gym, view: &CampView<'_>, change: &str, today: jiff::civil::Date) -> Markup {
    let plan = gym.camps.plan(&view.bout.id);
    let begins = plan.and_then(|plan| plan.phases.first()).map_or(today, |first| first.from);
    let begun = plan.is_some_and(|plan| !plan.phases.is_empty()) && begins <= today;
    let rules = PhaseRules::default();
    html! {
        form method="get" action=(change) {
            div.fields {
                @if !begun { label { "First day" input type="date" name="begins" required value=(begins); } }
                @for rule in rules.before_taper.iter().filter(|rule| rule.kind != PhaseKind::General) {
                    label { "Weeks of " (rule.kind)
                        input name=(rule.kind) inputmode="numeric" autocomplete="off" placeholder={ "up to " (rule.usual_weeks) }; }
                }
                label { "Days of recovery" input name="recovery" inputmode="numeric" autocomplete="off" placeholder=(rules.recovery_days); }
            }
            input type="hidden" name="sparring-asked" value="yes";
            fieldset {
                legend.quiet { "Open sparring" }
                div.weekdays { @for (day, word) in WEEKDAYS {
                    label.tick {
                        input type="checkbox" name="sparring" value=(word) checked[plan.is_some_and(|plan| plan.sparring.contains(&day))];
                        span { (word) }
                    }
                } }
            }
            button { "Show the camp" }
        }
    }
}

fn fight_night_form(house: &House, view: &CampView<'_>, path: &str, fields: &Fields) -> Markup {
    let text =
        |name: &str| fields.iter().find(|(field, _)| field == name).map(|(_, text)| text.clone());
    let order = Order {
        place: text("place").unwrap_or_default(),
        in_ring: text("in_ring").unwrap_or_default(),
        warm_up: text("warm_up").unwrap_or_default(),
    };
    let today = house.clock().today();
    let more = view.facts.more_days.iter().copied();
    let day = std::iter::once(view.bout.date).chain(more).find(|day| *day >= today);
    let day = day.unwrap_or(view.bout.date);
    let asked = text("place").is_some();
    html! {
        section.plan #night {
            h2 { "Fight night" }
            @if asked { @match fight_night::warm_up(house.clock(), view.bout, &view.facts, day, &order) {
                Ok(told) => {
                    p.lead role="status" { (told.sentence) }
                    @if !told.ground.is_empty() { details.why { summary { "why?" } p { (told.ground) } } }
                }
                Err(slip) => p.barred role="alert" { (slip) },
            } }
            form.fields method="get" action={ (path) "#night" } {
                label { "Place in the running" input name="place" required inputmode="numeric" autocomplete="off" placeholder="6" value=(order.place); }
                label { "In the ring now" input name="in_ring" inputmode="numeric" autocomplete="off" placeholder="none yet" value=(order.in_ring); }
                label { "Warm-up, minutes" input name="warm_up" inputmode="numeric" autocomplete="off" placeholder="30" value=(order.warm_up); }
                button { "When to begin?" }
            }
        }
    }
}

/// A camp as it would be, before it is accepted.
pub(in super::super) async fn change(
    State(site): State<Site>,
    Path(id): Path<String>,
    Query(fields): Query<Fields>,
) -> Response {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let wanted = wanted(fields.iter().map(|(name, text)| (name.as_str(), text.as_str())));
    let back = format!("/plan/{id}");
    let (status, region) = match proposal::propose(&site.house, gym, &id, &wanted) {
        Ok(proposal) => (StatusCode::OK, proposed(&site.house, gym, &proposal, &fields, &back)),
        Err(slip) => (
            StatusCode::UNPROCESSABLE_ENTITY,
            html! { h1 { "Not possible" } p { (slip) } p { a href=(back) { "Back" } } },
        ),
    };
    let page = Page::desk("Change of plan", region, gym.invented);
    (status, page.html()).into_response()
}

fn proposed(
    house: &House,
    gym: &Gym,
    proposal: &Proposal<'_>,
    fields: &Fields,
    back: &str,
) -> Markup {
    let today = house.clock().today();
    let bout = proposal.bout;
    let who: Vec<&Athlete> = proposal.athletes.iter().filter_map(|id| gym.athlete(id)).collect();
    let short =
        proposal.plan.phases.first().and_then(|first| view::short_notice(first.from, proposal.to));
    html! {
        @if proposal.moves() {
            h1 { (bout.name) " on " (written(proposal.to)) "?" }
        } @else {
            h1 { "The camp for " (bout.name) }
        }
        p { "For " (names(&who)) ". Nothing is changed until you accept." }
        @if let Some(figure) = view::proposal_figure(house, gym, proposal, today) {
            figure { (parts::drawn(&figure, "proposal", CALENDAR_PX)) }
        }
        @if let Some(short) = short { p.note { (short) } }
        @if let Some(beside) = view::tests_beside_sparring(&proposal.plan, today) { p.note { (beside) } }
        @if proposal.was.is_none() { (phases(&view::phase_lines(&proposal.plan.phases, today))) }
        @if proposal.was.is_some() {
            section {
                h2 { "What changes" }
                @if proposal.differences.is_empty() { p { "Nothing." } }
                ul { @for one in &proposal.differences { li { (one) } } }
                p.quiet { "What is done stays as it was." }
            }
        }
        @if !proposal.lost.is_empty() {
            section {
                h2 { "What has no room" }
                ul { @for one in &proposal.lost { li { (one) } } }
            }
        }
        form.step method="post" action={ "/plan/" (bout.id) } data-send {
            input type="hidden" name="what" value="accept";
            @for (name, text) in fields { input type="hidden" name=(name) value=(text); }
            div.fields {
                @if proposal.moves() {
                    label { "Why it moves" input name="reason" maxlength="200" autocomplete="off"; }
                }
                button.main { @if proposal.moves() { "Accept the move" } @else { "Accept the camp" } }
                a.button href=(back) { "Leave it as it is" }
            }
        }
    }
}
