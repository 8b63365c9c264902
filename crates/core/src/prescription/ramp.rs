//! The ramp: how heavy the next load of one exercise may be for one athlete.
//!
//! Nobody is handed a load far above what they have done. The same value says what is advised and
//! bounds what may be hung, so that no offer is refused. It holds for every exercise with a bar
//! and plates, whatever rule found the load. Step, halves and days: common practice, no source.

use crate::units::Mass;
use crate::words;
use crate::working::{Input, Working};
use jiff::SignedDuration;

/// A load done within this time is one done lately. Common practice, no source.
pub const LATELY: SignedDuration = SignedDuration::from_hours(28 * 24);

/// The step of a trained adult, as a share of body mass.
const STEP_IN_BODY_MASSES: f64 = 0.25;
/// The largest step of anyone.
const LARGEST_STEP: Mass = Mass::kilograms(30.0);
/// The step of a trained adult is never forced below this, however light the body.
const STEP_ALWAYS_LEFT: Mass = Mass::kilograms(20.0);
/// What novices, juniors and beginners of the exercise take of it.
const HALF: f64 = 0.5;
/// Loads are whole grams: nearer than this is the same.
const SAME: Mass = Mass::kilograms(0.001);

/// Whose steps these are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Experience {
    /// An adult who trains with weights.
    Trained,
    /// An adult new to it, or of whom nothing is known.
    Novice,
    /// Under eighteen.
    Junior,
}

/// What bounds the next load of one athlete in one exercise.
#[derive(Clone, Debug, PartialEq)]
pub struct Ramp {
    /// Last measured body mass; `None` leaves the smallest step.
    pub body_mass: Option<Mass>,
    /// Whose steps.
    pub experience: Experience,
    /// Heaviest load of this exercise done [lately](LATELY); `None` where none was.
    pub heaviest_done: Option<Mass>,
    /// The lightest bar at hand: bare, it may always be hung. `None` without bars.
    pub lightest_bar: Option<Mass>,
    /// A smaller step that the coach has set.
    pub step_of_coach: Option<Mass>,
}

/// What to hang on the way to a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnTheWay {
    /// What to hang now.
    pub now: Mass,
    /// Where it leads, where that is more than may be hung now.
    pub goal: Option<Mass>,
}

impl Ramp {
    /// For someone of whom nothing is known but the bars at hand: the smallest steps.
    pub const fn unknown(lightest_bar: Option<Mass>) -> Self {
        Self {
            body_mass: None,
            experience: Experience::Novice,
            heaviest_done: None,
            lightest_bar,
            step_of_coach: None,
        }
    }

    /// How far the next load may lie above the heaviest done lately: a quarter of body mass, 20 to
    /// 30 kg; half of that for novices, juniors and whoever has not done this exercise with a load
    /// lately; less where the coach says so.
    pub fn step(&self) -> Mass {
        let by_body_mass = self.body_mass.map_or(STEP_ALWAYS_LEFT, |mass| {
            (mass * STEP_IN_BODY_MASSES).max(STEP_ALWAYS_LEFT).min(LARGEST_STEP)
        });
        let step = if self.takes_half() { by_body_mass * HALF } else { by_body_mass };
        self.step_of_coach.map_or(step, |set| step.min(set.max(Mass::ZERO)))
    }

    fn takes_half(&self) -> bool {
        self.experience != Experience::Trained || self.heaviest_done.is_none()
    }

    /// The heaviest load that may be hung next.
    pub fn heaviest_next(&self) -> Mass {
        let stepped = self.heaviest_done.unwrap_or(Mass::ZERO) + self.step();
        self.lightest_bar.map_or(stepped, |bar| stepped.max(bar))
    }

    /// Whether a load may be hung next.
    pub fn allows(&self, load: Mass) -> bool {
        load <= self.heaviest_next() + SAME
    }

    /// What to hang of the loads that can be hung, for a load that is wanted: the one nearest to
    /// it that may be hung; of two as near the lighter. `None` where none may.
    pub fn towards(
        &self,
        wanted: Mass,
        loadable: impl IntoIterator<Item = Mass>,
    ) -> Option<OnTheWay> {
        let off = |load: &Mass| (*load - wanted).abs().in_kilograms();
        let order = |one: &Mass, other: &Mass| {
            off(one)
                .total_cmp(&off(other))
                .then(one.in_kilograms().total_cmp(&other.in_kilograms()))
        };
        let now = loadable.into_iter().filter(|load| self.allows(*load)).min_by(order)?;
        Some(OnTheWay { now, goal: self.goal(wanted) })
    }

    /// A wanted load, where it is more than may be hung now.
    pub fn goal(&self, wanted: Mass) -> Option<Mass> {
        (!self.allows(wanted)).then_some(wanted)
    }

