//! An athlete: what to lift now, the curves with their doubt, a test under way, what was done.

use super::super::Site;
use super::super::shell::Page;
use super::{parts, plate_series};
use crate::flow::floor::{RepView, judged};
use crate::flow::house::House;
use crate::flow::profiles::{self, Momentum, PROFILE_DAYS};
use crate::flow::{advice, picture, plan, progress};
use axum::extract::{Path, RawQuery, State};
use axum::response::{IntoResponse, Response};
use cornerwork_core::exercise::{Exercise, MeasureKind};
use cornerwork_core::kit::{Bar, BarKind, Loadable, loadable};
use cornerwork_core::prescription::next_load::NextLoad;
use cornerwork_core::profile::load_momentum::RuleOfThumb;
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::{Mass, Velocity};
use cornerwork_core::working::Working;
use maud::{Markup, html};

/// How the page is asked for.
#[derive(Clone, Copy)]
pub(in super::super) struct View {
    /// Days of jumps that make the profile.
    days: i32,
}

impl View {
    /// From the query of the address: `days=1`.
    pub(in super::super) fn from_query(query: &str) -> Self {
        let days = query.split('&').find_map(|part| part.strip_prefix("days=")?.parse().ok());
        Self { days: days.filter(|days| (1..=3660).contains(days)).unwrap_or(PROFILE_DAYS) }
    }
}

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let view = View::from_query(query.as_deref().unwrap_or_default());
    let Some(region) = region(&site, &code, view).await else {
        return parts::no_such_athlete();
    };
    let invented = site.house.keeper.ledger().await.gym().invented;
    let live = format!("/athlete/{code}?days={}", view.days);
    let page = Page {
        live: Some(&live),
        now: Some(site.house.clock().now()),
        ..Page::desk(&code, region, invented)
    };
    page.html().into_response()
}

/// What changes.
pub(in super::super) async fn region(site: &Site, code: &str, view: View) -> Option<Markup> {
    let id = AthleteId::new(code)?;
    site.house.profiles.trials.catch_up(&site.house, Some(&id)).await;
    let ledger = site.house.keeper.ledger().await;
    let gym = ledger.gym();
    let athlete = gym.athlete(&id)?;
    let house = &site.house;
    Some(html! {
        (head(house, gym, athlete))
        (loaded_jump(house, gym, athlete, view))
        (jumps(house, gym, athlete))
        @for exercise in velocity_exercises(house, gym, athlete) { (lift(house, gym, athlete, exercise)) }
        (plate_series::sections(house, gym, athlete))
        (history(house, gym, athlete))
    })
}

fn head(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    let today = house.clock().today();
    let bout = gym.next_bout(&athlete.id, today);
    html! {
        header.person {
            h1 { (athlete.name) span.code { (athlete.id) } }
            p { (athlete.level) ", " (athlete.age_years) " years"
                @if let Some(bout) = bout { " · " strong { (bout.days_from(today)) " days" } " to " (bout.name) }
            }
            @for restriction in gym.restrictions(&athlete.id, today) {
                p.barred { "✕ " (restriction.ground)
                    @if let Some(end) = restriction.earliest_end { ", earliest end " (end.strftime("%-d %B %Y").to_string()) }
                    @if restriction.needs_clearance { ", needs clearance" }
                    "."
                    @if let Some(instead) = &restriction.instead { " Instead: " (instead) "." }
                }
            }
            p { a href={ "/people/" (athlete.id) } { "Card and consent" } " · " a href={ "/athlete/" (athlete.id) "/mass" } { "Body mass" } " · " a href={ "/athlete/" (athlete.id) "/load" } { "Load" } " · " a href={ "/athlete/" (athlete.id) "/debrief" } { "Debrief" } }
            form.inline method="post" action={ "/athlete/" (athlete.id) "/mass" } data-send {
                label { "Body mass, kg"
                    input name="text" inputmode="decimal" autocomplete="off" required size="6"
                        placeholder=[gym.body_mass(&athlete.id).map(|(_, mass)| format!("{:.1}", mass.in_kilograms()))];
                }
                button { "Weigh in" }
                @if let Some((at, mass)) = gym.body_mass(&athlete.id) {
                    span.quiet { "last " (format!("{:.1}", mass.in_kilograms())) " kg, " (profiles::short(house.clock().date_of(at))) }
                }
            }
        }
    }
}

fn loaded_jump(house: &House, gym: &Gym, athlete: &Athlete, view: View) -> Markup {
    let Ok(exercise) = plan::exercise(house, gym, plan::LOADED_JUMP) else { return html! {} };
    let momentum = house.profiles.momentum(house, gym, &athlete.id, exercise, view.days);
    let loads = hex_loads(gym);
    let next = advice::next_jump_load(house, momentum.as_deref().ok(), &loads);
    let (next_mass, reason, working) = match &next {
        NextLoad::Test(test) => (Some(test.load), &test.reason, &test.working),
        NextLoad::Stop(end) => (None, &end.reason, &end.working),
    };
    html! {
        section.profile {
            h2 { "Loaded jump" }
            @match &momentum {
                Ok(momentum) => { (curve(athlete, momentum, next_mass, view)) }
                Err(absent) => { p { (absent) } }
            }
            div.step {
                h3 { @if next_mass.is_some() { "Next load" } @else { "Enough tested" } }
                p.lead { (reason) }
                (parts::why("why-next", working, &[]))
                (jump_form(athlete, &loads, next_mass))
            }
        }
    }
}

