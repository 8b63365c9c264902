//! Recordings: hand them in, confirm their columns, find them again.

use super::super::Site;
use super::super::assets;
use super::super::shell::Page;
use super::super::trace_act::Told;
use crate::flow::filing::{self, BY_NAME, Detail};
use crate::flow::house::House;
use crate::flow::trace::{Kind, in_words as reading_in_words};
use crate::flow::traces::{self, Fate, Waiting};
use crate::flow::trials::headline;
use axum::extract::{RawQuery, State};
use axum::response::{Html, IntoResponse, Response};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::trace::Filing;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::units::Mass;
use cornerwork_core::words;
use maud::{Markup, html};

/// Recordings listed at once, newest first.
const LISTED: usize = 200;
/// What a column can be, with the word shown.
const ROLES: [(&str, &str); 7] = [
    ("", "not used"),
    ("time", "time"),
    ("force", "force"),
    ("left", "force, left"),
    ("right", "force, right"),
    ("box", "force, plate on the box"),
    ("position", "position of the bar"),
];
/// The mark before the decimals of a number, as the address of the page and a form name it.
pub(in super::super) fn decimal_mark(word: &str) -> Option<char> {
    match word {
        "comma" => Some(','),
        "point" => Some('.'),
        _ => None,
    }
}

/// Units a column can have.
const UNITS: [&str; 11] = ["", "s", "ms", "N", "kN", "kgf", "lbf", "m", "cm", "mm", "in"];

/// The page.
pub(in super::super) async fn show(
    State(site): State<Site>,
    RawQuery(query): RawQuery,
) -> Html<String> {
    let query = query.unwrap_or_default();
    let of = query.split('&').find_map(|part| AthleteId::new(part.strip_prefix("athlete=")?));
    let decimal = query.split('&').find_map(|part| decimal_mark(part.strip_prefix("decimal=")?));
    let anew = query.split('&').find_map(|part| part.strip_prefix("anew=")?.parse().ok());
    let waiting = traces::waiting(&site.house, decimal, anew).await;
    site.house.profiles.trials.catch_up(&site.house, of.as_ref()).await;
    let ledger = site.house.keeper.ledger();
    let gym = ledger.gym();
    let region = html! {
        h1 { "Traces" }
        @if gym.athletes.is_empty() {
            p.lead { "Add an athlete at the desk first: every recording is somebody's." }
        } @else {
            (hand_in(&site.house, gym, of.as_ref()))
        }
        @for group in &waiting { (to_confirm(gym, group, decimal, anew)) }
        (list(&site.house, gym, of.as_ref()))
        (ways_of_reading(gym))
    };
    page("Traces", region, gym.invented)
}

fn page(title: &str, region: Markup, invented: bool) -> Html<String> {
    Page {
        rest: html! { script type="module" src=(assets::trace_script()) {} },
        ..Page::desk(title, region, invented)
    }
    .html()
}

fn hand_in(house: &House, gym: &Gym, of: Option<&AthleteId>) -> Markup {
    html! {
        section {
            p.lead { "Files of a force plate or a bar sensor: tables of text, C3D or Parquet. Each is kept as it came." }
            form #hand-in method="post" action="/traces" enctype="multipart/form-data" {
                div.fields {
                    (said_of(house, gym, of, None))
                    label { "Files" input type="file" name="file" multiple required; }
                }
                p #drop .drop hidden { "Drop files here: one or several hundred." }
                button.main { "File them" }
            }
            div #handed .scroll hidden tabindex="0" role="region" aria-label="Files handed in" { table {
                caption { "Files handed in" }
                thead { tr { th { "file" } th { "athlete" } th { "kind" } th { "load, kg" } th { "day" } th { "what became of it" } } }
                tbody {}
            } }
            p #progress role="status" {}
        }
    }
}

