//! The exercise library: found by words, pattern and quality; one entry with all that is known;
//! the gym's own entered, changed and read from a file.

use super::super::Site;
use super::super::shell::Page;
use crate::flow::house::House;
use crate::flow::program::library::{self, Search};
use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use cornerwork_core::exercise::{
    Exercise, ExerciseId, Family, LoadModel, MeasureKind, Pattern, Permissions, Quality, Sides,
    Span, StopRule,
};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::units::Duration;
use cornerwork_core::words::{capitalised, counted};
use cornerwork_io::catalogue::exercises::TypedExercise;
use maud::{Markup, html};

/// The library.
pub(in super::super) async fn all(
    State(site): State<Site>,
    RawQuery(query): RawQuery,
) -> Html<String> {
    let ledger = site.house.keeper.ledger();
    let search = search_of(query.as_deref().unwrap_or_default());
    let region = html! {
        p.date { a href="/sessions" { "Sessions" } }
        h1 { "Exercises" }
        (search_form(&search))
        (found(&site.house, ledger.gym(), &search))
    };
    still("Exercises", region, own(ledger.gym()), ledger.gym())
}

fn still(title: &str, region: Markup, rest: Markup, gym: &Gym) -> Html<String> {
    Page { rest, ..Page::desk(title, region, gym.invented) }.html()
}

fn search_of(query: &str) -> Search {
    let fields: Vec<(String, String)> =
        axum::extract::Query::try_from_uri(&format!("/?{query}").parse().unwrap_or_default())
            .map(|axum::extract::Query(fields)| fields)
            .unwrap_or_default();
    let text = |name: &str| {
        fields.iter().find(|(field, _)| field == name).map_or("", |(_, value)| value.as_str())
    };
    Search {
        words: text("words").to_owned(),
        pattern: Pattern::from_id(text("pattern")),
        quality: Quality::from_id(text("quality")),
    }
}

fn search_form(search: &Search) -> Markup {
    html! {
        form.fields method="get" action="/exercises" {
            label { "Words" input name="words" type="search" value=(search.words) autocomplete="off"; }
            label { "Pattern" select name="pattern" {
                option value="" { "any" }
                @for one in Pattern::ALL { option value=(one.id()) selected[search.pattern == Some(*one)] { (one.words()) } }
            } }
            label { "Quality" select name="quality" {
                option value="" { "any" }
                @for one in Quality::ALL { option value=(one.id()) selected[search.quality == Some(*one)] { (one.words()) } }
            } }
            button { "Find" }
        }
    }
}

fn found(house: &House, gym: &Gym, search: &Search) -> Markup {
    let found = library::found(house, gym, search);
    let families =
        Family::ALL.iter().filter(|family| found.iter().any(|one| one.family == **family));
    html! {
        @if found.is_empty() { p { "Nothing fits. Take a word or a choice away." } }
        @for family in families {
            section {
                h2 { (capitalised(family.words())) }
                ul.library { @for exercise in found.iter().filter(|one| one.family == *family) { li {
                    a href={ "/exercise/" (exercise.id) } { (exercise.name) }
                    @if gym.program.exercise(&exercise.id).is_some() { " " span.quiet { "own" } }
                    br;
                    span.quiet {
                        (joined(exercise.qualities.iter().map(|one| one.words()))) " · "
                        (exercise.measure.kind.words()) " · " (dose(exercise))
                    }
                } } }
            }
        }
    }
}

fn own(gym: &Gym) -> Markup {
    html! {
        details.more #enter {
            summary { "Enter an exercise of your own" }
            (form(&TypedExercise { source: "common practice, no source".to_owned(), ..TypedExercise::default() }, "/exercises", "enter"))
        }
        details.more #file {
            summary { "Read exercises from a file" }
            form method="post" action="/exercises" data-send {
                input type="hidden" name="what" value="file";
                label { "Text of the file, written like the library's own"
                    textarea name="text" rows="12" required spellcheck="false" placeholder=(EXAMPLE) {}
                }
                button { "Read it" }
            }
            @let count = gym.program.exercises().count();
            @if count > 0 { p.quiet { (count) " of your own so far." } }
        }
    }
}

