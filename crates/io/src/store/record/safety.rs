//! Safety, consent, load and limits as they are kept.

use super::scalar::{Number, Text, words};
use super::{Record, record};
use cornerwork_core::camp::body_mass::MassLimit;
use cornerwork_core::camp::consent::{Consent, ConsentTo, Giver};
use cornerwork_core::camp::permission::{Role, Signed};
use cornerwork_core::camp::safety_change::{BoxConfirmation, Member, SafetyChange, TakenOver};
use cornerwork_core::camp::stand_down::{Stoppage, StoppageRecord};
use cornerwork_core::camp::stop_sign::StopSign;
use cornerwork_core::camp::training_load::{ClosedSession, Exertion, SessionKind};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::restriction::RestrictionId;
use cornerwork_core::units::{Length, Mass};
use jiff::civil::Date;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

words!(RoleRecord, Role { Coach, Assistant, HeadCoach, Physio, Doctor, Nutritionist, Guardian });
words!(GiverRecord, Giver { Athlete, Guardian });
words!(
    ConsentToRecord,
    ConsentTo { Training, HealthNotes, CycleAndMood, Photo, SquadNorms, Federation }
);
words!(SessionKindRecord, SessionKind { Strength, Boxing, Sparring, Conditioning, Bout });
words!(
    StoppageKindRecord,
    Stoppage {
        Stopped,
        StoppedHeadBlows,
        KnockedOut,
        UnconsciousUnderMinute,
        UnconsciousOverMinute,
        HurtInTraining
    }
);
words!(
    StopSignRecord,
    StopSign {
        HeadOrNeck,
        Chest,
        Fainting,
        WeaknessOrNumbness,
        JointGaveWay,
        SharpPain,
        Heat,
        Cramps
    }
);

/// The form in which a change is kept.
pub(super) fn write(change: SafetyChange) -> Result<Record, serde_json::Error> {
    match change {
        SafetyChange::SessionClosed(session) => record(&SessionClosed::from(session)),
        SafetyChange::LimitAgreed { athlete, limit } => {
            record(&LimitAgreed { athlete: Text(athlete), limit: limit.map(Into::into) })
        }
        SafetyChange::Stopped(stoppage) => record(&AthleteStopped::from(stoppage)),
        SafetyChange::OutExtended { restriction, until, by } => {
            record(&OutExtended { restriction: restriction.0, until: Text(until), by: by.into() })
        }
        SafetyChange::Cleared { restriction, on, by } => {
            record(&AthleteCleared { restriction: restriction.0, on: Text(on), by: by.into() })
        }
        SafetyChange::StopSignSeen { athlete, sign, on } => {
            record(&StopSignSeen { athlete: Text(athlete), sign: sign.into(), on: Text(on) })
        }
        SafetyChange::Consented(consent) => record(&Consented::from(consent)),
        SafetyChange::BoxConfirmed(confirmation) => record(&BoxConfirmed::from(confirmation)),
        SafetyChange::MemberEntered(member) => record(&MemberEntered::from(member)),
        SafetyChange::MemberTakenOver { member, taken } => record(&MemberTakenOver {
            member: member.into(),
            on: Text(taken.on),
            by: taken.by.into(),
            reason: taken.reason,
        }),
        SafetyChange::HeadCoachNamed { athlete, name } => {
            record(&HeadCoachNamed { athlete: Text(athlete), name })
        }
        SafetyChange::MedicalNoted { athlete, on, text, by } => {
            record(&MedicalNoted { athlete: Text(athlete), on: Text(on), text, by: by.into() })
        }
        SafetyChange::CycleNoted { athlete, on, symptoms, text } => {
            record(&CycleNoted { athlete: Text(athlete), on: Text(on), symptoms, text })
        }
        SafetyChange::AthleteForgotten { entries, on } => {
            record(&AthleteForgotten { entries, on: Text(on) })
        }
    }
}

#[derive(Serialize, Deserialize)]
struct SignedRecord {
    name: String,
    role: RoleRecord,
}

impl From<Signed> for SignedRecord {
    fn from(Signed { name, role }: Signed) -> Self {
        Self { name, role: role.into() }
    }
}

impl From<SignedRecord> for Signed {
    fn from(SignedRecord { name, role }: SignedRecord) -> Self {
        Self { name, role: role.into() }
    }
}

/// Turns each record into its change.
macro_rules! becomes {
    ($($record:ident, $kept:pat => $change:expr;)*) => {$(
        impl From<$record> for Change {
            fn from($kept: $record) -> Self {
                Self::Safety($change)
            }
        }
    )*};
}