/// Fields that say what a recording is; filled in for one that is filed already.
pub(super) fn said_of(
    house: &House,
    gym: &Gym,
    of: Option<&AthleteId>,
    filing: Option<&Filing>,
) -> Markup {
    let athlete = filing.map(|filing| &filing.athlete).or(of);
    let load = filing.map(|filing| filing.load).filter(|load| *load > Mass::ZERO);
    let load = load.map(|load| format!("{:.1}", load.in_kilograms()));
    let height = filing.and_then(|filing| filing.box_height);
    let height = height.map(|height| format!("{:.0}", height.in_centimetres()));
    let day = filing.map_or_else(|| house.clock().today(), |filing| filing.day);
    let exercise = filing.and_then(|filing| filing.exercise.as_ref());
    html! {
        label { "Athlete" select name="athlete" required {
            @if filing.is_none() {
                option value="" selected[athlete.is_none()] { "pick one" }
                option value=(BY_NAME) { "as the file's name says" }
            }
            @for one in gym.athletes.values() {
                option value=(one.id) selected[athlete == Some(&one.id)] { (one.name) " (" (one.id) ")" }
            }
        } }
        label { "Kind of trial" select name="kind" required {
            @if filing.is_none() { option value=(BY_NAME) { "as the file's name says" } }
            @for kind in Kind::ALL {
                @let chosen = filing.map_or(kind == Kind::CountermovementJump, |filing| filing.kind == kind);
                option value=(kind.id()) selected[chosen] { (kind.name()) }
            }
        } }
        label { "Day" input type="date" name="day" value=(day) required; }
        label data-kinds=(Detail::Load.kinds()) { "Load on the bar, kg" input name="load" inputmode="decimal" size="6" autocomplete="off" placeholder="none" value=[load]; }
        label data-kinds=(Detail::Exercise.kinds()) { "Exercise, with a load" select name="exercise" {
            option value="" { "as usual here" }
            @for one in filing::exercises(house) {
                option value=(one.id) selected[exercise == Some(&one.id)] { (one.name) }
            }
        } }
        label data-kinds=(Detail::Box.kinds()) { "Box, cm" input name="box" inputmode="decimal" size="6" autocomplete="off" placeholder="none" value=[height]; }
        label.tick data-kinds=(Detail::Sideways.kinds()) { input type="checkbox" name="horizontal" value="yes" checked[filing.is_some_and(|filing| filing.horizontal)]; span { "pushes sideways" } }
        label.tick data-kinds=(Detail::Thrown.kinds()) { input type="checkbox" name="ballistic" value="yes" checked[filing.is_some_and(|filing| filing.ballistic)]; span { "bar is thrown or jumped with" } }
    }
}

/// Columns of recordings that wait: the guess beside the first rows.
fn to_confirm(
    gym: &Gym,
    group: &Waiting,
    decimal: Option<char>,
    anew: Option<OperationId>,
) -> Markup {
    let glance = &group.glance;
    let role = |name: &str| glance.guess.iter().find(|column| column.column == name);
    let count = group.traces.len();
    html! {
        section.confirm {
            h2 { "Which column is what?" }
            p {
                @if anew.is_some() { strong { (group.traces[0].file) } " is read already; read it anew." }
                @else if count == 1 { strong { (group.traces[0].file) } " waits for this." }
                @else { strong { (count) " files" } " with these columns wait for this: " (group.traces[0].file) " to " (group.traces[count - 1].file) "." }
                " Guessed from names and units; look at the first rows and put right what is wrong."
            }
            @if let Some(doubt) = &glance.doubt { p.note { (doubt) } }
            @if let Some(mark) = glance.decimal_mark { (other_mark(mark, decimal, glance.mark_in_doubt, anew)) }
            form method="post" action="/traces/columns" data-send {
                input type="hidden" name="back" value={ @match anew { Some(id) => { "/trace/" (id) }, None => "/traces" } };
                @if let Some(mark) = glance.decimal_mark && (glance.mark_in_doubt || decimal == Some(mark)) {
                    input type="hidden" name="decimal" value=(word_of(mark));
                }
                @for trace in &group.traces { input type="hidden" name="trace" value=(trace.id); }
                div.scroll tabindex="0" role="region" aria-label="Columns of the file" { table.roles {
                    thead {
                        tr { @for name in &glance.heading { th { (name) input type="hidden" name="column" value=(name); } } }
                        tr { @for name in &glance.heading { td { select name="role" aria-label={ "what " (name) " is" } {
                            @let guessed = role(name).map_or("", |column| column.role.as_str());
                            @for (value, word) in ROLES { option value=(value) selected[guessed == value] { (word) } }
                        } } } }
                        tr { @for name in &glance.heading { td { select name="unit" aria-label={ "unit of " (name) } {
                            @let guessed = role(name).and_then(|column| column.unit.as_deref()).unwrap_or("");
                            @for unit in UNITS { option value=(unit) selected[guessed == unit] { @if unit.is_empty() { "unit as usual" } @else { (unit) } } }
                            @if !UNITS.contains(&guessed) { option value=(guessed) selected { (guessed) } }
                        } } } }
                    }
                    tbody { @for row in &glance.rows { tr { @for cell in row { td.number { (cell) } } } } }
                } }
                div.fields {
                    @if let Some(rate) = glance.stated_rate_hz {
                        p { "The file states " (rate) " samples a second." }
                    } @else {
                        label {
                            @if glance.needs_rate() { "Samples a second (the file does not say)" } @else { "Samples a second, without a time column" }
                            input name="rate" inputmode="decimal" size="8" autocomplete="off" required[glance.needs_rate()];
                        }
                    }
                    label { "Remember it as" input name="name" maxlength="60" autocomplete="off" placeholder="plate in the corner"; }
                    button.main { @if count == 1 { "Read it like this" } @else { "Read all " (count) " like this" } }
                }
            }
            @if count > 1 { details id={ "waits-" (group.traces[0].id) } { summary { "the files" }
                ul { @for trace in &group.traces { li { a href={ "/trace/" (trace.id) } { (trace.file) } ", " (traces::in_words(gym, trace)) } } }
            } }
        }
    }
}

