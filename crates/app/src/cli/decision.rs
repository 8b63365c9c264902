//! The next load of a test or its end, as commands say it.

use crate::cli::answer::ends;
use crate::cli::kit::{Loads, kilograms};
use clap::Args;
use cornerwork_core::prescription::next_load::{NextLoad, NextLoadRules, StopCause, next_load};
use cornerwork_core::prescription::ramp::{Experience, OnTheWay, Ramp};
use cornerwork_core::profile::load_momentum::LoadMomentumProfile;
use cornerwork_core::units::{Mass, Quantity};
use cornerwork_core::working::Working;
use serde::Serialize;

/// What the jumps are for.
#[derive(Args)]
pub(super) struct PurposeArgument {
    /// Judge by the rules of a test day (more jumps, for a peak to compare with another day's)
    /// instead of those of a session.
    #[arg(long)]
    test_day: bool,
    /// The athlete is a novice or under 18: loads go up by half a step.
    #[arg(long)]
    novice: bool,
}

impl PurposeArgument {
    /// What to do after these jumps with these loads.
    pub(super) fn decide(&self, profile: &LoadMomentumProfile, loads: &Loads) -> NextLoad {
        let rules = if self.test_day { NextLoadRules::TEST_DAY } else { NextLoadRules::SESSION };
        let heaviest_next = self.ramp(profile, loads).heaviest_next();
        next_load(Some(profile), loads.masses(), heaviest_next, &rules)
    }

    /// How heavy the next load may be: the jumps of the table are taken as done lately.
    fn ramp(&self, profile: &LoadMomentumProfile, loads: &Loads) -> Ramp {
        let heaviest = profile.tested_range().high;
        Ramp {
            body_mass: Some(profile.body_mass()),
            experience: if self.novice { Experience::Novice } else { Experience::Trained },
            heaviest_done: Some(heaviest).filter(|load| *load > Mass::ZERO),
            lightest_bar: loads.bar,
            step_of_coach: None,
        }
    }
}

/// The decision in JSON: one of the two keys.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum DecisionObject {
    /// Jump with this load.
    Next(NextObject),
    /// The test is over.
    Stop(StopObject),
}

/// A load to test, in JSON.
#[derive(Serialize)]
pub(super) struct NextObject {
    load_kg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    goal_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    plates: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    expected_height_m: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    expected_height_m_interval: Option<[f64; 2]>,
    reason: String,
}

/// The end of a test, in JSON.
#[derive(Serialize)]
pub(super) struct StopObject {
    cause: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    use_load_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    not_known_tested_to_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    plates: Option<String>,
    reason: String,
}

impl DecisionObject {
    /// A decision with what to hang for it.
    pub(super) fn of(decision: &NextLoad, loads: &Loads) -> Self {
        match decision {
            NextLoad::Test(test) => Self::Next(NextObject {
                load_kg: test.load.si(),
                goal_kg: test.goal.map(Quantity::si),
                plates: loads.plates_for(test.load),
                expected_height_m: test.expected_height.map(|height| height.value.si()),
                expected_height_m_interval: test.expected_height.map(|height| ends(&height)),
                reason: test.reason.clone(),
            }),
            NextLoad::Stop(end) => Self::Stop(StopObject {
                cause: cause(end.cause),
                use_load_kg: end.use_load.map(Quantity::si),
                not_known_tested_to_kg: end.tested_to.map(Quantity::si),
                plates: end.use_load.and_then(|load| loads.plates_for(load)),
                reason: end.reason.clone(),
            }),
        }
    }
}

const fn cause(cause: StopCause) -> &'static str {
    match cause {
        StopCause::BandIsEnough => "band-is-enough",
        StopCause::EnoughJumps => "enough-jumps",
        StopCause::Fading => "fading",
        StopCause::NothingWithinLimits => "nothing-within-limits",
    }
}

/// The decision in a sentence or two.
pub(super) fn in_words(decision: &NextLoad, loads: &Loads) -> String {
    match decision {
        NextLoad::Test(test) => {
            let expected = test.expected_height.map_or_else(String::new, |height| {
                format!(
                    " Expect {:.0} cm ({:.0} to {:.0}).",
                    height.value.in_centimetres(),
                    height.interval.low.in_centimetres(),
                    height.interval.high.in_centimetres()
                )
            });
            let load = loads.in_words(test.load);
            let way = OnTheWay { now: test.load, goal: test.goal };
            let goal = way.goal_in_words().map_or_else(String::new, |goal| format!(", {goal}"));
            format!("Next: {load}{goal}.{expected} {}", test.reason)
        }
        NextLoad::Stop(end) => match end.use_load.filter(|load| *load > Mass::ZERO) {
            Some(load) if loads.plates_for(load).is_some() => {
                format!("{} Hang {}.", end.reason, loads.in_words(load))
            }
            _ => end.reason.clone(),
        },
    }
}

/// The load a picture marks as next; none when the test is over or the jump is without load.
pub(super) fn marked(decision: &NextLoad) -> Option<Mass> {
    match decision {
        NextLoad::Test(test) => Some(test.load).filter(|load| *load > Mass::ZERO),
        NextLoad::Stop(_) => None,
    }
}

/// How the decision came about.
pub(super) fn working(decision: &NextLoad) -> Working {
    match decision {
        NextLoad::Test(test) => test.working.clone(),
        NextLoad::Stop(end) => end.working.clone(),
    }
}

/// A load as the table of a profile shows it.
pub(super) fn load_cell(load: Mass) -> String {
    kilograms(load).trim_end_matches(" kg").to_owned()
}
