//! A load as a share of the one with most momentum.

use super::{Answer, Asked, Wanted, blank_working};
use crate::flow::advice::{self, JumpLoad};
use crate::flow::profiles::{Momentum, PROFILE_DAYS};
use cornerwork_core::prescription::load_to_use::LoadToUse;
use cornerwork_core::session::program::DoThis;
use cornerwork_core::units::Mass;
use cornerwork_core::working::{Input, Working};

impl Asked<'_> {
    /// A share of the load at which momentum peaks.
    pub(super) fn peak(&self, share: f64) -> Answer {
        let (house, gym) = (self.house, self.gym);
        let momentum =
            house.profiles.momentum(house, gym, &self.athlete.id, self.exercise, PROFILE_DAYS);
        let momentum = match momentum {
            Ok(momentum) => momentum,
            Err(absent) => {
                let why = absent.trim_end_matches('.').to_lowercase();
                return self.not_yet(&format!(
                    "{why}; jump without a load, then with the bare bar, then as the station says"
                ));
            }
        };
        let loaded = momentum.set.jumps.iter().any(|jump| jump.load > Mass::ZERO);
        if !loaded {
            return self
                .not_yet("only jumps without a load are on record; start with the bare bar");
        }
        if (share - 1.0).abs() < 1e-9 {
            return self.next_jump();
        }
        self.hang(self.share_of_peak(share, &momentum))
    }

    /// At the peak itself: the load of the next jump, as on every other page.
    fn next_jump(&self) -> Answer {
        let loads = self.loads();
        let jump = advice::jump_load(self.house, self.gym, &self.athlete.id, self.exercise, &loads);
        let JumpLoad { hang, keep, goal, sentence: reason, working, notes, .. } = jump;
        // What the coach took off for today is taken off what hangs, too.
        let kept = keep.filter(|_| self.lighter() == 0.0);
        if let Some(with) = kept.and_then(|load| self.as_it_hangs(&load)) {
            return Answer { with, reason, working: Some(working), notes };
        }
        match hang {
            Some(load) if load > Mass::ZERO => {
                self.hang(Wanted { load, goal, doubt: None, reason, working, notes })
            }
            Some(_) => Answer { with: DoThis::Body, reason, working: Some(working), notes },
            None => self.not_yet(reason.trim_end_matches('.')),
        }
    }

    /// A share of the peak, which is looked for no further than the loads jumped with.
    fn share_of_peak(&self, share: f64, momentum: &Momentum) -> Wanted {
        let profile = &momentum.profile.value;
        let best = profile.load_of_least_loss().min(profile.tested_range().high);
        let about = match momentum.to_use() {
            LoadToUse::Band(band) => format!("{band} are as good as the peak"),
            not_known => format!("the peak is {not_known}"),
        };
        let working = Working {
            title: "load at a share of peak momentum".to_owned(),
            steps: vec![format!(
                "{share:.2} × {:.1} kg = {:.1} kg, then the nearest load that can be hung",
                best.in_kilograms(),
                (best * share).in_kilograms()
            )],
            inputs: vec![
                Input::new("share", format!("{share:.2}")),
                Input::new("load of least loss", format!("{:.1} kg", best.in_kilograms())),
                Input::new("jumps", momentum.set.jumps.len().to_string()),
            ],
            ..blank_working("own load-momentum profile; the share is common practice, no source")
        };
        Wanted {
            load: best * share,
            goal: None,
            doubt: None,
            reason: format!("{:.0} % of the peak: {about}.", share * 100.0),
            working,
            notes: momentum.profile.notes.clone(),
        }
    }
}
