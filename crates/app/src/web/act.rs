//! What a page can ask for: each form becomes one operation, or a sentence why not.
//!
//! A page with script sends the form in the background and is answered in JSON; one without is
//! answered by going back to the page, or by a page with the question.

use super::Site;
use super::shell::{Distance, Page};
use crate::flow::act::{self, Act, Answer};
use crate::flow::kit::TypedBar;
use crate::flow::record::{self, Outcome, TypedRep};
use axum::Form;
use axum::extract::{Path, State};
use axum::http::header::{ACCEPT, REFERER};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Json, Redirect, Response};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::rep::Side;
use jiff::SignedDuration;
use maud::html;
use serde_json::json;
use std::collections::HashMap;
use uuid::Uuid;

type Fields = HashMap<String, String>;

/// A rep typed at a station.
pub(super) async fn rep(
    State(site): State<Site>,
    Path(station): Path<u8>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    typed(&site, station, headers, fields, true).await
}

/// Everything else a station's page can ask for.
pub(super) async fn station(
    State(site): State<Site>,
    Path((station, what)): Path<(u8, String)>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    if what == "missed" {
        return typed(&site, station, headers, fields, false).await;
    }
    let Some(act) = act_at_station(station, &what, &fields) else { return unreadable(&headers) };
    act_and_answer(&site, act, &headers, &fields).await
}

async fn typed(
    site: &Site,
    station: u8,
    headers: HeaderMap,
    fields: Fields,
    with_number: bool,
) -> Response {
    let Some(athlete) = fields.get("athlete").and_then(|code| AthleteId::new(code)) else {
        return answer(
            &headers,
            &fields,
            Answer::Refused("Nobody is up here. Call someone up first.".into()),
        );
    };
    let number = |name: &str| fields.get(name).and_then(|text| text.parse::<f64>().ok());
    let late = number("age_ms").filter(|age| (0.0..8.64e7).contains(age)).unwrap_or(0.0);
    let typed = TypedRep {
        id: operation_id(&fields),
        author: author(&fields),
        station,
        athlete,
        side: fields.get("side").and_then(|code| Side::from_code(code)),
        text: with_number.then(|| fields.get("text").cloned().unwrap_or_default()),
        contact: fields.get("contact").cloned(),
        chosen: number("chosen"),
        age: SignedDuration::from_secs_f64(late / 1000.0),
    };
    match record::typed_rep(&site.house, typed).await {
        Outcome::Kept => answer(&headers, &fields, Answer::Kept),
        Outcome::Refused(sentence) => answer(&headers, &fields, Answer::Refused(sentence)),
        Outcome::Ask { doubt, readings } => {
            let offers = readings
                .iter()
                .map(|reading| (reading.value_si, reading.sentence.clone()))
                .collect();
            answer(&headers, &fields, Answer::Ask { doubt: doubt.to_string(), offers })
        }
    }
}

fn act_at_station(station: u8, what: &str, fields: &Fields) -> Option<Act> {
    let text = |name: &str| fields.get(name).map(String::as_str);
    let athlete = || text("athlete").and_then(AthleteId::new);
    Some(match what {
        "close" => Act::CloseSet { station, athlete: athlete()? },
        "turn" => Act::CallUp { station, athlete: athlete()? },
        "load" => {
            let (bar, grams) = text("load")?.rsplit_once(':')?;
            let total_kg = grams.parse::<f64>().ok()? / 1000.0;
            Act::Hang { station, athlete: athlete()?, bar: bar.to_owned(), total_kg }
        }
        "box" => Act::SetBox { station, athlete: athlete()?, cm: text("cm")?.to_owned() },
        "fault" => Act::Fault { rep: text("rep")?.parse().ok()?, tag: text("fault")?.to_owned() },
        _ => return None,
    })
}

/// All groups move on.
pub(super) async fn rotate(
    State(site): State<Site>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    act_and_answer(&site, Act::Rotate, &headers, &fields).await
}

