//! Numbers typed in from paper: one blank at a time with script, a whole row without.

use super::Site;
use super::form::Submitted;
use crate::flow::act::{self, Act, Answer};
use crate::flow::paper::typing::TypedBlank;
use axum::extract::{Path, State};
use axum::response::Response;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::paper::Blank;
use cornerwork_core::session::program::SessionId;
use cornerwork_core::session::rep::Side;
use uuid::Uuid;

/// The blanks of a form are taken in the order they were done, up to the first that has to be
/// asked about. What was taken before is on record, and the same again changes nothing, so the
/// whole form may simply be sent once more with the answer.
pub(super) async fn typed(
    State(site): State<Site>,
    Path(id): Path<String>,
    form: Submitted,
) -> Response {
    let Some(blanks) = SessionId::new(&id).and_then(|session| blanks(&session, &form)) else {
        return form.unreadable();
    };
    let mut chosen = form.number("chosen");
    let several = blanks.len() > 1;
    for (blank, text) in blanks {
        let (hung, id) = (form.typed("hung"), id_of(&form, several));
        let sheet = form.text("sheet").and_then(|number| number.parse().ok());
        let typed = TypedBlank { blank, text, hung, chosen: None, sheet };
        let mut answer = keep(&site, &form, id, typed.clone()).await;
        if matches!(answer, Answer::Ask { .. }) && chosen.is_some() {
            let answered = TypedBlank { chosen: chosen.take(), ..typed };
            answer = keep(&site, &form, id, answered).await;
        }
        if answer != Answer::Kept {
            return form.answer(answer);
        }
    }
    form.answer(Answer::Kept)
}

async fn keep(site: &Site, form: &Submitted, id: OperationId, typed: TypedBlank) -> Answer {
    act::act(&site.house, id, form.author(), Act::FromPaper(typed)).await
}

/// The device's own id serves one number.
fn id_of(form: &Submitted, several: bool) -> OperationId {
    if several { OperationId(Uuid::now_v7().as_u128()) } else { form.id() }
}

/// The blanks a form holds with what stands in them: fields called `blank-2-3` for the third rep
/// of the second set.
fn blanks(session: &SessionId, form: &Submitted) -> Option<Vec<(Blank, String)>> {
    let blank = |set: u32, rep: u32| {
        Some(Blank {
            session: session.clone(),
            station: form.text("station")?.parse().ok()?,
            athlete: form.athlete()?,
            side: form.text("side").and_then(Side::from_code),
            set,
            rep,
        })
    };
    let mut blanks = Vec::new();
    for (name, text) in form.fields().iter().cloned() {
        let Some((set, rep)) = name.strip_prefix("blank-").and_then(|rest| rest.split_once('-'))
        else {
            continue;
        };
        blanks.push((blank(set.parse().ok()?, rep.parse().ok()?)?, text));
    }
    Some(blanks)
}
