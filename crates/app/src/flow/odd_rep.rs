//! A jump far above what was expected: perhaps landed with bent legs, which keeps the feet off the
//! mat longer. Offered for a look, never dropped. Slips of typing are asked about at entry.

use crate::flow::expected;
use crate::flow::house::House;
use cornerwork_core::entry::ASK_Z;
use cornerwork_core::exercise::{Exercise, Fault};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Method, Rep};
use cornerwork_core::working::{Input, Working};

/// A jump far above what was expected of it.
#[derive(Debug)]
pub struct OddRep<'a> {
    /// The rep.
    pub rep: &'a Rep,
    /// What is odd about it, and what may be behind it.
    pub sentence: String,
    /// Faults that would explain it: they spoil the number.
    pub faults: Vec<&'a Fault>,
    /// How it came about.
    pub working: Working,
}

/// The last jump of a station by time in the air, if it is further above what was expected than
/// one clean jump in a hundred and sixty and no fault explains it yet.
pub fn at_station<'a>(house: &'a House, gym: &'a Gym, station: u8) -> Option<OddRep<'a>> {
    let rep = gym.reps_at(station).next_back().filter(|rep| rep.counts())?;
    if rep.entry.method != Method::FlightTime {
        return None;
    }
    let exercise = house.exercise(gym, &rep.entry.exercise)?;
    let day = expected::day_share(house, gym, &rep.entry);
    let expected = expected::of(house, gym, &rep.entry, rep.entry.at, day)?;
    let spread = expected.doubt.hypot(expected.rep_noise);
    let value = rep.number()?;
    let distance = (value - expected.expected) / spread;
    if distance <= ASK_Z {
        return None;
    }
    let measure = &exercise.measure;
    let sentence = format!(
        "{} is far above the {} expected here. Was it landed bent? Then the time in the air reads \
         high.",
        measure.with_unit(value),
        measure.with_unit(expected.expected),
    );
    let working = working(exercise, value, expected.expected, spread, distance);
    let faults: Vec<&Fault> = exercise.faults.iter().filter(|fault| fault.spoils_measure).collect();
    (!faults.is_empty()).then_some(OddRep { rep, sentence, faults, working })
}

fn working(exercise: &Exercise, value: f64, expected: f64, spread: f64, distance: f64) -> Working {
    let measure = &exercise.measure;
    Working {
        title: "a rep against what was expected of it".into(),
        method: "rep-surprise",
        version: 1,
        inputs: vec![
            Input::new("as recorded", measure.with_unit(value)),
            Input::new("expected from the reps before it", measure.with_unit(expected)),
            Input::new("spread of one rep and of the day", measure.with_unit(spread)),
        ],
        steps: vec![format!("{distance:+.1} spreads away; asked about beyond {ASK_Z}")],
        source: "normal law: beyond 2.5 spreads above lies one clean jump in a hundred and sixty",
        doubt: "far is not wrong: a best of a lifetime looks the same".into(),
    }
}