const fn word_of(mark: char) -> &'static str {
    if mark == ',' { "comma" } else { "point" }
}

/// With what the rows shown were read, and the way to read them with the other mark.
fn other_mark(
    mark: char,
    chosen: Option<char>,
    in_doubt: bool,
    anew: Option<OperationId>,
) -> Markup {
    let (this, other) = if mark == ',' { ("comma", "point") } else { ("point", "comma") };
    html! {
        p {
            @if in_doubt { "Each line can be two columns, or one number with a decimal comma. " }
            @if chosen.is_some_and(|chosen| chosen != mark) { "With a decimal " (other) " it holds no numbers. " }
            "Read here with a decimal " (this) ". "
            a href={ "/traces?decimal=" (other) @if let Some(id) = anew { "&anew=" (id) } } { "Read with a decimal " (other) }
        }
    }
}

fn list(house: &House, gym: &Gym, of: Option<&AthleteId>) -> Markup {
    let mut all: Vec<&FiledRecording> =
        gym.traces.all().filter(|trace| of.is_none_or(|of| trace.filing.athlete == *of)).collect();
    all.sort_by_key(|trace| std::cmp::Reverse((trace.filing.day, trace.id)));
    html! {
        section {
            h2 { @match of.and_then(|of| gym.athlete(of)) { Some(athlete) => { "On file of " (athlete.name) }, None => "On file" } }
            @if of.is_some() { p { a href="/traces" { "all athletes" } } }
            @if all.is_empty() { p { "No recording yet." } } @else {
                div.scroll tabindex="0" role="region" aria-label="Recordings on file" { table.recordings {
                    thead { tr { th { "day" } th { "athlete" } th { "what" } th { "load" } th { "number" } th { "to know" } } }
                    tbody { @for trace in all.iter().take(LISTED) { (row(house, gym, trace)) } }
                } }
            }
            @if all.len() > LISTED { p.quiet { "The newest " (LISTED) " of " (all.len()) ". Pick an athlete to see older ones." } }
        }
    }
}

fn row(house: &House, gym: &Gym, trace: &FiledRecording) -> Markup {
    let filing = &trace.filing;
    let name =
        gym.athlete(&filing.athlete).map_or(filing.athlete.as_str(), |one| one.name.as_str());
    let found = house.profiles.trials.known(gym, house.clock(), trace);
    let found = found.as_deref();
    html! {
        tr {
            td.number { (words::short_day_and_year(filing.day)) }
            td { a href={ "/traces?athlete=" (filing.athlete) } { (name) } }
            td.what { a href={ "/trace/" (trace.id) } { (filing.kind.name()) @if let Some(exercise) = exercise_shown(house, filing) { ", " (exercise) } } br; span.quiet { (trace.file) } }
            td.number { @if filing.load > Mass::ZERO { (format!("{:.1} kg", filing.load.in_kilograms())) } }
            td.number.result { @if let Some(Ok(numbers)) = found { @if let Some(words) = headline(numbers) { (words) } } }
            td.notes {
                @if let Some(reason) = &trace.set_aside { "✕ set aside: " (reason) }
                @else if trace.reading.is_none() { "? columns to confirm" }
                @else {
                    @match found {
                        Some(Ok(numbers)) => { @match numbers.notes.len() { 0 => "", 1 => "1 note", count => { (count) " notes" } } }
                        Some(Err(why)) => { "✕ " (why) }
                        None => "being read",
                    }
                }
            }
        }
    }
}

