//! Is the athlete better, and is today a usual day? From the unloaded jumps on record.

use crate::flow::house::House;
use crate::flow::plan::UNLOADED_JUMP;
use crate::flow::profiles::short;
use cornerwork_core::estimate::{Interval, Level};
use cornerwork_core::note::Noted;
use cornerwork_core::profile::baseline::{self, Today};
use cornerwork_core::profile::change::{self, Change, Prior, Question, TestNoise};
use cornerwork_core::profile::test_day::{Conditions, TestDay};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Now, Odds, Share, Strip};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Method;
use cornerwork_core::stats::shrinkage::{ShrunkSpread, spread_towards};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The smallest change of a jump that matters, in cm; the coach's own word would replace it
/// (common practice, no source).
const SMALLEST_WORTHWHILE_CM: f64 = 1.0;
/// A block of this many days: what lies before it is what the athlete was like.
const BLOCK_DAYS: i32 = 42;
/// Usual days are those of the last weeks.
const USUAL_DAYS: i32 = 28;
/// Coefficient of variation of jump height before the squad's own data speak: 2.4 to 4.6 % in
/// jump tests (Markovic 2004, J Strength Cond Res 18:551), worth as much as ten own pairs.
const PUBLISHED_NOISE: (f64, f64) = (0.035, 10.0);

/// All jumps of one day by one method.
#[derive(Clone, Debug)]
struct Day {
    date: Date,
    method: Method,
    heights_cm: Vec<f64>,
}

impl Day {
    fn mean_cm(&self) -> f64 {
        let count = u32::try_from(self.heights_cm.len()).map_or(f64::NAN, f64::from);
        self.heights_cm.iter().sum::<f64>() / count
    }
}

fn days(house: &House, gym: &Gym, athlete: &AthleteId) -> Vec<Day> {
    let mut by_date: BTreeMap<Date, Day> = BTreeMap::new();
    for rep in gym.reps_of(athlete).filter(|rep| rep.entry.exercise.as_str() == UNLOADED_JUMP) {
        let Some(height_m) = rep.number() else { continue };
        let date = house.clock().date_of(rep.entry.at);
        let method = rep.entry.method;
        let day = by_date.entry(date).or_insert(Day { date, method, heights_cm: Vec::new() });
        if day.method == method {
            day.heights_cm.push(height_m * 100.0);
        }
    }
    by_date.into_values().collect()
}

/// The mean of each day's unloaded jumps in cm, by the method of the latest day.
pub fn daily_means_cm(house: &House, gym: &Gym, athlete: &AthleteId) -> Vec<(Date, f64)> {
    let days = days(house, gym, athlete);
    let Some(method) = days.last().map(|day| day.method) else { return Vec::new() };
    let alike = days.iter().filter(|day| day.method == method);
    alike.map(|day| (day.date, day.mean_cm())).collect()
}

/// How far a day's mean strays from the athlete's usual, as a share of it: from the differences
/// between neighbouring days of everyone here, weighed with the published noise. Neighbouring
/// days differ little in what the athlete can do, so their differences are nearly all noise
/// (von Neumann 1941, Ann Math Stat 12:367; about two thirds of a degree of freedom each).
fn noise_share(house: &House, gym: &Gym) -> ShrunkSpread {
    let mut squares = 0.0;
    let mut pairs = 0.0;
    for athlete in gym.athletes.keys() {
        let days = days(house, gym, athlete);
        for pair in days.windows(2).filter(|pair| pair[0].method == pair[1].method) {
            let (before, after) = (pair[0].mean_cm(), pair[1].mean_cm());
            squares += ((after - before) / ((after + before) / 2.0)).powi(2) / 2.0;
            pairs += 1.0;
        }
    }
    let own = (pairs >= 2.0).then(|| ((squares / pairs).sqrt(), pairs * 2.0 / 3.0));
    spread_towards(PUBLISHED_NOISE, own)
}

