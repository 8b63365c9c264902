//! Which load to test next, or to stop: the fewest jumps that settle the momentum peak.
//!
//! Of the loads that can be hung and are safe, the next one is that whose jump is expected to
//! leave the least doubt about the peak (Bayesian design: Lindley 1956, Ann Math Stat 27:986;
//! Chaloner & Verdinelli 1995, Stat Sci 10:273).

use crate::estimate::Estimate;
use crate::profile::load_momentum::LoadMomentumProfile;
use crate::units::{Length, Mass};
use crate::words;
use crate::working::{Input, Working};

/// Limits of a load test, and when it has done its work. How far a load may lie above those done
/// is the ramp's to say ([`super::ramp`]).
#[derive(Clone, Debug, PartialEq)]
pub struct NextLoadRules {
    /// Unloaded jumps to begin with.
    pub unloaded_jumps: usize,
    /// Heaviest load of any test, in body masses.
    pub heaviest_body_masses: f64,
    /// No load whose expected jump is lower than this.
    pub lowest_height: Length,
    /// A mean height below this is too low to be measured well or landed safely.
    pub too_low_height: Length,
    /// Probability, at most, that a load leads there.
    pub too_low_chance: f64,
    /// Share of the peak momentum that may be lost.
    pub acceptable_loss: f64,
    /// Probability, at most, that the advised load loses more than that.
    pub acceptable_doubt: f64,
    /// Fewest jumps before stopping because enough is known.
    pub fewest_jumps: usize,
    /// Most jumps of a test.
    pub most_jumps: usize,
    /// The last two jumps this many predictive standard deviations below their predictions end
    /// the test.
    pub fading_sds: f64,
}

impl NextLoadRules {
    /// For a session: as few jumps as leave the load six times in seven within 3 % of the peak.
    /// The training jumps that follow at the load go into the profile too.
    pub const SESSION: Self = Self {
        unloaded_jumps: 1,
        heaviest_body_masses: 1.25,
        lowest_height: Length::metres(0.12),
        too_low_height: Length::metres(0.10),
        too_low_chance: 0.05,
        acceptable_loss: 0.03,
        acceptable_doubt: 0.15,
        fewest_jumps: 3,
        most_jumps: 12,
        fading_sds: 2.0,
    };

    /// For a test day: more jumps, for a peak that is compared with another day's.
    pub const TEST_DAY: Self = Self {
        unloaded_jumps: 2,
        acceptable_loss: 0.01,
        acceptable_doubt: 0.10,
        fewest_jumps: 5,
        most_jumps: 9,
        ..Self::SESSION
    };
}

impl Default for NextLoadRules {
    fn default() -> Self {
        Self::SESSION
    }
}

/// What to do next in a load test.
#[derive(Clone, Debug, PartialEq)]
pub enum NextLoad {
    /// Jump with this load.
    Test(LoadToTest),
    /// The test is over.
    Stop(TestEnd),
}

/// A load to jump with.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadToTest {
    /// The load; zero is without a bar.
    pub load: Mass,
    /// Where the peak is expected, where that is more than may be hung now.
    pub goal: Option<Mass>,
    /// Height to expect; absent before the first jump.
    pub expected_height: Option<Estimate<Length>>,
    /// Why this load, in a plain sentence.
    pub reason: String,
    /// How it was chosen.
    pub working: Working,
}

/// Why a test ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StopCause {
    /// The load to train with is known well enough.
    BandIsEnough,
    /// As many jumps as a test may have.
    EnoughJumps,
    /// The last two jumps were far lower than expected.
    Fading,
    /// No load that can be hung is within the limits.
    NothingWithinLimits,
}

/// The end of a test.
#[derive(Clone, Debug, PartialEq)]
pub struct TestEnd {
    /// Why.
    pub cause: StopCause,
    /// The loadable load that loses least of those up to the heaviest jumped with, within the
    /// limits of the test; absent when none is.
    pub use_load: Option<Mass>,
    /// The heaviest load jumped with, where the peak lies past it: the best load is not known yet.
    pub tested_to: Option<Mass>,
    /// The same as a plain sentence.
    pub reason: String,
    /// How it was decided.
    pub working: Working,
}

