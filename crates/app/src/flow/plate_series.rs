//! Tests of an athlete as plates and bar sensors recorded them: each kind a series of its own, by
//! its own method, never beside numbers of a mat.

use crate::flow::house::House;
use crate::flow::trace::Kind;
use crate::flow::trials::Numbers;
use cornerwork_core::words::counted;

use cornerwork_core::metrics::{Definition, force, height, reactive_strength};
use cornerwork_core::note::Noted;
use cornerwork_core::profile::baseline::{self, Today};
use cornerwork_core::profile::published_noise::{
    JUMP_HEIGHT, PULL_PEAK_FORCE, PublishedNoise, REACTIVE_STRENGTH,
};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Now, Strip};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::units::Mass;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// What is followed of a kind of trial.
struct Followed {
    kind: Kind,
    name: &'static str,
    metric: &'static Definition,
    /// How far a day of it strays elsewhere, where that is published.
    noise: Option<PublishedNoise>,
    /// From the metric's unit to the one shown.
    times: f64,
    unit: &'static str,
    decimals: usize,
}

const FOLLOWED: [Followed; 5] = [
    Followed {
        kind: Kind::CountermovementJump,
        name: "Countermovement jump on a plate, height by impulse",
        metric: &height::FROM_IMPULSE,
        noise: Some(JUMP_HEIGHT),
        times: 100.0,
        unit: "cm",
        decimals: 1,
    },
    Followed {
        kind: Kind::SquatJump,
        name: "Squat jump on a plate, height by impulse",
        metric: &height::FROM_IMPULSE,
        noise: None,
        times: 100.0,
        unit: "cm",
        decimals: 1,
    },
    Followed {
        kind: Kind::DropJump,
        name: "Drop jump on a plate, reactive strength",
        metric: &reactive_strength::INDEX,
        noise: Some(REACTIVE_STRENGTH),
        times: 1.0,
        unit: "m/s",
        decimals: 2,
    },
    Followed {
        kind: Kind::RepeatedJump,
        name: "Repeated jumps on a plate, reactive strength",
        metric: &reactive_strength::INDEX,
        noise: None,
        times: 1.0,
        unit: "m/s",
        decimals: 2,
    },
    Followed {
        kind: Kind::Isometric,
        name: "Isometric effort, peak force",
        metric: &force::PEAK,
        noise: Some(PULL_PEAK_FORCE),
        times: 1.0,
        unit: "N",
        decimals: 0,
    },
];

/// One trial that counts.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Its recording.
    pub trace: OperationId,
    /// Its number, in the unit shown.
    pub value: f64,
}

/// The trials of one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// Which.
    pub date: Date,
    /// In the order of filing.
    pub trials: Vec<Trial>,
}

impl Day {
    /// Mean of the trials.
    pub fn mean(&self) -> f64 {
        let sum: f64 = self.trials.iter().map(|trial| trial.value).sum();
        sum / self.trials.len() as f64
    }
}

/// One test over the days.
#[derive(Debug)]
pub struct Series {
    /// What it is, with its method.
    pub name: &'static str,
    /// Where the metric is defined.
    pub metric: &'static Definition,
    /// Unit of the numbers.
    pub unit: &'static str,
    /// Decimals shown.
    pub decimals: usize,
    /// Days, oldest first; never empty.
    pub days: Vec<Day>,
    /// The last day among those before it, where there are enough of them.
    pub latest: Option<Noted<Today>>,
}

/// Every series of an athlete that has a trial. Loaded jumps are in the momentum curve; here
/// stands the body alone.
pub fn of(house: &House, gym: &Gym, athlete: &AthleteId) -> Vec<Series> {
    FOLLOWED.iter().filter_map(|followed| series(house, gym, athlete, followed)).collect()
}

fn series(house: &House, gym: &Gym, athlete: &AthleteId, followed: &Followed) -> Option<Series> {
    let mut by_date: BTreeMap<Date, Day> = BTreeMap::new();
    let unloaded = |trace: &&FiledRecording| trace.filing.load == Mass::ZERO;
    for trace in gym.traces.usable(athlete, followed.kind, None).filter(unloaded) {
        let Some(value) = value(house, gym, trace, followed) else { continue };
        let date = trace.filing.day;
        let day = by_date.entry(date).or_insert(Day { date, trials: Vec::new() });
        day.trials.push(Trial { trace: trace.id, value });
    }
    let days: Vec<Day> = by_date.into_values().collect();
    let (last, before) = days.split_last()?;
    let earlier: Vec<f64> = before.iter().map(Day::mean).collect();
    let known = followed.noise.map(|noise| {
        let noise = noise.weighed_with(None);
        (noise.share() * last.mean(), noise.degrees_of_freedom)
    });
    let latest = baseline::today(&earlier, last.mean(), known, followed.unit).ok();
    let Followed { name, metric, unit, decimals, .. } = *followed;
    Some(Series { name, metric, unit, decimals, days, latest })
}

fn value(house: &House, gym: &Gym, trace: &FiledRecording, followed: &Followed) -> Option<f64> {
    let found = house.profiles.trials.known(gym, house.clock(), trace)?;
    let numbers: &Numbers = found.as_ref().as_ref().ok()?;
    Some(numbers.sets.first()?.value(followed.metric)? * followed.times)
}

/// The days on one scale: earlier ones as ticks, the last one now.
pub fn strip(series: &Series) -> Option<Strip> {
    let (last, before) = series.days.split_last()?;
    let bands = match &series.latest {
        Some(latest) => vec![Band { over: latest.value.band, name: "usual".to_owned() }],
        None => Vec::new(),
    };
    let word = series.latest.as_ref().map_or("latest", |latest| latest.value.readiness.word());
    Some(Strip {
        title: series.name.to_owned(),
        description: sentence(series),
        axis: Axis::new("mean of the day", series.unit, Decimals::Exactly(series.decimals)),
        bands,
        earlier: before.iter().map(Day::mean).collect(),
        earlier_name: "earlier days".to_owned(),
        now: Some(Now {
            at: last.mean(),
            interval: None,
            word: word.to_owned(),
            asks_for_act: false,
        }),
        marks: Vec::new(),
    })
}

/// What the last day says, in a sentence.
pub fn sentence(series: &Series) -> String {
    if let Some(latest) = &series.latest {
        return latest.value.sentence.clone();
    }
    let count = series.days.len();
    let last = series.days.last().map_or(f64::NAN, Day::mean);
    let decimals = series.decimals;
    format!(
        "{last:.decimals$} {} on the last of {}: too few to say what is usual.",
        series.unit,
        counted(count, "day")
    )
}
