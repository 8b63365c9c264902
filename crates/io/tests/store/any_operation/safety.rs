//! Any change of safety, consent, load and limits.

use super::{code, date, exercise, number, words};
use cornerwork_core::camp::body_mass::MassLimit;
use cornerwork_core::camp::consent::{Consent, ConsentTo, Giver};
use cornerwork_core::camp::permission::{Role, Signed};
use cornerwork_core::camp::safety_change::{BoxConfirmation, Member, SafetyChange, TakenOver};
use cornerwork_core::camp::stand_down::{Stoppage, StoppageRecord};
use cornerwork_core::camp::stop_sign::StopSign;
use cornerwork_core::camp::training_load::{ClosedSession, Exertion, SessionKind};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::restriction::RestrictionId;
use cornerwork_core::units::{Length, Mass};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

pub(super) fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        session().prop_map(SafetyChange::SessionClosed),
        (code(), of(limit()))
            .prop_map(|(athlete, limit)| SafetyChange::LimitAgreed { athlete, limit }),
        stoppage().prop_map(SafetyChange::Stopped),
        (words(), date(), signed()).prop_map(|(id, until, by)| SafetyChange::OutExtended {
            restriction: RestrictionId(id),
            until,
            by,
        }),
        (words(), date(), signed()).prop_map(|(id, on, by)| SafetyChange::Cleared {
            restriction: RestrictionId(id),
            on,
            by,
        }),
        (code(), select(&StopSign::ALL[..]), date())
            .prop_map(|(athlete, sign, on)| SafetyChange::StopSignSeen { athlete, sign, on }),
        consent().prop_map(SafetyChange::Consented),
        (code(), exercise(), number(), date(), signed(), words()).prop_map(
            |(athlete, exercise, metres, until, by, reason)| {
                let highest = Length::metres(metres);
                let one = BoxConfirmation { athlete, exercise, highest, until, by, reason };
                SafetyChange::BoxConfirmed(one)
            }
        ),
        member().prop_map(SafetyChange::MemberEntered),
        (member(), date(), signed(), words()).prop_map(|(member, on, by, reason)| {
            SafetyChange::MemberTakenOver { member, taken: TakenOver { on, by, reason } }
        }),
        (code(), of(words()))
            .prop_map(|(athlete, name)| SafetyChange::HeadCoachNamed { athlete, name }),
        (code(), date(), words(), signed()).prop_map(|(athlete, on, text, by)| {
            SafetyChange::MedicalNoted { athlete, on, text, by }
        }),
        (code(), date(), any::<u8>(), words()).prop_map(|(athlete, on, symptoms, text)| {
            SafetyChange::CycleNoted { athlete, on, symptoms, text }
        }),
        (any::<u32>(), date())
            .prop_map(|(entries, on)| SafetyChange::AthleteForgotten { entries, on }),
    ]
    .prop_map(Change::Safety)
}

fn role() -> impl Strategy<Value = Role> {
    select(&Role::ALL[..])
}

fn signed() -> impl Strategy<Value = Signed> {
    (words(), role()).prop_map(|(name, role)| Signed { name, role })
}

fn session() -> impl Strategy<Value = ClosedSession> {
    let felt = of((0.0..=10.0_f64).prop_map(|rating| Exertion::new(rating).unwrap()));
    let kind = select(&SessionKind::ALL[..]);
    (code(), date(), kind, felt, of(any::<u16>()), any::<u16>(), words(), words()).prop_map(
        |(athlete, date, kind, exertion, minutes, rounds, note, next)| ClosedSession {
            athlete,
            date,
            kind,
            exertion,
            minutes,
            rounds,
            note,
            next,
        },
    )
}

fn limit() -> impl Strategy<Value = MassLimit> {
    (number(), date(), date(), of(words())).prop_map(|(limit, weigh_in, bout, check_body)| {
        MassLimit { limit: Mass::kilograms(limit), weigh_in, bout, check_body }
    })
}

fn member() -> impl Strategy<Value = Member> {
    (words(), role(), of(words()), any::<bool>(), of(code())).prop_map(
        |(name, role, pin, pin_is_private, child)| Member {
            name,
            role,
            pin,
            pin_is_private,
            child,
        },
    )
}

pub(super) fn stoppage() -> impl Strategy<Value = StoppageRecord> {
    let kind = select(&Stoppage::ALL[..]);
    (code(), kind, date(), words(), signed(), (date(), any::<bool>()), words()).prop_map(
        |(athlete, kind, on, body, by, (earliest, date_known), rule)| StoppageRecord {
            athlete,
            kind,
            on,
            body,
            by,
            earliest,
            date_known,
            rule,
        },
    )
}

fn consent() -> impl Strategy<Value = Consent> {
    let to = select(&ConsentTo::ALL[..]);
    let giver = select(vec![Giver::Athlete, Giver::Guardian]);
    (code(), to, any::<bool>(), giver, words(), vec(role(), 0..4), date()).prop_map(
        |(athlete, to, given, giver, name, shared_with, on)| Consent {
            athlete,
            to,
            given,
            giver,
            name,
            shared_with,
            on,
        },
    )
}