/// The next load of a test, or its end.
///
/// `profile` is that of the jumps so far, `None` before the first; `loadable` are the loads that
/// can be hung, in any order; none above `heaviest_next`, the ramp's, is asked for
/// ([`Ramp::heaviest_next`](super::ramp::Ramp::heaviest_next)). Jumping without a bar is always
/// possible. Deterministic.
pub fn next_load(
    profile: Option<&LoadMomentumProfile>,
    loadable: &[Mass],
    heaviest_next: Mass,
    rules: &NextLoadRules,
) -> NextLoad {
    match profile {
        Some(profile) => LoadTest::new(profile, loadable, heaviest_next, rules).decide(),
        None => NextLoad::Test(LoadToTest {
            load: Mass::ZERO,
            goal: None,
            expected_height: None,
            reason: "Start without a bar: every loaded jump is compared with the unloaded one."
                .to_owned(),
            working: working("load to test first", Vec::new(), Vec::new(), "nothing is known yet"),
        }),
    }
}

/// A test under way.
struct LoadTest<'a> {
    profile: &'a LoadMomentumProfile,
    rules: &'a NextLoadRules,
    /// Loads within the limits, lightest first, the unloaded jump among them.
    candidates: Vec<Mass>,
    heaviest_tested: Mass,
    /// The heaviest load the next jump may have.
    limit: Mass,
    /// The candidate that loses least.
    best: Option<Mass>,
}

impl<'a> LoadTest<'a> {
    fn new(
        profile: &'a LoadMomentumProfile,
        loadable: &[Mass],
        heaviest_next: Mass,
        rules: &'a NextLoadRules,
    ) -> Self {
        let heaviest_tested = profile.tested_range().high;
        let limit = heaviest_next.min(profile.body_mass() * rules.heaviest_body_masses);
        let is_high_enough = |load: Mass| {
            profile.expected_height(load) >= rules.lowest_height
                && profile.chance_of_jumping_below(rules.too_low_height, load)
                    <= rules.too_low_chance
        };
        let within_limits =
            |load: &Mass| *load >= Mass::ZERO && *load <= limit && is_high_enough(*load);
        let mut candidates: Vec<Mass> =
            (loadable.iter().copied()).chain([Mass::ZERO]).filter(within_limits).collect();
        candidates.sort_by(|a, b| a.in_kilograms().total_cmp(&b.in_kilograms()));
        candidates.dedup();
        let best = profile.least_loss_among(candidates.iter().copied());
        Self { profile, rules, candidates, heaviest_tested, limit, best }
    }

    fn decide(&self) -> NextLoad {
        if self.is_fading() {
            return self.stop(StopCause::Fading);
        }
        if self.profile.points().len() >= self.rules.most_jumps {
            return self.stop(StopCause::EnoughJumps);
        }
        if self.unloaded_jumps() < self.rules.unloaded_jumps {
            return self.test(
                Mass::ZERO,
                "Jump without a bar once more: every loaded jump is compared with it.".to_owned(),
            );
        }
        let Some(heaviest) = self.candidates.last().copied().filter(|load| *load > Mass::ZERO)
        else {
            return self.stop(StopCause::NothingWithinLimits);
        };
        let past_peak = self.is_past_peak() || heaviest <= self.heaviest_tested;
        match (self.is_enough(), past_peak) {
            (true, true) => self.stop(StopCause::BandIsEnough),
            (true, false) => self.test_past_peak(),
            (false, _) => self.test_most_telling(),
        }
    }

    fn unloaded_jumps(&self) -> usize {
        self.profile.points().iter().filter(|point| point.load == Mass::ZERO).count()
    }

    fn is_fading(&self) -> bool {
        let surprises = self.profile.surprises_in_order();
        let far_below = |surprise: &f64| *surprise < -self.rules.fading_sds;
        surprises.len() > 2 && surprises.iter().rev().take(2).all(far_below)
    }