/// Whether the athlete's jump changed over the block, or the sentence why nobody can say.
pub fn change(house: &House, gym: &Gym, athlete: &AthleteId) -> Result<Noted<Change>, String> {
    let days = days(house, gym, athlete);
    let last = days.last().ok_or("No unloaded jump on record yet.")?;
    let first = days.first().map_or(last.date, |day| day.date);
    let number = |date: Date| f64::from((date - first).get_days());
    let begun = number(last.date) - f64::from(BLOCK_DAYS);
    let tests: Vec<TestDay> = days
        .iter()
        .map(|day| {
            let conditions = Conditions::none().with("method", day.method.words());
            TestDay::new(number(day.date), day.heights_cm.clone()).under(conditions)
        })
        .collect();
    let noise = noise_share(house, gym);
    let typical_cm = noise.standard_deviation * last.mean_cm();
    let source = format!(
        "own test days, {:.0} % of the weight; the rest Markovic 2004, J Strength Cond Res 18:551",
        noise.own_weight * 100.0
    );
    let question = Question {
        measure: "jump height",
        unit: "cm",
        since_day: begun.max(0.0),
        smallest_worthwhile: SMALLEST_WORTHWHILE_CM,
        noise: TestNoise::of_day_mean(typical_cm, source).known_on(noise.degrees_of_freedom),
        prior: Prior::Flat,
        level_prior: Prior::Flat,
        level: Level::USUAL,
    };
    change::of(&tests, &question).map_err(|error| error.to_string())
}

/// The picture of a change.
pub fn odds(change: &Change) -> Odds {
    let share = |name: &str, probability| Share { name: name.to_owned(), probability };
    Odds {
        title: "Change of jump height".to_owned(),
        description: change.sentence.clone(),
        axis: Axis::new("change of jump height", "cm", Decimals::UpTo(1)),
        change: change.change,
        trivial: Interval { low: -SMALLEST_WORTHWHILE_CM, high: SMALLEST_WORTHWHILE_CM },
        below: share("lower", change.odds.fall),
        within: share("no real change", change.odds.no_matter),
        above: share("higher", change.odds.rise),
        word: change.verdict.to_string(),
    }
}

/// Today's jumps against the athlete's usual days.
#[derive(Debug)]
pub struct UsualDay {
    /// Where today lies.
    pub today: Noted<Today>,
    /// The earlier days, in cm.
    pub earlier_cm: Vec<f64>,
    /// The day that is judged.
    pub date: Date,
}

/// The latest day's jumps against those of the weeks before, by the same method.
///
/// # Errors
/// A sentence when there is no jump or too little before it.
pub fn usual_day(house: &House, gym: &Gym, athlete: &AthleteId) -> Result<UsualDay, String> {
    let days = days(house, gym, athlete);
    let (last, before) = days.split_last().ok_or("No unloaded jump on record yet.")?;
    let earlier_cm: Vec<f64> = before
        .iter()
        .filter(|day| day.method == last.method && (last.date - day.date).get_days() <= USUAL_DAYS)
        .map(Day::mean_cm)
        .collect();
    let noise = noise_share(house, gym);
    let known = (noise.standard_deviation * last.mean_cm(), noise.degrees_of_freedom);
    let today = baseline::today(&earlier_cm, last.mean_cm(), Some(known), "cm");
    let today = today.map_err(|error| error.to_string())?;
    Ok(UsualDay { today, earlier_cm, date: last.date })
}

/// The picture of a day among usual days.
pub fn strip(day: &UsualDay) -> Strip {
    let today = &day.today.value;
    let readiness = today.readiness;
    Strip {
        title: format!("Jump of {}", short(day.date)),
        description: today.sentence.clone(),
        axis: Axis::new("mean of the jumps", "cm", Decimals::UpTo(1)),
        bands: vec![Band { over: today.band, name: "usual".to_owned() }],
        earlier: day.earlier_cm.clone(),
        earlier_name: "earlier days".to_owned(),
        now: Some(Now {
            at: today.value,
            interval: None,
            word: readiness.word().to_owned(),
            asks_for_act: readiness.asks_for_a_decision(),
        }),
        marks: Vec::new(),
    }
}
