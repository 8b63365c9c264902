//! Which delay after a primer worked: efforts with a number that followed a hard hold within a
//! quarter of an hour, held against each other day by day.

use crate::flow::house::House;
use cornerwork_core::exercise::{Direction, Exercise, LoadModel};
use cornerwork_core::note::Noted;
use cornerwork_core::profile::warm_up_delay::{DelayedTest, WarmUpDelay, best};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Now, Strip};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::{Gym, LikeForLike};
use cornerwork_core::session::rep::Rep;
use jiff::Timestamp;

/// Tests come four minutes apart: a delay is read to the nearest four (common practice, no source).
const STEP_MIN: f64 = 4.0;
/// Later than this the primer is over (common practice, no source).
const LONGEST_MIN: f64 = 18.0;

/// One kind of effort after one primer.
#[derive(Debug)]
pub struct Primed<'a> {
    /// The hold before it.
    pub primer: &'a Exercise,
    /// What was measured after it.
    pub measured: &'a Exercise,
    /// The delay that worked, or that it is not known.
    pub delay: Noted<WarmUpDelay>,
}

/// All that an athlete's record says of primers.
pub fn of<'a>(house: &'a House, gym: &'a Gym, athlete: &AthleteId) -> Vec<Primed<'a>> {
    let mut series: Vec<Series<'a>> = Vec::new();
    let mut last: Option<(&'a Exercise, Timestamp)> = None;
    let mut reps: Vec<&'a Rep> = gym.reps_of(athlete).collect();
    reps.sort_by_key(|rep| rep.entry.at);
    for rep in reps {
        let Some(exercise) = house.exercise(gym, &rep.entry.exercise) else { continue };
        if exercise.load_model == LoadModel::Isometric {
            last = Some((exercise, rep.entry.at));
        } else if let Some((primer, since)) = last
            && exercise.measure.direction == Direction::HigherIsBetter
            && let Some(test) = delayed(house, exercise, rep, since)
        {
            Series::among(&mut series, primer, exercise, rep).tests.push(test);
        }
    }
    series.iter().filter_map(Series::judged).collect()
}

/// The rep as a test after the primer, when it is one.
fn delayed(house: &House, exercise: &Exercise, rep: &Rep, since: Timestamp) -> Option<DelayedTest> {
    let minutes = rep.entry.at.duration_since(since).as_secs_f64() / 60.0;
    let delay_min = (minutes / STEP_MIN).round() * STEP_MIN;
    let date = house.clock().date_of(rep.entry.at);
    let value = exercise.measure.from_si(rep.number().filter(|_| rep.counts())?);
    (minutes <= LONGEST_MIN && delay_min >= STEP_MIN).then(|| DelayedTest {
        day: i64::from(date.year()) * 1000 + i64::from(date.day_of_year()),
        delay_min,
        value,
    })
}

/// Tests alike in everything but their delay.
struct Series<'a> {
    primer: &'a Exercise,
    measured: &'a Exercise,
    alike: LikeForLike<'a>,
    tests: Vec<DelayedTest>,
}

impl<'a> Series<'a> {
    fn among<'b>(
        series: &'b mut Vec<Self>,
        primer: &'a Exercise,
        measured: &'a Exercise,
        rep: &'a Rep,
    ) -> &'b mut Self {
        let same = |one: &Self| one.primer.id == primer.id && one.alike.holds(&rep.entry);
        let place = series.iter().position(same).unwrap_or_else(|| {
            let alike = LikeForLike::of(&rep.entry);
            series.push(Self { primer, measured, alike, tests: Vec::new() });
            series.len() - 1
        });
        &mut series[place]
    }

    /// Nothing where no two delays were tested on two days.
    fn judged(&self) -> Option<Primed<'a>> {
        let delay = best(&self.tests, None, self.measured.measure.unit.symbol()).ok()?;
        Some(Primed { primer: self.primer, measured: self.measured, delay })
    }
}

/// The delays on one scale: those tested, the stretch that holds the best, the likeliest.
pub fn strip(primed: &Primed<'_>) -> Strip {
    let found = &primed.delay.value;
    let likeliest = found.likeliest();
    Strip {
        title: format!("{} after {}", primed.measured.name, primed.primer.name),
        description: found.sentence.clone(),
        axis: Axis::new("after the primer", "min", Decimals::UpTo(0)),
        bands: vec![Band { over: found.band_min, name: "the best, nine in ten".to_owned() }],
        earlier: found.delays.iter().map(|delay| delay.minutes).collect(),
        earlier_name: "delays tested".to_owned(),
        now: likeliest.map(|likeliest| Now {
            at: likeliest.minutes,
            interval: None,
            word: if found.best_min.is_some() { "best" } else { "likeliest" }.to_owned(),
            asks_for_act: false,
        }),
        marks: Vec::new(),
    }
}
