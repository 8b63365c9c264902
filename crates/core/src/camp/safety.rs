//! What is on record about safety, consent, load and limits: one part of the gym's state.

use crate::camp::body_mass::MassLimit;
use crate::camp::consent::{self, Consent, ConsentTo};
use crate::camp::permission::{Clearance, Role, Signed};
use crate::camp::safety_change::{BoxConfirmation, Member, SafetyChange, TakenOver};
use crate::camp::stand_down::StoppageRecord;
use crate::camp::stand_down_rules::Earlier;
use crate::camp::stop_sign::StopSign;
use crate::camp::training_load::ClosedSession;
use crate::exercise::ExerciseId;
use crate::session::athlete::{Athlete, AthleteId};
use crate::session::restriction::{Restriction, RestrictionId};
use crate::units::Length;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A note of a medical person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MedicalNote {
    /// The day.
    pub on: Date,
    /// What it says.
    pub text: String,
    /// Whose.
    pub by: Signed,
}

/// A private note of an athlete.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CycleNote {
    /// The day.
    pub on: Date,
    /// 0 not at all, 3 much.
    pub symptoms: u8,
    /// May be empty.
    pub text: String,
}

/// A clearance on record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClearanceGiven {
    /// What it ended, as it stood.
    pub of: Restriction,
    /// The day of the examination.
    pub on: Date,
    /// Whose word.
    pub by: Signed,
}

/// What one athlete has on record.
#[derive(Clone, Debug, Default)]
struct File {
    sessions: Vec<ClosedSession>,
    limit: Option<MassLimit>,
    stoppages: Vec<StoppageRecord>,
    stop_signs: Vec<(Date, StopSign)>,
    consents: Vec<Consent>,
    confirmations: Vec<BoxConfirmation>,
    medical_notes: Vec<MedicalNote>,
    cycle_notes: Vec<CycleNote>,
    cleared: Vec<ClearanceGiven>,
    head_coach: Option<String>,
}

/// The record.
#[derive(Clone, Debug, Default)]
pub struct Safety {
    files: BTreeMap<AthleteId, File>,
    members: BTreeMap<String, Member>,
    taken_over: BTreeMap<String, Vec<TakenOver>>,
    clearances: BTreeMap<RestrictionId, Clearance>,
    /// Athletes deleted, with how many entries each; without a name.
    pub forgotten: Vec<(Date, u32)>,
}

impl Safety {
    fn file(&self, athlete: &AthleteId) -> Option<&File> {
        self.files.get(athlete)
    }

    /// Sessions closed, in order of their day.
    pub fn sessions(&self, athlete: &AthleteId) -> &[ClosedSession] {
        self.file(athlete).map_or(&[], |file| &file.sessions)
    }

    /// The limit agreed.
    pub fn limit(&self, athlete: &AthleteId) -> Option<&MassLimit> {
        self.file(athlete)?.limit.as_ref()
    }

    /// Stoppages of a lifetime, as far as they are known here.
    pub fn stoppages(&self, athlete: &AthleteId) -> &[StoppageRecord] {
        self.file(athlete).map_or(&[], |file| &file.stoppages)
    }

    /// The same as rules count them.
    pub fn stoppage_history(&self, athlete: &AthleteId) -> Vec<Earlier> {
        let counted =
            |one: &StoppageRecord| Earlier { on: one.on, kind: one.kind, until: one.earliest };
        self.stoppages(athlete).iter().map(counted).collect()
    }

    /// Signs that ended a session.
    pub fn stop_signs(&self, athlete: &AthleteId) -> &[(Date, StopSign)] {
        self.file(athlete).map_or(&[], |file| &file.stop_signs)
    }

    /// Everything said about consent, in order.
    pub fn consents(&self, athlete: &AthleteId) -> &[Consent] {
        self.file(athlete).map_or(&[], |file| &file.consents)
    }

    /// Whether consent stands on a day.
    pub fn consented(&self, athlete: &Athlete, to: ConsentTo, on: Date) -> bool {
        consent::stands(self.consents(&athlete.id), athlete, to, on)
    }

    /// Medical notes, for medical people.
    pub fn medical_notes(&self, athlete: &AthleteId) -> &[MedicalNote] {
        self.file(athlete).map_or(&[], |file| &file.medical_notes)
    }

    /// Private notes, as far as they were shared with a role; `None` when there is nothing this
    /// role may know of, not even that there is none.
    pub fn cycle_notes(&self, athlete: &Athlete, role: Role, today: Date) -> Option<&[CycleNote]> {
        let shared = self
            .consents(&athlete.id)
            .iter()
            .rev()
            .find(|one| one.to == ConsentTo::CycleAndMood && one.given)?;
        let allowed = self.consented(athlete, ConsentTo::CycleAndMood, today)
            && shared.shared_with.contains(&role);
        allowed.then(|| self.file(&athlete.id).map_or(&[][..], |file| &file.cycle_notes))
    }

