//! What each athlete does in a session: the rule of each station applied to the athlete's own
//! profile and rounded to the bars and plates here.

mod maximum;
mod peak;
mod velocity;

use super::kept::Racks;
use super::{bar_kind, objection};
use crate::flow::advice;
use crate::flow::house::House;
use crate::flow::squad_jumps::SquadJumps;
use cornerwork_core::estimate::Interval;
use cornerwork_core::exercise::{Exercise, MeasureKind, Span};
use cornerwork_core::kit::{Bar, BarKind, Loadable, nearest_at_most};
use cornerwork_core::note::Note;
use cornerwork_core::prescription::ramp::{OnTheWay, Ramp};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{
    Block, DoThis, Exceptional, Intensity, Planned, ResolvedSession, SessionPlan,
};
use cornerwork_core::session::rep::{Load, Side};
use cornerwork_core::units::{Mass, Velocity};
use cornerwork_core::words;
use cornerwork_core::working::{Input, Working};

/// The session for everyone who comes.
pub fn session(house: &House, gym: &Gym, plan: &SessionPlan) -> ResolvedSession {
    let racks = house.profiles.program.racks(gym);
    let planned = plan
        .people
        .iter()
        .filter_map(|presence| gym.athlete(&presence.athlete))
        .flat_map(|athlete| {
            let at = |block| with_racks(house, gym, &racks, plan, block, athlete);
            plan.blocks.iter().filter_map(at).collect::<Vec<_>>()
        })
        .collect();
    ResolvedSession { plan: plan.clone(), planned }
}

/// What one athlete does at one station; `None` where there is nothing to do.
pub fn one(
    house: &House,
    gym: &Gym,
    plan: &SessionPlan,
    block: &Block,
    athlete: &Athlete,
) -> Option<Planned> {
    with_racks(house, gym, &house.profiles.program.racks(gym), plan, block, athlete)
}

fn with_racks(
    house: &House,
    gym: &Gym,
    racks: &Racks,
    plan: &SessionPlan,
    block: &Block,
    athlete: &Athlete,
) -> Option<Planned> {
    let (id, only) = plan.exercise_for(&athlete.id, block.station)?;
    let exercise = house.exercise(gym, id)?;
    let asked = Asked { house, gym, racks, plan, block, athlete, exercise, only };
    let answer = asked.answer();
    Some(Planned {
        athlete: athlete.id.clone(),
        station: block.station,
        exercise: exercise.id.clone(),
        only,
        sets: block.sets,
        reps: block.reps,
        rest: block.rest,
        stop: block.stop.or(exercise.stop),
        with: answer.with,
        target: asked.target(),
        reason: answer.reason,
        working: answer.working,
        notes: answer.notes,
        objections: objection::of(house, gym, plan, block, athlete, exercise, only),
    })
}

/// Two loads as near to what is wanted as this are as good as each other.
const AS_GOOD: Mass = Mass::kilograms(0.6);

/// One athlete at one station.
struct Asked<'a> {
    house: &'a House,
    gym: &'a Gym,
    racks: &'a Racks,
    plan: &'a SessionPlan,
    block: &'a Block,
    athlete: &'a Athlete,
    exercise: &'a Exercise,
    only: Option<Side>,
}

/// With what, and why.
struct Answer {
    with: DoThis,
    reason: String,
    working: Option<Working>,
    notes: Vec<Note>,
}

impl Answer {
    fn plain(with: DoThis, reason: impl Into<String>) -> Self {
        Self { with, reason: reason.into(), working: None, notes: Vec::new() }
    }
}

/// What a rule wants before it is rounded to plates.
struct Wanted {
    load: Mass,
    /// Where it leads, where the rule says that itself.
    goal: Option<Mass>,
    doubt: Option<Interval<Mass>>,
    reason: String,
    working: Working,
    notes: Vec<Note>,
}