    fn is_past_peak(&self) -> bool {
        self.heaviest_tested > self.profile.peak().load.value
    }

    /// Whether the best load is sure enough to be nearly as good as the true peak.
    fn is_enough(&self) -> bool {
        let sure = |best| {
            self.profile.chance_of_losing(self.rules.acceptable_loss, best)
                <= self.rules.acceptable_doubt
        };
        self.profile.points().len() >= self.rules.fewest_jumps && self.best.is_some_and(sure)
    }

    fn test_past_peak(&self) -> NextLoad {
        let heavier = self.candidates.iter().filter(|load| **load > self.heaviest_tested);
        let Some(load) = self.most_telling(heavier) else {
            return self.stop(StopCause::NothingWithinLimits);
        };
        self.test(
            load,
            format!(
                "No jump is past the suspected peak of about {:.0} kg yet: jump once with a \
                 heavier load.",
                self.profile.peak().load.value.in_kilograms()
            ),
        )
    }

    fn test_most_telling(&self) -> NextLoad {
        let Some(load) = self.most_telling(self.candidates.iter()) else {
            return self.stop(StopCause::NothingWithinLimits);
        };
        let reason = format!(
            "Of the loads that can be hung this one tells most: it should bring the doubt about \
             the peak from ±{:.0} kg to ±{:.0} kg.",
            self.profile.peak_load_sd().in_kilograms(),
            self.profile.peak_load_sd_after(load).in_kilograms()
        );
        self.test(load, reason)
    }

