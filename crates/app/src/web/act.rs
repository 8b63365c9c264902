//! What a page can ask for: each form becomes one operation, or a sentence why not.

use super::Site;
use super::form::Submitted;
use crate::flow::act::{self, Act, Answer, NewAthlete};
use crate::flow::doors::Who;
use crate::flow::kit::TypedBar;
use crate::flow::record::{self, TypedRep};
use crate::flow::safety::SafetyAct;
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::Response;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::rep::{Seen, Side};
use jiff::SignedDuration;

/// A rep typed at a station.
pub(super) async fn rep(
    State(site): State<Site>,
    Path(station): Path<u8>,
    form: Submitted,
) -> Response {
    let text = Some(form.typed("text"));
    record_rep(&site, station, text, &form).await
}

/// Everything else a station's page can ask for.
pub(super) async fn station(
    State(site): State<Site>,
    Path((station, what)): Path<(u8, String)>,
    Extension(who): Extension<Who>,
    form: Submitted,
) -> Response {
    if what == "missed" {
        return record_rep(&site, station, None, &form).await;
    }
    do_it(&site, act_at_station(station, &what, &form, &who), &form).await
}

/// Longest time a tablet's entry may have waited for the network: a day.
const LONGEST_WAIT_MS: f64 = 86_400_000.0;

async fn record_rep(site: &Site, station: u8, text: Option<String>, form: &Submitted) -> Response {
    let Some(athlete) = form.athlete() else {
        let sentence = "Nobody is up here. Call someone up first.";
        return form.answer(Answer::Refused(sentence.to_owned()));
    };
    let waited = form.number("age_ms").filter(|age| (0.0..LONGEST_WAIT_MS).contains(age));
    let typed = TypedRep {
        id: form.id(),
        author: form.author(),
        station,
        athlete,
        side: form.text("side").and_then(Side::from_code),
        // Only what was not measured is rated.
        seen: form.text("seen").filter(|_| text.is_none()).and_then(Seen::from_code),
        text,
        contact: form.text("contact").map(str::to_owned),
        chosen: form.number("chosen"),
        age: SignedDuration::from_secs_f64(waited.unwrap_or(0.0) / 1000.0),
    };
    let reps = form.text("reps").filter(|_| typed.text.is_none());
    let reps = reps.and_then(|reps| reps.parse().ok()).unwrap_or(1);
    form.answer(record::reps_done(&site.house, typed, reps).await)
}

fn act_at_station(station: u8, what: &str, form: &Submitted, who: &Who) -> Option<Act> {
    Some(match what {
        "close" => Act::CloseSet { station, athlete: form.athlete()? },
        "whose" => Act::MoveSet {
            station,
            athlete: form.athlete()?,
            first: form.text("rep")?.parse().ok()?,
        },
        "turn" => Act::CallUp { station, athlete: form.athlete()? },
        "unloaded" => Act::JumpWithoutLoad { station, athlete: form.athlete()?, begins: true },
        "loaded" => Act::JumpWithoutLoad { station, athlete: form.athlete()?, begins: false },
        "load" if form.text("load") == Some("none") => {
            Act::JumpWithoutLoad { station, athlete: form.athlete()?, begins: true }
        }
        "load" => {
            let (bar, grams) = form.text("load")?.rsplit_once(':')?;
            let total_kg = grams.parse::<f64>().ok()? / 1000.0;
            Act::Hang { station, athlete: form.athlete()?, bar: bar.to_owned(), total_kg }
        }
        "box" => Act::SetBox {
            station,
            athlete: form.athlete()?,
            cm: form.typed("cm"),
            chosen: form.number("chosen"),
        },
        "stop" => Act::Safety(SafetyAct {
            athlete: Some(form.athlete()?),
            what: "stop".to_owned(),
            fields: vec![("sign".to_owned(), form.typed("sign"))],
            who: who.clone(),
            number: None,
        }),
        "fault" => Act::Fault { rep: form.text("rep")?.parse().ok()?, tag: form.typed("fault") },
        _ => return None,
    })
}

/// All groups move on.
pub(super) async fn rotate(State(site): State<Site>, form: Submitted) -> Response {
    do_it(&site, Some(Act::Rotate), &form).await
}

