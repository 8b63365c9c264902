//! Whether a change fits what is on record, before it is kept.

use super::{Evening, Gym};
use crate::camp::safety_refusal::SafetyRefusal;
use crate::session::athlete::{Athlete, AthleteId};
use crate::session::evening::Station;
use crate::session::operation::{Change, OperationId};
use crate::session::program::ProgramChange;
use crate::session::refusal::Refusal;
use crate::session::rep::{Method, RepEntry};
use crate::session::trace::{FiledTrace, TraceChange};
use jiff::civil::Date;

impl Gym {
    /// Whether a change fits what is on record. Rules that need the exercise library follow in
    /// [`Gym::stops`]; slips of entry are asked about before, by the use case.
    pub fn check(&self, change: &Change, today: Date) -> Result<(), Refusal> {
        match change {
            Change::BodyMassMeasured { athlete, .. } | Change::TargetSet { athlete, .. } => {
                self.known(athlete)
            }
            Change::Camp(change) => self.check_camp(change, today),
            Change::RestrictionSet(restriction) => {
                self.known(&restriction.athlete)?;
                Ok(self.check_restriction(restriction)?)
            }
            Change::RestrictionLifted { restriction, .. } => {
                let unknown = || Refusal::UnknownRestriction { name: restriction.0.clone() };
                let standing = self.restrictions.get(restriction).ok_or_else(unknown)?;
                // A word is given in a role, and this change carries none.
                let needs = self.clearance_needed(standing);
                let stays = |needs| Err(SafetyRefusal::StaysUntilCleared { needs }.into());
                needs.map_or(Ok(()), stays)
            }
            Change::Safety(change) => self.check_safety(change, today),
            Change::EveningOpened(plan) => {
                if let Some(open) = self.open_evening() {
                    return Err(Refusal::EveningStillOpen { date: open.plan.date });
                }
                let mut everyone = plan.groups.iter().flatten();
                everyone.try_for_each(|athlete| self.may_train(athlete, plan.date))
            }
            Change::EveningReopened { evening, .. } => {
                if let Some(open) = self.open_evening() {
                    return Err(Refusal::EveningStillOpen { date: open.plan.date });
                }
                let over = self.evenings_over(today).any(|over| over.id == *evening);
                over.then_some(()).ok_or(Refusal::NothingToReopen)
            }
            Change::GroupsRotated | Change::EveningClosed => self.running_evening().map(|_| ()),
            Change::TurnTaken { station, athlete }
            | Change::LoadHung { station, athlete, .. }
            | Change::BoxSet { station, athlete, .. }
            | Change::DoneMeanwhile { station, athlete, .. }
            | Change::SetClosed { station, athlete } => {
                self.known(athlete)?;
                self.station(*station).map(|_| ())
            }
            Change::AthleteEntered(athlete) => was_born(athlete, today),
            Change::RepRecorded(entry) => self.check_rep(entry, today),
            Change::RepCorrected { rep, value, .. } => {
                self.known_rep(*rep)?;
                let method = self.rep(*rep).map(|rep| rep.entry.method);
                method.map_or(Ok(()), |method| measured(method, *value))
            }
            Change::RepSetAside { rep, .. } | Change::FaultSeen { rep, .. } => self.known_rep(*rep),
            Change::RepsMoved { reps, athlete, .. } => {
                self.known(athlete)?;
                reps.iter().try_for_each(|rep| self.known_rep(*rep))
            }
            Change::Program(change) => self.check_program(change, today),
            Change::Paper(change) => self.check_paper(change, today),
            Change::Trace(change) => {
                if let TraceChange::Filed(FiledTrace { filing, .. })
                | TraceChange::FiledAnew { filing, .. } = change
                {
                    self.known(&filing.athlete)?;
                }
                self.traces.check(change)
            }
            Change::GymNamed { .. }
            | Change::BarWeighed(_)
            | Change::PlatesCounted(_)
            | Change::BoxesMeasured(_)
            | Change::JumpMatCompared { .. }
            | Change::BoutAgreed(_)
            | Change::Withdrawn { .. } => Ok(()),
        }
    }

    fn check_rep(&self, entry: &RepEntry, today: Date) -> Result<(), Refusal> {
        self.known(&entry.athlete)?;
        measured(entry.method, entry.value)?;
        if let Some(number) = entry.station {
            self.station(number)?;
        }
        self.allows(&entry.athlete, &entry.exercise, entry.side, today)?;
        self.says_its_side(entry, today)
    }

    /// Where one side is barred, a rep that does not say its side may be of that one.
    fn says_its_side(&self, entry: &RepEntry, today: Date) -> Result<(), Refusal> {
        let mut binding = self.restrictions(&entry.athlete, today);
        let unsaid =
            binding.find(|one| entry.side.is_none() && one.asks_which_side(&entry.exercise));
        unsaid.map_or(Ok(()), |bar| {
            Err(self.barred(bar, "one side of it, and this entry does not say which".to_owned()))
        })
    }

    fn check_program(&self, change: &ProgramChange, today: Date) -> Result<(), Refusal> {
        match change {
            ProgramChange::SessionPlanned(plan) => {
                plan.people.iter().try_for_each(|presence| self.known(&presence.athlete))?;
            }
            ProgramChange::PresenceChanged { session, presence, .. } => {
                self.known(&presence.athlete)?;
                // Who goes may always go.
                if presence.until_minute.is_none() {
                    let day = self.program.session(session).and_then(|plan| plan.date);
                    self.may_train(&presence.athlete, day.unwrap_or(today))?;
                }
            }
            _ => {}
        }
        Ok(self.program.check(change)?)
    }

    pub(super) fn known(&self, athlete: &AthleteId) -> Result<(), Refusal> {
        let unknown = || Refusal::UnknownAthlete { code: athlete.to_string() };
        self.athletes.contains_key(athlete).then_some(()).ok_or_else(unknown)
    }

    fn known_rep(&self, rep: OperationId) -> Result<(), Refusal> {
        let unknown = || Refusal::UnknownOperation { id: rep };
        self.place_of_rep.contains_key(&rep).then_some(()).ok_or_else(unknown)
    }

    fn running_evening(&self) -> Result<&Evening, Refusal> {
        self.open_evening().ok_or(Refusal::NoEvening)
    }

    fn station(&self, number: u8) -> Result<&Station, Refusal> {
        let unknown = Refusal::UnknownStation { number };
        self.running_evening()?.plan.station(number).ok_or(unknown)
    }
}

/// A day of birth lies in the past.
fn was_born(athlete: &Athlete, today: Date) -> Result<(), Refusal> {
    match athlete.born.date() {
        Some(date) if date > today => Err(Refusal::NotBornYet { date }),
        _ => Ok(()),
    }
}

/// A number was measured somehow: what was only seen has none.
const fn measured(method: Method, value: Option<f64>) -> Result<(), Refusal> {
    match (method, value) {
        (Method::ByEye(_), Some(_)) => Err(Refusal::RatedByEye),
        _ => Ok(()),
    }
}
