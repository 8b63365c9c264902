//! Recordings handed in, and what is done with them: each form becomes operations, or a sentence
//! why not.

use super::Site;
use super::form::Submitted;
use super::page::traces as page;
use crate::flow::act::Answer;
use crate::flow::doors::Who;
use crate::flow::filing::TypedFiling;
use crate::flow::traces::{self, Fate, Hand, HandedIn};
use axum::Extension;
use axum::extract::multipart::{Field, MultipartError};
use axum::extract::{Multipart, Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Json, Response};
use cornerwork_core::entry::decimal;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::trace::{ColumnUse, Reading};
use cornerwork_core::trial::TrialEvent;
use serde_json::json;
use uuid::Uuid;

/// What became of a file, for the page.
pub(super) struct Told {
    /// Its name.
    pub file: String,
    /// What became of it.
    pub fate: Fate,
}

/// Files handed in. Fields stand before the files, so that every file is taken as it arrives.
pub(super) async fn handed_in(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    headers: HeaderMap,
    mut form: Multipart,
) -> Response {
    let (mut fields, mut told) = (Vec::new(), Vec::new());
    let form_of = |fields| Submitted::of(&headers, who.author(), fields);
    loop {
        match next(&site, form_of, &mut form, &mut fields).await {
            Ok(Some(Part::Field)) => {}
            Ok(Some(Part::File(one))) => told.push(one),
            Ok(None) => break,
            Err(error) => {
                let sentence =
                    format!("The files did not arrive whole ({error}). Hand them in again.");
                return (StatusCode::BAD_REQUEST, sentence).into_response();
            }
        }
    }
    let form = form_of(fields);
    if told.is_empty() {
        return form.answer(Answer::Refused("No file was chosen. Choose one or many.".to_owned()));
    }
    if form.wants_json() { in_json(&told) } else { page::handed_in(&site, &told) }
}

enum Part {
    Field,
    File(Told),
}

async fn next(
    site: &Site,
    form_of: impl Fn(Vec<(String, String)>) -> Submitted,
    form: &mut Multipart,
    fields: &mut Vec<(String, String)>,
) -> Result<Option<Part>, MultipartError> {
    let Some(field) = form.next_field().await? else { return Ok(None) };
    let name = field.name().unwrap_or_default().to_owned();
    let Some(file) = field.file_name().map(last_step) else {
        fields.push((name, field.text().await?));
        return Ok(Some(Part::Field));
    };
    let so_far = form_of(fields.clone());
    let Some(fate) = take(site, &so_far, &file, field).await? else { return Ok(Some(Part::Field)) };
    Ok(Some(Part::File(Told { file, fate })))
}

/// A browser may send a whole path.
fn last_step(path: &str) -> String {
    path.rsplit(['/', '\\']).next().unwrap_or(path).to_owned()
}

/// Takes one file; `None` for the empty one a browser sends when none was chosen.
async fn take(
    site: &Site,
    form: &Submitted,
    file: &str,
    field: Field<'_>,
) -> Result<Option<Fate>, MultipartError> {
    let bytes = field.bytes().await?;
    if file.is_empty() && bytes.is_empty() {
        return Ok(None);
    }
    let filing = {
        let ledger = site.house.keeper.ledger();
        typed(form).read(&site.house, ledger.gym(), file)
    };
    let filing = match filing {
        Ok(filing) => filing,
        Err(sentence) => return Ok(Some(Fate::Refused(sentence))),
    };
    // The same bytes are known again by their hash, so a new id does not file them twice.
    let id = OperationId(Uuid::now_v7().as_u128());
    let handed = HandedIn {
        id,
        author: form.author(),
        file: file.to_owned(),
        bytes: bytes.to_vec(),
        filing,
        reading: None,
    };
    Ok(Some(traces::file(&site.house, handed).await))
}

fn typed(form: &Submitted) -> TypedFiling {
    TypedFiling {
        athlete: form.typed("athlete"),
        kind: form.typed("kind"),
        exercise: form.typed("exercise"),
        side: form.typed("side"),
        load_kg: form.typed("load"),
        box_cm: form.typed("box"),
        horizontal: form.text("horizontal").is_some(),
        ballistic: form.text("ballistic").is_some(),
        day: form.typed("day"),
    }
}

fn in_json(told: &[Told]) -> Response {
    let files: Vec<_> = told
        .iter()
        .map(|one| {
            let (state, words) = page::in_words(&one.fate);
            let trace = one.fate.trace().map(|id| format!("/trace/{id}"));
            json!({ "file": one.file, "state": state, "words": words, "trace": trace })
        })
        .collect();
    Json(json!({ "files": files })).into_response()
}