/// An evening opened or closed from the desk.
pub(super) async fn evening(State(site): State<Site>, form: Submitted) -> Response {
    let act = match form.text("what") {
        Some("open") => {
            let present = form.all("athlete").filter_map(AthleteId::new).collect();
            Some(Act::OpenEvening { present })
        }
        Some("close") => Some(Act::CloseEvening),
        _ => None,
    };
    do_it(&site, act, &form).await
}

/// Bars, plates, boxes, the mat, the name over the door.
pub(super) async fn kit(State(site): State<Site>, form: Submitted) -> Response {
    let text = form.typed("text");
    let act = match form.text("what") {
        Some("bar") => Some(Act::WeighBar(TypedBar {
            name: form.typed("name"),
            kinds: form.all("kind").map(str::to_owned).collect(),
            mass: text,
            weighed: form.text("weighed") == Some("yes"),
        })),
        Some("plates") => Some(Act::CountPlates { text }),
        Some("box") => Some(Act::AddBox { text }),
        Some("boxes") => Some(Act::MeasureBoxes { text }),
        Some("mat") => Some(Act::CompareMat { text, against: form.typed("against") }),
        Some("name") => Some(Act::NameGym { text }),
        _ => None,
    };
    do_it(&site, act, &form).await
}

/// Something taken back.
pub(super) async fn undo(State(site): State<Site>, form: Submitted) -> Response {
    let operation = form.text("operation").and_then(|id| id.parse().ok());
    do_it(&site, operation.map(|operation| Act::Undo { operation }), &form).await
}

/// A rep corrected, moved or set aside.
pub(super) async fn rep_changed(
    State(site): State<Site>,
    Path(id): Path<String>,
    form: Submitted,
) -> Response {
    let act = id.parse().ok().and_then(|rep| change_of_rep(rep, &form));
    do_it(&site, act, &form).await
}

fn change_of_rep(rep: OperationId, form: &Submitted) -> Option<Act> {
    let reason = |usual: &str| {
        let given = form.text("reason").map(str::trim).filter(|reason| !reason.is_empty());
        given.unwrap_or(usual).to_owned()
    };
    Some(match form.text("what")? {
        "correct" => Act::Correct {
            rep,
            text: form.typed("text"),
            chosen: form.number("chosen"),
            reason: reason("corrected at the rack"),
        },
        "move" => Act::Move {
            rep,
            athlete: form.athlete()?,
            reason: reason("credited to the wrong athlete"),
        },
        "aside" => Act::SetAside { rep, reason: reason("set aside at the rack") },
        _ => return None,
    })
}

/// A loaded jump typed on an athlete's page.
pub(super) async fn jump(
    State(site): State<Site>,
    Path(code): Path<String>,
    form: Submitted,
) -> Response {
    let act = AthleteId::new(&code).map(|athlete| Act::Jump {
        athlete,
        load: form.typed("load"),
        text: form.typed("text"),
        chosen: form.number("chosen"),
    });
    do_it(&site, act, &form).await
}

/// A body mass.
pub(super) async fn mass(
    State(site): State<Site>,
    Path(code): Path<String>,
    form: Submitted,
) -> Response {
    let act = AthleteId::new(&code).map(|athlete| Act::Weigh {
        athlete,
        text: form.typed("text"),
        chosen: form.number("chosen"),
    });
    do_it(&site, act, &form).await
}

/// A new athlete.
pub(super) async fn athlete_entered(State(site): State<Site>, form: Submitted) -> Response {
    let act = Act::EnterAthlete(NewAthlete {
        code: form.typed("code"),
        name: form.typed("name"),
        sex: form.typed("sex"),
        age: form.typed("age"),
        stance: form.typed("stance"),
        level: form.typed("level"),
    });
    do_it(&site, Some(act), &form).await
}

/// Does what the form asks for; a form that asks for nothing known is said to be unreadable.
pub(super) async fn do_it(site: &Site, act: Option<Act>, form: &Submitted) -> Response {
    match act {
        Some(act) => form.answer(act::act(&site.house, form.id(), form.author(), act).await),
        None => form.unreadable(),
    }
}