fn curve(athlete: &Athlete, momentum: &Momentum, next: Option<Mass>, view: View) -> Markup {
    let profile = &momentum.profile.value;
    let peak = profile.peak();
    let hill = picture::hill(momentum, None, next.filter(|next| *next > Mass::ZERO));
    let working: Working = profile.peak_working();
    html! {
        @if let Some(band) = profile.band(picture::FLAT_TOP_LOSS) {
            p.lead { "Use " strong { (kilograms(band.from)) " to " (kilograms(band.to)) " kg" } ": every load there is within 1 % of the peak." }
        } @else {
            p.lead { "The peak is not known yet." }
        }
        figure {
            (parts::drawn(&Figure::Hill(hill.clone()), "hill", 720.0))
            (data_table("hill-data", &hill.table()))
        }
        p {
            "Momentum peaks near " (kilograms(peak.load.value)) " kg ("
            (kilograms(peak.load.interval.low)) " to " (kilograms(peak.load.interval.high)) " kg with 90 % probability) at "
            (format!("{:.0}", peak.momentum.value.in_kilogram_metres_per_second())) " kg m/s. "
            (rule_of_thumb(profile.rule_of_thumb(), peak.height_fraction_of_unloaded))
        }
        (parts::why("why-peak", &working, &momentum.profile.notes))
        @for note in &momentum.profile.notes { p.note { (note.text) } }
        p.quiet {
            (momentum.set.jumps.len()) " jumps by " (momentum.set.method.word()) ", " (profiles::short(momentum.set.from))
            @if momentum.set.from != momentum.set.to { " to " (profiles::short(momentum.set.to)) }
            ", body mass " (format!("{:.1}", momentum.set.body_mass.in_kilograms())) " kg. Show "
            @for (days, words) in [(1, "the last day only"), (PROFILE_DAYS, "four weeks"), (84, "twelve weeks")] {
                @if days == view.days { strong { (words) } } @else { a href={ "/athlete/" (athlete.id) "?days=" (days) } { (words) } }
                @if days != 84 { ", " } @else { "." }
            }
        }
    }
}

fn rule_of_thumb(rule: RuleOfThumb, fraction: f64) -> String {
    let percent = format!("{:.0}", fraction * 100.0);
    match rule {
        RuleOfThumb::Within => format!(
            "The jump there is {percent} % of the unloaded one, as the rule of thumb has it (40 to 50 %; common practice, no source)."
        ),
        _ => format!(
            "The jump there is {percent} % of the unloaded one; the rule of thumb says 40 to 50 % (common practice, no source)."
        ),
    }
}

/// Type a jump: load, height, done.
fn jump_form(athlete: &Athlete, loads: &[(Bar, Loadable)], next: Option<Mass>) -> Markup {
    html! {
        form.inline method="post" action={ "/athlete/" (athlete.id) "/jump" } data-send {
            label { "Load"
                select name="load" {
                    option value="none" selected[next == Some(Mass::ZERO)] { "no load" }
                    @for (bar, load) in loads {
                        option value={ (bar.id) ":" ((load.total().in_kilograms() * 1000.0).round()) } selected[next == Some(load.total())] {
                            (format!("{:.2}", load.total().in_kilograms())) " kg · " (bar.name) ": " (load.in_words())
                        }
                    }
                }
            }
            label { "Jump height, cm" input name="text" inputmode="decimal" autocomplete="off" required size="6"; }
            button.main { "Enter jump" }
        }
    }
}

fn hex_loads(gym: &Gym) -> Vec<(Bar, Loadable)> {
    let bars = gym.bars.values().filter(|bar| bar.kind == BarKind::Hex);
    let mut loads: Vec<_> = bars
        .flat_map(|bar| loadable(bar, &gym.plates).into_iter().map(|load| (bar.clone(), load)))
        .collect();
    advice::by_load(&mut loads);
    loads
}

/// Better than six weeks ago, and a usual day? Two questions, two pictures, one table of words.
fn jumps(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    html! {
        section.profile {
            h2 { "Unloaded jump" }
            @match progress::change(house, gym, &athlete.id) {
                Ok(change) => {
                    p.lead { (change.value.sentence) }
                    figure { (parts::drawn(&Figure::Odds(progress::odds(&change.value)), "odds", 720.0)) }
                    (parts::why("why-change", &change.value.working, &change.notes))
                }
                Err(reason) => p.lead { (reason) },
            }
            @match progress::usual_day(house, gym, &athlete.id) {
                Ok(day) => {
                    p { (day.today.value.sentence) }
                    figure { (parts::drawn(&Figure::Strip(progress::strip(&day)), "usual", 720.0)) }
                    (parts::why("why-usual", &day.today.value.working, &day.today.notes))
                }
                Err(reason) => p.quiet { (reason) },
            }
        }
    }
}

