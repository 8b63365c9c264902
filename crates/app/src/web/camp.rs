//! What the pages of the plan can ask for.

use super::Site;
use super::form::Submitted;
use crate::flow::act::{self, Act};
use crate::flow::camp::act::CampAct;
use crate::flow::camp::contest::TypedContest;
use crate::flow::camp::proposal::Wanted;
use crate::flow::camp::travel::TypedJourney;
use crate::flow::camp::typed::{self, TypedBout};
use crate::flow::doors::Who;
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::Response;
use cornerwork_core::camp::phase::PhaseKind;
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use jiff::civil::Weekday;

/// A bout entered.
pub(super) async fn new_bout(State(site): State<Site>, form: Submitted) -> Response {
    submit(&site, Some(CampAct::Agree(bout_typed(&form, None))), &form).await
}

/// Everything a bout's page can ask for.
pub(super) async fn bout(
    State(site): State<Site>,
    Extension(who): Extension<Who>,
    Path(id): Path<String>,
    form: Submitted,
) -> Response {
    let act = act_of_bout(id, &who, &form);
    submit(&site, act, &form).await
}

/// The coach answers for work too near a bout or sparring, at a station.
pub(super) async fn answer(State(site): State<Site>, form: Submitted) -> Response {
    let exercise = form.text("exercise").and_then(ExerciseId::new);
    let act = form.athlete().zip(exercise).map(|(athlete, exercise)| CampAct::Answer {
        athlete,
        exercise,
        reason: form.typed("reason"),
    });
    submit(&site, act, &form).await
}

fn act_of_bout(bout: String, who: &Who, form: &Submitted) -> Option<CampAct> {
    Some(match form.text("what")? {
        "facts" => CampAct::Agree(bout_typed(form, Some(bout))),
        "accept" => {
            let fields = form.fields();
            let wanted = wanted(fields.iter().map(|(name, text)| (name.as_str(), text.as_str())));
            CampAct::Accept { bout, wanted, reason: form.typed("reason") }
        }
        "cancel" => CampAct::Cancel {
            bout,
            athletes: form.all("athlete").filter_map(AthleteId::new).collect(),
            reason: form.typed("reason"),
        },
        "contest" => CampAct::Contest {
            bout,
            typed: TypedContest {
                athlete: form.athlete(),
                day: form.typed("day"),
                opponent: form.typed("opponent"),
                outcome: form.typed("outcome"),
                body: form.typed("body"),
            },
            by: who.signed(),
        },
        "travel" => CampAct::Travel {
            bout,
            typed: TypedJourney {
                leaves_on: form.typed("leaves_on"),
                leaves_at: form.typed("leaves_at"),
                arrives_on: form.typed("arrives_on"),
                arrives_at: form.typed("arrives_at"),
            },
        },
        what @ ("mark" | "clear") => CampAct::Mark {
            bout,
            day: form.typed("day"),
            mark: form.typed("mark"),
            put: what == "mark",
        },
        _ => return None,
    })
}

fn bout_typed(form: &Submitted, id: Option<String>) -> TypedBout {
    TypedBout {
        id,
        name: form.typed("name"),
        day: form.typed("day"),
        more_days: form.typed("more_days"),
        zone: form.typed("zone"),
        bell: form.typed("bell"),
        weigh_in: form.typed("weigh_in"),
        rounds: form.typed("rounds"),
        standing: form.typed("standing"),
        remark: form.typed("remark"),
        athletes: form.all("athlete").filter_map(AthleteId::new).collect(),
    }
}

/// What is wanted of a camp, from the fields of a form or of an address.
pub(super) fn wanted<'a>(fields: impl Iterator<Item = (&'a str, &'a str)>) -> Wanted {
    let mut wanted = Wanted::default();
    let mut sparring: Vec<Weekday> = Vec::new();
    let mut sparring_asked = false;
    for (name, text) in fields {
        match name {
            "to" => text.clone_into(&mut wanted.to),
            "begins" => text.clone_into(&mut wanted.begins),
            "recovery" => text.clone_into(&mut wanted.recovery),
            "athlete" => wanted.athletes.extend(AthleteId::new(text)),
            "sparring-asked" => sparring_asked = true,
            "sparring" => sparring.extend(typed::weekday(text)),
            _ => {
                if let Some(kind) = PhaseKind::named(name) {
                    wanted.weeks.push((kind, text.to_owned()));
                }
            }
        }
    }
    wanted.sparring = sparring_asked.then_some(sparring);
    wanted
}

async fn submit(site: &Site, act: Option<CampAct>, form: &Submitted) -> Response {
    match act {
        Some(act) => {
            let act = Act::Camp(act);
            form.answer(act::act(&site.house, form.id(), form.author(), act).await)
        }
        None => form.unreadable(),
    }
}
