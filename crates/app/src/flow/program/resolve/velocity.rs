//! The load that moves at a wanted velocity.

use super::{Answer, Asked, Wanted};
use crate::flow::advice;
use crate::flow::profiles::{self, PROFILE_DAYS};
use cornerwork_core::estimate::Estimate;
use cornerwork_core::exercise::{Sides, Span};
use cornerwork_core::kit::Loadable;
use cornerwork_core::note::Noted;
use cornerwork_core::prescription::target_velocity::{
    TargetVelocityAnswer, VelocityTarget, load_for_target, working_of_target,
};
use cornerwork_core::profile::load_velocity::{LoadVelocityError, LoadVelocityProfile};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::Velocity;

impl Asked<'_> {
    /// The side whose line the load is read from: the one allowed, else the rear hand or the side
    /// done last.
    fn side(&self) -> Option<Side> {
        match self.exercise.sides {
            Sides::None => None,
            Sides::LeadRear => self.only.or(Some(Side::Rear)),
            Sides::EachSide => self.only.or_else(|| {
                let mut reps = self.gym.reps_of(&self.athlete.id).rev();
                let last = reps.find(|rep| rep.entry.exercise == self.exercise.id && rep.counts());
                last.and_then(|rep| rep.entry.side)
            }),
        }
    }

    /// The athlete's own line in this lift.
    pub(super) fn velocity_profile(&self) -> Result<Noted<LoadVelocityProfile>, LoadVelocityError> {
        let (id, side) = (&self.athlete.id, self.side());
        profiles::velocity(self.house, self.gym, id, self.exercise, side, PROFILE_DAYS)
    }

    /// After tonight's reps at the station the next set goes by them.
    fn after_reps(
        &self,
        profile: &Noted<LoadVelocityProfile>,
        target: VelocityTarget,
        loads: &[Loadable],
    ) -> Option<Answer> {
        self.gym.evening_of(&self.plan.id)?;
        let (station, id) = (self.block.station, &self.athlete.id);
        let tonight = advice::reps_of_last_load(self.gym, station, id, self.side());
        let (advice, load) = advice::after_reps(&tonight, profile, target, loads, self.exercise)?;
        let (reason, working) = (advice.sentence, advice.working?);
        Some(self.hang(Wanted {
            load,
            goal: None,
            doubt: None,
            reason,
            working,
            notes: advice.notes,
        }))
    }

    /// The load that moves inside a window.
    pub(super) fn velocity(&self, window: Span<Velocity>) -> Answer {
        let window = match self.gym.target(&self.athlete.id, &self.exercise.id) {
            Some(Target::Window { low, high }) => Span {
                low: Velocity::metres_per_second(low),
                high: Velocity::metres_per_second(high),
            },
            _ => window,
        };
        let Some(target) = VelocityTarget::window(window.low, window.high) else {
            return self.not_yet("the window is no window; mend the station");
        };
        let profile = self.velocity_profile();
        let profile = match profile {
            Ok(profile) => profile,
            Err(_) => {
                return self.not_yet("two loads, two reps each, would give a line to read it from");
            }
        };
        let ramp = self.ramp();
        let open = self.loads().into_iter().map(|(_, load)| load);
        let each: Vec<Loadable> = open.filter(|load| ramp.allows(load.total())).collect();
        let Some(heaviest) = each.last().map(Loadable::total) else {
            return self.not_yet(&self.no_bar());
        };
        if let Some(next) = self.after_reps(&profile, target, &each) {
            return next;
        }
        let answer = match load_for_target(&profile.value, target, &each, heaviest) {
            Ok(answer) => answer,
            Err(error) => return self.not_yet(&error.to_string()),
        };
        let speed =
            |velocity: Velocity| self.exercise.measure.with_unit(velocity.in_metres_per_second());
        let working = working_of_target(&profile.value, target, &answer.value);
        let (load, doubt, reason) = match &answer.value {
            TargetVelocityAnswer::Hang(found) => {
                let expected: Estimate<Velocity> = found.hang.expected;
                let doubt = found.load_estimate.map(|estimate| estimate.interval);
                let reason = format!(
                    "Expect {} ({} to {}).",
                    speed(expected.value),
                    speed(expected.interval.low),
                    speed(expected.interval.high)
                );
                (found.load, doubt, reason)
            }
            TargetVelocityAnswer::LighterImplementOrLowerWindow(reached) => (
                reached.load.total(),
                None,
                format!(
                    "Even this moves at only {}: take a lighter implement or lower the window.",
                    speed(reached.expected.value)
                ),
            ),
            TargetVelocityAnswer::HeavierKitOrHigherWindow(reached) => (
                reached.load.total(),
                None,
                format!(
                    "Even this still moves at {}: more plates or a faster window.",
                    speed(reached.expected.value)
                ),
            ),
        };
        let notes = profile.notes.into_iter().chain(answer.notes).collect();
        self.hang(Wanted { load, goal: None, doubt, reason, working, notes })
    }
}