impl Asked<'_> {
    fn answer(&self) -> Answer {
        self.stays().unwrap_or_else(|| self.by_rule())
    }

    /// Within a set the load stays, whatever a rule that goes by each rep says of the next.
    fn stays(&self) -> Option<Answer> {
        if matches!(self.block.intensity, Intensity::OneRepMax { .. } | Intensity::Fixed { .. }) {
            return None;
        }
        self.gym.evening_of(&self.plan.id)?;
        let load = advice::within_a_set(self.gym, self.block.station, &self.athlete.id)?;
        let with = self.as_it_hangs(&load)?;
        Some(Answer::plain(with, advice::stays_words(&load)))
    }

    /// A load that hangs as it is, on its own bar.
    fn as_it_hangs(&self, load: &Load) -> Option<DoThis> {
        let mut bars = self.racks.for_kind(bar_kind(self.exercise));
        let (bar, loads) = bars.find(|(bar, _)| Some(&bar.id) == load.bar.as_ref())?;
        let found = loads.iter().find(|one| one.per_side == load.plates)?;
        Some(DoThis::Hang {
            load: load.clone(),
            words: format!("{}: {}", bar.name, found.in_words()),
            goal: None,
            wanted: load.total,
            doubt: None,
        })
    }

    fn by_rule(&self) -> Answer {
        // A swap may be to an exercise the station's rule makes no sense for.
        let swapped = self.exercise.id != self.block.exercise;
        match self.block.intensity {
            Intensity::PeakMomentum { share } if self.is_loaded_jump() => self.peak(share),
            Intensity::Velocity { window } if self.moves_a_bar() => self.velocity(window),
            Intensity::OneRepMax { share } if self.moves_a_bar() => self.maximum(share),
            Intensity::BoxRule if self.steps_off_a_box() => self.by_box_rule(),
            Intensity::Isometric { hold } => Answer::plain(
                DoThis::Hold { time: hold },
                "Fast first, then hard, against what does not move.",
            ),
            Intensity::Fixed { load } => self.fixed(load),
            Intensity::BodyWeight if !swapped || !self.moves_a_bar() => {
                Answer::plain(DoThis::Body, "Nothing to load.")
            }
            _ if self.steps_off_a_box() => self.by_box_rule(),
            _ if self.is_loaded_jump() => self.peak(1.0),
            _ if self.moves_a_bar() => match self.library_window() {
                Some(window) => self.velocity(window),
                None => self.not_yet("the station's rule does not fit this exercise"),
            },
            _ => Answer::plain(DoThis::Body, "Nothing to load."),
        }
    }

    fn ramp(&self) -> Ramp {
        self.gym.ramp(&self.athlete.id, self.exercise, self.house.clock().now())
    }

    fn is_loaded_jump(&self) -> bool {
        self.exercise.load_model == cornerwork_core::exercise::LoadModel::SystemMass
    }

    fn moves_a_bar(&self) -> bool {
        bar_kind(self.exercise).is_some()
    }

    fn steps_off_a_box(&self) -> bool {
        self.exercise.steps_off_a_box()
    }

    fn library_window(&self) -> Option<Span<Velocity>> {
        let window = self.exercise.target_of(self.exercise.measure.kind)?.window_si;
        Span::new(Velocity::metres_per_second(window.low), Velocity::metres_per_second(window.high))
    }

    /// The coach's own target, else the station's window, else the library's.
    fn target(&self) -> Option<Target> {
        self.gym.target(&self.athlete.id, &self.exercise.id).or_else(|| {
            let velocity = matches!(
                self.exercise.measure.kind,
                MeasureKind::MeanVelocity | MeasureKind::PeakVelocity
            );
            match self.block.intensity {
                Intensity::Velocity { window } if velocity => Some(Target::Window {
                    low: window.low.in_metres_per_second(),
                    high: window.high.in_metres_per_second(),
                }),
                _ => self.house.target(self.gym, &self.athlete.id, self.exercise),
            }
        })
    }

    /// Loads are lighter by this fraction on the coach's word.
    fn lighter(&self) -> f64 {
        self.plan
            .exceptions_for(&self.athlete.id, self.block.station)
            .find_map(|what| match what {
                Exceptional::Lighter { fraction } => Some(*fraction),
                _ => None,
            })
            .unwrap_or(0.0)
    }

    /// Everything that can be hung, lightest first.
    fn loads(&self) -> Vec<(Bar, Loadable)> {
        let mut loads: Vec<(Bar, Loadable)> = self
            .racks
            .for_kind(bar_kind(self.exercise))
            .flat_map(|(bar, loads)| loads.iter().map(|load| (bar.clone(), load.clone())))
            .collect();
        advice::by_load(&mut loads);
        loads
    }

    /// The nearest that can be hung. Of bars that come as near, the station's own, then the one
    /// with fewer plates, then the heavier: that leaves the light bars to those who need them.
    fn nearest(&self, wanted: Mass, ramp: &Ramp) -> Option<(&Bar, &Loadable)> {
        let off = |load: &Loadable| (load.total() - wanted).abs();
        let cap = ramp.heaviest_next();
        let of_each_bar = || {
            let hangable = self.racks.for_kind(bar_kind(self.exercise));
            hangable.filter_map(move |(bar, loads)| {
                nearest_at_most(loads, wanted, cap).map(|load| (bar, load))
            })
        };
        let own = self.own_bar();
        let best = of_each_bar().map(|(_, load)| off(load)).reduce(Mass::min)?;
        of_each_bar().filter(|(_, load)| off(load) <= best + AS_GOOD).min_by(
            |(bar, load), (other_bar, other)| {
                let away = |bar: &Bar| own != Some(bar.id.as_str());
                let heavier_first =
                    other_bar.mass().in_kilograms().total_cmp(&bar.mass().in_kilograms());
                let fewer_plates = load.per_side.len().cmp(&other.per_side.len());
                away(bar).cmp(&away(other_bar)).then(fewer_plates).then(heavier_first)
            },
        )
    }

    /// The bar that stays at this station, where several stations share a kind of bar and there
    /// are several: the slower the station moves it, the heavier the bar. So no bar is carried to
    /// and fro without need.
    fn own_bar(&self) -> Option<&str> {
        let kind = bar_kind(self.exercise);
        let mut stations: Vec<&Block> = self
            .plan
            .blocks
            .iter()
            .filter(|block| {
                self.house.exercise(self.gym, &block.exercise).and_then(bar_kind) == kind
            })
            .collect();
        stations.sort_by(|one, other| speed_of(other).total_cmp(&speed_of(one)));
        let bars = super::bars(self.gym, kind);
        if stations.len() < 2 {
            return None;
        }
        let rank = stations.iter().position(|block| block.station == self.block.station)?;
        bars.get(rank * bars.len() / stations.len()).map(|bar| bar.id.as_str())
    }

    /// Rounds what a rule wants to what can be hung, after what the coach took off for today.
    fn hang(&self, wanted: Wanted) -> Answer {
        let lighter = self.lighter();
        let load = wanted.load * (1.0 - lighter);
        let doubt = wanted.doubt.map(|doubt| doubt.map(|end| end * (1.0 - lighter)));
        let ramp = self.ramp();
        let Some((bar, found)) = self.nearest(load, &ramp) else {
            return self.not_yet(&self.no_bar());
        };
        let goal = wanted.goal.or_else(|| ramp.goal(load));
        let way = OnTheWay { now: found.total(), goal };
        let lead = match goal.filter(|_| wanted.goal.is_none()) {
            Some(_) => words::capitalised(&way.in_words()) + ". ",
            None => String::new(),
        };
        // A range that the load is not in is not said beside it.
        let doubt = doubt.filter(|doubt| doubt.contains(found.total()));
        let mut working = wanted.working;
        working.steps.extend(goal.is_some().then(|| ramp.working().steps).into_iter().flatten());
        let mut notes = wanted.notes;
        if bar.assumed {
            let text = format!("{} was never weighed: its mass is taken from a stamp.", bar.name);
            notes.push(Note::new("bar-not-weighed", text));
        }
        let today = if lighter > 0.0 {
            format!(" {:.0} % taken off for today.", lighter * 100.0)
        } else {
            String::new()
        };
        Answer {
            with: DoThis::Hang {
                load: Load::hung(bar, found),
                words: format!("{}: {}", bar.name, found.in_words()),
                goal,
                wanted: load,
                doubt,
            },
            reason: format!("{lead}{}{today}", wanted.reason),
            working: Some(working),
            notes,
        }
    }

    /// No number yet: what to do to get one, and what to hang until then.
    fn not_yet(&self, why: &str) -> Answer {
        let lightest = self.loads().into_iter().next();
        let words = match &lightest {
            Some((bar, load)) => format!(
                "start with {:.1} kg, {}: {}",
                load.total().in_kilograms(),
                bar.name,
                load.in_words()
            ),
            None => self.no_bar(),
        };
        let start = lightest.map(|(bar, load)| Load::hung(&bar, &load));
        Answer::plain(DoThis::NotYet { start, words }, format!("No number yet: {why}."))
    }

    fn by_box_rule(&self) -> Answer {
        let reason = self.confirmed_reason();
        let answer = advice::box_for(self.house, self.gym, self.athlete, self.exercise, reason);
        let with = match answer.box_height {
            Some(height) => DoThis::SetBox { height },
            None => DoThis::NotYet { start: None, words: self.no_box() },
        };
        Answer { with, reason: answer.sentence, working: answer.working, notes: answer.notes }
    }

    /// What to do where the kind of bar is missing.
    fn no_bar(&self) -> String {
        let kind = bar_kind(self.exercise).map_or("such", BarKind::word);
        format!("no {kind} bar here: tick one on the Kit page")
    }

    /// What to do where no box is known yet.
    fn no_box(&self) -> String {
        let words = if self.gym.boxes.is_empty() {
            "no box yet: add one on the Kit page"
        } else {
            "no box yet: weigh in and jump without a load"
        };
        words.to_owned()
    }

    fn confirmed_reason(&self) -> Option<String> {
        self.plan.confirmed(&self.athlete.id, self.block.station).map(str::to_owned)
    }

    fn fixed(&self, load: Mass) -> Answer {
        if !self.moves_a_bar() {
            let load = load * (1.0 - self.lighter());
            return Answer::plain(DoThis::Take { load }, "The same for everyone.");
        }
        self.hang(Wanted {
            load,
            goal: None,
            doubt: None,
            reason: "The same for everyone.".to_owned(),
            working: Working {
                title: "fixed load".to_owned(),
                inputs: vec![Input::new("load", format!("{:.1} kg", load.in_kilograms()))],
                ..blank_working("the coach")
            },
            notes: Vec::new(),
        })
    }
}

/// How fast a station's rule moves a bar; what names no velocity is slow.
fn speed_of(block: &Block) -> f64 {
    match block.intensity {
        Intensity::Velocity { window } => window.low.in_metres_per_second(),
        _ => 0.0,
    }
}

fn blank_working(source: &'static str) -> Working {
    Working {
        title: String::new(),
        method: "session",
        version: 1,
        inputs: Vec::new(),
        steps: Vec::new(),
        source,
        doubt: "see the interval, where there is one".to_owned(),
    }
}

/// How much a low jump in the warm-up takes off the first loads: 5 % when low, 10 % when very low
/// (common practice, no source). A proposal: the coach decides.
pub fn shift_for_today(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    squad: &SquadJumps,
) -> Option<(f64, String)> {
    use cornerwork_core::profile::baseline::Readiness;
    let day = crate::flow::progress::usual_day(house, gym, athlete, squad).ok()?;
    if day.date != house.clock().today() {
        return None;
    }
    let fraction = match day.today.value.readiness {
        Readiness::VeryLow => 0.10,
        Readiness::Low => 0.05,
        Readiness::Usual | Readiness::High => return None,
    };
    Some((fraction, day.today.value.sentence.clone()))
}
