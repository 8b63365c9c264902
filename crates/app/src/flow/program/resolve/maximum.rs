//! A load as a share of the heaviest that can be lifted once.

use super::{Answer, Asked, Wanted, blank_working};
use cornerwork_core::exercise::MeasureKind;
use cornerwork_core::note::Note;
use cornerwork_core::units::Mass;
use cornerwork_core::words;
use cornerwork_core::working::{Input, Working};
use cornerwork_io::catalogue::thresholds::VelocityThresholds;
use jiff::ToSpan;

/// A lift recorded longer ago than this says little about a maximum (common practice, no source).
const MAXIMUM_DAYS: i64 = 84;

impl Asked<'_> {
    /// A share of the one-repetition maximum: read off the velocity line where there is one, else
    /// off the heaviest rep on record, which the maximum is at least.
    pub(super) fn maximum(&self, share: f64) -> Answer {
        match self.maximum_from_line().or_else(|| self.heaviest_on_record()) {
            Some(maximum) => {
                let load = maximum.load * share;
                let reason = format!("{:.0} % of {}", share * 100.0, maximum.reason);
                let doubt = maximum.doubt.map(|doubt| doubt.map(|end| end * share));
                self.hang(Wanted { load, doubt, reason, ..maximum })
            }
            None => self.not_yet(
                "no heavy rep on record; work up in threes and stop while the bar still moves well",
            ),
        }
    }

    fn maximum_from_line(&self) -> Option<Wanted> {
        let kind = self.exercise.measure.kind;
        let thresholds = VelocityThresholds::built_in().ok()?;
        let threshold = thresholds.of(&self.exercise.id, kind).first()?.threshold.clone();
        let profile = self.velocity_profile();
        let maximum = profile.ok()?.value.one_rep_max(&threshold).ok()?;
        let kilograms = maximum.value.value.in_kilograms();
        Some(Wanted {
            load: maximum.value.value,
            goal: None,
            doubt: Some(maximum.value.interval),
            reason: format!("a predicted maximum of {kilograms:.0} kg."),
            working: Working {
                title: "maximum from the velocity line".to_owned(),
                inputs: vec![
                    Input::new(
                        "velocity of a maximal rep",
                        format!("{:.2} m/s", threshold.velocity.in_metres_per_second()),
                    ),
                    Input::new("its source", threshold.source.clone()),
                ],
                steps: vec![format!("the line reaches it at {kilograms:.1} kg")],
                ..blank_working("own load-velocity line read at that velocity")
            },
            notes: maximum.notes,
        })
    }

    fn heaviest_on_record(&self) -> Option<Wanted> {
        if self.exercise.measure.kind != MeasureKind::Load {
            return None;
        }
        let since = self.house.clock().today().saturating_sub(MAXIMUM_DAYS.days());
        let (date, heaviest) = self
            .gym
            .reps_of(&self.athlete.id)
            .filter(|rep| rep.entry.exercise == self.exercise.id)
            .map(|rep| (self.house.clock().date_of(rep.entry.at), rep))
            .filter(|(date, _)| *date >= since)
            .filter_map(|(date, rep)| Some((date, rep.number()?)))
            .max_by(|(_, one), (_, other)| one.total_cmp(other))?;
        let day = words::day(date);
        Some(Wanted {
            load: Mass::kilograms(heaviest),
            goal: None,
            doubt: None,
            reason: format!("the heaviest rep on record, {heaviest:.0} kg on {day}."),
            working: Working {
                title: "maximum from the heaviest rep on record".to_owned(),
                inputs: vec![Input::new("heaviest rep", format!("{heaviest:.1} kg, {day}"))],
                steps: vec!["taken as the maximum".to_owned()],
                ..blank_working("common practice, no source")
            },
            notes: vec![Note::new(
                "maximum-at-least",
                "A maximum is at least the heaviest rep on record, so this load is on the light side.",
            )],
        })
    }
}