fn velocity_exercises<'a>(house: &'a House, gym: &'a Gym, athlete: &Athlete) -> Vec<&'a Exercise> {
    let mut found: Vec<&Exercise> = Vec::new();
    for rep in gym.reps_of(&athlete.id).filter(|rep| rep.entry.load.total > Mass::ZERO) {
        let Some(exercise) = house.exercise(gym, &rep.entry.exercise) else { continue };
        let velocity =
            matches!(exercise.measure.kind, MeasureKind::MeanVelocity | MeasureKind::PeakVelocity);
        if velocity && !found.iter().any(|one| one.id == exercise.id) {
            found.push(exercise);
        }
    }
    found
}

/// A lift by velocity: its line, the target and the load it gives.
fn lift(house: &House, gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Markup {
    let sides: Vec<Option<Side>> = sides_seen(gym, athlete, exercise);
    let target = match house.target(gym, &athlete.id, exercise) {
        Some(Target::Window { low, high }) => Some((low + high) / 2.0),
        _ => None,
    };
    html! {
        section.profile {
            h2 { (exercise.name) }
            div.pair {
                @for side in sides {
                    @match profiles::velocity(house, gym, &athlete.id, exercise, side, PROFILE_DAYS) {
                        Ok(profile) => {
                            @let target = target.map(Velocity::metres_per_second);
                            @let slope = picture::slope(&profile.value, exercise.measure.kind, target);
                            @let id = format!("slope-{}-{}", exercise.id, side.map_or("both", Side::code));
                            @let working = match target { Some(target) => profile.value.working_of_load_at(target), None => profile.value.working() };
                            figure {
                                @if let Some(side) = side { figcaption { (side.word()) } }
                                (parts::drawn(&Figure::Slope(slope.clone()), &id, 460.0))
                                p { (slope.description) }
                                (parts::why(&format!("why-{id}"), &working, &profile.notes))
                                (data_table(&format!("{id}-data"), &slope.table()))
                            }
                        }
                        Err(error) => { p { @if let Some(side) = side { (side.word()) ": " } (error) } }
                    }
                }
            }
        }
    }
}

fn sides_seen(gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Vec<Option<Side>> {
    let mut sides: Vec<Option<Side>> = gym
        .reps_of(&athlete.id)
        .filter(|rep| rep.entry.exercise == exercise.id)
        .map(|rep| rep.entry.side)
        .collect();
    sides.sort_unstable();
    sides.dedup();
    sides
}

/// The latest reps, newest first.
const LATEST: usize = 40;

fn history(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    let clock = house.clock();
    let rows: Vec<RepView<'_>> = gym
        .reps_of(&athlete.id)
        .rev()
        .take(LATEST)
        .filter_map(|rep| {
            let exercise = house.exercise(gym, &rep.entry.exercise)?;
            let judgement = judged(house, gym, exercise, rep);
            Some(RepView { rep, athlete: Some(athlete), judgement })
        })
        .collect();
    html! {
        section {
            h2 { "Latest reps" }
            div.scroll tabindex="0" role="region" aria-label="Latest reps" { table {
                thead { tr { th { "when" } th { "exercise" } th { "load" } th { "number" } th { "judgement" } } }
                tbody { @for view in &rows {
                    @if let Some(exercise) = house.exercise(gym, &view.rep.entry.exercise) { tr {
                        td { a href={ "/rep/" (view.rep.id) } { (profiles::short(clock.date_of(view.rep.entry.at))) " " (clock.time_of(view.rep.entry.at)) } }
                        td { (exercise.name) @if let Some(side) = view.rep.entry.side { ", " (side.word()) } }
                        td.number { @if view.rep.entry.load.total > Mass::ZERO { (format!("{:.1} kg", view.rep.entry.load.total.in_kilograms())) } @else if let Some(height) = view.rep.entry.box_height { "box " (format!("{:.0} cm", height.in_centimetres())) } }
                        td.number { @match view.rep.entry.value { Some(value) => (exercise.measure.with_unit(value)), None => "no number" } }
                        td { (view.judgement.verdict.shape()) " " (view.judgement.verdict.word()) }
                    } }
                } }
            } }
        }
    }
}

fn data_table(id: &str, table: &cornerwork_core::report::figure::Table) -> Markup {
    html! {
        details.data id=(id) {
            summary { "numbers" }
            div.scroll tabindex="0" role="group" aria-label="numbers of the picture" { table {
                thead { tr { @for name in &table.columns { th { (name) } } } }
                tbody { @for row in &table.rows { tr { @for cell in row { td.number { (cell) } } } } }
            } }
        }
    }
}

fn kilograms(mass: Mass) -> String {
    format!("{:.0}", mass.in_kilograms())
}