    /// The load whose jump leaves least doubt; of equals the nearest to the bar as it is loaded.
    fn most_telling<'b>(&self, loads: impl Iterator<Item = &'b Mass>) -> Option<Mass> {
        let on_the_bar = self.profile.points().last()?.load;
        let key = |load: Mass| {
            let doubt = self.profile.peak_load_sd_after(load).in_kilograms();
            (load, doubt, (load - on_the_bar).abs().in_kilograms())
        };
        let order = |a: &(Mass, f64, f64), b: &(Mass, f64, f64)| {
            a.1.total_cmp(&b.1).then(a.2.total_cmp(&b.2))
        };
        loads.copied().map(key).min_by(order).map(|(load, ..)| load)
    }

    fn test(&self, load: Mass, reason: String) -> NextLoad {
        let expected_height = Some(self.profile.predicted_height(load));
        let peak = self.profile.peak().load.value;
        let goal = Some(peak).filter(|peak| *peak > self.limit && *peak > load);
        let doubt = "one jump may surprise: its height is judged against the interval given";
        let mut working = self.working("load to test next", doubt);
        working.steps.extend(self.why_this_one(load));
        NextLoad::Test(LoadToTest { load, goal, expected_height, reason, working })
    }

    /// What a jump with the load tells, beside one with the load nearest to the peak, which is the
    /// one that seems to be asked for.
    fn why_this_one(&self, load: Mass) -> Option<String> {
        let peak = self.profile.peak().load.value;
        let off = |one: &Mass| (*one - peak).abs().in_kilograms();
        let nearest = self.candidates.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let after = |load| kilograms(self.profile.peak_load_sd_after(load));
        let chosen = format!("a jump with {} should leave SD {}", kilograms(load), after(load));
        Some(match nearest == load || load == Mass::ZERO {
            true => chosen,
            false => format!(
                "{chosen}; one with {}, nearest to the peak, SD {}",
                kilograms(nearest),
                after(nearest)
            ),
        })
    }

    fn stop(&self, cause: StopCause) -> NextLoad {
        let use_load = self.best_tested();
        let tested_to = (!self.peak_is_tested()).then_some(self.heaviest_tested);
        let reason = self.stop_sentence(cause, use_load);
        let working = self.working("end of the load test", "another day adds its own doubt");
        NextLoad::Stop(TestEnd { cause, use_load, tested_to, reason, working })
    }

    /// Whether momentum peaks at a load that was jumped with or a lighter one.
    fn peak_is_tested(&self) -> bool {
        self.heaviest_tested > Mass::ZERO && self.heaviest_tested >= self.profile.peak().load.value
    }

    /// What is used is never heavier than what was jumped with.
    fn best_tested(&self) -> Option<Mass> {
        let tested = self.candidates.iter().filter(|load| **load <= self.heaviest_tested);
        self.profile.least_loss_among(tested.copied())
    }

    fn stop_sentence(&self, cause: StopCause, use_load: Option<Mass>) -> String {
        let advice = match use_load {
            Some(load) if load > Mass::ZERO && self.peak_is_tested() => {
                format!("Use {}", words::kilograms(load))
            }
            Some(load) if load > Mass::ZERO => format!("Stay with {}", words::kilograms(load)),
            Some(_) => "Jump without a bar".to_owned(),
            None => "No load can be advised".to_owned(),
        };
        if cause == StopCause::BandIsEnough && !self.peak_is_tested() {
            return format!(
                "Stop: no heavier bar within the limits. The best load is not known yet, tested \
                 to {}. {advice}.",
                words::kilograms(self.heaviest_tested)
            );
        }
        let why = match cause {
            StopCause::BandIsEnough => {
                let loss = use_load.map_or(1.0, |load| self.profile.expected_loss(load));
                return format!(
                    "Stop: enough is known. {advice}: it is expected to lose {:.1} % of the peak \
                     momentum, and another test jump would change little.",
                    loss * 100.0
                );
            }
            StopCause::EnoughJumps => {
                format!("{} jumps are enough for one test", self.profile.points().len())
            }
            StopCause::Fading => "the last two jumps were far lower than expected, so the \
                                  athlete is tired or something is wrong: ask"
                .to_owned(),
            StopCause::NothingWithinLimits => format!(
                "no bar that can be loaded is within the limits (at most {:.1} kg, and a jump of \
                 at least {:.0} cm)",
                self.limit.in_kilograms(),
                self.rules.lowest_height.in_centimetres()
            ),
        };
        format!("Stop: {why}. {advice} until tested again.")
    }

    fn working(&self, title: &str, doubt: &str) -> Working {
        let profile = self.profile;
        let inputs = vec![
            Input::new("jumps so far", profile.points().len().to_string()),
            Input::new("heaviest so far", kilograms(self.heaviest_tested)),
            Input::new("heaviest allowed next", kilograms(self.limit)),
            Input::new(
                "lowest jump allowed",
                format!("{:.0} cm", self.rules.lowest_height.in_centimetres()),
            ),
            Input::new("loads within the limits", self.candidates.len().to_string()),
        ];
        let peak = profile.peak();
        let mut steps = vec![format!(
            "peak about {} (SD {})",
            kilograms(peak.load.value),
            kilograms(profile.peak_load_sd())
        )];
        if let Some(best) = self.best {
            let acceptable = self.rules.acceptable_loss;
            steps.push(format!(
                "best load {}: expected loss {:.2} %, probability {:.2} to lose over {:.0} %; enough \
                 at {:.2} or less after {} jumps",
                kilograms(best),
                profile.expected_loss(best) * 100.0,
                profile.chance_of_losing(acceptable, best),
                acceptable * 100.0,
                self.rules.acceptable_doubt,
                self.rules.fewest_jumps
            ));
        }
        working(title, inputs, steps, doubt)
    }
}

fn working(title: &str, inputs: Vec<Input>, steps: Vec<String>, doubt: &str) -> Working {
    Working {
        title: title.to_owned(),
        method: "next-load-least-peak-variance",
        version: 1,
        inputs,
        steps,
        source: "Bayesian design (Lindley 1956, Ann Math Stat 27:986; Chaloner & Verdinelli 1995, \
                 Stat Sci 10:273); height limits: common practice, no source",
        doubt: doubt.to_owned(),
    }
}

fn kilograms(mass: Mass) -> String {
    format!("{:.1} kg", mass.in_kilograms())
}
