//! Hard stops: what begins them, what may end them, and what never does.

use super::Gym;
use crate::camp::consent::ConsentTo;
use crate::camp::permission::{Clearance, Role, Signed};
use crate::camp::safety::{ClearanceGiven, Safety};
use crate::camp::safety_change::{Member, SafetyChange};
use crate::camp::safety_refusal::SafetyRefusal;
use crate::camp::stand_down::StoppageRecord;
use crate::camp::stop_sign::StopSign;
use crate::camp::training_load::ClosedSession;
use crate::session::athlete::{Athlete, AthleteId};
use crate::session::operation::Change;
use crate::session::refusal::Refusal;
use crate::session::restriction::{Barred, Restriction, RestrictionId};
use jiff::civil::Date;

/// Longest session and most rounds that are believed.
const MOST_MINUTES: u16 = 360;
const MOST_ROUNDS: u16 = 30;
/// Most symptoms of a private note.
const MOST_SYMPTOMS: u8 = 3;

/// The name of the restriction that a stoppage begins.
pub fn stand_down_id(athlete: &AthleteId, on: Date) -> RestrictionId {
    RestrictionId(format!("{athlete}-stand-down-{on}"))
}

fn stop_id(athlete: &AthleteId, on: Date, sign: StopSign) -> RestrictionId {
    RestrictionId(format!("{athlete}-stopped-{on}-{}", sign.code()))
}

impl Gym {
    /// What is on record about safety, consent, load and limits.
    pub const fn safety(&self) -> &Safety {
        &self.safety
    }

    /// The restriction of this name, lifted ones aside.
    pub fn restriction(&self, id: &RestrictionId) -> Option<&Restriction> {
        self.restrictions.get(id)
    }

    /// Whose word ends a restriction; `None` where it ends by itself.
    pub fn clearance_needed(&self, restriction: &Restriction) -> Option<Clearance> {
        restriction.needs_clearance.then(|| {
            let known = self.safety.clearance_of(&restriction.id);
            known.unwrap_or(match restriction.barred {
                Barred::Everything => Clearance::Doctor,
                _ => Clearance::PhysioOrDoctor,
            })
        })
    }

    /// Whether a photo or a video of an athlete may be taken on a day.
    ///
    /// # Errors
    /// [`SafetyRefusal::NoConsent`].
    pub fn photo_allowed(&self, athlete: &Athlete, on: Date) -> Result<(), SafetyRefusal> {
        self.consented(athlete, ConsentTo::Photo, on)
    }

    fn consented(&self, athlete: &Athlete, to: ConsentTo, on: Date) -> Result<(), SafetyRefusal> {
        let name = || athlete.given_name().to_owned();
        let refusal = || SafetyRefusal::NoConsent { name: name(), what: to.words() };
        self.safety.consented(athlete, to, on).then_some(()).ok_or_else(refusal)
    }

    /// Whoever is a minor on a day trains then only with the guardian's consent on record.
    pub(super) fn guardian_consents(
        &self,
        athlete: &AthleteId,
        on: Date,
    ) -> Result<(), SafetyRefusal> {
        match self.athletes.get(athlete) {
            Some(minor)
                if minor.is_junior(on)
                    && !self.safety.consented(minor, ConsentTo::Training, on) =>
            {
                Err(SafetyRefusal::NoGuardian { name: minor.given_name().to_owned() })
            }
            _ => Ok(()),
        }
    }

    /// Whether someone may be planned for a day at all.
    ///
    /// # Errors
    /// The hard stop, with its ground and what to do.
    pub fn may_train(&self, athlete: &AthleteId, day: Date) -> Result<(), Refusal> {
        self.guardian_consents(athlete, day)?;
        let bar = self.restrictions(athlete, day).find(|one| one.barred == Barred::Everything);
        bar.map_or(Ok(()), |bar| Err(self.barred(bar, "all training".to_owned())))
    }

    pub(super) fn apply_safety(&mut self, change: &SafetyChange) {
        match change {
            SafetyChange::Stopped(record) => self.stand_down(record),
            SafetyChange::StopSignSeen { athlete, sign, on } => self.stop(athlete, *sign, *on),
            SafetyChange::OutExtended { restriction, until, .. } => {
                if let Some(restriction) = self.restrictions.get_mut(restriction) {
                    restriction.earliest_end = restriction.earliest_end.max(Some(*until));
                }
            }
            SafetyChange::Cleared { restriction, on, by } => {
                if let Some(of) = self.restrictions.remove(restriction) {
                    self.safety.cleared(ClearanceGiven { of, on: *on, by: by.clone() });
                }
            }
            _ => {}
        }
        self.safety.take(change);
    }