/// The exercise, where the kind of trial does not say it.
pub(super) fn exercise_shown<'a>(house: &'a House, filing: &Filing) -> Option<&'a str> {
    let exercise = filing.exercise.as_ref().filter(|_| filing.kind == Kind::Bar)?;
    house.exercises.get(exercise).map(|exercise| exercise.name.as_str())
}

fn ways_of_reading(gym: &Gym) -> Markup {
    html! {
        @if gym.traces.readings().next().is_some() {
            section {
                h2 { "Remembered ways of reading" }
                p { "A file with the same columns is read like this without asking, and says so." }
                div.scroll tabindex="0" role="region" aria-label="Remembered ways of reading" { table.stacks {
                    thead { tr { th { "name" } th { "how" } th { "for files with" } th { span.unseen { "forget" } } } }
                    tbody { @for named in gym.traces.readings() { tr {
                        td { (named.name) }
                        td { (reading_in_words(&named.reading)) }
                        td { (named.heading.join(" · ")) }
                        td { form method="post" action="/traces/forget" data-send {
                            input type="hidden" name="name" value=(named.name);
                            input type="hidden" name="back" value="/traces";
                            button aria-label={ "Forget " (named.name) } { "Forget" }
                        } }
                    } } }
                } }
            }
        }
        @for forgotten in gym.traces.forgotten_readings() {
            form.inline method="post" action="/undo" data-send {
                span { "Forgotten: “" (forgotten.was.name) "”. Files read by it stay read; the next one with its columns is asked about." }
                input type="hidden" name="operation" value=(forgotten.by);
                input type="hidden" name="back" value="/traces";
                button { "Remember it again" }
            }
        }
    }
}

/// What became of files handed in without script.
pub(in super::super) fn handed_in(site: &Site, told: &[Told]) -> Response {
    let invented = site.house.keeper.ledger().gym().invented;
    let waits = told.iter().any(|one| matches!(one.fate, Fate::ToConfirm { .. }));
    let region = html! {
        h1 { "Files handed in" }
        p.lead { (summary(told)) }
        @if waits { p { a href="/traces" { "Confirm the columns" } " and their numbers follow." } }
        div.scroll tabindex="0" role="region" aria-label="Files handed in" { table {
            thead { tr { th { "file" } th { "what became of it" } } }
            tbody { @for one in told { tr {
                td { @match one.fate.trace() { Some(id) => a href={ "/trace/" (id) } { (one.file) }, None => (one.file) } }
                td { (in_words(&one.fate).1) }
            } } }
        } }
        p { a href="/traces" { "Back to all traces" } }
    };
    page("Files handed in", region, invented).into_response()
}

fn summary(told: &[Told]) -> String {
    let count = |state: &str| told.iter().filter(|one| in_words(&one.fate).0 == state).count();
    let parts = [
        (count("filed"), "filed with numbers"),
        (count("confirm"), "waiting for their columns"),
        (count("without"), "filed without numbers"),
        (count("here"), "here already"),
        (count("refused"), "not taken"),
    ];
    let said: Vec<String> = parts
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    format!("{} of {}.", said.join(", "), told.len())
}

/// What became of a file: a word for programs and a sentence for people.
pub(in super::super) fn in_words(fate: &Fate) -> (&'static str, String) {
    match fate {
        Fate::Filed { read, .. } => ("filed", format!("✓ filed, {read}")),
        Fate::WithoutNumbers { why, .. } => ("without", format!("△ filed without numbers. {why}")),
        Fate::ToConfirm { .. } => {
            ("confirm", "? filed; its columns wait to be confirmed".to_owned())
        }
        Fate::Here { what, .. } => ("here", format!("= here already: {what}")),
        Fate::Refused(sentence) => ("refused", format!("✕ not taken. {sentence}")),
    }
}
