//! Stop now: the signs that end an athlete's session, one tap each, and whom to call.

use crate::flow::floor::UpView;
use cornerwork_core::camp::safety_change::SafetyChange;
use cornerwork_core::camp::stop_sign::StopSign;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::ledger::{Ledger, SLIP_OF_THE_THUMB};
use cornerwork_core::session::operation::{Change, OperationId};
use jiff::Timestamp;
use jiff::civil::Date;
use maud::{Markup, html};

/// The signs, folded away but never further than one tap.
pub(super) fn list(up: &UpView<'_>, path: &str) -> Markup {
    html! {
        details.more #stop {
            summary { "Stop now" }
            p { "Seen or said? One tap ends " (up.athlete.given_name()) "'s session and says whom to call." }
            form.choices method="post" action={ (path) "/stop" } data-send {
                input type="hidden" name="athlete" value=(up.athlete.id);
                @for sign in StopSign::ALL { button name="sign" value=(sign.code()) { (sign.words()) } }
            }
        }
    }
}

/// What to do about a sign seen today, and for a moment the way back from a slip of the thumb.
pub(super) fn told(
    ledger: &Ledger,
    up: &UpView<'_>,
    path: &str,
    now: Timestamp,
    today: Date,
) -> Markup {
    let code = &up.athlete.id;
    let signs = ledger.gym().safety().stop_signs(code);
    let Some((_, sign)) = signs.iter().rev().find(|(on, _)| *on == today) else {
        return html! {};
    };
    let barred = ledger.gym().restrictions(code, today).next().is_some();
    html! {
        @if barred {
            p.call role="alert" { "✕ " (sign.words()) ". " (sign.call()) }
            @if let Some(slip) = just_pressed(ledger, code, now) {
                form method="post" action="/undo" data-send {
                    input type="hidden" name="operation" value=(slip);
                    input type="hidden" name="back" value=(path);
                    button { "A slip of the thumb: take it back" }
                }
            }
        }
    }
}

fn just_pressed(ledger: &Ledger, code: &AthleteId, now: Timestamp) -> Option<OperationId> {
    ledger
        .operations()
        .iter()
        .rev()
        .take_while(|one| now.duration_since(one.at) <= SLIP_OF_THE_THUMB)
        .filter(|one| ledger.stands(one.id))
        .find(|one| matches!(&one.change, Change::Safety(SafetyChange::StopSignSeen { athlete, .. }) if athlete == code))
        .map(|one| one.id)
}