/// An evening opened or closed from the desk.
pub(super) async fn evening(
    State(site): State<Site>,
    headers: HeaderMap,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let present = fields
        .iter()
        .filter(|(name, _)| name == "athlete")
        .filter_map(|(_, code)| AthleteId::new(code))
        .collect();
    let fields: Fields = fields.into_iter().collect();
    let act = match fields.get("what").map(String::as_str) {
        Some("open") => Act::OpenEvening { present },
        Some("close") => Act::CloseEvening,
        _ => return unreadable(&headers),
    };
    act_and_answer(&site, act, &headers, &fields).await
}

/// Bars, plates, boxes, the mat, the name over the door.
pub(super) async fn kit(
    State(site): State<Site>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let field = |name: &str| fields.get(name).cloned().unwrap_or_default();
    let text = field("text");
    let act = match fields.get("what").map(String::as_str) {
        Some("bar") => Act::WeighBar(TypedBar {
            name: field("name"),
            kind: field("kind"),
            mass: text,
            weighed: field("weighed") == "yes",
        }),
        Some("plates") => Act::CountPlates { text },
        Some("boxes") => Act::MeasureBoxes { text },
        Some("mat") => Act::CompareMat { text, against: field("against") },
        Some("name") => Act::NameGym { text },
        _ => return unreadable(&headers),
    };
    act_and_answer(&site, act, &headers, &fields).await
}

/// Something taken back.
pub(super) async fn undo(
    State(site): State<Site>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let Some(operation) = fields.get("operation").and_then(|id| id.parse().ok()) else {
        return unreadable(&headers);
    };
    act_and_answer(&site, Act::Undo { operation }, &headers, &fields).await
}

/// A rep corrected, moved or set aside.
pub(super) async fn rep_changed(
    State(site): State<Site>,
    Path(id): Path<String>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let Ok(rep) = id.parse::<OperationId>() else { return unreadable(&headers) };
    let reason = fields.get("reason").filter(|reason| !reason.trim().is_empty()).cloned();
    let act = match fields.get("what").map(String::as_str) {
        Some("correct") => Act::Correct {
            rep,
            text: fields.get("text").cloned().unwrap_or_default(),
            chosen: fields.get("chosen").and_then(|text| text.parse().ok()),
            reason: reason.unwrap_or_else(|| "corrected at the rack".into()),
        },
        Some("move") => match fields.get("athlete").and_then(|code| AthleteId::new(code)) {
            Some(athlete) => Act::Move {
                rep,
                athlete,
                reason: reason.unwrap_or_else(|| "credited to the wrong athlete".into()),
            },
            None => return unreadable(&headers),
        },
        Some("aside") => {
            Act::SetAside { rep, reason: reason.unwrap_or_else(|| "set aside at the rack".into()) }
        }
        _ => return unreadable(&headers),
    };
    act_and_answer(&site, act, &headers, &fields).await
}

/// A loaded jump typed on an athlete's page.
pub(super) async fn jump(
    State(site): State<Site>,
    Path(code): Path<String>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let Some(athlete) = AthleteId::new(&code) else { return unreadable(&headers) };
    let act = Act::Jump {
        athlete,
        load: fields.get("load").cloned().unwrap_or_default(),
        text: fields.get("text").cloned().unwrap_or_default(),
        chosen: fields.get("chosen").and_then(|text| text.parse().ok()),
    };
    act_and_answer(&site, act, &headers, &fields).await
}

/// A body mass.
pub(super) async fn mass(
    State(site): State<Site>,
    Path(code): Path<String>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let Some(athlete) = AthleteId::new(&code) else { return unreadable(&headers) };
    let text = fields.get("text").cloned().unwrap_or_default();
    let chosen = fields.get("chosen").and_then(|text| text.parse().ok());
    act_and_answer(&site, Act::Weigh { athlete, text, chosen }, &headers, &fields).await
}

