//! What a page can ask for: each form becomes one operation, or a sentence why not.

use super::Site;
use super::form::Submitted;
use crate::flow::act::{self, Act, Answer, Offer};
use crate::flow::close::{self, TypedSession};
use crate::flow::doors::Who;
use crate::flow::drawn_for::DrawnFor;
use crate::flow::enter_athlete::TypedAthlete;
use crate::flow::kit::TypedBar;
use crate::flow::record::{self, TypedRep};
use crate::flow::safety::SafetyAct;
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::Response;
use cornerwork_core::camp::training_load::SessionKind;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::program::SessionId;
use cornerwork_core::session::rep::{Seen, Side};
use jiff::SignedDuration;
use uuid::Uuid;

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
        drawn: DrawnFor::from_fields(|name| form.text(name)),
        settled: form.text("settled") == Some("yes"),
        side: form.text("side").and_then(Side::from_code),
        // Only what was not measured is rated.
        seen: form.text("seen").filter(|_| text.is_none()).and_then(Seen::from_code),
        text,
        contact: form.text("contact").map(str::to_owned),
        chosen: form.number("chosen"),
        contact_chosen: form.number("contact_chosen"),
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

/// An evening opened, or opened again.
pub(super) async fn evening(State(site): State<Site>, form: Submitted) -> Response {
    let act = match form.text("what") {
        Some("open") => {
            let present = form.all("athlete").filter_map(AthleteId::new).collect();
            Some(Act::OpenEvening { present })
        }
        Some("again") => Some(Act::ReopenEvening),
        _ => None,
    };
    do_it(&site, act, &form).await
}

/// Everyone rated from one table; then, where that is asked for, the end of the evening. Who is not
/// rated yet is named first, and the same again ends it without them.
pub(super) async fn close(State(site): State<Site>, form: Submitted) -> Response {
    let session = form.text("session").and_then(SessionId::new);
    let lines = {
        let ledger = site.house.keeper.ledger();
        close::lines(&site.house, ledger.gym(), session.as_ref(), rated(&form))
    };
    let lines = match lines {
        Ok(lines) => lines,
        Err(sentence) => return form.answer(Answer::Refused(sentence)),
    };
    for line in lines {
        let id = OperationId(Uuid::now_v7().as_u128());
        let told = act::act(&site.house, id, form.author(), Act::CloseSession(line)).await;
        if told != Answer::Kept {
            return form.answer(told);
        }
    }
    let runs = site.house.keeper.ledger().gym().open_evening().is_some();
    if form.text("what") != Some("end") || !runs {
        return form.answer(Answer::Kept);
    }
    let open = close::not_rated(&site.house, site.house.keeper.ledger().gym(), None);
    match close::not_rated_in_words(&open).filter(|_| form.number("chosen").is_none()) {
        Some(doubt) => {
            let fields = vec![("chosen", "1".to_owned())];
            let offers = vec![Offer { words: "End without them".to_owned(), fields }];
            form.answer(Answer::Ask { doubt, offers })
        }
        None => do_it(&site, Some(Act::CloseEvening), &form).await,
    }
}

/// The lines of the table: fields called `felt-A01`, one line for each athlete named in them.
fn rated(form: &Submitted) -> Vec<TypedSession> {
    let codes = form.fields().iter().filter_map(|(name, _)| name.strip_prefix("minutes-"));
    let line = |code: &str| {
        let field = |what: &str| form.typed(&format!("{what}-{code}"));
        Some(TypedSession {
            athlete: AthleteId::new(code)?,
            kind: SessionKind::Strength.code().to_owned(),
            date: String::new(),
            exertion: field("felt"),
            minutes: field("minutes"),
            rounds: String::new(),
            note: field("note"),
            next: field("next"),
        })
    };
    codes.filter_map(line).collect()
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
    let act = Act::EnterAthlete(typed_athlete(&form));
    do_it(&site, Some(act), &form).await
}

/// An athlete's facts.
pub(super) fn typed_athlete(form: &Submitted) -> TypedAthlete {
    TypedAthlete {
        code: form.typed("code"),
        name: form.typed("name"),
        sex: form.typed("sex"),
        born: form.typed("born"),
        age: form.typed("age"),
        stance: form.typed("stance"),
        level: form.typed("level"),
    }
}

/// Does what the form asks for; a form that asks for nothing known is said to be unreadable.
pub(super) async fn do_it(site: &Site, act: Option<Act>, form: &Submitted) -> Response {
    match act {
        Some(act) => form.answer(act::act(&site.house, form.id(), form.author(), act).await),
        None => form.unreadable(),
    }
}