fn hand(form: &Submitted) -> Hand {
    Hand { id: form.id(), author: form.author() }
}

/// Columns confirmed for recordings that wait, and remembered if a name is given.
pub(super) async fn columns(State(site): State<Site>, form: Submitted) -> Response {
    let waiting: Vec<OperationId> = form.all("trace").filter_map(|id| id.parse().ok()).collect();
    let answer = match reading(&form) {
        Ok(reading) => traces::read_as(&site.house, hand(&form), waiting, reading).await,
        Err(sentence) => Answer::Refused(sentence),
    };
    form.answer(answer)
}

/// Rates that are believed: nothing that measures a body or a bar is slower or faster.
const RATES_HZ: std::ops::RangeInclusive<f64> = 1.0..=100_000.0;

/// The way of reading that a form says: a role and a unit for every column.
fn reading(form: &Submitted) -> Result<Reading, String> {
    let names = form.all("column").zip(form.all("role")).zip(form.all("unit"));
    let columns: Vec<ColumnUse> = names
        .filter(|((_, role), _)| !role.is_empty())
        .map(|((column, role), unit)| ColumnUse {
            role: role.to_owned(),
            column: column.to_owned(),
            unit: Some(unit.to_owned()).filter(|unit| !unit.is_empty()),
        })
        .collect();
    if columns.iter().all(|column| column.role == "time") {
        return Err("Say which column is the force, or the position of the bar.".to_owned());
    }
    let rate_hz = match form.typed("rate").trim() {
        "" => None,
        text => {
            let rate = decimal(text).filter(|rate| RATES_HZ.contains(rate));
            let unclear = || format!("\"{text}\" is no rate. Type samples a second, like 1000.");
            Some(rate.ok_or_else(unclear)?)
        }
    };
    let name = form.typed("name").trim().chars().take(60).collect::<String>();
    let name = Some(name).filter(|name| !name.is_empty());
    let decimal_mark = form.text("decimal").and_then(page::decimal_mark);
    Ok(Reading { columns, rate_hz, decimal_mark, name })
}

/// A remembered way of reading forgotten.
pub(super) async fn forget_reading(State(site): State<Site>, form: Submitted) -> Response {
    let answer = traces::forget_reading(&site.house, hand(&form), form.typed("name")).await;
    form.answer(answer)
}

/// A recording put right, set aside, or filed anew.
pub(super) async fn mended(
    State(site): State<Site>,
    Path(id): Path<String>,
    form: Submitted,
) -> Response {
    let Ok(trace) = id.parse::<OperationId>() else { return form.unreadable() };
    let (house, hand) = (&site.house, hand(&form));
    let reason = reason(&form);
    let answer = match form.text("what") {
        Some("move") => {
            let Some(event) = form.text("event").and_then(TrialEvent::from_name) else {
                return form.unreadable();
            };
            match seconds(&form) {
                Ok(to_s) => traces::move_event(house, hand, trace, event, to_s, reason).await,
                Err(sentence) => Answer::Refused(sentence),
            }
        }
        Some("aside") if !gives_reason(&form) => {
            Answer::Refused("Say in a few words why it is not to be used.".to_owned())
        }
        Some("aside") => traces::set_aside(house, hand, trace, reason, true).await,
        Some("back") => traces::set_aside(house, hand, trace, reason, false).await,
        Some("anew") => {
            let filing = {
                let ledger = house.keeper.ledger();
                typed(&form).read(house, ledger.gym(), "")
            };
            match filing {
                Ok(filing) => traces::file_anew(house, hand, trace, filing, reason).await,
                Err(sentence) => Answer::Refused(sentence),
            }
        }
        _ => return form.unreadable(),
    };
    form.answer(answer)
}

fn gives_reason(form: &Submitted) -> bool {
    ["own_reason", "reason"].iter().any(|field| !form.typed(field).trim().is_empty())
}

/// Why, in the coach's own words or the one of the choices.
fn reason(form: &Submitted) -> String {
    let own = form.typed("own_reason");
    let given = if own.trim().is_empty() { form.typed("reason") } else { own };
    let given: String = given.trim().chars().take(200).collect();
    if given.is_empty() { "not said".to_owned() } else { given }
}

/// The time an event is moved to; blank leaves it to the rules.
fn seconds(form: &Submitted) -> Result<Option<f64>, String> {
    let text = form.typed("seconds");
    if text.trim().is_empty() {
        return Ok(None);
    }
    let unclear = || format!("\"{text}\" is no time. Type seconds of the recording, like 2.315.");
    decimal(&text).map(Some).ok_or_else(unclear)
}