/// A new athlete.
pub(super) async fn athlete_entered(
    State(site): State<Site>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let text = |name: &str| fields.get(name).cloned().unwrap_or_default();
    let act = Act::EnterAthlete(act::NewAthlete {
        code: text("code"),
        name: text("name"),
        sex: text("sex"),
        age: text("age"),
        stance: text("stance"),
        level: text("level"),
    });
    act_and_answer(&site, act, &headers, &fields).await
}

async fn act_and_answer(site: &Site, act: Act, headers: &HeaderMap, fields: &Fields) -> Response {
    let told = act::act(&site.house, operation_id(fields), author(fields), act).await;
    answer(headers, fields, told)
}

/// The device's own id for this submission, or a new one for a form sent without script.
fn operation_id(fields: &Fields) -> OperationId {
    fields
        .get("id")
        .and_then(|id| id.parse().ok())
        .unwrap_or_else(|| OperationId(Uuid::now_v7().as_u128()))
}

fn author(fields: &Fields) -> String {
    fields
        .get("author")
        .filter(|name| !name.trim().is_empty())
        .map_or_else(|| "coach".into(), |name| name.chars().take(60).collect())
}

fn unreadable(headers: &HeaderMap) -> Response {
    answer(
        headers,
        &Fields::new(),
        Answer::Refused("That form could not be read. Reload the page and try again.".into()),
    )
}

fn answer(headers: &HeaderMap, fields: &Fields, told: Answer) -> Response {
    let wants_json = headers
        .get(ACCEPT)
        .and_then(|accept| accept.to_str().ok())
        .is_some_and(|accept| accept.contains("application/json"));
    if wants_json { in_json(told) } else { in_page(headers, fields, told) }
}

fn in_json(told: Answer) -> Response {
    match told {
        Answer::Kept => Json(json!({ "kept": true })).into_response(),
        Answer::GoTo(path) => Json(json!({ "kept": true, "go": path })).into_response(),
        Answer::Ask { doubt, offers } => {
            let offers: Vec<_> = offers
                .iter()
                .map(|(value, sentence)| json!({ "chosen": value, "sentence": sentence }))
                .collect();
            Json(json!({ "kept": false, "ask": doubt, "offers": offers })).into_response()
        }
        Answer::Refused(sentence) => {
            (StatusCode::UNPROCESSABLE_ENTITY, Json(json!({ "kept": false, "refused": sentence })))
                .into_response()
        }
    }
}

fn in_page(headers: &HeaderMap, fields: &Fields, told: Answer) -> Response {
    let back = back(headers, fields);
    match told {
        Answer::Kept => Redirect::to(&back).into_response(),
        Answer::GoTo(path) => Redirect::to(&path).into_response(),
        Answer::Refused(sentence) => {
            let page = still(html! { h1 { "Not taken" } p { (sentence) } p { a href=(back) { "Back" } } });
            (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
        }
        Answer::Ask { doubt, offers } => still(html! {
            h1 { "Which was meant?" }
            p { (doubt) }
            @for (value, sentence) in offers {
                form method="post" {
                    @for (name, text) in fields.iter().filter(|(name, _)| *name != "chosen") { input type="hidden" name=(name) value=(text); }
                    input type="hidden" name="chosen" value=(value);
                    button { (sentence) }
                }
            }
            p { a href=(back) { "None of these" } }
        })
        .into_response(),
    }
}

fn still(region: maud::Markup) -> axum::response::Html<String> {
    Page {
        title: "Question",
        distance: Distance::Desk,
        live: None,
        region,
        rest: html! {},
        invented: false,
        now: None,
    }
    .html()
}

/// Where the form was: the page named in it or the one the browser came from, by path alone.
fn back(headers: &HeaderMap, fields: &Fields) -> String {
    let referer = headers.get(REFERER).and_then(|value| value.to_str().ok());
    let path = referer
        .and_then(|address| address.split_once("://"))
        .and_then(|(_, rest)| rest.find('/').map(|at| rest[at..].to_owned()));
    fields
        .get("back")
        .filter(|path| path.starts_with('/') && !path.starts_with("//"))
        .cloned()
        .or(path)
        .unwrap_or_else(|| "/".into())
}