    /// The stand-down binds until the latest date any of the athlete's stoppages gives.
    fn stand_down(&mut self, record: &StoppageRecord) {
        let id = stand_down_id(&record.athlete, record.on);
        let standing = self.restrictions.get(&id).and_then(|one| one.earliest_end);
        let known = record.date_known.then_some(record.earliest);
        let ground = if record.date_known {
            "medical stand-down".to_owned()
        } else {
            format!("medical stand-down, {}", record.end_in_words())
        };
        self.restrict_until(
            Restriction {
                id,
                athlete: record.athlete.clone(),
                barred: Barred::Everything,
                from: record.on,
                earliest_end: standing.max(known),
                needs_clearance: true,
                ground,
                instead: None,
            },
            Clearance::Doctor,
        );
    }

    fn stop(&mut self, athlete: &AthleteId, sign: StopSign, on: Date) {
        self.restrict_until(
            Restriction {
                id: stop_id(athlete, on, sign),
                athlete: athlete.clone(),
                barred: Barred::Everything,
                from: on,
                earliest_end: None,
                needs_clearance: true,
                ground: "session stopped".to_owned(),
                instead: None,
            },
            sign.clearance(),
        );
    }

    /// A restriction that ends only by someone's word.
    fn restrict_until(&mut self, restriction: Restriction, needs: Clearance) {
        self.safety.needs(restriction.id.clone(), needs);
        self.restrictions.insert(restriction.id.clone(), restriction);
    }

    pub(super) fn check_safety(&self, change: &SafetyChange, today: Date) -> Result<(), Refusal> {
        match change {
            SafetyChange::SessionClosed(session) => self.check_session(session, today),
            SafetyChange::LimitAgreed { athlete, limit } => {
                self.known(athlete)?;
                let Some(limit) = limit else { return Ok(()) };
                Ok(self.check_limit(athlete, limit.weigh_in, limit.bout, today)?)
            }
            SafetyChange::Stopped(record) => {
                self.known(&record.athlete)?;
                Ok(has_come(record.on, today)?)
            }
            SafetyChange::OutExtended { restriction, until, by } => {
                let standing = self.known_restriction(restriction)?;
                Ok(self.check_extension(standing, *until, by)?)
            }
            SafetyChange::Cleared { restriction, on, by } => {
                let standing = self.known_restriction(restriction)?;
                has_come(*on, today)?;
                Ok(self.check_clearance(standing, *on, by)?)
            }
            SafetyChange::StopSignSeen { athlete, .. } => self.known(athlete),
            SafetyChange::Consented(consent) => self.known(&consent.athlete),
            SafetyChange::BoxConfirmed(one) => {
                self.known(&one.athlete)?;
                if one.by.role != Role::Coach {
                    let whose = "the coach";
                    return Err(SafetyRefusal::NotYours { role: one.by.role, whose }.into());
                }
                if one.reason.trim().is_empty() {
                    return Err(SafetyRefusal::NoReason.into());
                }
                Ok(())
            }
            SafetyChange::MedicalNoted { athlete, by, text, .. } => {
                let athlete = self.person(athlete)?;
                clears(by, Clearance::PhysioOrDoctor)?;
                if text.trim().is_empty() {
                    return Err(SafetyRefusal::NoReason.into());
                }
                Ok(self.consented(athlete, ConsentTo::HealthNotes, today)?)
            }
            SafetyChange::CycleNoted { athlete, symptoms, .. } => {
                let athlete = self.person(athlete)?;
                within("Symptoms", u32::from(*symptoms), u32::from(MOST_SYMPTOMS))?;
                Ok(self.consented(athlete, ConsentTo::CycleAndMood, today)?)
            }
            SafetyChange::MemberEntered(member) => Ok(self.check_member(member)?),
            SafetyChange::MemberTakenOver { taken, .. } => {
                if taken.by.role != Role::Coach {
                    let whose = "the coach";
                    return Err(SafetyRefusal::NotYours { role: taken.by.role, whose }.into());
                }
                let said = !taken.reason.trim().is_empty();
                said.then_some(()).ok_or_else(|| SafetyRefusal::NoReason.into())
            }
            SafetyChange::HeadCoachNamed { athlete, name } => {
                self.known(athlete)?;
                let here = |name: &String| {
                    let member = self.safety.member(name);
                    member.is_some_and(|member| member.role == Role::HeadCoach)
                };
                match name {
                    Some(name) if !here(name) => {
                        Err(SafetyRefusal::NoHeadCoach { name: name.clone() }.into())
                    }
                    _ => Ok(()),
                }
            }
            SafetyChange::AthleteForgotten { .. } => Ok(()),
        }
    }

    fn person(&self, athlete: &AthleteId) -> Result<&Athlete, Refusal> {
        let unknown = || Refusal::UnknownAthlete { code: athlete.to_string() };
        self.athletes.get(athlete).ok_or_else(unknown)
    }

    fn known_restriction(&self, id: &RestrictionId) -> Result<&Restriction, Refusal> {
        let unknown = || Refusal::UnknownRestriction { name: id.0.clone() };
        self.restrictions.get(id).ok_or_else(unknown)
    }

