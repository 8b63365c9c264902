//! The operations in order, and the gym they make.

use crate::camp::safety_change::SafetyChange;
use crate::camp::safety_refusal::SafetyRefusal;
use crate::exercise::Library;
use crate::session::gym::{Gym, Moment};
use crate::session::operation::{Change, Operation, OperationId};
use crate::session::refusal::Refusal;
use jiff::SignedDuration;
use jiff::civil::Date;
use std::collections::{HashMap, HashSet};

/// Everything that ever happened, and the state it adds up to.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    operations: Vec<Operation>,
    place: HashMap<OperationId, usize>,
    gone: HashSet<OperationId>,
    gym: Gym,
}

impl Ledger {
    /// A ledger from stored operations, in the order they were stored. Stored operations are
    /// facts: they are applied, not judged again.
    pub fn replay(operations: Vec<Operation>) -> Self {
        let place = operations.iter().enumerate().map(|(i, op)| (op.id, i)).collect();
        let gone = withdrawn(&operations);
        let gym = fold(&operations, &gone);
        Self { operations, place, gone, gym }
    }

    /// The state.
    pub const fn gym(&self) -> &Gym {
        &self.gym
    }

    /// All operations, oldest first.
    pub fn operations(&self) -> &[Operation] {
        &self.operations
    }

    /// Whether an operation of this id is already here.
    pub fn knows(&self, id: OperationId) -> bool {
        self.place.contains_key(&id)
    }

    /// The operation of this id.
    pub fn operation(&self, id: OperationId) -> Option<&Operation> {
        self.place.get(&id).map(|&place| &self.operations[place])
    }

    /// Whether this change could be taken on a date at the gym, whatever the way it came in: it
    /// fits what is on record and no hard stop is against it. Refusals change nothing.
    pub fn check(
        &self,
        operation: &Operation,
        today: Date,
        library: &(impl Library + ?Sized),
    ) -> Result<(), Refusal> {
        let at = Moment { now: operation.at, today };
        match &operation.change {
            Change::Withdrawn { operation: target, .. } => {
                let unknown = || Refusal::UnknownOperation { id: *target };
                let target = self.operation(*target).ok_or_else(unknown)?;
                may_be_taken_back(target, operation)?;
                // Undoing an undo brings the entry back, which is judged like a new one.
                let back = match &target.change {
                    Change::Withdrawn { operation: first, .. } => self.operation(*first),
                    _ => None,
                };
                back.map_or(Ok(()), |back| self.gym.stops(&back.change, at, library))
            }
            change => {
                self.gym.check(change, today)?;
                self.gym.stops(change, at, library)
            }
        }
    }

    /// Takes an operation that passed [`Ledger::check`] and was made durable. One that is already
    /// here changes nothing.
    pub fn append(&mut self, operation: Operation) {
        if self.knows(operation.id) {
            return;
        }
        self.place.insert(operation.id, self.operations.len());
        let rewrites_history = matches!(operation.change, Change::Withdrawn { .. });
        if !rewrites_history {
            self.gym.apply(&operation);
        }
        self.operations.push(operation);
        if rewrites_history {
            self.gone = withdrawn(&self.operations);
            self.gym = fold(&self.operations, &self.gone);
        }
    }

    /// Whether an operation stands, i.e. was not taken back.
    pub fn stands(&self, id: OperationId) -> bool {
        self.knows(id) && !self.gone.contains(&id)
    }
}

/// A stop pressed by mistake may be taken back for as long as a thumb slips, and no longer.
pub const SLIP_OF_THE_THUMB: SignedDuration = SignedDuration::from_mins(2);

fn may_be_taken_back(target: &Operation, asked: &Operation) -> Result<(), Refusal> {
    if let Change::Safety(SafetyChange::MemberEntered(_) | SafetyChange::MemberTakenOver { .. }) =
        &target.change
    {
        return Err(SafetyRefusal::MemberStays.into());
    }
    let Some(needs) = Gym::keeps_out(&target.change) else { return Ok(()) };
    let slipped = matches!(&target.change, Change::Safety(SafetyChange::StopSignSeen { .. }))
        && asked.at.duration_since(target.at) <= SLIP_OF_THE_THUMB;
    if slipped { Ok(()) } else { Err(SafetyRefusal::StaysUntilCleared { needs }.into()) }
}

/// The operations that are taken back. Read from the newest: a withdrawal counts only if it was
/// not itself withdrawn later, so undoing an undo brings the first entry back.
fn withdrawn(operations: &[Operation]) -> HashSet<OperationId> {
    let mut gone = HashSet::new();
    for operation in operations.iter().rev() {
        if let Change::Withdrawn { operation: target, .. } = &operation.change
            && !gone.contains(&operation.id)
        {
            gone.insert(*target);
        }
    }
    gone
}

fn fold(operations: &[Operation], gone: &HashSet<OperationId>) -> Gym {
    let mut gym = Gym::default();
    for operation in operations.iter().filter(|operation| !gone.contains(&operation.id)) {
        gym.apply(operation);
    }
    gym
}