    /// The highest box the coach has confirmed for a minor on a day, with the reason.
    pub fn confirmed_box(
        &self,
        athlete: &AthleteId,
        exercise: &ExerciseId,
        today: Date,
    ) -> Option<(Length, &str)> {
        let confirmed = self.file(athlete)?.confirmations.iter();
        confirmed
            .rev()
            .find(|one| one.exercise == *exercise && one.until >= today)
            .map(|one| (one.highest, one.reason.as_str()))
    }

    /// Who works here.
    pub fn members(&self) -> impl Iterator<Item = &Member> {
        self.members.values()
    }

    /// The member of this name.
    pub fn member(&self, name: &str) -> Option<&Member> {
        self.members.get(name)
    }

    /// The head coach of an athlete, where one is named.
    pub fn head_coach(&self, athlete: &AthleteId) -> Option<&str> {
        self.file(athlete)?.head_coach.as_deref()
    }

    /// When and why someone's own number was replaced by another's word, oldest first.
    pub fn taken_over(&self, name: &str) -> &[TakenOver] {
        self.taken_over.get(name).map_or(&[], Vec::as_slice)
    }

    /// Whose word ends a restriction that needs clearance; `None` when it was not begun here.
    pub fn clearance_of(&self, restriction: &RestrictionId) -> Option<Clearance> {
        self.clearances.get(restriction).copied()
    }

    /// Clearances given, in order.
    pub fn clearances_given(&self, athlete: &AthleteId) -> &[ClearanceGiven] {
        self.file(athlete).map_or(&[], |file| &file.cleared)
    }

    /// Notes which clearance a restriction needs.
    pub(crate) fn needs(&mut self, restriction: RestrictionId, clearance: Clearance) {
        self.clearances.insert(restriction, clearance);
    }

    /// Keeps on record what was ended, and by whose word.
    pub(crate) fn cleared(&mut self, given: ClearanceGiven) {
        self.file_mut(&given.of.athlete).cleared.push(given);
    }

    /// Takes a change. What it does to restrictions is the gym's to do.
    pub(crate) fn take(&mut self, change: &SafetyChange) {
        match change {
            SafetyChange::SessionClosed(session) => {
                let sessions = &mut self.file_mut(&session.athlete).sessions;
                // Closing the same session again corrects it.
                let same =
                    |one: &ClosedSession| (one.date, one.kind) == (session.date, session.kind);
                sessions.retain(|one| !same(one));
                let place = sessions.partition_point(|one| one.date <= session.date);
                sessions.insert(place, session.clone());
            }
            SafetyChange::LimitAgreed { athlete, limit } => {
                self.file_mut(athlete).limit.clone_from(limit);
            }
            SafetyChange::Stopped(record) => {
                self.file_mut(&record.athlete).stoppages.push(record.clone());
            }
            SafetyChange::StopSignSeen { athlete, sign, on } => {
                self.file_mut(athlete).stop_signs.push((*on, *sign));
            }
            SafetyChange::Consented(consent) => {
                self.file_mut(&consent.athlete).consents.push(consent.clone());
            }
            SafetyChange::BoxConfirmed(confirmation) => {
                self.file_mut(&confirmation.athlete).confirmations.push(confirmation.clone());
            }
            SafetyChange::MemberEntered(member) => {
                self.members.insert(member.name.clone(), member.clone());
            }
            SafetyChange::MemberTakenOver { member, taken } => {
                self.members.insert(member.name.clone(), member.clone());
                self.taken_over.entry(member.name.clone()).or_default().push(taken.clone());
            }
            SafetyChange::HeadCoachNamed { athlete, name } => {
                self.file_mut(athlete).head_coach.clone_from(name);
            }
            SafetyChange::MedicalNoted { athlete, on, text, by } => {
                let note = MedicalNote { on: *on, text: text.clone(), by: by.clone() };
                self.file_mut(athlete).medical_notes.push(note);
            }
            SafetyChange::CycleNoted { athlete, on, symptoms, text } => {
                let note = CycleNote { on: *on, symptoms: *symptoms, text: text.clone() };
                self.file_mut(athlete).cycle_notes.push(note);
            }
            SafetyChange::AthleteForgotten { entries, on } => {
                self.forgotten.push((*on, *entries));
            }
            SafetyChange::OutExtended { .. } | SafetyChange::Cleared { .. } => {}
        }
    }

    fn file_mut(&mut self, athlete: &AthleteId) -> &mut File {
        self.files.entry(athlete.clone()).or_default()
    }
}
