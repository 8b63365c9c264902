//! A load as a share of the one with most momentum.

use super::{Answer, Asked, SAME_LOAD, Wanted, blank_working};
use crate::flow::advice;
use crate::flow::profiles::{Momentum, PROFILE_DAYS};
use cornerwork_core::note::Note;
use cornerwork_core::prescription::next_load::{NextLoad, StopCause};
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
        self.hang(self.share_of_peak(share, &momentum))
    }

    fn share_of_peak(&self, share: f64, momentum: &Momentum) -> Wanted {
        let profile = &momentum.profile.value;
        let peak = profile.peak().load;
        let best = profile.load_of_least_loss();
        let loads = self.loads();
        let test = advice::next_jump_load(self.house, Some(momentum), &loads, &self.ramp());
        let mut notes = momentum.profile.notes.clone();
        let settled = match &test {
            NextLoad::Stop(end) => {
                matches!(end.cause, StopCause::BandIsEnough | StopCause::EnoughJumps)
            }
            NextLoad::Test(_) => false,
        };
        if let NextLoad::Test(test) = &test {
            let kilograms = test.load.in_kilograms();
            let text =
                format!("The peak is not settled: a jump with {kilograms:.1} kg would tell most.");
            notes.push(Note::new("peak-not-settled", text));
        }
        // The same peak as on the athlete's page. The load that is expected to lose least lies
        // elsewhere while the peak is in doubt, and is said where plates tell the two apart.
        let safest = if (best - peak.value).abs() < SAME_LOAD {
            String::new()
        } else {
            format!("; {:.0} kg should lose least wherever it is", best.in_kilograms())
        };
        let about = format!(
            "momentum peaks near {:.0} kg ({:.0} to {:.0}){safest}",
            peak.value.in_kilograms(),
            peak.interval.low.in_kilograms(),
            peak.interval.high.in_kilograms()
        );
        let lead = if settled { "Own" } else { "Not settled: own" };
        let reason = if (share - 1.0).abs() < 1e-9 {
            format!("{lead} {about}.")
        } else {
            format!(
                "{:.0} % of the peak: {}{about}.",
                share * 100.0,
                if settled { "own " } else { "not settled, own " }
            )
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
        let doubt = Some(peak.interval.map(|end| end * share));
        Wanted { load: best * share, doubt, reason, working, notes }
    }
}