/// The least an entry needs.
const EXAMPLE: &str = "[[exercise]]
id = \"rope-climb\"
name = \"Rope climb\"
family = \"strength\"
patterns = [\"pull\"]
qualities = [\"maximal-strength\"]
load = \"body-mass-only\"
measures = [\"time\"]
dose = { sets = [3, 5], repetitions = [1, 1], rest_s = [120, 180] }
cues = [\"Pull the ceiling down\"]";

/// One exercise.
pub(in super::super) async fn one(State(site): State<Site>, Path(id): Path<String>) -> Response {
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let found = ExerciseId::new(&id).and_then(|id| site.house.exercise(gym, &id));
    let Some(exercise) = found else {
        let sentence = "There is no such exercise. Go back to the library.";
        return (StatusCode::NOT_FOUND, sentence).into_response();
    };
    let region = entry(&site.house, gym, exercise);
    still(&exercise.name, region, change(&site.house, gym, exercise), gym).into_response()
}

fn entry(house: &House, gym: &Gym, exercise: &Exercise) -> Markup {
    let own = gym.program.exercise(&exercise.id).is_some();
    let (general, for_faults): (Vec<_>, Vec<_>) =
        exercise.cues.iter().partition(|cue| cue.for_fault.is_none());
    html! {
        p.date { a href="/exercises" { "Exercises" } " · " (exercise.family.words()) @if own { " · your own" } }
        h1.today { (exercise.name) }
        @if !exercise.also_called.is_empty() { p.quiet { "Also called " (exercise.also_called.join(", ")) "." } }
        section {
            h2 { "Say" }
            ul.cues { @for cue in &general { li { "“" (cue.text) "”" } } }
            @if !own { p.quiet { "Cues are our own or common in gyms, quoted from nobody." } }
            @if !for_faults.is_empty() {
                ul.cues { @for cue in for_faults {
                    @let fault = cue.for_fault.as_ref().and_then(|tag| exercise.fault(tag));
                    li { span.quiet { (fault.map_or("", |fault| fault.words.as_str())) ": " } "“" (cue.text) "”" }
                } }
            }
        }
        section {
            h2 { "What and how much" }
            dl.facts {
                dt { "Movement" } dd { (joined(exercise.patterns.iter().map(|one| one.words()))) }
                dt { "Trains" } dd { (joined(exercise.qualities.iter().map(|one| one.words()))) }
                dt { "Called out" } dd { (exercise.measure.kind.words()) @if !exercise.measure.unit.symbol().is_empty() { ", " (exercise.measure.unit.symbol()) } }
                @if !exercise.also_measured.is_empty() {
                    dt { "Also" } dd { (joined(exercise.also_measured.iter().map(|one| one.kind.words()))) }
                }
                dt { "Sides" } dd { (exercise.sides.words()) }
                dt { "Load" } dd { (exercise.load_model.words()) }
                dt { "Usual dose" } dd { (dose(exercise)) @if let Some(intensity) = &exercise.dose.intensity { ", " (intensity) } }
                @for target in &exercise.targets {
                    @let measure = exercise.measure_of(target.kind);
                    @if let Some(measure) = measure {
                        dt { "Target" } dd { (measure.number(target.window_si.low)) " to " (measure.with_unit(target.window_si.high)) " " span.source { (target.source) } }
                    }
                }
                @if let Some(stop) = exercise.stop { dt { "Stop" } dd { (stop_words(stop)) } }
                dt { "Kit" } dd { @if exercise.kit.is_empty() { "none" } @else { (exercise.kit.join(", ")) } }
            }
            p.source { "Source: " (exercise.source) }
        }
        section {
            h2 { "Watch" }
            @if exercise.cautions.is_empty() { p { "Nothing of its own; a medical stand-down, fever and acute pain stop everything." } }
            ul { @for caution in &exercise.cautions { li { (caution) } } @for rule in rules(&exercise.permissions) { li { (rule) } } }
        }
        @if !exercise.swaps.is_empty() {
            section {
                h2 { "Instead" }
                ul { @for swap in &exercise.swaps {
                    @let to = house.exercise(gym, &swap.to);
                    li {
                        span.quiet { (swap.injured.words()) " hurt: " }
                        @if swap.other_side { "the other side" } @else { a href={ "/exercise/" (swap.to) } { (to.map_or(swap.to.as_str(), |to| to.name.as_str())) } }
                        @if let Some(note) = &swap.note { ", " (note) }
                    }
                } }
            }
        }
        @if !exercise.facts.is_empty() {
            section {
                h2 { "Known about it" }
                ul { @for fact in &exercise.facts { li { (fact.text) ". " span.source { (fact.source) } } } }
            }
        }
    }
}

fn rules(permissions: &Permissions) -> Vec<String> {
    let free = permissions
        .box_free_of_age_rules
        .map(|height| format!("{:.0} cm", height.in_centimetres()));
    let mut rules = Vec::new();
    if let Some(years) = permissions.barred_under_years {
        rules.push(match &free {
            Some(height) => format!("Under {years}: boxes up to {height} only."),
            None => format!("Not under {years}."),
        });
    }
    if let Some(years) = permissions.confirm_under_years {
        rules.push(match &free {
            Some(height) => format!("Under {years}: above {height} only with the coach's reason."),
            None => format!("Under {years} only with the coach's reason."),
        });
    }
    for cap in &permissions.box_caps {
        rules.push(format!(
            "Over {:.0} kg body mass no box above {:.0} cm.",
            cap.above_body_mass.in_kilograms(),
            cap.highest_box.in_centimetres()
        ));
    }
    if let Some(days) = permissions.days_before_bout {
        rules.push(format!("Kept {} away from a bout.", counted(days, "day")));
    }
    if let Some(hours) = permissions.hours_from_sparring {
        rules.push(format!("Kept {hours} hours away from open sparring."));
    }
    rules
}

fn change(house: &House, gym: &Gym, exercise: &Exercise) -> Markup {
    let own = gym.program.exercise(&exercise.id).is_some();
    let in_library = house.exercises.get(&exercise.id).is_some();
    let path = format!("/exercise/{}", exercise.id);
    html! {
        details.more #change {
            summary { @if own { "Change it" } @else { "Make a version of your own" } }
            (form(&TypedExercise::of(exercise), &path, "change"))
        }
        @if own {
            form method="post" action=(path) data-send {
                input type="hidden" name="what" value="drop";
                button { @if in_library { "Back to the library's version" } @else { "Take it away" } }
            }
        }
    }
}

fn form(typed: &TypedExercise, action: &str, what: &str) -> Markup {
    let has = |list: &str, id: &str| list.split(',').any(|one| one.trim() == id);
    let first_measure = typed.measures.split(',').next().unwrap_or_default().trim().to_owned();
    let other_measures: String =
        typed.measures.split_once(',').map_or_else(String::new, |(_, rest)| rest.to_owned());
    html! {
        form.exercise method="post" action=(action) data-send {
            input type="hidden" name="what" value=(what);
            div.fields {
                label { "Name" input name="name" required maxlength="80" value=(typed.name) autocomplete="off"; }
                label { "Chapter" select name="family" { @for one in Family::ALL { option value=(one.id()) selected[typed.family == one.id()] { (one.words()) } } } }
                label { "Sides" select name="sides" { @for one in Sides::ALL { option value=(one.id()) selected[typed.sides == one.id()] { (one.words()) } } } }
                label { "Load" select name="load" { @for one in LoadModel::ALL { option value=(one.id()) selected[typed.load == one.id()] { (one.words()) } } } }
                label { "Called out" select name="measures" { @for one in MeasureKind::ALL { option value=(one.id()) selected[first_measure == one.id()] { (one.words()) } } } }
                label { "Sets" input name="sets" required value=(typed.sets) placeholder="3 to 5" autocomplete="off"; }
                label { "Reps" input name="repetitions" required value=(typed.repetitions) placeholder="2 to 4" autocomplete="off"; }
                label { "Rest, seconds" input name="rest_s" required value=(typed.rest_s) placeholder="120" autocomplete="off"; }
                label { "Stop at a drop of, %" input name="stop" value=(typed.stop) inputmode="decimal" autocomplete="off"; }
            }
            (ticks("Movement", "patterns", Pattern::ALL.iter().map(|one| (one.id(), one.words(), has(&typed.patterns, one.id())))))
            (ticks("Trains", "qualities", Quality::ALL.iter().map(|one| (one.id(), one.words(), has(&typed.qualities, one.id())))))
            (ticks("Also measured", "measures", MeasureKind::ALL.iter().filter(|one| one.id() != first_measure).map(|one| (one.id(), one.words(), has(&other_measures, one.id())))))
            div.fields {
                label { "Cues, one a line: the effect first, at most eight words" textarea name="cues" rows="3" required { (typed.cues) } }
                label { "Cautions, one a line" textarea name="cautions" rows="3" { (typed.cautions) } }
                label { "Instead, one a line, like knee: box-jump" textarea name="swaps" rows="3" spellcheck="false" { (typed.swaps) } }
                label { "Kit, with commas between" input name="kit" value=(typed.kit) autocomplete="off"; }
                label { "Source" input name="source" value=(typed.source) autocomplete="off"; }
            }
            button.main { "Enter it" }
        }
    }
}

fn ticks<'a>(
    legend: &str,
    name: &str,
    choices: impl Iterator<Item = (&'a str, &'a str, bool)>,
) -> Markup {
    html! {
        details.more id={ "ticks-" (name) "-" (legend.len()) } {
            summary { (legend) }
            fieldset.ticks {
                legend.unseen { (legend) }
                @for (id, words, ticked) in choices {
                    label.tick { input type="checkbox" name=(name) value=(id) checked[ticked]; span { (words) } }
                }
            }
        }
    }
}

fn dose(exercise: &Exercise) -> String {
    let dose = &exercise.dose;
    let whole = |span: Span<u16>| {
        if span.low == span.high {
            span.low.to_string()
        } else {
            format!("{} to {}", span.low, span.high)
        }
    };
    let seconds = |span: Span<Duration>| {
        let (low, high) = (span.low.in_seconds(), span.high.in_seconds());
        if low == high { format!("{low:.0} s") } else { format!("{low:.0} to {high:.0} s") }
    };
    let hold = dose.hold.map_or_else(String::new, |hold| format!(" of {}", seconds(hold)));
    format!("{} × {}{hold}, rest {}", whole(dose.sets), whole(dose.repetitions), seconds(dose.rest))
}

fn stop_words(stop: StopRule) -> String {
    match stop {
        StopRule::DropFromBest { fraction, in_a_row: 1 } => {
            format!("at a drop over {:.0} % from the set's best", fraction * 100.0)
        }
        StopRule::DropFromBest { fraction, in_a_row } => format!(
            "at a drop over {:.0} % from the set's best, {in_a_row} reps in a row",
            fraction * 100.0
        ),
        StopRule::UnderWindow { in_a_row } => format!("under the window {in_a_row} reps in a row"),
    }
}

fn joined<'a>(words: impl Iterator<Item = &'a str>) -> String {
    words.collect::<Vec<_>>().join(", ")
}