    /// A session on a day on which the athlete was already barred from everything is refused: it
    /// should not have been. The session in which a bar began may be closed.
    fn check_session(&self, session: &ClosedSession, today: Date) -> Result<(), Refusal> {
        self.known(&session.athlete)?;
        has_come(session.date, today)?;
        if let Some(minutes) = session.minutes {
            within("A session's minutes", u32::from(minutes), u32::from(MOST_MINUTES))?;
        }
        within("Rounds", u32::from(session.rounds), u32::from(MOST_ROUNDS))?;
        let bar = self
            .restrictions(&session.athlete, session.date)
            .find(|one| one.barred == Barred::Everything && one.from < session.date);
        bar.map_or(Ok(()), |bar| Err(self.barred(bar, "all training".to_owned())))
    }

    /// A number of someone's own, and the role it speaks for, are theirs.
    fn check_member(&self, new: &Member) -> Result<(), SafetyRefusal> {
        let own = self.safety.member(&new.name).filter(|one| one.pin_is_private);
        let same = |one: &Member| new.pin_is_private && new.role == one.role;
        match own {
            Some(one) if !same(one) => {
                Err(SafetyRefusal::NumberIsTheirs { name: new.name.clone() })
            }
            _ => Ok(()),
        }
    }

    fn check_limit(
        &self,
        athlete: &AthleteId,
        weigh_in: Date,
        bout: Date,
        today: Date,
    ) -> Result<(), SafetyRefusal> {
        if let Some(minor) = self.athletes.get(athlete).filter(|one| one.is_junior(today)) {
            let name = minor.given_name().to_owned();
            return Err(SafetyRefusal::NoLimitForMinors { name });
        }
        if weigh_in > bout {
            return Err(SafetyRefusal::WeighInAfterBout { weigh_in, bout });
        }
        Ok(())
    }

    fn check_clearance(
        &self,
        standing: &Restriction,
        on: Date,
        by: &Signed,
    ) -> Result<(), SafetyRefusal> {
        let needs = self.clearance_needed(standing).unwrap_or(Clearance::PhysioOrDoctor);
        clears(by, needs)?;
        match self.bound(standing) {
            Some(earliest) if on < earliest => Err(SafetyRefusal::TooEarly { earliest }),
            _ => Ok(()),
        }
    }

    /// The date before which nobody clears: the one that is named, or the bound of a stand-down
    /// whose date is not known.
    fn bound(&self, standing: &Restriction) -> Option<Date> {
        let stoppages = self.safety.stoppages(&standing.athlete).iter();
        let of_it = stoppages.filter(|one| stand_down_id(&one.athlete, one.on) == standing.id);
        of_it.map(|one| one.earliest).max().max(standing.earliest_end)
    }

    fn check_extension(
        &self,
        standing: &Restriction,
        until: Date,
        by: &Signed,
    ) -> Result<(), SafetyRefusal> {
        clears(by, Clearance::Doctor)?;
        match self.bound(standing) {
            Some(earliest) if until <= earliest => Err(SafetyRefusal::OnlyLonger { earliest }),
            _ => Ok(()),
        }
    }

    /// A restriction that needs clearance may be set anew only so that it binds at least as long
    /// and as much.
    pub(super) fn check_restriction(&self, new: &Restriction) -> Result<(), SafetyRefusal> {
        let Some(standing) = self.restrictions.get(&new.id) else { return Ok(()) };
        let Some(needs) = self.clearance_needed(standing) else { return Ok(()) };
        let same = new.barred == standing.barred && new.athlete == standing.athlete;
        let as_long = new.needs_clearance && new.earliest_end >= standing.earliest_end;
        let stays = SafetyRefusal::StaysUntilCleared { needs };
        (same && as_long && new.from <= standing.from).then_some(()).ok_or(stays)
    }

    /// Whether a change is one that keeps an athlete out, and so is never taken back; whose word
    /// ends it instead.
    pub(crate) fn keeps_out(change: &Change) -> Option<Clearance> {
        match change {
            Change::RestrictionSet(one) if one.needs_clearance => Some(match one.barred {
                Barred::Everything => Clearance::Doctor,
                _ => Clearance::PhysioOrDoctor,
            }),
            Change::Safety(SafetyChange::Stopped(_) | SafetyChange::OutExtended { .. }) => {
                Some(Clearance::Doctor)
            }
            Change::Camp(change) if change.begins_stand_down() => Some(Clearance::Doctor),
            Change::Safety(SafetyChange::StopSignSeen { sign, .. }) => Some(sign.clearance()),
            _ => None,
        }
    }
}

fn clears(by: &Signed, needs: Clearance) -> Result<(), SafetyRefusal> {
    let refusal = SafetyRefusal::NotYours { role: by.role, whose: needs.whose() };
    by.role.clears(needs).then_some(()).ok_or(refusal)
}

fn has_come(date: Date, today: Date) -> Result<(), SafetyRefusal> {
    if date > today { Err(SafetyRefusal::NotYet { date }) } else { Ok(()) }
}

const fn within(what: &'static str, got: u32, high: u32) -> Result<(), SafetyRefusal> {
    if got <= high { Ok(()) } else { Err(SafetyRefusal::OutsideLimits { what, got, low: 0, high }) }
}
