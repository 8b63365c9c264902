//! What the pages of sessions and exercises can ask for.

use super::Site;
use super::form::Submitted;
use crate::flow::act::{self, Act, Answer};
use crate::flow::day;
use crate::flow::program::ProgramAct;
use crate::flow::program::presence::Coming;
use crate::flow::program::typed::{self, Edit, TypedBlock};
use axum::extract::{Path, State};
use axum::response::Response;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::program::{Exception, SessionId};
use cornerwork_io::catalogue::exercises::TypedExercise;

/// A session planned from a template.
pub(super) async fn new_session(State(site): State<Site>, form: Submitted) -> Response {
    let (template, day) = (form.typed("template"), form.typed("day"));
    let id = match day::typed(&day, "the session") {
        Ok(date) => typed::new_id(site.house.keeper.ledger().gym(), &template, date),
        Err(sentence) => return form.answer(Answer::Refused(sentence)),
    };
    let Some(session) = id else { return form.unreadable() };
    let edit = Edit::New { template, day };
    submit(&site, Some(ProgramAct::Edit { session, edit }), &form).await
}

/// Everything a session's page can ask for.
pub(super) async fn session(
    State(site): State<Site>,
    Path(id): Path<String>,
    form: Submitted,
) -> Response {
    let act = SessionId::new(&id).and_then(|session| act_of_session(session, &form));
    submit(&site, act, &form).await
}

fn act_of_session(session: SessionId, form: &Submitted) -> Option<ProgramAct> {
    let edit = match form.text("what")? {
        "open" => return Some(ProgramAct::Open { session }),
        "in" => return comes(session, form, Coming::In),
        "late" => return comes(session, form, Coming::Late(form.typed("minutes"))),
        "leaves" => return comes(session, form, Coming::Leaves(form.typed("minutes"))),
        "head" => Edit::Head {
            name: form.typed("name"),
            day: form.typed("day"),
            starts: form.typed("starts"),
            minutes: form.typed("minutes"),
        },
        "people" => {
            Edit::People { present: form.all("athlete").filter_map(AthleteId::new).collect() }
        }
        "station" => Edit::Station(TypedBlock {
            station: form.typed("station"),
            exercise: form.typed("exercise"),
            sets: form.typed("sets"),
            reps: form.typed("reps"),
            rest: form.typed("rest"),
            rule: form.typed("rule"),
            amount: form.typed("amount"),
            stop: form.typed("stop"),
        }),
        "no-station" => Edit::NoStation { station: form.text("station")?.parse().ok()? },
        "except" => {
            let exercise = form.text("exercise").and_then(ExerciseId::new);
            let reason = form.typed("reason");
            let what = typed::exceptional(form.text("do")?, exercise.as_ref(), &reason)?;
            Edit::Except(Exception { athlete: form.athlete()?, station: at(form), what })
        }
        "as-planned" => Edit::NoException { athlete: form.athlete()?, station: at(form) },
        "keep" => Edit::Keep { name: form.typed("name") },
        "drop" => Edit::Drop,
        _ => return None,
    };
    Some(ProgramAct::Edit { session, edit })
}

fn at(form: &Submitted) -> Option<u8> {
    form.text("station").and_then(|station| station.parse().ok())
}

fn comes(session: SessionId, form: &Submitted, coming: Coming) -> Option<ProgramAct> {
    Some(ProgramAct::Comes { session, athlete: form.athlete()?, coming })
}

/// An exercise entered, or a file of them.
pub(super) async fn exercises(State(site): State<Site>, form: Submitted) -> Response {
    let act = match form.text("what") {
        Some("enter") => Some(ProgramAct::Exercise(Box::new(exercise_typed(&form, "")))),
        Some("file") => Some(ProgramAct::Exercises { text: form.typed("text") }),
        _ => None,
    };
    submit(&site, act, &form).await
}

/// An exercise changed, or the gym's own version taken away.
pub(super) async fn exercise(
    State(site): State<Site>,
    Path(id): Path<String>,
    form: Submitted,
) -> Response {
    let act = match form.text("what") {
        Some("change") => Some(ProgramAct::Exercise(Box::new(exercise_typed(&form, &id)))),
        Some("drop") => ExerciseId::new(&id).map(|exercise| ProgramAct::DropExercise { exercise }),
        _ => None,
    };
    submit(&site, act, &form).await
}

fn exercise_typed(form: &Submitted, id: &str) -> TypedExercise {
    let several = |name: &str| form.all(name).collect::<Vec<_>>().join(",");
    TypedExercise {
        id: id.to_owned(),
        name: form.typed("name"),
        family: form.typed("family"),
        patterns: several("patterns"),
        qualities: several("qualities"),
        sides: form.typed("sides"),
        load: form.typed("load"),
        measures: several("measures"),
        sets: form.typed("sets"),
        repetitions: form.typed("repetitions"),
        rest_s: form.typed("rest_s"),
        stop: form.typed("stop"),
        cues: form.typed("cues"),
        kit: form.typed("kit"),
        cautions: form.typed("cautions"),
        swaps: form.typed("swaps"),
        source: form.typed("source"),
    }
}

async fn submit(site: &Site, act: Option<ProgramAct>, form: &Submitted) -> Response {
    match act {
        Some(act) => {
            let act = Act::Program(act);
            form.answer(act::act(&site.house, form.id(), form.author(), act).await)
        }
        None => form.unreadable(),
    }
}
