//! What takes a while and stays the same while its inputs do: what each bar can carry, and the
//! rotations just worked out. A page that is looked at while reps come in asks for both again.

use crate::flow::advice;
use cornerwork_core::kit::{Bar, BarKind, Loadable, PlateRack, loadable};
use cornerwork_core::prescription::rotation::{self, Planned, RotationError, RotationTask};
use cornerwork_core::session::gym::Gym;
use std::sync::{Arc, Mutex, PoisonError};

/// Rotations kept: a session asks for two, and few sessions are looked at at once.
const MOST_KEPT: usize = 8;

/// What was worked out.
#[derive(Debug, Default)]
pub struct Kept {
    racks: Mutex<Option<Arc<Racks>>>,
    rotations: Mutex<Vec<(RotationTask, Result<Planned, RotationError>)>>,
}

impl Kept {
    /// Forgets what was worked out.
    pub fn clear(&self) {
        *self.racks.lock().unwrap_or_else(PoisonError::into_inner) = None;
        self.rotations.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// What each bar of the gym can carry.
    pub(super) fn racks(&self, gym: &Gym) -> Arc<Racks> {
        let mut kept = self.racks.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(same) = kept.as_ref().filter(|racks| racks.are_of(gym)) {
            return Arc::clone(same);
        }
        let fresh = Arc::new(Racks::of(gym));
        *kept = Some(Arc::clone(&fresh));
        fresh
    }

    /// The rotation of a task.
    pub(super) fn rotation(&self, task: &RotationTask) -> Result<Planned, RotationError> {
        let mut kept = self.rotations.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, same)) = kept.iter().find(|(known, _)| known == task) {
            return same.clone();
        }
        let fresh = rotation::plan(task);
        kept.insert(0, (task.clone(), fresh.clone()));
        kept.truncate(MOST_KEPT);
        fresh
    }
}

/// What each bar can carry, in steps of 2.5 kg.
#[derive(Debug)]
pub(super) struct Racks {
    plates: PlateRack,
    by_bar: Vec<(Bar, Vec<Loadable>)>,
}

impl Racks {
    fn of(gym: &Gym) -> Self {
        let hangable = |bar: &Bar| {
            let mut loads: Vec<(Bar, Loadable)> =
                loadable(bar, &gym.plates).into_iter().map(|load| (bar.clone(), load)).collect();
            advice::by_load(&mut loads);
            (bar.clone(), loads.into_iter().map(|(_, load)| load).collect())
        };
        let by_bar = gym.bars.values().map(hangable).collect();
        Self { plates: gym.plates.clone(), by_bar }
    }

    fn are_of(&self, gym: &Gym) -> bool {
        self.plates == gym.plates && self.by_bar.iter().map(|(bar, _)| bar).eq(gym.bars.values())
    }

    /// The bars of a kind with what they can carry.
    pub(super) fn for_kind(
        &self,
        kind: Option<BarKind>,
    ) -> impl Iterator<Item = (&Bar, &[Loadable])> {
        self.by_bar
            .iter()
            .filter(move |(bar, _)| Some(bar.kind) == kind)
            .map(|(bar, loads)| (bar, loads.as_slice()))
    }
}