    /// How the heaviest next load came about.
    pub fn working(&self) -> Working {
        let known =
            |mass: Option<Mass>, missing: &str| mass.map_or_else(|| missing.to_owned(), kilograms);
        let mut inputs = vec![
            Input::new("body mass", known(self.body_mass, "not measured: the smallest step")),
            Input::new("whose step", self.whose()),
            Input::new("heaviest done in 28 days", known(self.heaviest_done, "none with a load")),
            Input::new("lightest bar", known(self.lightest_bar, "none here")),
        ];
        inputs.extend(self.step_of_coach.map(|set| Input::new("step set", kilograms(set))));
        let bare = match self.lightest_bar {
            Some(bar) => format!(", and never under the bare bar of {}", kilograms(bar)),
            None => String::new(),
        };
        Working {
            title: "heaviest load to hang next".to_owned(),
            method: "ramp-quarter-body-mass",
            version: 1,
            inputs,
            steps: vec![
                format!("step {}", kilograms(self.step())),
                format!(
                    "{} + {} = {}{bare}",
                    kilograms(self.heaviest_done.unwrap_or(Mass::ZERO)),
                    kilograms(self.step()),
                    kilograms(self.heaviest_next())
                ),
            ],
            source: "a quarter of body mass, 20 to 30 kg, half for novices and juniors and without \
                     a load done lately: common practice, no source",
            doubt: "none: it is a rule, and the coach may set a smaller step".to_owned(),
        }
    }

    const fn whose(&self) -> &'static str {
        match (self.experience, self.heaviest_done) {
            (Experience::Junior, _) => "under 18: half",
            (Experience::Novice, _) => "novice: half",
            (Experience::Trained, None) => "no load done lately: half",
            (Experience::Trained, Some(_)) => "trained adult: whole",
        }
    }
}

impl OnTheWay {
    /// "40 kg", or "40 kg next, on the way to about 60 kg".
    pub fn in_words(&self) -> String {
        let now = words::kilograms(self.now);
        match self.goal_in_words() {
            Some(goal) => format!("{now} next, {goal}"),
            None => now,
        }
    }

    /// "on the way to about 60 kg"; `None` where the goal may be hung now.
    pub fn goal_in_words(&self) -> Option<String> {
        self.goal.map(|goal| format!("on the way to about {:.0} kg", goal.in_kilograms()))
    }
}

fn kilograms(mass: Mass) -> String {
    format!("{:.1} kg", mass.in_kilograms())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kg(kilograms: f64) -> Mass {
        Mass::kilograms(kilograms)
    }

    fn trained(body_mass: f64, heaviest_done: Option<f64>) -> Ramp {
        Ramp {
            body_mass: Some(kg(body_mass)),
            experience: Experience::Trained,
            heaviest_done: heaviest_done.map(kg),
            lightest_bar: Some(kg(20.0)),
            step_of_coach: None,
        }
    }

    #[test]
    fn a_step_is_a_quarter_of_body_mass_between_twenty_and_thirty_kilograms() {
        // By hand: 48 / 4 = 12, raised to 20; 92 / 4 = 23; 140 / 4 = 35, cut to 30.
        for (body_mass, step) in [(48.0, 20.0), (92.0, 23.0), (140.0, 30.0)] {
            let ramp = trained(body_mass, Some(40.0));
            assert!((ramp.step() - kg(step)).abs() < kg(1e-9), "{body_mass}");
            assert!((ramp.heaviest_next() - kg(40.0 + step)).abs() < kg(1e-9), "{body_mass}");
        }
    }

    #[test]
    fn novices_juniors_and_first_loads_take_half() {
        let adult = trained(92.0, Some(40.0));
        for experience in [Experience::Novice, Experience::Junior] {
            let half = Ramp { experience, ..adult.clone() };
            assert!((half.step() - kg(11.5)).abs() < kg(1e-9));
        }
        let first = trained(92.0, None);
        // Half a step of 23 kg is less than the bare bar of 20 kg: the bar may be hung.
        assert!((first.step() - kg(11.5)).abs() < kg(1e-9));
        assert_eq!(first.heaviest_next(), kg(20.0));
        let light = Ramp { lightest_bar: Some(kg(5.0)), ..first };
        assert!((light.heaviest_next() - kg(11.5)).abs() < kg(1e-9));
    }

    #[test]
    fn an_unknown_body_mass_leaves_the_smallest_step() {
        let ramp = Ramp { body_mass: None, ..trained(100.0, Some(40.0)) };
        assert_eq!(ramp.step(), kg(20.0));
        assert_eq!(Ramp::unknown(Some(kg(25.0))).heaviest_next(), kg(25.0));
    }

    #[test]
    fn a_coach_may_only_lower_the_step() {
        let with = |set| Ramp { step_of_coach: Some(kg(set)), ..trained(92.0, Some(40.0)) };
        assert_eq!(with(5.0).step(), kg(5.0));
        assert!((with(40.0).step() - kg(23.0)).abs() < kg(1e-9));
        assert_eq!(with(-5.0).step(), Mass::ZERO);
    }

    #[test]
    fn a_load_further_away_is_said_as_a_goal() {
        let ramp = trained(80.0, Some(20.0));
        let loads = || (0..40).map(|step| kg(20.0 + 2.5 * f64::from(step)));
        let way = ramp.towards(kg(61.0), loads()).unwrap();
        assert_eq!((way.now, way.goal), (kg(40.0), Some(kg(61.0))));
        assert_eq!(way.in_words(), "40 kg next, on the way to about 61 kg");
        let there = ramp.towards(kg(31.0), loads()).unwrap();
        assert_eq!((there.now, there.goal), (kg(30.0), None));
        assert_eq!(there.in_words(), "30 kg");
        // Odd kit: nothing between the bar and far too much.
        let odd = ramp.towards(kg(61.0), [kg(20.0), kg(60.0)]).unwrap();
        assert_eq!((odd.now, odd.goal), (kg(20.0), Some(kg(61.0))));
        assert_eq!(ramp.towards(kg(61.0), [kg(60.0)]), None);
    }
}