#[derive(Serialize, Deserialize)]
pub(super) struct SessionClosed {
    athlete: Text<AthleteId>,
    date: Text<Date>,
    kind: SessionKindRecord,
    exertion: Option<ExertionRecord>,
    minutes: Option<u16>,
    rounds: u16,
    note: String,
    next: String,
}

/// A rating from 0 to 10.
#[derive(Serialize)]
struct ExertionRecord(Number);

impl<'de> Deserialize<'de> for ExertionRecord {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let rating = Number::deserialize(deserializer)?;
        let fits = Exertion::new(rating.0).is_some();
        fits.then_some(Self(rating)).ok_or_else(|| D::Error::custom("a rating lies from 0 to 10"))
    }
}

impl From<ClosedSession> for SessionClosed {
    fn from(session: ClosedSession) -> Self {
        let ClosedSession { athlete, date, kind, exertion, minutes, rounds, note, next } = session;
        let exertion = exertion.map(|exertion| ExertionRecord(Number(exertion.rating())));
        Self {
            athlete: Text(athlete),
            date: Text(date),
            kind: kind.into(),
            exertion,
            minutes,
            rounds,
            note,
            next,
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct LimitAgreed {
    athlete: Text<AthleteId>,
    limit: Option<LimitRecord>,
}

#[derive(Serialize, Deserialize)]
struct LimitRecord {
    limit_kg: Number,
    weigh_in: Text<Date>,
    bout: Text<Date>,
    check_body: Option<String>,
}

impl From<MassLimit> for LimitRecord {
    fn from(MassLimit { limit, weigh_in, bout, check_body }: MassLimit) -> Self {
        let limit_kg = Number(limit.in_kilograms());
        Self { limit_kg, weigh_in: Text(weigh_in), bout: Text(bout), check_body }
    }
}

impl From<LimitRecord> for MassLimit {
    fn from(LimitRecord { limit_kg, weigh_in, bout, check_body }: LimitRecord) -> Self {
        let limit = Mass::kilograms(limit_kg.0);
        Self { limit, weigh_in: weigh_in.0, bout: bout.0, check_body }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct AthleteStopped {
    athlete: Text<AthleteId>,
    kind: StoppageKindRecord,
    on: Text<Date>,
    body: String,
    by: SignedRecord,
    earliest: Text<Date>,
    /// Absent in the first version, which knew dates only.
    #[serde(default = "always")]
    date_known: bool,
    rule: String,
}

const fn always() -> bool {
    true
}

impl From<StoppageRecord> for AthleteStopped {
    fn from(stoppage: StoppageRecord) -> Self {
        let StoppageRecord { athlete, kind, on, body, by, earliest, date_known, rule } = stoppage;
        Self {
            athlete: Text(athlete),
            kind: kind.into(),
            on: Text(on),
            body,
            by: by.into(),
            earliest: Text(earliest),
            date_known,
            rule,
        }
    }
}

impl From<AthleteStopped> for StoppageRecord {
    fn from(record: AthleteStopped) -> Self {
        Self {
            athlete: record.athlete.0,
            kind: record.kind.into(),
            on: record.on.0,
            body: record.body,
            by: record.by.into(),
            earliest: record.earliest.0,
            date_known: record.date_known,
            rule: record.rule,
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct OutExtended {
    restriction: String,
    until: Text<Date>,
    by: SignedRecord,
}

#[derive(Serialize, Deserialize)]
pub(super) struct AthleteCleared {
    restriction: String,
    on: Text<Date>,
    by: SignedRecord,
}

#[derive(Serialize, Deserialize)]
pub(super) struct StopSignSeen {
    athlete: Text<AthleteId>,
    sign: StopSignRecord,
    on: Text<Date>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Consented {
    athlete: Text<AthleteId>,
    to: ConsentToRecord,
    given: bool,
    giver: GiverRecord,
    name: String,
    shared_with: Vec<RoleRecord>,
    on: Text<Date>,
}

impl From<Consent> for Consented {
    fn from(Consent { athlete, to, given, giver, name, shared_with, on }: Consent) -> Self {
        let shared_with = shared_with.into_iter().map(Into::into).collect();
        Self {
            athlete: Text(athlete),
            to: to.into(),
            given,
            giver: giver.into(),
            name,
            shared_with,
            on: Text(on),
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct BoxConfirmed {
    athlete: Text<AthleteId>,
    exercise: Text<ExerciseId>,
    highest_m: Number,
    until: Text<Date>,
    by: SignedRecord,
    reason: String,
}

impl From<BoxConfirmation> for BoxConfirmed {
    fn from(confirmation: BoxConfirmation) -> Self {
        let BoxConfirmation { athlete, exercise, highest, until, by, reason } = confirmation;
        let highest_m = Number(highest.in_metres());
        Self {
            athlete: Text(athlete),
            exercise: Text(exercise),
            highest_m,
            until: Text(until),
            by: by.into(),
            reason,
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct MemberEntered {
    name: String,
    role: RoleRecord,
    pin: Option<String>,
    pin_is_private: bool,
    child: Option<Text<AthleteId>>,
}

impl From<Member> for MemberEntered {
    fn from(Member { name, role, pin, pin_is_private, child }: Member) -> Self {
        Self { name, role: role.into(), pin, pin_is_private, child: child.map(Text) }
    }
}

impl From<MemberEntered> for Member {
    fn from(record: MemberEntered) -> Self {
        let MemberEntered { name, role, pin, pin_is_private, child } = record;
        Self { name, role: role.into(), pin, pin_is_private, child: child.map(|child| child.0) }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct MemberTakenOver {
    member: MemberEntered,
    on: Text<Date>,
    by: SignedRecord,
    reason: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct HeadCoachNamed {
    athlete: Text<AthleteId>,
    name: Option<String>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct MedicalNoted {
    athlete: Text<AthleteId>,
    on: Text<Date>,
    text: String,
    by: SignedRecord,
}

#[derive(Serialize, Deserialize)]
pub(super) struct CycleNoted {
    athlete: Text<AthleteId>,
    on: Text<Date>,
    symptoms: u8,
    text: String,
}

#[derive(Serialize, Deserialize)]
pub(super) struct AthleteForgotten {
    entries: u32,
    on: Text<Date>,
}

becomes! {
    SessionClosed, one => SafetyChange::SessionClosed(ClosedSession {
        athlete: one.athlete.0,
        date: one.date.0,
        kind: one.kind.into(),
        exertion: one.exertion.and_then(|exertion| Exertion::new(exertion.0.0)),
        minutes: one.minutes,
        rounds: one.rounds,
        note: one.note,
        next: one.next,
    });
    LimitAgreed, one => SafetyChange::LimitAgreed {
        athlete: one.athlete.0,
        limit: one.limit.map(Into::into),
    };
    AthleteStopped, one => SafetyChange::Stopped(one.into());
    OutExtended, one => SafetyChange::OutExtended {
        restriction: RestrictionId(one.restriction),
        until: one.until.0,
        by: one.by.into(),
    };
    AthleteCleared, one => SafetyChange::Cleared {
        restriction: RestrictionId(one.restriction),
        on: one.on.0,
        by: one.by.into(),
    };
    StopSignSeen, one => SafetyChange::StopSignSeen {
        athlete: one.athlete.0,
        sign: one.sign.into(),
        on: one.on.0,
    };
    Consented, one => SafetyChange::Consented(Consent {
        athlete: one.athlete.0,
        to: one.to.into(),
        given: one.given,
        giver: one.giver.into(),
        name: one.name,
        shared_with: one.shared_with.into_iter().map(Into::into).collect(),
        on: one.on.0,
    });
    BoxConfirmed, one => SafetyChange::BoxConfirmed(BoxConfirmation {
        athlete: one.athlete.0,
        exercise: one.exercise.0,
        highest: Length::metres(one.highest_m.0),
        until: one.until.0,
        by: one.by.into(),
        reason: one.reason,
    });
    MemberEntered, one => SafetyChange::MemberEntered(one.into());
    MemberTakenOver, one => SafetyChange::MemberTakenOver {
        member: one.member.into(),
        taken: TakenOver { on: one.on.0, by: one.by.into(), reason: one.reason },
    };
    HeadCoachNamed, one => SafetyChange::HeadCoachNamed {
        athlete: one.athlete.0,
        name: one.name,
    };
    MedicalNoted, one => SafetyChange::MedicalNoted {
        athlete: one.athlete.0,
        on: one.on.0,
        text: one.text,
        by: one.by.into(),
    };
    CycleNoted, one => SafetyChange::CycleNoted {
        athlete: one.athlete.0,
        on: one.on.0,
        symptoms: one.symptoms,
        text: one.text,
    };
    AthleteForgotten, one => SafetyChange::AthleteForgotten { entries: one.entries, on: one.on.0 };
}
